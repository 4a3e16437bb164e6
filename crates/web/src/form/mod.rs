//! Forms: fields as values, what was typed into them, and what is wrong with it.
//!
//! A page has one list of [`Field`]s. A request is read into [`Filled`], which keeps every word as it was typed;
//! reading a value out of it either gives the type or leaves a mistake in [`Mistakes`]. The page is then drawn
//! from the same three: the summary of mistakes first, each field with its own mistake above its input.

mod draw;
mod field;
mod filled;
mod mistakes;
mod once;
mod posted;

pub use draw::{draw, summary};
pub use field::{Choice, Field, Kind};
pub use filled::Filled;
pub(crate) use filled::short;
pub use mistakes::Mistakes;
pub use once::{Once, once_field};
pub use posted::Posted;
