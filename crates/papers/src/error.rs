//! Why a file is not taken.

use crate::{MOST_BYTES, MOST_PIXELS};

/// Why a file is not taken. The sentences stand alone; whoever knows the name of the file puts it in front.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PaperError {
    /// Nothing in it.
    #[error("the file is empty; right would be {right}")]
    Empty {
        /// What would be right.
        right: &'static str,
    },
    /// More bytes than are taken.
    #[error(
        "the file has {} MB, more than the {} MB that are taken; right would be a smaller one, \
         such as the picture at a lower resolution", rounded_up(*bytes), MOST_BYTES / MEGABYTE
    )]
    TooLong {
        /// How many it has.
        bytes: usize,
    },
    /// Something else than what the role takes.
    #[error("the file is {found}; right would be {right}{hint}")]
    OtherKind {
        /// What it is.
        found: &'static str,
        /// What would be right.
        right: &'static str,
        /// How to come to that; empty or beginning with its own punctuation.
        hint: &'static str,
    },
    /// A picture with more pixels than are decoded.
    #[error(
        "the picture says it is {width} x {height} pixels, more than the {} million that are taken; \
         right would be a smaller one", MOST_PIXELS / 1_000_000
    )]
    TooManyPixels {
        /// Pixels across, as its head says.
        width: u32,
        /// Pixels down, as its head says.
        height: u32,
    },
    /// It ends too early.
    #[error(
        "the {what} is cut off before its end; right would be the whole file, so copy or send it once more"
    )]
    CutOff {
        /// What it is.
        what: &'static str,
    },
    /// It can't be decoded.
    #[error(
        "the {what} can't be read ({reason}); right would be one that other programs open without complaint"
    )]
    Broken {
        /// What it is.
        what: &'static str,
        /// What the decoder says.
        reason: String,
    },
    /// The picture could not be encoded.
    #[error("the picture can't be written anew ({reason}); nothing was kept")]
    NotWritten {
        /// What the encoder says.
        reason: String,
    },
}

/// Bytes in a megabyte as it is told here.
const MEGABYTE: usize = 1024 * 1024;

/// Whole megabytes, never fewer than there are.
fn rounded_up(bytes: usize) -> usize {
    bytes.div_ceil(MEGABYTE)
}
