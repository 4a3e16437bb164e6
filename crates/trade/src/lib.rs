//! Where the rooms meet: orders, parcels, postage and what is left of the money.

mod bearing;
mod boards;
mod buying;
mod card;
mod cartons;
mod charging;
mod double;
mod error;
mod guard;
mod guard_rules;
mod guarding;
mod job;
mod ladder;
mod learnt;
mod library;
mod listed;
mod market;
mod mend;
mod notes;
mod offer;
mod order;
mod pace;
mod planner;
mod pool;
mod posted;
mod shock_curve;
mod single;
mod why_more;
mod words;
mod worth;

pub use bearing::{Bearing, Way, bearings, bearings_of_block};
pub use boards::Stacked;
pub use buying::{CountedKind, Purchase, purchase};
pub use card::{card, check_title};
pub use charging::Stated;
pub use error::TradeError;
pub use guard::{GuardQuestion, GuardRow, NeededThickness, Shock, guard, up_to_quarter_inch};
pub use guard_rules::RulesAbout;
pub use guarding::{Guard, Mend, NOT_BY_SHOCK, WallAsked};
pub use job::{
    Bears, Buyer, CartonStock, Charging, Cost, Decide, DoubleBox, Find, Job, LotsBy, MixedOrder, Post,
    Protecting, Row,
};
pub use ladder::{appraise, order_ladder, pack_all, pack_all_watched, work_out};
pub use learnt::Learnt;
pub use library::Library;
pub use listed::Listing;
pub use market::{Buying, Market};
pub use notes::StepNote;
pub use offer::{Answered, Offer, answer};
pub use order::{Destination, Ladder, OrderPlan, Outcome, Settled, Shipped};
pub use pace::Pace;
pub use packing::Watch;
pub use planner::{MOST_PIECES, Planner};
pub use pool::{Pool, PoolKind};
pub use posted::posted;
pub use why_more::{OffLoad, WhyMore};
pub use words::Words;
pub use worth::{FindSplit, PricedPool, Size, Worth};
