//! How long until a listing sells, and what the ask does to it.
//!
//! A listing at ask `A` of a thing with median price `M` sells at the daily rate `lambda * (A / M)^-kappa`. What
//! is known of `lambda` is a gamma law: two numbers, sales seen and days waited, to which each listing adds its
//! own. It gives an answer with no sale at all, and every chance in closed form.

mod best_ask;
mod exponential;
mod gamma;
mod poisson;
mod regression;
mod sell_through;

pub use best_ask::{AskOutcome, AskTerms};
pub use exponential::{ExponentialPace, rate_bound_without_sales};
pub use poisson::chance_of_at_most;
pub use regression::{AskExponent, WeibullPace, ask_exponent, weibull_pace};
pub use sell_through::SellThrough;

use crate::error::PricingError;

/// A listing that was offered: how long, whether it sold, and how high its ask was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ListingRecord {
    days: f64,
    sold: bool,
    ask_ratio: f64,
}

impl ListingRecord {
    /// A record of a listing.
    ///
    /// `days` is the time to the sale, or so far where it has not sold; `ask_ratio` the ask over the median price
    /// of the time, both delivered.
    ///
    /// # Errors
    ///
    /// Days below 0, or a ratio that is not above 0.
    pub fn new(days: f64, sold: bool, ask_ratio: f64) -> Result<Self, PricingError> {
        if !(days >= 0.0 && days.is_finite()) {
            return Err(figure("a listing", "days on offer", days, "0 or more"));
        }
        positive("a listing", "the ask over the median", ask_ratio)?;
        Ok(Self { days, sold, ask_ratio })
    }

    /// Days to the sale, or so far.
    #[must_use]
    pub fn days(self) -> f64 {
        self.days
    }

    /// Whether it sold.
    #[must_use]
    pub fn sold(self) -> bool {
        self.sold
    }

    /// Ask over median price.
    #[must_use]
    pub fn ask_ratio(self) -> f64 {
        self.ask_ratio
    }

    /// The days, as if the ask had been at the median.
    fn days_at_median(self, ask_exponent: f64) -> f64 {
        self.days * self.ask_ratio.powf(-ask_exponent)
    }
}

/// What is assumed of the time to a sale before any listing is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeAssumptions {
    /// Sales that the assumption is worth, above 0.
    pub prior_sales: f64,
    /// Days at the median ask in which those sales are assumed, above 0.
    pub prior_days: f64,
    /// How steeply the rate of sales falls with the ask: `rate ~ (ask / median)^-exponent`; 0 or more.
    pub ask_exponent: f64,
    /// How well that is known: its standard deviation, above 0. Only the diagnosis of the exponent uses it.
    pub ask_exponent_deviation: f64,
}

impl TimeAssumptions {
    /// One sale in 60 days at the median ask; exponent 3, of a plausible 2 to 5 (judgement).
    pub const USUAL: Self =
        Self { prior_sales: 1.0, prior_days: 60.0, ask_exponent: 3.0, ask_exponent_deviation: 1.0 };

    fn check(&self) -> Result<(), PricingError> {
        positive("the time assumptions", "prior sales", self.prior_sales)?;
        positive("the time assumptions", "prior days", self.prior_days)?;
        positive("the time assumptions", "the deviation of the ask exponent", self.ask_exponent_deviation)?;
        if !(self.ask_exponent >= 0.0 && self.ask_exponent.is_finite()) {
            return Err(figure("the time assumptions", "the ask exponent", self.ask_exponent, "0 or more"));
        }
        Ok(())
    }
}

impl Default for TimeAssumptions {
    fn default() -> Self {
        Self::USUAL
    }
}

/// What is known of the daily rate of sales at an ask equal to the median: a gamma law.
///
/// ```
/// use pricing::{ListingRecord, SaleRate, TimeAssumptions};
///
/// // Three listings, none sold: the answer is cautious, but there is one.
/// let seen = [(20.0, 1.0), (45.0, 1.1), (80.0, 1.4)].map(|(days, ratio)| ListingRecord::new(days, false, ratio));
/// let seen = seen.into_iter().collect::<Result<Vec<_>, _>>()?;
/// let rate = SaleRate::learnt(&seen, &TimeAssumptions::USUAL)?;
/// assert!((rate.chance_within_at(30.0, 1.0) - 0.1734468).abs() < 1e-6);
/// # Ok::<(), pricing::PricingError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaleRate {
    sales: f64,
    days: f64,
    ask_exponent: f64,
}

