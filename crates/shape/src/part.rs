//! Pieces as compounds of named parts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Placement, Solid};

/// What a part of a piece is to the person who wraps it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// The main mass: cup, plate, pot, block.
    Body,
    /// A handle, ear or tab.
    Handle,
    /// A spout or pouring lip.
    Spout,
    /// The stem of a glass.
    Stem,
    /// The foot of a glass or stand.
    Foot,
    /// A knob or finial.
    Knob,
    /// A lid or cover packed apart from its body.
    Lid,
}

impl PartKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Body => "body",
            Self::Handle => "handle",
            Self::Spout => "spout",
            Self::Stem => "stem",
            Self::Foot => "foot",
            Self::Knob => "knob",
            Self::Lid => "lid",
        }
    }
}

/// One hard part: a solid in the frame of its piece (or bundle), with the wrap that covers it.
///
/// The frame's origin is the middle of the body's footprint at the lowest point; z is up and x
/// points at the first handle or spout.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Part {
    /// What it is.
    pub kind: PartKind,
    /// The bare, hard solid.
    #[serde(flatten)]
    pub solid: Solid,
    /// Where it stands in the piece's frame.
    pub placement: Placement,
    /// Thickness of wrap and guard over it, mm; 0 when bare.
    pub wrap_mm: f64,
}

/// A bare piece as geometry: its hard parts, standing upright.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The hard parts that travel together.
    pub parts: Vec<Part>,
    /// Parts packed apart (a teapot's lid), each in its own frame and standing as it rests.
    pub apart: Vec<Vec<Part>>,
    /// Volume of the hollow to be stuffed, mm3.
    pub hollow_mm3: f64,
    /// Mass of the whole piece, g (parts packed apart included).
    pub mass_g: f64,
    /// Fraction of the mass in each entry of `apart`.
    pub apart_mass_share: Vec<f64>,
    /// Added height per further nested or stacked bare piece, mm; `None` when it never nests.
    pub pitch_mm: Option<f64>,
}
