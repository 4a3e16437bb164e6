//! Decisions in money from figures it is given: how to split a pile into lots, what to answer to an offer,
//! what to pay at the shop, whether to insure. It knows neither parcels nor rate cards.

mod buying;
mod cents;
mod error;
mod figure;
mod insurance;
mod lot;
mod normal;
mod offers;
mod packing_level;
mod sizing;

pub use buying::{
    AtAsking, BestQuantity, BuyCase, BuyDecision, BuyTargets, Delivered, Limit, LossRisk, LotKind,
    LotsToSell, NewsvendorCase, NotEvenFree, PriceCase, PriceLimits, Verdict, best_quantity, buy_decision,
    loss_risk, price_limits, sell_through_break_even,
};
pub use error::SellingError;
pub use insurance::{
    BreakagePrior, CarefulPremium, Cover, InsuranceCase, InsuranceDecision, LossCase, LossIfDestroyed,
    Replacement, careful_premium, estimate_breakage, insure, loss_if_destroyed,
};
pub use lot::{LotSize, OrderCost, OrderMoney};
pub use offers::{
    Answer, CounterCase, CounterChoice, CounterPlan, CounterPrice, CounterRounding, DeadlineWorth, NetOf,
    OfferCase, OfferLimit, OfferSizes, PostedDemand, PostedWorth, Reply, Reservation, STAY_PROBABILITY,
    Search, Solved, Waiting, WaitingModel, WaitingWorth, Weighing, answer_offer, offers_left_values,
    plan_counter, posted_worth, reservation, uniform_by_deadline, worth_by_deadline,
};
pub use packing_level::{PackingChoice, PackingLevel, choose_packing_level};
pub use sizing::{
    BarePool, ByProfit, Choice, Demand, EqualLots, Expected, FeeRule, Gap, LARGEST_AMOUNT, Ledger,
    LedgerEntry, LedgerLine, Listing, MOST_KEPT_SIZES, MOST_LOT_SIZES, MOST_PIECES, NotOffered, OrderMix,
    PooledPlan, Sizing, Spare, SpareWorth, Split, Terms, best_pools,
};
