//! Offers: what waiting is worth, and whether to accept, counter or decline.
//!
//! The method is on one screen in `docs/offers.md`. Amounts in f64 are currency and net: after fee, postage,
//! materials and labour, unless a doc comment says otherwise.

mod answer;
mod case;
mod counter;
mod deadline;
mod demand;
mod net;
mod posted;
mod price_ending;
mod reasons;
mod search;
mod sizes;
mod uniform;

pub use answer::{Answer, CounterPrice, OfferLimit, Reply, answer_offer};
pub use case::{OfferCase, Waiting, WaitingModel, WaitingWorth, Weighing};
pub use counter::{CounterCase, CounterChoice, CounterPlan, STAY_PROBABILITY, plan_counter};
pub use deadline::{DeadlineWorth, worth_by_deadline};
pub use demand::PostedDemand;
pub use net::NetOf;
pub use posted::{PostedWorth, posted_worth};
pub use price_ending::CounterRounding;
pub use search::{Reservation, Search, Solved, reservation};
pub use sizes::OfferSizes;
pub use uniform::{offers_left_values, uniform_by_deadline};
