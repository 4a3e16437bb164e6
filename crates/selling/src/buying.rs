//! Buying: the most to pay for pieces that will be sold in lots, and the chance of losing on them.
//!
//! The method is on one screen in `docs/buying.md`. Amounts in f64 are currency.

mod case;
mod decision;
mod limits;
mod loss;
mod lots;
mod newsvendor;
mod reasons;
mod sell_through;

pub use case::{AtAsking, BuyCase, BuyDecision, NotEvenFree, Verdict};
pub use decision::buy_decision;
pub use limits::{BuyTargets, Limit, PriceCase, PriceLimits, price_limits};
pub use loss::{LossRisk, loss_risk};
pub use lots::{Delivered, LotKind};
pub use newsvendor::{BestQuantity, NewsvendorCase, best_quantity};
pub use sell_through::{LotsToSell, sell_through_break_even};
