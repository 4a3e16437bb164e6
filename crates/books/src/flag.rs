//! How well a figure of a table is known.

use serde::Deserialize;

/// How well a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Flag {
    /// Read in a published source.
    #[serde(rename = "published")]
    Published,
    /// What is commonly done.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Known from memory, not read again.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Chosen here because nothing published was found.
    #[serde(rename = "judgement")]
    Judgement,
    /// Set by the person who uses it.
    #[serde(rename = "own")]
    Own,
}

impl Flag {
    /// The word in data files and on the worksheet.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Judgement => "judgement",
            Self::Own => "own",
        }
    }
}
