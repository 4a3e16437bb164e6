//! How large offers are.

use crate::SellingError;
use crate::figure::Place;
use crate::normal;

/// Widest spread of offers that is reckoned with, as the standard deviation of the log (judgement).
const WIDEST_SIGMA: f64 = 5.0;

/// The distribution of net offers, in currency after fee, postage, materials and labour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OfferSizes {
    /// Many small, few large.
    Exponential {
        /// Mean net offer, above 0.
        mean: f64,
    },
    /// Equally likely anywhere between two ends.
    Uniform {
        /// Lowest net offer; below 0 when a low offer does not even cover its own costs.
        low: f64,
        /// Highest net offer, above 0 and above the lowest.
        high: f64,
    },
    /// Spread by a factor either way.
    Lognormal {
        /// Median net offer, above 0.
        median: f64,
        /// Standard deviation of its logarithm, above 0 and up to 5.
        sigma: f64,
    },
}

impl OfferSizes {
    pub(crate) fn check(&self, place: Place) -> Result<(), SellingError> {
        match *self {
            Self::Exponential { mean } => {
                place.positive_amount("mean", mean)?;
            }
            Self::Uniform { low, high } => {
                place.signed_amount("low", low)?;
                place.positive_amount("high", high)?;
                if low >= high {
                    return Err(place.wrong("low", low, format!("an amount under the highest, {high}")));
                }
            }
            Self::Lognormal { median, sigma } => {
                place.positive_amount("median", median)?;
                place.ratio("sigma", sigma, WIDEST_SIGMA)?;
            }
        }
        Ok(())
    }

    /// The mean net offer.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Exponential { mean } => mean,
            Self::Uniform { low, high } => 0.5 * (low + high),
            Self::Lognormal { median, sigma } => median * (0.5 * sigma * sigma).exp(),
        }
    }

    /// No offer is below this.
    pub(crate) fn lowest(&self) -> f64 {
        match *self {
            Self::Exponential { .. } | Self::Lognormal { .. } => 0.0,
            Self::Uniform { low, .. } => low,
        }
    }

    /// The chance that an offer is above `value`.
    #[must_use]
    pub fn chance_over(&self, value: f64) -> f64 {
        if value <= self.lowest() {
            return 1.0;
        }
        match *self {
            Self::Exponential { mean } => (-value / mean).exp(),
            Self::Uniform { low, high } => ((high - value) / (high - low)).clamp(0.0, 1.0),
            Self::Lognormal { median, sigma } => normal::upper_tail((value / median).ln() / sigma),
        }
    }

    /// E[(X - value)+]: what an offer brings above `value` on average, counting nothing when it is below.
    #[must_use]
    pub fn expected_excess(&self, value: f64) -> f64 {
        if value <= self.lowest() {
            return self.mean() - value;
        }
        match *self {
            Self::Exponential { mean } => mean * (-value / mean).exp(),
            Self::Uniform { low, high } => {
                let room = (high - value).max(0.0);
                0.5 * room * room / (high - low)
            }
            Self::Lognormal { median, sigma } => {
                let d = sigma - (value / median).ln() / sigma;
                // The two terms nearly cancel far out; a rounding below zero would mislead a bisection.
                (self.mean() * normal::cdf(d) - value * normal::cdf(d - sigma)).max(0.0)
            }
        }
    }
}
