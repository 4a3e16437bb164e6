//! Solids, parts, pieces and bundles: what a household piece is, seen as geometry.
//!
//! Lengths are millimetres and masses grams throughout this room, because its values are the
//! coordinates that plans, drawings and checkers exchange; the field names say so.

mod bundle;
mod part;
mod solid;

pub use bundle::{Bundle, Company, Contents, WayUp};
pub use part::{Part, PartKind, Piece};
pub use solid::{Placement, Solid};
