//! Two finer questions that few listings can answer: whether the rate changes with the time waited, and how
//! steeply it falls with the ask.

use super::{ListingRecord, TimeAssumptions, figure};
use crate::error::PricingError;
use crate::fit::{Fit, Observation, Scale, fit};
use crate::law::ErrorLaw;
use crate::likelihood::Bounds;

/// Sales from which a Weibull law is fitted; with fewer its shape is guesswork (judgement).
const LEAST_SALES_FOR_WEIBULL: usize = 8;

/// Sales from which the exponent of the ask is sought at all (judgement).
const LEAST_SALES_FOR_EXPONENT: usize = 3;

/// A Weibull law of the days to a sale: `F(t) = 1 - exp(-(t / scale)^shape)`.
#[derive(Debug, Clone, PartialEq)]
pub struct WeibullPace {
    fit: Fit<0>,
}

impl WeibullPace {
    /// Below 1 a listing that has waited sells more slowly than a new one, above 1 more quickly.
    #[must_use]
    pub fn shape(&self) -> f64 {
        self.fit.scale.recip()
    }

    /// Standard error of the shape.
    #[must_use]
    pub fn shape_error(&self) -> f64 {
        self.shape() * self.fit.ln_scale_error
    }

    /// Days within which 63.2 % sell.
    #[must_use]
    pub fn scale_days(&self) -> f64 {
        self.fit.intercept.exp()
    }

    /// Days within which half sell.
    #[must_use]
    pub fn median_days(&self) -> f64 {
        self.fit.quantile(0.5, &[]).exp()
    }

    /// Chance of a sale within `days`.
    #[must_use]
    pub fn chance_within(&self, days: f64) -> f64 {
        self.fit.chance_below(days.max(0.0).ln(), &[])
    }
}

/// The Weibull law that fits the days to a sale best, whatever the asks were.
///
/// # Errors
///
/// Fewer than 8 sales, a sale at day 0, or days that have no best fit.
pub fn weibull_pace(records: &[ListingRecord]) -> Result<WeibullPace, PricingError> {
    enough("a Weibull law of the days to a sale", records, LEAST_SALES_FOR_WEIBULL)?;
    let seen = ln_days(records, |_| [])?;
    fit(ErrorLaw::SmallestExtreme, &seen, Scale::Free).map(|fit| WeibullPace { fit })
}

/// What a set of listings says of how steeply the rate of sales falls with the ask.
///
/// This is a diagnosis: with few listings `seen` is wild, so that only `shrunk` may ever stand in for the
/// assumption.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskExponent {
    /// The exponent that fits the listings best.
    pub seen: f64,
    /// Its standard error.
    pub seen_error: f64,
    /// Sales a day at the median ask with that exponent.
    pub rate_at_median: f64,
    /// Standard error of the logarithm of that rate.
    pub ln_rate_error: f64,
    /// The assumed exponent moved towards the seen one as far as the two errors warrant.
    pub shrunk: f64,
    /// Standard deviation of the shrunk one.
    pub shrunk_error: f64,
}

/// The exponent of the ask by Poisson regression: the sales of a listing have the expectation
/// `days * rate * ratio^-exponent`, which is the likelihood of exponential times.
///
/// # Errors
///
/// Fewer than 3 sales, a sale at day 0, asks that are all alike, or listings that have no best fit.
pub fn ask_exponent(
    records: &[ListingRecord],
    assumptions: &TimeAssumptions,
) -> Result<AskExponent, PricingError> {
    assumptions.check()?;
    enough("the exponent of the ask", records, LEAST_SALES_FOR_EXPONENT)?;
    let seen = ln_days(records, |record| [record.ask_ratio().ln()])?;
    let fit = fit(ErrorLaw::SmallestExtreme, &seen, Scale::Fixed(1.0))?;
    let ([seen], [seen_error]) = (fit.slopes, fit.slope_errors);
    let known = assumptions.ask_exponent_deviation.powi(-2);
    let told = seen_error.powi(-2);
    Ok(AskExponent {
        seen,
        seen_error,
        rate_at_median: (-fit.intercept).exp(),
        ln_rate_error: fit.intercept_error,
        shrunk: (known * assumptions.ask_exponent + told * seen) / (known + told),
        shrunk_error: (known + told).sqrt().recip(),
    })
}

fn enough(what: &'static str, records: &[ListingRecord], needed: usize) -> Result<(), PricingError> {
    let sales = records.iter().filter(|record| record.sold()).count();
    if sales < needed { Err(PricingError::TooFewSales { what, sales, needed }) } else { Ok(()) }
}

/// Logarithms of the days. A listing that has not waited yet says nothing and is left out.
fn ln_days<const K: usize>(
    records: &[ListingRecord],
    covariates: impl Fn(&ListingRecord) -> [f64; K],
) -> Result<Vec<Observation<K>>, PricingError> {
    let mut seen = Vec::with_capacity(records.len());
    for record in records.iter().filter(|record| record.sold() || record.days() > 0.0) {
        if record.days() == 0.0 {
            return Err(figure(
                "a sold listing",
                "days to the sale",
                0.0,
                "above 0, half a day for the same day",
            ));
        }
        let ln_days = record.days().ln();
        let bounds = if record.sold() { Bounds::Exact(ln_days) } else { Bounds::Above(ln_days) };
        seen.push(Observation { bounds, covariates: covariates(record), weight: 1.0 });
    }
    Ok(seen)
}
