//! A recipe: how a family of pieces is protected.

use measure::{Length, Mass};
use shape::{PartKind, WayUp};

use crate::{Cushion, Origin};

/// Layers of one material.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// Key of the material.
    pub material: String,
    /// Layers, or turns round the piece; at least 1.
    pub layers: u32,
}

/// One more course for a heavy piece, outside the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Heavy {
    /// A piece heavier than this gets it.
    pub over: Mass,
    /// The course.
    pub course: Course,
}

/// Layers on parts that stand out, under the wrap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guard {
    /// The kinds of part it goes on.
    pub parts: Vec<PartKind>,
    /// The layers.
    pub course: Course,
}

/// How like pieces are bundled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BundleRule {
    /// Each by itself.
    Single,
    /// On edge in a row, the wrap round all of them.
    OnEdge {
        /// Most pieces in a bundle.
        most: u32,
        /// What lies between two.
        interleaf: Course,
    },
    /// One in another.
    Nest {
        /// Most pieces in a nest.
        most: u32,
        /// What lies between two; at least two layers.
        interleaf: Course,
    },
    /// Flat on one another.
    FlatStack {
        /// Most pieces in a stack.
        most: u32,
        /// What lies between two, if anything.
        interleaf: Option<Course>,
    },
}

impl BundleRule {
    /// Most pieces in one bundle.
    #[must_use]
    pub const fn most(&self) -> u32 {
        match self {
            Self::Single => 1,
            Self::OnEdge { most, .. } | Self::Nest { most, .. } | Self::FlatStack { most, .. } => *most,
        }
    }

    /// The same rule with no more than so many pieces in one bundle, and never more than it had.
    #[must_use]
    pub fn at_most(&self, pieces: u32) -> Self {
        let mut same = self.clone();
        match &mut same {
            Self::Single => {}
            Self::OnEdge { most, .. } | Self::Nest { most, .. } | Self::FlatStack { most, .. } => {
                *most = (*most).min(pieces.max(1));
            }
        }
        same
    }

    /// What lies between two pieces of a bundle.
    #[must_use]
    pub const fn interleaf(&self) -> Option<&Course> {
        match self {
            Self::Single => None,
            Self::OnEdge { interleaf, .. } | Self::Nest { interleaf, .. } => Some(interleaf),
            Self::FlatStack { interleaf, .. } => interleaf.as_ref(),
        }
    }
}

/// How a lid packed apart is treated.
#[derive(Debug, Clone, PartialEq)]
pub struct LidRule {
    /// Ways up, preferred first; never empty.
    pub ways_up: Vec<WayUp>,
    /// Working time for one, minutes.
    pub minutes: f64,
}

impl Default for LidRule {
    /// Standing as it rests or on edge, two minutes. Source: judgement.
    fn default() -> Self {
        Self { ways_up: vec![WayUp::Upright, WayUp::OnEdge], minutes: 2.0 }
    }
}

/// How a family of pieces is protected.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Its name ("mug").
    pub name: String,
    /// Wrap from the inside out; at least one course.
    pub wrap: Vec<Course>,
    /// Further wrap of a heavy piece.
    pub heavy: Option<Heavy>,
    /// Guards on parts that stand out.
    pub guards: Vec<Guard>,
    /// Key of the material that stuffs the hollow; `None` leaves it empty.
    pub stuff: Option<String>,
    /// Ways up, preferred first; never empty.
    pub ways_up: Vec<WayUp>,
    /// How pieces are bundled.
    pub bundle: BundleRule,
    /// How lids are treated.
    pub lid: LidRule,
    /// How much cushion it asks of the profile.
    pub cushion: Cushion,
    /// Wall clearance set for this recipe, which goes before any profile's.
    pub wall_clearance: Option<Length>,
    /// Least distance of hard parts to those of other bundles.
    pub separation: Length,
    /// Whether layers may stand on it through a pad.
    pub bears_load: bool,
    /// Working time for each piece, minutes.
    pub minutes_piece: f64,
    /// Working time for each bundle, minutes.
    pub minutes_bundle: f64,
    /// Where it comes from.
    pub origin: Origin,
}
