//! What pieces are worth: comparable sales as a person types them, an estimator that says how sure it is,
//! and how long a sale takes.

mod comp;

pub use comp::{Bids, Comp, Evidence, Grade, Shipping};
