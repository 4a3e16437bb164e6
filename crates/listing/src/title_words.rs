//! Cleaning what a person types into words fit for a title.

use measure::plain;

/// Words kept small inside a title: joiners and units. Source: common practice.
const SMALL: &[&str] = &[
    "a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "the", "to", "with", "without", "x",
    "oz", "fl", "cm", "mm", "ml", "cl", "l", "qt", "pt", "gal", "lb", "lbs", "g", "kg", "dia", "circa",
];
/// Joiners that may not end a part of a title.
const JOINERS: &[&str] =
    &["a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "the", "to", "with", "&", "+"];
/// Words that say nothing of the piece. Source: common practice and judgement.
const PUFFERY: &[&str] = &[
    "amazing",
    "awesome",
    "breathtaking",
    "exquisite",
    "fabulous",
    "fantastic",
    "gorgeous",
    "incredible",
    "magnificent",
    "mustsee",
    "phenomenal",
    "spectacular",
    "stunning",
    "superb",
    "wow",
];
/// Longer words in capitals that are read letter by letter. Source: from memory.
const ACRONYMS: &[&str] = &["EPNS", "USSR", "NATO", "EPBM", "UNICEF"];
/// Capitals up to this many letters are taken for an acronym. Source: judgement.
const ACRONYM_LETTERS: usize = 3;

/// Why a word was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unfit {
    Puffery,
    Ornament,
    LikeAnother,
}

/// The words of a phrase, cleaned, and those that were left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Cleaned {
    pub(crate) words: Vec<String>,
    pub(crate) unfit: Vec<(String, Unfit)>,
}

/// Cleans a phrase: one blank between words, no rows of marks, no shouting, no puffery.
pub(crate) fn clean(phrase: &str) -> Cleaned {
    let visible: String =
        phrase.chars().map(|c| if c.is_control() { ' ' } else { c }).filter(printable).collect();
    let typed: Vec<String> = visible.split_whitespace().map(str::to_owned).collect();
    let shouts = typed.iter().any(|word| letters(word) > ACRONYM_LETTERS && shouted(word) && !acronym(word))
        || (typed.len() > 1 && typed.iter().all(|word| shouted(word) || letters(word) == 0));
    let mut cleaned = Cleaned::default();
    for word in typed {
        match fit(&word, shouts) {
            Ok(fit) => cleaned.words.push(fit),
            Err(reason) => cleaned.unfit.push((word, reason)),
        }
    }
    while cleaned.words.last().is_some_and(|word| is_joiner(word)) {
        cleaned.words.pop();
    }
    cleaned
}

/// Whether a word only joins others.
pub(crate) fn is_joiner(word: &str) -> bool {
    JOINERS.contains(&word.to_lowercase().as_str())
}

/// Whether a word may stand twice in a title: joiners, units and figures.
pub(crate) fn may_repeat(word: &str) -> bool {
    let lower = word.to_lowercase();
    is_joiner(word) || SMALL.contains(&lower.as_str()) || !word.chars().any(char::is_alphabetic)
}

/// Marks that steer the direction or hide; a title of them would not be what it looks like. The joiner of
/// emoji stays.
fn printable(c: &char) -> bool {
    !matches!(c, '\u{200B}' | '\u{200C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{2069}' | '\u{FEFF}' | '\u{00AD}' | '\u{061C}')
}

fn letters(word: &str) -> usize {
    word.chars().filter(|c| c.is_alphabetic()).count()
}

/// In capitals throughout, with at least two of them.
fn shouted(word: &str) -> bool {
    letters(word) >= 2 && !word.chars().any(char::is_lowercase) && word.chars().any(char::is_uppercase)
}

fn acronym(word: &str) -> bool {
    let bare: String = word.chars().filter(|c| c.is_alphabetic()).collect();
    ACRONYMS.contains(&bare.as_str()) || word.contains('.') || word.chars().any(|c| c.is_ascii_digit())
}

