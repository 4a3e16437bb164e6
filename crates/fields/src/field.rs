//! What a form asks for.

/// One thing to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub words: String,
}

impl Choice {
    /// A thing to choose.
    #[must_use]
    pub fn new(value: &str, words: &str) -> Self {
        Self { value: value.to_owned(), words: words.to_owned() }
    }
}

/// How a field is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// A whole number.
    Whole,
    /// An amount of money.
    Money,
    /// A length or weight with its unit, as people write it.
    Measure,
    /// A postal code, or another short code.
    Code,
    /// A few words; what is known is suggested.
    Words {
        /// Suggestions while typing.
        known: Vec<String>,
    },
    /// Several lines, one thing on each.
    Lines {
        /// Lines that show without scrolling.
        rows: u8,
        /// Whether the letters stand one under the other, as in a job sheet.
        sheet: bool,
    },
    /// One of a few things.
    OneOf(Vec<Choice>),
    /// A passphrase, not shown.
    Secret {
        /// Whether a passphrase manager should offer a stored one.
        stored: bool,
    },
}

/// A field of a form: its label, what helps to fill it, and how it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name in the request; also the base of its ids, so letters, figures and dashes only.
    pub name: String,
    /// Its label; the unit belongs in it where there is one.
    pub label: String,
    /// A sentence under the label; empty when the label says it all.
    pub hint: String,
    /// How it is typed.
    pub kind: Kind,
    /// Whether it may stay empty.
    pub optional: bool,
}

impl Field {
    /// A field that must be filled.
    #[must_use]
    pub fn needed(name: &str, label: &str, hint: &str, kind: Kind) -> Self {
        Self { name: name.to_owned(), label: label.to_owned(), hint: hint.to_owned(), kind, optional: false }
    }

    /// A field that may stay empty.
    #[must_use]
    pub fn optional(name: &str, label: &str, hint: &str, kind: Kind) -> Self {
        Self { optional: true, ..Self::needed(name, label, hint, kind) }
    }
}
