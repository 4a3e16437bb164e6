//! What can be wrong with this room's data files, with a flaw, or with a listing.

use std::ops::Range;

use crate::Finding;

/// Everything this room refuses, each with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ListingError {
    /// The text isn't TOML.
    #[error("the {file} can't be read: {reason}")]
    NotToml {
        /// Which file.
        file: &'static str,
        /// What the parser says, with the line.
        reason: String,
    },
    /// A key that nothing reads.
    #[error("{place}: \"{key}\" is not known here; right would be {}", right.join(" or "))]
    UnknownKey {
        /// The row.
        place: String,
        /// The key as written.
        key: String,
        /// What may have been meant, or all that is allowed.
        right: Vec<String>,
    },
    /// A key that must be there is absent.
    #[error("{place}: {key} is missing; right would be, for example, {example}")]
    Missing {
        /// The row.
        place: String,
        /// The absent key.
        key: String,
        /// A right line.
        example: String,
    },
    /// A key holds something that can't be used.
    #[error("{place}: {key} can't be {found}; right would be {right}")]
    Wrong {
        /// The row.
        place: String,
        /// The key.
        key: String,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
    /// Two rows answer to one name.
    #[error("{place}: the name \"{name}\" already means {taken_by}; leave it out of one of them")]
    NameTaken {
        /// The row that asks for the name.
        place: String,
        /// The name.
        name: String,
        /// The id of the row that has it.
        taken_by: String,
    },
    /// No row of a table is called this.
    #[error("no {what} is called \"{name}\"; {}", did_you_mean(nearest))]
    Unknown {
        /// What was looked for: venue or condition term.
        what: &'static str,
        /// The name as typed.
        name: String,
        /// Up to three names that may have been meant.
        nearest: Vec<String>,
    },
    /// A flaw on no piece, or on more pieces than there are.
    #[error("{term}: it can't be on {pieces} of {count}; right would be from 1 to {count}")]
    FlawCount {
        /// The term.
        term: String,
        /// How many pieces were said to have it.
        pieces: u32,
        /// How many pieces there are.
        count: u32,
    },
    /// A term that says nothing without its size or place.
    #[error("{term}: its {needs} is missing; right would be, for example, \"{example}\"")]
    FlawNeeds {
        /// The term.
        term: String,
        /// What is missing: size or place.
        needs: &'static str,
        /// A right flaw as a person types it.
        example: String,
    },
    /// A size that isn't a length.
    #[error("{term}: its size must be a length more than 0; right would be, for example, 1/4 in")]
    FlawSize {
        /// The term.
        term: String,
    },
    /// A term that is too small a word for the size.
    #[error("{size} is more than a {term}, which is {bound}; right would be {right}")]
    Understated {
        /// The term that was used.
        term: String,
        /// The size.
        size: String,
        /// The term's limit in words ("under 2 mm").
        bound: String,
        /// The term for this size.
        right: String,
    },
    /// A typed flaw that can't be read; see [`ListingError::caret`].
    #[error("the flaw \"{text}\": {problem}; right would be, for example, \"{right}\"")]
    FlawText {
        /// All that was typed.
        text: String,
        /// Bytes of the text that are wrong; empty at its end when something is missing.
        span: Range<usize>,
        /// What is wrong there.
        problem: String,
        /// A right flaw, or the word that was meant.
        right: String,
    },
    /// A lot of nothing, or a service for nobody.
    #[error("a lot can't hold {what}; right would be 1 or more")]
    NoCount {
        /// What was zero.
        what: &'static str,
    },
    /// A title without a form word.
    #[error("the title has no form word; right would be, for example, \"diner mug\"")]
    NoFormWord,
    /// Even the words that may not be dropped are too long.
    #[error(
        "the words that can't be dropped, \"{words}\", take {length} characters, but the venue allows {limit}; \
         right would be a shorter form word"
    )]
    TitleTooLong {
        /// Count, form word and bad news.
        words: String,
        /// Their length in characters.
        length: usize,
        /// The venue's limit.
        limit: usize,
    },
    /// A description past the venue's limit.
    #[error(
        "the description takes {length} characters, but {venue} allows {limit}; right would be shorter notes"
    )]
    DescriptionTooLong {
        /// The venue.
        venue: String,
        /// Length in characters.
        length: usize,
        /// The venue's limit.
        limit: usize,
    },
    /// A listing of nothing.
    #[error("the listing has no contents; right would be at least one kind of piece")]
    NoContents,
    /// A price of nothing or less, or a floor above it.
    #[error("the {what} can't be {found}; right would be {right}")]
    Price {
        /// Price or floor.
        what: &'static str,
        /// What was given.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A weight or side to state that isn't one.
    #[error("the {what} to state must be more than 0; right would be, for example, {example}")]
    Stated {
        /// Weight or size.
        what: &'static str,
        /// A right value.
        example: &'static str,
    },
    /// Places that disagree on the count.
    #[error("the counts don't agree: {}", joined(.0))]
    Counts(Vec<Finding>),
}

impl ListingError {
    /// For a typed flaw: the text with a caret line under what is wrong; `None` for other errors.
    #[must_use]
    pub fn caret(&self) -> Option<String> {
        let Self::FlawText { text, span, problem, right } = self else { return None };
        // Control characters would break the two lines apart.
        let shown: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let width = |range: Range<usize>| text.get(range).map_or(0, |part| part.chars().count());
        let lead = " ".repeat(width(0..span.start));
        let mark = "^".repeat(width(span.clone()).max(1));
        Some(format!("{shown}\n{lead}{mark} {problem}; right would be, for example, \"{right}\""))
    }
}

fn did_you_mean(nearest: &[String]) -> String {
    match nearest {
        [] => "ask for the list to see all names".to_owned(),
        names => format!("did you mean {}?", names.join(" or ")),
    }
}

fn joined(findings: &[Finding]) -> String {
    findings.iter().map(Finding::to_string).collect::<Vec<_>>().join("; ")
}
