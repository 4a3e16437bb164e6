//! A drop that a parcel should survive.

use measure::Length;
use protection::Origin;

/// What a parcel lands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DropOnto {
    /// One of its six faces.
    Face,
    /// One of its twelve edges.
    Edge,
    /// One of its eight corners.
    Corner,
}

impl DropOnto {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Face, Self::Edge, Self::Corner];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Face => "face",
            Self::Edge => "edge",
            Self::Corner => "corner",
        }
    }
}

/// One drop of a sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedDrop {
    /// What the parcel lands on.
    pub onto: DropOnto,
    /// Which of them, in words.
    pub at: String,
    /// How far it falls.
    pub height: Length,
}

/// A further event that some package types see.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraDrop {
    /// What happens.
    pub what: String,
    /// From how high; `None` where that isn't stated.
    pub height: Option<Length>,
}

/// The drops of a parcel of some weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Drop {
    /// Key of the schedule they come from.
    pub schedule: String,
    /// The gross weights that these heights are for, in words ("under 21 lb").
    pub weights: String,
    /// The usual height.
    pub height: Length,
    /// Height of the one flat drop from higher up, where the schedule has one.
    pub flat_once: Option<Length>,
    /// The drops in order; empty where the source gives none.
    pub sequence: Vec<PlannedDrop>,
    /// What else this package type sees.
    pub extras: Vec<ExtraDrop>,
    /// What to know about it, in words.
    pub note: String,
    /// Where it comes from.
    pub origin: Origin,
}

impl Drop {
    /// The height to design a cushion for: the highest drop there is.
    #[must_use]
    pub fn design_height(&self) -> Length {
        self.flat_once.map_or(self.height, |once| once.max(self.height))
    }
}
