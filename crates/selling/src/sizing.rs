//! How to split a pile of like pieces into lots; the method is told in `docs/sizing.md`.

mod best;
mod break_even;
mod course;
mod demand;
mod equal_lots;
mod fee;
mod figure;
mod knapsack;
mod ledger;
mod listing;
mod per_hour;
mod pools;
mod sold_by;
mod spare;
mod split;
mod table;
mod terms;

pub use best::{ByProfit, Choice, MOST_KEPT_SIZES};
pub use course::Expected;
pub use demand::{Demand, OrderMix};
pub use equal_lots::EqualLots;
pub use fee::FeeRule;
pub use figure::LARGEST_AMOUNT;
pub use ledger::{Ledger, LedgerEntry, LedgerLine};
pub use listing::Listing;
pub use pools::{BarePool, PooledPlan, best_pools};
pub use spare::{Spare, SpareWorth};
pub use split::{Gap, Split};
pub use table::{MOST_LOT_SIZES, MOST_PIECES, NotOffered, Sizing};
pub use terms::Terms;

pub(crate) use fee::half_up;
pub(crate) use figure::{amount, within};