impl SaleRate {
    /// What the assumptions and these listings say together.
    ///
    /// # Errors
    ///
    /// Assumptions that can't be used, or so many days that they have no sum.
    pub fn learnt(records: &[ListingRecord], assumptions: &TimeAssumptions) -> Result<Self, PricingError> {
        assumptions.check()?;
        let sold = records.iter().filter(|record| record.sold).count();
        let exposed: f64 = records.iter().map(|record| record.days_at_median(assumptions.ask_exponent)).sum();
        Self::new(
            assumptions.prior_sales + sold as f64,
            assumptions.prior_days + exposed,
            assumptions.ask_exponent,
        )
    }

    /// A rate known as well as `sales` in `days` at the median ask would tell it.
    ///
    /// # Errors
    ///
    /// Sales or days that are not above 0, or an exponent below 0.
    pub fn new(sales: f64, days: f64, ask_exponent: f64) -> Result<Self, PricingError> {
        positive("the rate of sales", "sales", sales)?;
        positive("the rate of sales", "days", days)?;
        if !(ask_exponent >= 0.0 && ask_exponent.is_finite()) {
            return Err(figure("the rate of sales", "the ask exponent", ask_exponent, "0 or more"));
        }
        Ok(Self { sales, days, ask_exponent })
    }

    /// Sales behind it, assumed and seen: the shape of the gamma law.
    #[must_use]
    pub fn sales(&self) -> f64 {
        self.sales
    }

    /// Days at the median ask behind it, assumed and seen: the rate parameter of the gamma law.
    #[must_use]
    pub fn days(&self) -> f64 {
        self.days
    }

    /// How steeply the rate falls with the ask.
    #[must_use]
    pub fn ask_exponent(&self) -> f64 {
        self.ask_exponent
    }

    /// Expected sales a day at an ask equal to the median.
    #[must_use]
    pub fn mean_rate(&self) -> f64 {
        self.sales / self.days
    }

    /// The daily rate at the median ask that is not exceeded with chance `p`: 0 and infinite at 0 and 1, and not
    /// a number outside of them.
    #[must_use]
    pub fn rate_quantile(&self, p: f64) -> f64 {
        gamma::quantile(self.sales, p) / self.days
    }

    /// Chance of a sale within `days` at an ask that is `ask_ratio` times the median.
    ///
    /// Averaged over what is not known of the rate, this is a Lomax law: `1 - (b / (b + t r^-kappa))^a`. Days or a
    /// ratio below 0 count as 0.
    #[must_use]
    pub fn chance_within_at(&self, days: f64, ask_ratio: f64) -> f64 {
        if days.is_nan() || ask_ratio.is_nan() {
            return f64::NAN;
        }
        if days <= 0.0 {
            return 0.0;
        }
        let exposed = days * ask_ratio.max(0.0).powf(-self.ask_exponent);
        -(-self.sales * (exposed / self.days).ln_1p()).exp_m1()
    }

    /// Chance of a sale within `days` at an ask, averaged over what is not known of the median price.
    ///
    /// `medians` gives possible medians with their weights, delivered and in the same unit as `ask`; the weights
    /// need not add up to 1. Without any weight it is not a number.
    pub fn chance_within(&self, days: f64, ask: f64, medians: impl IntoIterator<Item = (f64, f64)>) -> f64 {
        let (mut sum, mut total) = (0.0, 0.0);
        for (weight, median) in medians {
            sum += weight * self.chance_within_at(days, ask / median);
            total += weight;
        }
        sum / total
    }

    /// Days within which it sells with an even chance, at an ask that is `ask_ratio` times the median.
    #[must_use]
    pub fn median_days(&self, ask_ratio: f64) -> f64 {
        self.days * (std::f64::consts::LN_2 / self.sales).exp_m1() * self.slower(ask_ratio)
    }

    /// Expected days to the sale; none with one sale or less behind the rate, as the average then has no end.
    #[must_use]
    pub fn mean_days(&self, ask_ratio: f64) -> Option<f64> {
        (self.sales > 1.0).then(|| self.days / (self.sales - 1.0) * self.slower(ask_ratio))
    }

    /// How many times longer an ask takes than one at the median.
    fn slower(&self, ask_ratio: f64) -> f64 {
        ask_ratio.max(0.0).powf(self.ask_exponent)
    }
}

fn figure(place: &str, what: &'static str, found: f64, right: &'static str) -> PricingError {
    PricingError::Figure { place: place.to_owned(), what, found, right }
}

fn positive(place: &str, what: &'static str, found: f64) -> Result<(), PricingError> {
    if found > 0.0 && found.is_finite() {
        Ok(())
    } else {
        Err(figure(place, what, found, "a number above 0"))
    }
}
