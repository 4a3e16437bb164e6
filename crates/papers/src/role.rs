//! What a file is for.

use serde::{Deserialize, Serialize};

use crate::content::Content;

/// What a file is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// A receipt.
    Receipt,
    /// A photo of a haul, a find or a piece.
    Photo,
    /// Evidence for a claim.
    Evidence,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 3] = [Self::Receipt, Self::Photo, Self::Evidence];

    /// Its name in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Receipt => "receipt",
            Self::Photo => "photo",
            Self::Evidence => "evidence",
        }
    }

    /// Most pixels on the longer side of a kept picture. A photo fills any screen with 2400; a receipt or a letter
    /// may be long and in small print, and keeps 3200 (both judgement).
    #[must_use]
    pub const fn longer_side(self) -> u32 {
        match self {
            Self::Photo => 2400,
            Self::Receipt | Self::Evidence => 3200,
        }
    }

    /// What a file of this role may be, in words.
    #[must_use]
    pub const fn may_be(self) -> &'static str {
        match self {
            Self::Photo => "a JPEG, PNG or WebP picture",
            Self::Receipt | Self::Evidence => "a JPEG, PNG or WebP picture, or a PDF",
        }
    }

    pub(crate) const fn takes(self, content: Content) -> bool {
        match (self, content) {
            (Self::Photo, Content::Pdf) => false,
            (Self::Receipt | Self::Evidence, Content::Pdf)
            | (Self::Receipt | Self::Photo | Self::Evidence, Content::Jpeg | Content::Png | Content::WebP) => {
                true
            }
        }
    }
}
