//! Plain ASCII for a terminal: letters without their marks, words cut to a width, lines filled.

/// The plain letters that stand for one that is not ASCII; `?` for what has none.
fn plain(letter: char) -> &'static str {
    match letter {
        'À'..='Å' => "A",
        'à'..='å' => "a",
        'Æ' => "AE",
        'æ' => "ae",
        'Ç' => "C",
        'ç' => "c",
        'È'..='Ë' => "E",
        'è'..='ë' => "e",
        'Ì'..='Ï' => "I",
        'ì'..='ï' => "i",
        'Ñ' => "N",
        'ñ' => "n",
        'Ò'..='Ö' | 'Ø' => "O",
        'ò'..='ö' | 'ø' => "o",
        'Ù'..='Ü' => "U",
        'ù'..='ü' => "u",
        'ß' => "ss",
        '‘' | '’' | '′' => "'",
        '“' | '”' | '″' => "\"",
        '–' | '—' | '−' => "-",
        '×' => "x",
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '…' => "...",
        other if other.is_whitespace() => " ",
        _ => "?",
    }
}

/// The words in printable ASCII on one line.
pub(crate) fn ascii(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.trim().chars() {
        if letter == ' ' || letter.is_ascii_graphic() {
            out.push(letter);
        } else {
            out.push_str(plain(letter));
        }
    }
    out
}

/// ASCII words cut to at most this many letters, with dots where something was cut.
pub(crate) fn cut(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let dots = most.min(2);
    let kept: String = words.chars().take(most - dots).collect();
    format!("{}{}", kept.trim_end(), ".".repeat(dots))
}

/// Entries filled into lines of at most `width` letters, two spaces between them; a longer one is cut.
pub(crate) fn filled(entries: &[String], width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for entry in entries {
        let entry = cut(entry, width);
        match lines.last_mut() {
            Some(line) if line.len() + 2 + entry.len() <= width => {
                line.push_str("  ");
                line.push_str(&entry);
            }
            Some(_) | None => lines.push(entry),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{ascii, cut, filled};

    #[test]
    fn letters_lose_their_marks_and_nothing_else_than_ascii_is_left() {
        assert_eq!(ascii("consommé “½ dozen”\n– très bien"), "consomme \"1/2 dozen\" - tres bien");
        assert_eq!(ascii("皿\u{7}"), "??");
    }

    #[test]
    fn cut_words_are_never_longer_than_their_room() {
        assert_eq!(cut("six and five", 8), "six an..");
        assert_eq!(
            (cut("six", 3).as_str(), cut("seven", 1).as_str(), cut("seven", 0).as_str()),
            ("six", ".", "")
        );
        assert_eq!(filled(&["ab".into(), "cd".into(), "ef".into()], 6), ["ab  cd", "ef"]);
    }
}
