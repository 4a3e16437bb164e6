//! Listings that sell at one steady rate: what they alone say of it.

use super::{ListingRecord, figure, gamma};
use crate::error::PricingError;

/// Sales and days of listings at one steady rate, without any assumption beside them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExponentialPace {
    sales: usize,
    days: f64,
}

impl ExponentialPace {
    /// Sales and days as they are, whatever the asks were.
    #[must_use]
    pub fn of(records: &[ListingRecord]) -> Self {
        Self::at_median(records, 0.0)
    }

    /// Sales and days as if every ask had been at the median, the rate falling with this exponent of the ask.
    #[must_use]
    pub fn at_median(records: &[ListingRecord], ask_exponent: f64) -> Self {
        let days = records.iter().map(|record| record.days_at_median(ask_exponent)).sum();
        Self { sales: records.iter().filter(|record| record.sold()).count(), days }
    }

    /// Sales.
    #[must_use]
    pub fn sales(&self) -> usize {
        self.sales
    }

    /// Days that the listings waited, added up.
    #[must_use]
    pub fn days(&self) -> f64 {
        self.days
    }

    /// Sales a day of greatest likelihood; not a number without any day.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.sales as f64 / self.days
    }

    /// Standard error of the rate; none without a sale.
    #[must_use]
    pub fn rate_error(&self) -> Option<f64> {
        (self.sales > 0).then(|| (self.sales as f64).sqrt() / self.days)
    }

    /// Days to a sale on average; none without a sale.
    #[must_use]
    pub fn mean_days(&self) -> Option<f64> {
        (self.sales > 0).then(|| self.days / self.sales as f64)
    }

    /// Rates between which the true one lies with at least this confidence, half of what remains on each side, by
    /// the chi-square law (Garwood 1936, *Fiducial limits for the Poisson distribution*).
    #[must_use]
    pub fn rate_interval(&self, confidence: f64) -> (f64, f64) {
        let outside = 0.5 * (1.0 - confidence);
        let low = if self.sales == 0 { 0.0 } else { gamma::quantile(self.sales as f64, outside) / self.days };
        (low, gamma::quantile(self.sales as f64 + 1.0, 1.0 - outside) / self.days)
    }

    /// Chance of a sale within `days` at the rate of greatest likelihood.
    #[must_use]
    pub fn chance_within(&self, days: f64) -> f64 {
        -(-self.rate() * days.max(0.0)).exp_m1()
    }
}

/// The daily rate that is not exceeded with this confidence when nothing sold in `days`: about `3 / days` at
/// 95 %, the rule of three (Hanley & Lippman-Hand 1983, *If nothing goes wrong, is everything all right?*).
///
/// # Errors
///
/// Days that are not above 0, or a confidence that is not between 0 and 1.
pub fn rate_bound_without_sales(days: f64, confidence: f64) -> Result<f64, PricingError> {
    super::positive("a bound on the rate", "days without a sale", days)?;
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(figure("a bound on the rate", "the confidence", confidence, "between 0 and 1"));
    }
    Ok(-(-confidence).ln_1p() / days)
}
