//! Receipts, photos and evidence files.

use serde::{Deserialize, Serialize};

use crate::{Noted, Record};

/// What a file is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AttachmentRole {
    /// A receipt.
    Receipt,
    /// A photo.
    Photo,
    /// Evidence for a claim.
    Evidence,
}

/// A file beside the shop file. Only its name and its hash are kept here; whoever stores the file takes the place
/// and camera data out of it first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attachment {
    /// The kind of record it belongs to.
    pub record: Record,
    /// The number of that record.
    pub number: u64,
    /// What it is for.
    pub role: AttachmentRole,
    /// Its name, relative to the folder of the shop file.
    pub name: String,
    /// The SHA-256 of its bytes, 64 digits 0-9 a-f.
    pub sha256: String,
}

impl Noted for Attachment {
    const RECORD: Record = Record::Attachment;
}
