//! Packing: how wrapped bundles go into a carton, and which carton is cheapest.
//!
//! The door is [`Packer`]: it is given bundles, cartons and a costing function and answers with the
//! cheapest stack of layers, turned about the vertical so that handles interlock. It knows no
//! postage, no trade and no files; a cost reaches it as whole cents from outside.

mod arrange;
mod bounds;
mod boxed;
mod build;
mod candidate;
mod cheapest;
mod crowding;
mod decide;
mod distance;
mod divide;
mod energy;
mod fill;
mod hands;
mod kicks;
mod layers;
mod minimise;
mod nest;
mod packer;
mod portions;
mod question;
mod quick;
mod rng;
mod search;
mod snap;
mod stack;
mod stacking;
mod standing;
mod tally;
mod templates;
mod tend;
mod watch;

pub use candidate::{CartonOption, Draft, Finish};
pub use divide::{Division, Memory, Single, divide, divide_with};
pub use hands::{Hands, nicer};
pub use nest::{Effort, Nest, smallest_rectangle, smallest_rectangle_with};
pub use packer::{Packed, Packer, Refused, Rules};
pub use standing::{FlatPart, Foot, Standing};
pub use tally::{Decision, Reason};
pub use watch::Watch;
