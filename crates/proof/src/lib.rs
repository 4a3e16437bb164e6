//! The independent checker of packed parcels.
//!
//! It rebuilds a parcel from bare solids, wraps and placements on a general collision library and
//! proves the rules again; it shares no code with the search and believes no figure that can be
//! recomputed. Lengths are millimetres and masses grams. The method is in `docs/proof.md`.

mod account;
mod body;
mod check;
mod figures;
mod footprint;
mod gap;
mod inner;
mod lowering;
mod named;
mod neighbours;
mod order;
mod pads;
mod scene;
mod stacked;
mod support;
mod violation;
mod walls;
mod wraps;

pub use check::{check, check_all};
pub use named::{Named, Wall};
pub use violation::Violation;
