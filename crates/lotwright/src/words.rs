//! Words, sizes and lines of a terminal.

pub use keeping::guarding::{short, trimmed};
pub use measure::counted as plural;
use measure::{Length, Units};

/// Width that text is broken at.
pub const WIDTH: usize = 80;

/// Room in the last column below which words that don't fit stand on a line above their figures (judgement).
const NARROW: usize = 16;

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

/// "12.4 x 12.4 x 8.7 in".
pub fn size(sides: [Length; 3], units: Units) -> String {
    let (numbers, unit): (Vec<String>, &str) = match units {
        Units::UsCustomary => (sides.iter().map(|side| trimmed(side.inches())).collect(), "in"),
        Units::Metric => (sides.iter().map(|side| trimmed(side.mm() / 10.0)).collect(), "cm"),
    };
    format!("{} {unit}", numbers.join(" x "))
}

/// An amount that isn't whole cents, to the cent.
pub fn amount(value: f64) -> String {
    let text = measure::Money::from_cents_rounded(value * 100.0).to_string();
    if text == "-0.00" { String::from("0.00") } else { text }
}

/// Whether a cell is made of figures and the words between them ("21.10 to 41.26", "1 x 8 + 1 x 3").
fn is_figure(cell: &str) -> bool {
    cell.split_whitespace().all(|word| {
        matches!(word, "to" | "x" | "+" | "-" | "%" | "lb" | "oz" | "g" | "kg")
            || word.trim_start_matches(['-', '~', '+']).replace(',', "").parse::<f64>().is_ok()
    })
}

/// Columns under their heads, figures to the right, words to the left; two blanks before and between. Where little room
/// is left for words in the last column, they stand above their figures.
pub fn table(head: &[&str], rows: &[Vec<String>]) -> String {
    let columns = head.len();
    let width = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .chain([head[column].chars().count()])
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let is_figure = |column: usize| rows.iter().filter_map(|row| row.get(column)).all(|cell| is_figure(cell));
    let figures: Vec<bool> = (0..columns).map(is_figure).collect();
    // Words in the last column are broken where the terminal ends.
    let before_last: usize = widths.iter().take(columns.saturating_sub(1)).map(|width| width + 2).sum();
    let room = WIDTH.saturating_sub(before_last + 2);
    let long = widths.last().is_some_and(|width| *width > room) && figures.last() == Some(&false);
    let above = room < NARROW && long;
    let line = |cells: &mut dyn Iterator<Item = &str>, is_head: bool| {
        let mut text = String::new();
        for (column, ((cell, width), figure)) in cells.zip(&widths).zip(&figures).enumerate() {
            if column + 1 == columns && !figure {
                if above && !is_head {
                    return format!("{}\n{}", wrapped("  ", cell), text.trim_end());
                }
                let lead = format!("{text:<before_last$}  ");
                return wrapped(&lead, cell).lines().enumerate().fold(String::new(), |out, (k, line)| {
                    // The lead is only of the first line; `wrapped` indents the others by as much.
                    if k == 0 { line.trim_end().to_owned() } else { out + "\n" + line.trim_end() }
                });
            }
            let blanks = " ".repeat(width - cell.chars().count().min(*width));
            text.push_str("  ");
            if *figure {
                text.push_str(&blanks);
                text.push_str(cell);
            } else {
                text.push_str(cell);
                text.push_str(&blanks);
            }
        }
        text.trim_end().to_owned()
    };
    let mut lines = vec![line(&mut head.iter().copied(), true)];
    lines.extend(rows.iter().map(|row| line(&mut row.iter().map(String::as_str), false)));
    lines.retain(|line| !line.is_empty());
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, table};

    #[test]
    fn words_with_little_room_stand_above_their_figures_and_no_line_is_too_wide() {
        let row = |what: &str| vec!["1,234.56".repeat(8), what.to_owned()];
        let told = table(&["amount", "what"], &[row("pressed glass goblets, six of them")]);
        let lines: Vec<&str> = told.lines().map(str::trim).collect();
        assert_eq!(lines[1..], ["pressed glass goblets, six of them", &"1,234.56".repeat(8)]);
        assert!(told.lines().all(|line| line.chars().count() <= WIDTH), "{told}");
        let short = table(&["amount", "what"], &[row("goblets")]);
        assert!(short.lines().nth(1).is_some_and(|line| line.ends_with("  goblets")), "{short}");
        let wide = table(&["amount", "what"], &[vec!["3".to_owned(), "word ".repeat(30)]]);
        assert!(wide.lines().nth(1).is_some_and(|line| line.contains("3  word")), "{wide}");
    }
}
