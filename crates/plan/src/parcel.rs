//! One parcel, bundle by bundle.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shape::{Company, Contents, Part, PartKind, Placement, Solid, WayUp};

use crate::Crush;

/// The carton a parcel goes into, as it is used (after cutting down, if it is).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Carton {
    /// Its name on the shelf ("12 x 12 x 8").
    pub name: String,
    /// Inside length, width and height as used, mm.
    pub inside_mm: [f64; 3],
    /// Outside length, width and height as used, mm.
    pub outside_mm: [f64; 3],
    /// Inside height before it was cut down, mm; absent when used whole.
    pub cut_down_from_mm: Option<f64>,
    /// Mass of the empty carton, g.
    pub tare_g: f64,
    /// Largest gross mass its board may carry in the parcel post, g.
    pub max_gross_g: f64,
    /// The board and the rule that set `max_gross_g`.
    pub board: String,
}

/// What a bundle stands on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "on", content = "number")]
pub enum Rest {
    /// The cushion bed on the carton's floor.
    Bed,
    /// The pad with this number.
    Pad(u32),
    /// The tops of these bundles, wrap on wrap: their numbers in the order of loading, each once, all
    /// loaded before it. Together they carry its whole base.
    #[serde(rename = "bundles")]
    On(Vec<u32>),
}

/// Least and actual distances of a bundle's hard parts to the carton, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WallClearance {
    /// Least distance asked for (before wraps are considered), mm.
    pub required_mm: f64,
    /// Actual to the nearest of the four side walls, mm.
    pub sides_mm: f64,
    /// Actual to the floor, mm.
    pub floor_mm: f64,
    /// Actual to the closed top, mm.
    pub top_mm: f64,
}

/// A hard part where it lies in the carton, bare and grown by its wrap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlacedPart {
    /// What it is.
    pub kind: PartKind,
    /// The bare solid.
    pub bare: Solid,
    /// The solid with its wrap.
    pub grown: Solid,
    /// Thickness of the wrap, mm.
    pub wrap_mm: f64,
    /// Where both lie in the carton.
    pub placement: Placement,
}

impl PlacedPart {
    /// A part of a bundle, placed in the carton.
    #[must_use]
    pub fn new(part: &Part, bundle: Placement) -> Self {
        Self {
            kind: part.kind,
            bare: part.solid,
            grown: part.solid.grown(part.wrap_mm),
            wrap_mm: part.wrap_mm,
            placement: bundle.after(part.placement),
        }
    }
}

/// A bundle where it lies in the carton.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlacedBundle {
    /// Its place in the order of loading, from 1.
    pub number: u32,
    /// What a packer calls it.
    pub label: String,
    /// What is in it.
    pub contents: Vec<Contents>,
    /// The layer it lies in, from 1 at the bottom.
    pub layer: u32,
    /// Which way up it stands.
    pub way_up: WayUp,
    /// Turn about the vertical, degrees counter-clockwise from x, 0 to 360.
    pub yaw_deg: f64,
    /// From the bundle's own upright frame to the carton.
    pub placement: Placement,
    /// Mass with wrap, g.
    pub mass_g: f64,
    /// What it stands on.
    pub rests: Rest,
    /// Distances to the carton.
    pub walls: WallClearance,
    /// Least distance of its hard parts to those of other bundles, before wraps are considered, mm.
    pub separation_mm: f64,
    /// Whether a pad may rest on it.
    pub bears_load: bool,
    /// Which goods it may share a carton with.
    pub company: Company,
    /// Its parts in the carton.
    pub parts: Vec<PlacedPart>,
}

/// A pad that covers the inside of the carton from wall to wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pad {
    /// Its number, from 1 upwards from the floor.
    pub number: u32,
    /// Height of its underside, mm.
    pub bottom_mm: f64,
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// The layer beneath it (0 when it lies on the bed).
    pub above_layer: u32,
}

/// A layer of bundles.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Layer {
    /// From 1 at the bottom.
    pub number: u32,
    /// Height at which its wrapped bundles stand, mm.
    pub bottom_mm: f64,
    /// Height of its tallest wrapped bundle's top, mm.
    pub top_mm: f64,
    /// Numbers of its bundles in the order of loading.
    pub bundles: Vec<u32>,
}

/// Distance between the hard parts of two neighbours, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PairClearance {
    /// Number of the one.
    pub a: u32,
    /// Number of the other.
    pub b: u32,
    /// Least distance allowed at their nearest parts, mm.
    pub required_mm: f64,
    /// Distance there, mm.
    pub actual_mm: f64,
}

/// Void fill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Fill {
    /// What it is.
    pub material: String,
    /// Volume to pour, overfill included, mm3.
    pub volume_mm3: f64,
    /// Its mass, g.
    pub mass_g: f64,
    /// Depth of the bed on the floor, mm.
    pub bed_mm: f64,
}

/// A counted material.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MaterialUse {
    /// Name of the stock ("bubble 1/2 in, 12 x 12 sheet").
    pub material: String,
    /// How much.
    pub quantity: f64,
    /// Of what ("sheet", "in", "ft3").
    pub unit: String,
    /// Its mass, g.
    pub mass_g: f64,
    /// Its cost in whole cents.
    pub cost_cents: i64,
}

/// Working time of a parcel, minutes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Minutes {
    /// Fetching, wrapping and guarding the pieces.
    pub wrapping: f64,
    /// Making up the carton, cutting it down, filling, closing, labelling.
    pub boxing: f64,
}

impl Minutes {
    /// All of it.
    #[must_use]
    pub fn total(self) -> f64 {
        self.wrapping + self.boxing
    }
}

/// The plan of one parcel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Parcel {
    /// The carton.
    pub carton: Carton,
    /// How far wrap may be pressed.
    pub crush: Crush,
    /// Layers from the bottom up.
    pub layers: Vec<Layer>,
    /// Pads from the bottom up.
    pub pads: Vec<Pad>,
    /// Bundles in the order of loading.
    pub bundles: Vec<PlacedBundle>,
    /// Distances between neighbours in a layer, nearest pairs first.
    pub clearances: Vec<PairClearance>,
    /// Void fill.
    pub fill: Fill,
    /// Everything used, carton and fill included.
    pub materials: Vec<MaterialUse>,
    /// Working time.
    pub minutes: Minutes,
    /// Gross mass as handed over, g.
    pub gross_g: f64,
    /// The packed carton that travels inside as the only bundle of this one, its length along this one's; absent in
    /// a single box.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inner: Option<Box<Parcel>>,
}

impl Parcel {
    /// The box that holds the pieces: the inner carton of a box in a box, else this one.
    #[must_use]
    pub fn holding(&self) -> &Self {
        self.inner.as_deref().unwrap_or(self)
    }

    /// All pieces, added up by find and kind; a sum past the largest count there is stays there.
    #[must_use]
    pub fn contents(&self) -> Vec<Contents> {
        let mut sums: std::collections::BTreeMap<(String, String), u32> = std::collections::BTreeMap::new();
        for row in self.bundles.iter().flat_map(|bundle| &bundle.contents) {
            let sum = sums.entry((row.find.clone(), row.what.clone())).or_default();
            *sum = sum.saturating_add(row.count);
        }
        sums.into_iter().map(|((find, what), count)| Contents { find, what, count }).collect()
    }
}
