//! Receipts, photos and evidence files.

use books::FindId;
use papers::Role;
use serde::{Deserialize, Serialize};

use crate::coming_back::PieceRef;
use crate::{Noted, Record};

/// A file beside the shop file. Only its name and its hash are kept here; [`crate::Shop::attach`] stores the file
/// and notes this. Place and camera data were taken out of it before ([`papers::Paper`]).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attachment {
    /// The kind of record it belongs to.
    pub record: Record,
    /// The number of that record.
    pub number: u64,
    /// The piece, from 1, where it belongs to one piece of a find.
    pub piece: Option<u32>,
    /// What it is for.
    pub role: AttachmentRole,
    /// Its name in the folder of files beside the shop file ([`crate::files_folder`]).
    pub name: String,
    /// The SHA-256 of its bytes, 64 digits 0-9 a-f.
    pub sha256: String,
}

/// What a file is for.
pub type AttachmentRole = Role;

/// What a file is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum About {
    /// A record.
    Record {
        /// Its kind.
        record: Record,
        /// Its number.
        number: u64,
    },
    /// One piece of a find.
    Piece(PieceRef),
}

impl About {
    /// The record, its number and the piece.
    pub(crate) const fn parts(self) -> (Record, u64, Option<u32>) {
        match self {
            Self::Record { record, number } => (record, number, None),
            Self::Piece(piece) => (Record::Find, piece.find.0, Some(piece.number)),
        }
    }
}

impl Attachment {
    /// What it is about.
    #[must_use]
    pub const fn about(&self) -> About {
        match self.piece {
            Some(number) => About::Piece(PieceRef { find: FindId(self.number), number }),
            None => About::Record { record: self.record, number: self.number },
        }
    }
}

impl Noted for Attachment {
    const RECORD: Record = Record::Attachment;
}
