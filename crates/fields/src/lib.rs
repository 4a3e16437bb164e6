//! Forms: fields as values, what was typed into them, and what is wrong with it.
//!
//! A page has one list of [`Field`]s. A request is read into [`Filled`], which keeps every word as it was typed;
//! reading a value out of it either gives the type or leaves a mistake in [`Mistakes`]. The page is then drawn
//! from the same three: the summary of mistakes first, each field with its own mistake above its input.
//!
//! Nothing here knows how a form arrives: by a request, or on a phone without a network.

mod draw;
mod field;
mod filled;
mod mistakes;

pub use draw::{draw, summary};
pub use field::{Choice, Field, Kind};
pub use filled::{Filled, short};
pub use mistakes::Mistakes;
