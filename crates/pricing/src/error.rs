//! What this room refuses.

/// Everything this room refuses, each with what was wrong and what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PricingError {
    /// No comparable sale at all.
    #[error(
        "there is no comp to go by; right would be at least one: a sale, an accepted offer, an unsold \
         listing or an auction of like pieces"
    )]
    NoComps,
    /// Comps that all weigh nothing.
    #[error(
        "all {comps} comps weigh nothing, being too old or only just listed; right would be at least one \
         sale from the last few years, or a listing that has been unsold for some days"
    )]
    NothingCounts {
        /// How many comps there are.
        comps: usize,
    },
    /// More comps than are taken.
    #[error("{found} comps are too many; right would be the {most} most recent or most alike at most")]
    TooManyComps {
        /// How many came.
        found: usize,
        /// How many are taken.
        most: usize,
    },
    /// A comp holds something that can't be.
    #[error("comp {number}: {what} can't be {found}; right would be {right}")]
    Comp {
        /// Its place in the list, from 1.
        number: usize,
        /// The part of the comp.
        what: &'static str,
        /// What was found there.
        found: String,
        /// What would be right.
        right: String,
    },
    /// An assumption holds something that can't be.
    #[error("the assumption \"{what}\" can't be {found}; right would be {right}")]
    Assumption {
        /// Which assumption.
        what: &'static str,
        /// What was found there.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A question about a lot, a chance or a drawing that has no answer.
    #[error("{what} can't be {found}; right would be {right}")]
    Question {
        /// What was asked about ("pieces in the lot").
        what: &'static str,
        /// What was asked.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A figure that can't be used.
    #[error("{place}: {what} can't be {found}; right would be {right}")]
    Figure {
        /// Where it stands ("observation 3").
        place: String,
        /// Which figure.
        what: &'static str,
        /// What was found.
        found: f64,
        /// What would be right.
        right: &'static str,
    },
    /// The observations have no best fit.
    #[error(transparent)]
    NoFit(#[from] NoFit),
    /// An answer that needs more sales than there are.
    #[error("{what} needs at least {needed} sales, and there are {sales}")]
    TooFewSales {
        /// What was asked for.
        what: &'static str,
        /// Sales there are.
        sales: usize,
        /// Sales needed.
        needed: usize,
    },
    /// No ask is the best: a higher one is always worth more.
    #[error("no ask is the best: {0}")]
    NoBestAsk(#[from] NoBestAsk),
}

/// Why observations have no fit by maximum likelihood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoFit {
    /// No observation with any weight.
    #[error("nothing was observed; right would be at least one observation with a weight above 0")]
    NothingObserved,
    /// All are open towards the same side.
    #[error("every observation is open towards the same side; right would be at least one closed towards it")]
    OneSided,
    /// The covariates can't be told apart.
    #[error("the covariates can't be told apart; right would be observations that differ in each of them")]
    Collinear,
    /// The observations are met without any scatter.
    #[error("the observations show no scatter; right would be more observations or a fixed scale")]
    NoScatter,
    /// The likelihood grows without end.
    #[error("the likelihood has no highest point; right would be more observations or a fixed scale")]
    Unbounded,
}

/// Why a higher ask is always worth more.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoBestAsk {
    /// The rate of sales falls too slowly with the ask.
    #[error("sales fall with the power {0} of the ask; right would be more than 1")]
    SlowFall(f64),
    /// Waiting costs nothing.
    #[error("waiting costs nothing; right would be a holding cost or a discount above 0")]
    FreeWait,
}
