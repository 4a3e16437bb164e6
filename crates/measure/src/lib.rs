//! Lengths, masses, areas, volumes and money: what a person types, and what is written back.
//!
//! Every quantity is stored in one unit (millimetres, grams, square or cubic millimetres, whole
//! cents), so that a figure's unit is in its type and never in a comment.

mod money;
mod quantity;

pub use money::Money;
pub use quantity::{Area, Length, Mass, Volume};
