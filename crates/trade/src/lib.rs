//! Where the rooms meet: orders, parcels, postage and what is left of the money.

mod cartons;
mod charging;
mod error;
mod job;
mod ladder;
mod library;
mod listed;
mod notes;
mod order;
mod planner;

pub use charging::Stated;
pub use error::TradeError;
pub use job::{Buyer, CartonStock, Charging, Find, Job, MixedOrder, Post, Protecting, Row};
pub use ladder::work_out;
pub use library::Library;
pub use listed::Listing;
pub use notes::StepNote;
pub use order::{Destination, Ladder, OrderPlan, Outcome, Settled, Shipped};
pub use planner::{MOST_PIECES, Planner};
