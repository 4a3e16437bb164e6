//! Bundles: what is picked up and placed as one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Part, Placement};

/// A way a bundle may stand in the carton, as a tilt from upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WayUp {
    /// As it stands on a table.
    Upright,
    /// Rim down.
    Inverted,
    /// On its edge or side: the upright axis lies level along y.
    OnEdge,
    /// On its end: the x axis stands up.
    OnEnd,
}

impl WayUp {
    /// The tilt that this way up is.
    #[must_use]
    pub fn tilt(self) -> Placement {
        use std::f64::consts::{FRAC_PI_2, PI};
        match self {
            Self::Upright => Placement::IDENTITY,
            Self::Inverted => Placement::turned([1.0, 0.0, 0.0], PI),
            Self::OnEdge => Placement::turned([1.0, 0.0, 0.0], FRAC_PI_2),
            Self::OnEnd => Placement::turned([0.0, 1.0, 0.0], -FRAC_PI_2),
        }
    }

    /// The words a packer reads.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Upright => "upright",
            Self::Inverted => "rim down",
            Self::OnEdge => "on edge",
            Self::OnEnd => "on end",
        }
    }
}

/// Which goods may share a carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Company {
    /// Glass, ceramic and other breakables: never with dense hard goods.
    Breakable,
    /// Dense hard goods (iron, brass): never with breakables.
    Dense,
    /// Goods that may travel with either (books, linen).
    Neutral,
}

impl Company {
    /// Whether two goods may share a carton.
    #[must_use]
    pub const fn may_join(self, other: Self) -> bool {
        !matches!((self, other), (Self::Breakable, Self::Dense) | (Self::Dense, Self::Breakable))
    }
}

/// What a bundle holds, for counting.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct Contents {
    /// Name of the find the pieces come from.
    pub find: String,
    /// What they are ("consomme cup", "lid of pitcher").
    pub what: String,
    /// Number of pieces; a part packed apart counts in a row of its own.
    pub count: u32,
}

/// A wrapped thing that is placed as one: a piece, a bundle of plates, a nest of bowls.
///
/// Parts are given standing upright, in the bundle's own frame (lowest hard point at z = 0).
#[derive(Debug, Clone, PartialEq)]
pub struct Bundle {
    /// What a packer calls it ("4 saucers on edge").
    pub label: String,
    /// What is in it.
    pub contents: Vec<Contents>,
    /// Its hard parts with their wraps.
    pub parts: Vec<Part>,
    /// Mass with wrap, guards and stuffing, g.
    pub mass_g: f64,
    /// Ways up it may stand, preferred first; never empty.
    pub ways_up: Vec<WayUp>,
    /// Least distance of any hard part to any carton wall, floor or top, mm.
    pub wall_clearance_mm: f64,
    /// Least distance of any hard part to a hard part of another bundle, mm (the larger of two governs).
    pub separation_mm: f64,
    /// Whether other layers may stand on it (through a pad).
    pub bears_load: bool,
    /// Which goods it may share a carton with.
    pub company: Company,
    /// Volume it takes, wrap included, mm3.
    pub wrapped_volume_mm3: f64,
}
