//! When something is written down, and where it came from.

use jiff::Timestamp;

/// The moment of a write, and for what is imported the number it had where it came from. The same source and number
/// are never stored twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    pub(crate) at: Timestamp,
    pub(crate) key: Option<(String, String)>,
}

impl Stamp {
    /// Entered by hand at a moment.
    #[must_use]
    pub const fn at(at: Timestamp) -> Self {
        Self { at, key: None }
    }

    /// Imported from a source in which it has that number.
    #[must_use]
    pub fn imported(mut self, source: impl Into<String>, external: impl Into<String>) -> Self {
        self.key = Some((source.into(), external.into()));
        self
    }
}
