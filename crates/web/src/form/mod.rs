//! Forms: fields as values, what was typed into them, and what is wrong with it.
//!
//! The fields, what was typed and the mistakes are of the room `fields`, which the check without a network uses as
//! well; here is how a form arrives by a request, that its work is done once, and that its answer is got by an address.

mod by_get;
mod enter_key;
mod once;
mod parts;
mod posted;

pub(crate) use by_get::{Answered, lead};
pub(crate) use enter_key::enter_sends;
pub(crate) use fields::short;
pub use fields::{Choice, Field, Filled, Kind, Mistakes, draw, summary};
pub use once::{Once, once_field};
pub(crate) use parts::Parts;
pub use posted::Posted;
