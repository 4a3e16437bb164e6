//! What was typed into a form, kept word for word.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use measure::{Length, LengthUnit, Mass, MassUnit, Money, ReadError};

use crate::Mistakes;

/// What was typed, by the names of the fields.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filled {
    values: BTreeMap<String, Vec<String>>,
}

impl Filled {
    /// From the pairs of a request.
    #[must_use]
    pub fn from_pairs(pairs: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut values: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, value) in pairs {
            values.entry(name).or_default().push(value);
        }
        Self { values }
    }

    /// The same with this field filled so.
    #[must_use]
    pub fn with(mut self, name: &str, value: impl Into<String>) -> Self {
        self.values.insert(name.to_owned(), vec![value.into()]);
        self
    }

    /// The words in a field exactly as they were typed; empty where there are none.
    #[must_use]
    pub fn typed(&self, name: &str) -> &str {
        self.values.get(name).and_then(|values| values.first()).map_or("", String::as_str)
    }

    /// The words in a field without blanks around them; `None` where it is empty.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&str> {
        Some(self.typed(name).trim()).filter(|text| !text.is_empty())
    }

    /// The lines of a field that hold something, with their numbers from 1.
    #[must_use]
    pub fn lines(&self, name: &str) -> Vec<(usize, &str)> {
        let numbered = self.typed(name).lines().enumerate().map(|(k, line)| (k + 1, line.trim()));
        numbered.filter(|(_, line)| !line.is_empty()).collect()
    }

    /// Every value that was sent under a name, as boxes with one name are.
    #[must_use]
    pub fn all(&self, name: &str) -> Vec<&str> {
        self.values.get(name).map_or_else(Vec::new, |values| values.iter().map(String::as_str).collect())
    }

    /// Whether a box is ticked or a button with this name was pressed.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.values.contains_key(name)
    }

    /// What is written in a field for oneself, of at most so many characters; empty where nothing is.
    pub fn note(&self, name: &str, most: usize, mistakes: &mut Mistakes) -> String {
        let note = self.text(name).unwrap_or_default();
        if note.chars().count() > most {
            mistakes.add(name, format!("it is longer than {most} characters; right would be a shorter one"));
        }
        note.to_owned()
    }

    /// The words of a field that must be filled.
    pub fn needed(&self, name: &str, missing: &str, mistakes: &mut Mistakes) -> Option<&str> {
        let text = self.text(name);
        if text.is_none() {
            mistakes.add(name, missing);
        }
        text
    }

    /// A whole number within bounds; `None` where the field is empty or wrong.
    pub fn whole(&self, name: &str, bounds: RangeInclusive<u32>, mistakes: &mut Mistakes) -> Option<u32> {
        let text = self.text(name)?;
        let read = text.parse().ok().filter(|number| bounds.contains(number));
        if read.is_none() {
            mistakes.add(
                name,
                format!(
                    "\"{}\" is not a whole number from {} to {}",
                    short(text),
                    bounds.start(),
                    bounds.end()
                ),
            );
        }
        read
    }

    /// An amount of money, 0 or more; `None` where the field is empty or wrong.
    pub fn money(&self, name: &str, mistakes: &mut Mistakes) -> Option<Money> {
        let read = |text: &str| {
            Money::read(text).map_err(|e| e.to_string()).and_then(|amount| {
                if amount < Money::ZERO { Err(format!("{amount} is below zero")) } else { Ok(amount) }
            })
        };
        self.read(name, read, mistakes)
    }

    /// A length of more than nothing, a bare figure in inches; `None` where the field is empty or wrong.
    pub fn length(&self, name: &str, mistakes: &mut Mistakes) -> Option<Length> {
        let read = |text: &str| said(Length::read_positive(text, Some(LengthUnit::Inches)));
        self.read(name, read, mistakes)
    }

    /// A weight of more than nothing, a bare figure in ounces; `None` where the field is empty or wrong.
    pub fn mass(&self, name: &str, mistakes: &mut Mistakes) -> Option<Mass> {
        let read = |text: &str| said(Mass::read_positive(text, Some(MassUnit::Ounces)));
        self.read(name, read, mistakes)
    }

    fn read<T>(
        &self,
        name: &str,
        read: impl Fn(&str) -> Result<T, String>,
        mistakes: &mut Mistakes,
    ) -> Option<T> {
        match read(self.text(name)?) {
            Ok(value) => Some(value),
            Err(message) => {
                mistakes.add(name, message);
                None
            }
        }
    }
}

