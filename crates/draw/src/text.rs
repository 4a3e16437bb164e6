//! How wide words come out, and breaking them into lines.

/// Width of one letter as a share of the font size.
///
/// Rounded up from the advance widths of a wide screen sans-serif (judgement): the font that a
/// browser or printer picks is unknown, so words must fit in a wide one.
fn letter_width(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.29,
        ' ' | '.' | ',' | ':' | ';' | '/' | 'I' => 0.34,
        '!' | '-' | '(' | ')' | '[' | ']' | 'f' | 't' | 'r' => 0.42,
        'c' | 'k' | 's' | 'z' => 0.58,
        'm' | 'M' | 'W' | '%' | '@' => 1.0,
        'w' | '+' | '=' | '<' | '>' | '~' => 0.84,
        'A'..='Z' | '&' | '#' => 0.75,
        '\u{2e80}'.. => 1.1,
        _ => 0.64,
    }
}

/// Width of a line of words at this font size, px; an upper estimate.
pub(crate) fn width(words: &str, size: f64, bold: bool) -> f64 {
    let sum: f64 = words.chars().map(letter_width).sum();
    sum * size * if bold { 1.1 } else { 1.0 }
}

/// The words cut to fit a width, with an ellipsis where something was cut.
pub(crate) fn cut_to(words: &str, size: f64, room: f64) -> String {
    if width(words, size, false) <= room {
        return words.to_owned();
    }
    let mut kept = String::new();
    for letter in words.chars() {
        kept.push(letter);
        if width(&kept, size, false) + 0.9 * size > room {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// The words broken into lines no wider than `room`, at most `lines` of them (at least one).
///
/// A single word that is wider than the room is cut, as is what does not fit the last line.
pub(crate) fn broken(words: &str, size: f64, room: f64, lines: usize) -> Vec<String> {
    let mut done: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut rest = words.split_whitespace().peekable();
    while let Some(word) = rest.peek() {
        let longer = if line.is_empty() { (*word).to_owned() } else { format!("{line} {word}") };
        let last = done.len() + 1 >= lines;
        if line.is_empty() || last || width(&longer, size, false) <= room {
            line = longer;
            rest.next();
        } else {
            done.push(cut_to(&line, size, room));
            line.clear();
        }
    }
    done.push(cut_to(&line, size, room));
    done
}

#[cfg(test)]
mod tests {
    use super::{broken, cut_to, width};

    #[test]
    fn every_line_fits_its_room() {
        let words =
            "eleven two-handled consomme cups in stoneware and one very long label-without-any-break-in-it";
        for room in [60.0, 120.0, 300.0] {
            for line in broken(words, 13.0, room, 9) {
                assert!(width(&line, 13.0, false) <= room, "{line:?} in {room}");
            }
        }
    }

    #[test]
    fn nothing_is_lost_while_there_are_lines_left() {
        let words = "stand the cup with its handle to four";
        assert_eq!(broken(words, 13.0, 90.0, 99).join(" "), words);
        assert_eq!(broken("", 13.0, 90.0, 3), [""]);
    }

    #[test]
    fn what_does_not_fit_the_last_line_is_cut_with_an_ellipsis() {
        let lines = broken("a cup and a saucer and a pitcher and a bowl", 13.0, 90.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        assert_eq!(cut_to("cup", 13.0, 90.0), "cup");
    }
}
