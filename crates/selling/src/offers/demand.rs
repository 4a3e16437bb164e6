//! PostedDemand that falls with the price.

use crate::SellingError;
use crate::figure::Place;

/// Steepest fall of demand that is reckoned with, per unit of currency (judgement).
const STEEPEST: f64 = 1e6;
/// Steepest elasticity at the median that is reckoned with (judgement; 2 to 5 is plausible).
const STEEPEST_ELASTICITY: f64 = 100.0;

/// Sales a day at price p: a exp(-alpha p).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PostedDemand {
    /// Kept as a logarithm: moving the price axis multiplies a by numbers that no double can hold.
    ln_a: f64,
    alpha: f64,
}

impl PostedDemand {
    /// From `a_per_day`, sales a day at a price of nothing (above 0), and `alpha`, the fall of its logarithm
    /// per unit of currency (above 0).
    ///
    /// # Errors
    /// When either is zero, negative, not finite or absurdly large.
    pub fn new(a_per_day: f64, alpha: f64) -> Result<Self, SellingError> {
        let place = Place("demand");
        let a_per_day = place.rate("a_per_day", a_per_day)?;
        let alpha = place.ratio("alpha", alpha, STEEPEST)?;
        // 1/alpha is a price: the mark-up on what a lot is worth.
        place.positive_amount("1 / alpha", 1.0 / alpha)?;
        Ok(Self { ln_a: a_per_day.ln(), alpha })
    }

    /// Fitted at the market median: `rate_at_median` sales a day at `median`, and `elasticity` (kappa), the
    /// fall of the log rate per unit of log price there; alpha = kappa / M, a = rate e^kappa.
    ///
    /// Exact at the median only; far above it this demand falls faster than a power of the price.
    ///
    /// # Errors
    /// When a figure is zero, negative, not finite or absurdly large.
    pub fn fit(median: f64, rate_at_median: f64, elasticity: f64) -> Result<Self, SellingError> {
        let place = Place("demand");
        let median = place.positive_amount("median", median)?;
        let rate = place.rate("rate_at_median", rate_at_median)?;
        let kappa = place.ratio("elasticity", elasticity, STEEPEST_ELASTICITY)?;
        let alpha = place.ratio("alpha", kappa / median, STEEPEST)?;
        place.positive_amount("1 / alpha", 1.0 / alpha)?;
        Ok(Self { ln_a: rate.ln() + kappa, alpha })
    }

    /// The same demand told in what remains: net = price (1 - `fee_share`) - `costs`.
    ///
    /// `costs` may be below 0, as when shipping charged on top of the price exceeds the postage.
    ///
    /// # Errors
    /// When the share is not from 0 to under 1, or the costs are past ten million either way.
    pub fn after_costs(&self, fee_share: f64, costs: f64) -> Result<Self, SellingError> {
        let place = Place("demand");
        let kept = 1.0 - place.share_below_one("fee_share", fee_share)?;
        let costs = place.signed_amount("costs", costs)?;
        let alpha = place.ratio("alpha after the fee", self.alpha / kept, f64::MAX)?;
        Ok(Self { ln_a: self.ln_a - alpha * costs, alpha })
    }

    /// The same demand with prices counted from `start` up, in currency.
    pub(crate) fn counted_from(&self, start: f64) -> Self {
        Self { ln_a: self.ln_a - self.alpha * start, alpha: self.alpha }
    }

    /// Sales a day at a price, in currency; infinite when no double can hold it.
    #[must_use]
    pub fn rate(&self, price: f64) -> f64 {
        (self.ln_a - self.alpha * price).exp()
    }

    /// Sales a day at a price of nothing.
    #[must_use]
    pub fn a_per_day(&self) -> f64 {
        self.ln_a.exp()
    }

    /// The fall of the log rate per unit of currency.
    #[must_use]
    pub fn alpha(&self) -> f64 {
        self.alpha
    }

    /// ln(a t / e), the log of the most that can be sold in `days` when only money counts.
    pub(crate) fn ln_reach(&self, days: f64) -> f64 {
        self.ln_a + days.ln() - 1.0
    }
}
