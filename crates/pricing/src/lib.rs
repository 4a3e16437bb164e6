//! What pieces are worth: comparable sales as a person types them, an estimator that says how sure it is,
//! and how long a sale takes.

mod appraisal;
mod assumptions;
mod axis;
mod comp;
mod counted;
mod error;
mod fit;
mod law;
mod likelihood;
mod lot_worth;
mod middle;
mod posterior;
mod predictive;
mod reading;
mod slice;
mod survival;
mod time_to_sale;

pub use appraisal::{Appraisal, Caution, MOST_COMPS, appraise};
pub use assumptions::{
    Assumptions, GradeOffsets, GridSize, HALF_LIFE_DAYS, MEAN_DAYS_AT_MEDIAN, OFFER_FLOOR, Prior,
    UNSTATED_SHIPPING_CENTS,
};
pub use comp::{Bids, Comp, Evidence, Grade, Shipping};
pub use counted::Counted;
pub use error::{NoBestAsk, NoFit, PricingError};
pub use fit::{Fit, Observation, Scale, fit};
pub use law::ErrorLaw;
pub use likelihood::{Bounds, ln_likelihood};
pub use lot_worth::LotWorth;
pub use posterior::{GridReport, Moments};
pub use predictive::WeightedMedian;
pub use reading::{
    CompError, CompFault, CompPart, MOST_ROWS, Numbered, TableFault, TableProblem, TableProblems, read_lines,
    read_table,
};
pub use survival::{EndingShare, Lifetime, SurvivalStep, kaplan_meier, median_survival, turnbull};
pub use time_to_sale::{
    AskExponent, AskOutcome, AskTerms, ExponentialPace, ListingRecord, SaleRate, SellThrough,
    TimeAssumptions, WeibullPace, ask_exponent, chance_of_at_most, rate_bound_without_sales, weibull_pace,
};
