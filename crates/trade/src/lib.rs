//! Where the rooms meet: orders, parcels, postage and what is left of the money.

mod buying;
mod card;
mod cartons;
mod charging;
mod error;
mod guarding;
mod job;
mod ladder;
mod library;
mod listed;
mod market;
mod notes;
mod offer;
mod order;
mod pace;
mod planner;
mod pool;
mod single;
mod words;
mod worth;

pub use buying::{CountedKind, Purchase, purchase};
pub use card::{card, check_title};
pub use charging::Stated;
pub use error::TradeError;
pub use guarding::{Guard, Mend, WallAsked};
pub use job::{
    Bears, Buyer, CartonStock, Charging, Cost, Decide, DoubleBox, Find, Job, LotsBy, MixedOrder, Post,
    Protecting, Row,
};
pub use ladder::{appraise, pack_all, work_out};
pub use library::Library;
pub use listed::Listing;
pub use market::{Buying, Market};
pub use notes::StepNote;
pub use offer::{Answered, Offer, answer};
pub use order::{Destination, Ladder, OrderPlan, Outcome, Settled, Shipped};
pub use pace::Pace;
pub use planner::{MOST_PIECES, Planner};
pub use pool::{Pool, PoolKind};
pub use words::Words;
pub use worth::{FindSplit, PricedPool, Size, Worth};
