//! A name for a kind of piece, for one and for many.

use measure::plain;

/// A noun with its plural ("consomme cup", "consomme cups").
///
/// ```
/// use listing::Noun;
/// assert_eq!(Noun::new("dish with lid").many, "dishes with lid");
/// assert_eq!(Noun::new("Fish Knife").of(6), "6 Fish Knives");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Noun {
    /// For one piece.
    pub one: String,
    /// For several.
    pub many: String,
}

impl Noun {
    /// A noun whose plural follows the common rules; the head word before "with", "of", "for" or a comma
    /// takes it.
    #[must_use]
    pub fn new(one: &str) -> Self {
        let one = one.split_whitespace().collect::<Vec<_>>().join(" ");
        let at = head_end(&one);
        let (head, tail) = one.split_at_checked(at).unwrap_or((&one, ""));
        let many = format!("{}{tail}", measure::plural(head));
        Self { one, many }
    }

    /// The word for this many.
    #[must_use]
    pub fn word(&self, count: u32) -> &str {
        if count == 1 { &self.one } else { &self.many }
    }

    /// The count with the word: "1 cup", "4 cups".
    #[must_use]
    pub fn of(&self, count: u32) -> String {
        format!("{count} {}", self.word(count))
    }

    /// The words up to and with the head word, plain, in the singular.
    pub(crate) fn plain_words(&self) -> Vec<String> {
        let head = self.one.get(..head_end(&self.one)).unwrap_or(&self.one);
        head.split(|c: char| c.is_whitespace() || c == '-')
            .map(plain)
            .filter(|word| !word.is_empty())
            .collect()
    }
}

/// Byte where the head of a name ends: before a comma, a bracket or a word that begins what it has.
fn head_end(name: &str) -> usize {
    let stops = [" with ", " of ", " for ", " without ", " in ", " no. ", ",", " (", "/"];
    let lower = name.to_ascii_lowercase();
    stops.iter().filter_map(|stop| lower.find(stop)).filter(|&at| at > 0).min().unwrap_or(name.len())
}

/// Whether two plain words are the same but for singular and plural.
pub(crate) fn same_word(a: &str, b: &str) -> bool {
    a == b || measure::plural(a) == b || measure::plural(b) == a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plurals_follow_the_common_rules() {
        for (one, many) in [
            ("cup", "cups"),
            ("glass", "glasses"),
            ("dish", "dishes"),
            ("box", "boxes"),
            ("tray", "trays"),
            ("berry", "berries"),
            ("knife", "knives"),
            ("butter dish with cover", "butter dishes with cover"),
            ("skillet No. 8", "skillets No. 8"),
            ("皿", "皿"),
            ("", ""),
        ] {
            assert_eq!(Noun::new(one).many, many);
        }
        assert!(same_word("glass", "glasses") && same_word("cups", "cup") && !same_word("cup", "cap"));
    }
}
