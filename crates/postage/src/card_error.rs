//! Why a rate card could not be read.

use std::fmt;

/// The texts that make up a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CardPart {
    /// The rules, TOML.
    Rules,
    /// The prices, CSV.
    Prices,
    /// The temporary additions, CSV.
    Additions,
}

impl fmt::Display for CardPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Rules => "rules",
            Self::Prices => "prices",
            Self::Additions => "additions",
        })
    }
}

/// Why a rate card could not be read: the place, what stands there, what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CardError {
    /// The rules are not TOML of the expected shape.
    #[error("rules, line {line}: {reason}")]
    Syntax {
        /// Line, from 1; 0 when unknown.
        line: usize,
        /// What the reader of TOML says.
        reason: String,
    },
    /// A rule holds a value that can't be.
    #[error("rules, `{field}`: `{found}` stands where {right} was expected")]
    Rule {
        /// Where in the rules.
        field: String,
        /// What stands there.
        found: String,
        /// What would be right.
        right: &'static str,
    },
    /// A text is not UTF-8.
    #[error("{part}: the text is not UTF-8 from byte {byte} on; save the file as UTF-8")]
    NotUtf8 {
        /// Which text.
        part: CardPart,
        /// First wrong byte, from 0.
        byte: usize,
    },
    /// A table's heading is not as expected.
    #[error("{part}, row 1, column {column}: `{found}` stands where `{right}` was expected")]
    Heading {
        /// Which text.
        part: CardPart,
        /// Column, from 1.
        column: usize,
        /// What stands there.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A cell can't be read.
    #[error("{part}, row {row}, column `{column}`: `{found}` stands where {right} was expected")]
    Cell {
        /// Which text.
        part: CardPart,
        /// Row as an editor counts it, from 1 with the heading.
        row: u64,
        /// The column's heading.
        column: String,
        /// What stands there.
        found: String,
        /// What would be right.
        right: &'static str,
    },
    /// A row has more or fewer cells than the heading.
    #[error("{part}, row {row}: {found} cells stand where {expected} were expected, one under each heading")]
    RowLength {
        /// Which text.
        part: CardPart,
        /// Row as an editor counts it.
        row: u64,
        /// Cells found.
        found: usize,
        /// Cells expected.
        expected: usize,
    },
    /// Two rows for one weight.
    #[error("prices, row {row}: a row for {weight} stands already in row {first}; keep one")]
    DuplicateRow {
        /// The later row.
        row: u64,
        /// The earlier row.
        first: u64,
        /// The weight.
        weight: String,
    },
    /// A row lighter than the one before it.
    #[error("prices, row {row}: {weight} follows {before}; rows must go from light to heavy")]
    WeightOrder {
        /// The row.
        row: u64,
        /// Its weight.
        weight: String,
        /// The weight before it.
        before: String,
    },
    /// Two additions cover the same zone, weight and day.
    #[error("additions, row {row}: it covers zones, weights and days that row {first} covers already")]
    Overlap {
        /// The later row.
        row: u64,
        /// The earlier row.
        first: u64,
    },
    /// A table has a heading and nothing under it.
    #[error("{part}: there are no rows under the heading; at least one is needed")]
    NoRows {
        /// Which text.
        part: CardPart,
    },
}

impl CardError {
    /// Which of the card's texts is wrong.
    #[must_use]
    pub const fn part(&self) -> CardPart {
        match self {
            Self::Syntax { .. } | Self::Rule { .. } => CardPart::Rules,
            Self::DuplicateRow { .. } | Self::WeightOrder { .. } => CardPart::Prices,
            Self::Overlap { .. } => CardPart::Additions,
            Self::NotUtf8 { part, .. }
            | Self::Heading { part, .. }
            | Self::Cell { part, .. }
            | Self::RowLength { part, .. }
            | Self::NoRows { part } => *part,
        }
    }
}
