//! Words, sizes and lines of a terminal.

use measure::{Length, Units};

/// Width that text is broken at.
pub const WIDTH: usize = 80;

/// Breaks a text at [`WIDTH`], its first line led by `lead`, further lines by as many blanks.
pub fn wrapped(lead: &str, text: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let mut out = String::from(lead);
    let mut column = lead.chars().count();
    for (k, word) in text.split_whitespace().enumerate() {
        let length = word.chars().count();
        if k > 0 && column + 1 + length > WIDTH {
            out.push('\n');
            out.push_str(&indent);
            column = indent.len();
        } else if k > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out
}

/// A count with its word.
pub fn plural(count: u32, word: &str) -> String {
    if count == 1 {
        format!("1 {word}")
    } else if word.ends_with('s') || word.ends_with("sh") || word.ends_with("ch") {
        format!("{count} {word}es")
    } else {
        format!("{count} {word}s")
    }
}

/// "12.4 x 12.4 x 8.7 in".
pub fn size(sides: [Length; 3], units: Units) -> String {
    let (numbers, unit): (Vec<String>, &str) = match units {
        Units::UsCustomary => (sides.iter().map(|side| trimmed(side.inches())).collect(), "in"),
        Units::Metric => (sides.iter().map(|side| trimmed(side.mm() / 10.0)).collect(), "cm"),
    };
    format!("{} {unit}", numbers.join(" x "))
}

/// One decimal, left out when it is none.
pub fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}