fn fit(word: &str, shouts: bool) -> Result<String, Unfit> {
    let folded = plain(&word.replace('@', "o"));
    let bare = plain(word);
    let praise = |word: &str| PUFFERY.contains(&word);
    if praise(&bare) || bare.strip_suffix('s').is_some_and(praise) || folded == "look" && word.contains('@') {
        return Err(Unfit::Puffery);
    }
    let word = trimmed(word);
    if word == "&" || word == "+" {
        return Ok("&".to_owned());
    }
    if !word.chars().any(char::is_alphanumeric) {
        return Err(Unfit::Ornament);
    }
    if word.to_lowercase().ends_with("-like") {
        return Err(Unfit::LikeAnother);
    }
    let short = letters(&word) <= ACRONYM_LETTERS;
    let calm =
        if shouted(&word) && !acronym(&word) && (shouts || !short) && !KNOWN_SHORT.contains(&word.as_str()) {
            word.to_lowercase()
        } else {
            word
        };
    Ok(capitalised(calm))
}

/// Short acronyms that stay in capitals even among shouted words. Source: from memory.
const KNOWN_SHORT: &[&str] = &["USA", "US", "UK", "GDR", "EU", "LP", "CD", "DVD", "TV", "BPOE"];

/// A word without marks at its ends and with no mark twice in a row inside.
fn trimmed(word: &str) -> String {
    let keep_front =
        |c: char| c.is_alphanumeric() || matches!(c, '#' | '&' | '+' | '.' | '\'' | '’' | '(' | '$');
    let keep_back = |c: char| {
        c.is_alphanumeric()
            || matches!(c, '"' | '″' | '”' | '\'' | '’' | '.' | ')' | '%' | '&' | '+' | '½' | '¼')
    };
    // Combining marks belong to the letter before them and stay with it.
    let is_mark = |c: char| !c.is_alphanumeric() && c.is_ascii();
    let inner = word
        .trim_start_matches(|c: char| !keep_front(c) && is_mark(c))
        .trim_end_matches(|c: char| !keep_back(c) && is_mark(c));
    let mut result = String::new();
    for c in inner.chars() {
        if is_mark(c) && result.ends_with(c) {
            continue;
        }
        result.push(c);
    }
    // "U.S.A." keeps its last stop, "mugs..." doesn't.
    let stops = result.chars().filter(|&c| c == '.').count();
    if stops == 1 && result.ends_with('.') && letters(&result) > 2 {
        result.pop();
    }
    result
}

/// The first letter as a capital, where it is a letter with one capital and the word isn't kept small.
fn capitalised(word: String) -> String {
    let lower = word.to_lowercase();
    if SMALL.contains(&lower.as_str()) || word.chars().any(char::is_uppercase) {
        return word;
    }
    let mut chars = word.chars();
    let Some(first) = chars.next() else { return word };
    let mut upper = first.to_uppercase();
    match (upper.next(), upper.next()) {
        (Some(capital), None) => format!("{capital}{}", chars.as_str()),
        _ => word,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cleaned(phrase: &str) -> String {
        clean(phrase).words.join(" ")
    }

    #[test]
    fn shouting_is_calmed_and_acronyms_stay() {
        for (typed, right) in [
            ("USA", "USA"),
            ("made in USA", "Made in USA"),
            ("JAPAN", "Japan"),
            ("BIG RED MUGS", "Big Red Mugs"),
            ("DINER MUGS USA", "Diner Mugs USA"),
            ("EPNS tray", "EPNS Tray"),
            ("U.S.A.", "U.S.A."),
            ("McKinley", "McKinley"),
            ("8 OZ", "8 oz"),
        ] {
            assert_eq!(cleaned(typed), right, "{typed}");
        }
    }

    #[test]
    fn rows_of_marks_and_puffery_go() {
        for (typed, right) in [
            ("*** L@@K *** amazing mug!!!", "Mug"),
            ("mug ~~~~ wow", "Mug"),
            ("creamer / milk jug", "Creamer Milk Jug"),
            ("salt & pepper &", "Salt & Pepper"),
            ("crown-like jug", "Jug"),
            ("3 1/4\" wide", "3 1/4\" Wide"),
            ("cups with", "Cups"),
            ("\u{202E}mug\u{0007}s", "Mug S"),
        ] {
            assert_eq!(cleaned(typed), right, "{typed}");
        }
    }
}
