//! The public record of a packed parcel: what a packer follows and what a checker proves.
//!
//! World coordinates are millimetres: x along the carton's inside length, y along its inside width,
//! z up from its inside floor; the inside is the box from the origin to `inside_mm`.

mod parcel;
mod rules;

pub use parcel::{
    Carton, Fill, Layer, MaterialUse, Minutes, Pad, PairClearance, Parcel, PlacedBundle, PlacedPart, Rest,
    WallClearance,
};
pub use rules::{Crush, TOLERANCE_MM};
