//! What the search asks its caller: what a parcel would cost, and what goes into it.

use plan::{Fill, MaterialUse, Minutes};

/// A parcel that might be, before it is laid out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draft {
    /// Index of the carton in the list the packer was given.
    pub carton: usize,
    /// Mass of all bundles, wraps included, g.
    pub bundles_g: f64,
    /// Inside volume not taken by wrapped bundles, mm3 (pads are not taken off: fill is not hoped away).
    pub void_mm3: f64,
    /// Depth of the cushion bed on the floor, mm.
    pub bed_mm: f64,
    /// Number of pads between layers.
    pub pads: u32,
    /// Thickness of all of them together, mm.
    pub pads_mm: f64,
}

/// The caller's answer to a [`Draft`].
#[derive(Debug, Clone, PartialEq)]
pub struct Finish {
    /// Everything that choosing this parcel costs, in whole cents: what the search minimises. It must
    /// not fall when the carton, the void or the number of pads grows.
    pub cost_cents: i64,
    /// Gross mass as handed over, g.
    pub gross_g: f64,
    /// Void fill.
    pub fill: Fill,
    /// Materials used by the carton itself (carton, fill, pads, tape, label).
    pub materials: Vec<MaterialUse>,
    /// Working time.
    pub minutes: Minutes,
}

/// A carton as it may be used: whole, or cut down to one of its heights.
pub type CartonOption = plan::Carton;
