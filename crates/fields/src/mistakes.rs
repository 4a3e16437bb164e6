//! What is wrong with what was typed.

/// Most mistakes that are shown of one form.
const MOST: usize = 30;

/// Mistakes in the order in which they were found, each at a field or (with an empty name) at the whole form.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Mistakes {
    found: Vec<(String, String)>,
}

impl Mistakes {
    /// Adds one; of a field only the first is kept.
    pub fn add(&mut self, field: &str, message: impl Into<String>) {
        if self.found.len() < MOST && (field.is_empty() || self.of(field).is_none()) {
            self.found.push((field.to_owned(), message.into()));
        }
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// The mistake of a field.
    #[must_use]
    pub fn of(&self, field: &str) -> Option<&str> {
        self.found.iter().find(|(name, _)| name == field).map(|(_, message)| message.as_str())
    }

    /// All of them: field and message.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.found.iter().map(|(field, message)| (field.as_str(), message.as_str()))
    }
}