fn said<T>(read: Result<T, ReadError>) -> Result<T, String> {
    read.map_err(|e| e.to_string())
}

/// Most characters of what was typed that a message repeats.
const LONGEST_QUOTE: usize = 40;

/// The beginning of a text, for a message.
#[must_use]
pub fn short(text: &str) -> String {
    let mut short: String = text.chars().take(LONGEST_QUOTE).collect();
    if text.chars().nth(LONGEST_QUOTE).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::Filled;
    use crate::Mistakes;
    use measure::{Length, Money};

    fn filled(pairs: &[(&str, &str)]) -> Filled {
        Filled::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())))
    }

    #[test]
    fn what_was_typed_is_kept_and_what_is_read_is_trimmed() {
        let filled = filled(&[("a", "  4 1/2 in "), ("lines", "one\n\n  two \r\n")]);
        assert_eq!(filled.typed("a"), "  4 1/2 in ");
        assert_eq!(filled.text("a"), Some("4 1/2 in"));
        assert_eq!(filled.lines("lines"), [(1, "one"), (3, "two")]);
        assert_eq!(filled.text("absent"), None);
    }

    #[test]
    fn a_note_is_kept_up_to_its_length_and_a_longer_one_is_told_at_its_field() {
        let filled = filled(&[("why", " äöü "), ("empty", "  ")]);
        let mut mistakes = Mistakes::default();
        assert_eq!(filled.note("why", 3, &mut mistakes), "äöü");
        assert_eq!(filled.note("empty", 0, &mut mistakes) + &filled.note("absent", 0, &mut mistakes), "");
        assert!(mistakes.is_empty());
        filled.note("why", 2, &mut mistakes);
        assert!(mistakes.of("why").is_some_and(|why| why.contains("longer than 2 characters")));
    }

    #[test]
    fn figures_are_read_as_people_write_them() {
        let mut mistakes = Mistakes::default();
        let filled =
            filled(&[("a", "3 1/4"), ("b", "8.3 cm"), ("c", "$1,234.50"), ("n", "11"), ("w", "1 lb 3.5 oz")]);
        assert_eq!(filled.length("a", &mut mistakes), Some(Length::from_inches(3.25)));
        assert_eq!(filled.length("b", &mut mistakes), Some(Length::from_mm(83.0)));
        assert_eq!(filled.money("c", &mut mistakes), Some(Money::from_cents(123_450)));
        assert_eq!(filled.whole("n", 1..=1000, &mut mistakes), Some(11));
        assert!(filled.mass("w", &mut mistakes).is_some());
        assert!(mistakes.is_empty());
    }

    #[test]
    fn a_wrong_figure_leaves_a_mistake_at_its_field_and_an_empty_one_none() {
        let mut mistakes = Mistakes::default();
        let filled = filled(&[("a", "three"), ("c", "-2"), ("n", "1e3"), ("empty", "  ")]);
        assert_eq!(filled.length("a", &mut mistakes), None);
        assert_eq!(filled.money("c", &mut mistakes), None);
        assert_eq!(filled.whole("n", 1..=1000, &mut mistakes), None);
        assert_eq!(filled.whole("empty", 1..=1000, &mut mistakes), None);
        let fields: Vec<&str> = mistakes.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["a", "c", "n"]);
    }
}
