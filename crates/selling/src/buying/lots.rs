//! Lots that are planned from a purchase.

use std::fmt;

use crate::SellingError;
use crate::figure::Place;
use crate::normal;

/// Widest error of a price that is reckoned with, as the standard deviation of the log (judgement).
const WIDEST_SIGMA: f64 = 5.0;

/// What a lot may sell for, delivered: item price and shipping charged.
#[derive(Clone, Copy)]
pub enum Delivered<'a> {
    /// A median with an error by a factor either way.
    Lognormal {
        /// Median in currency, above 0.
        median: f64,
        /// Predictive standard deviation of the log price, 0 to 5.
        sigma: f64,
    },
    /// Predictive quantiles: from a share above 0 and under 1 to a price in currency that never falls with it.
    Quantiles {
        /// The quantile function.
        of: &'a dyn Fn(f64) -> f64,
        /// The mean price, in currency, from 0.
        mean: f64,
    },
}

impl fmt::Debug for Delivered<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Lognormal { median, sigma } => {
                f.debug_struct("Lognormal").field("median", median).field("sigma", sigma).finish()
            }
            Self::Quantiles { mean, of: _ } => {
                f.debug_struct("Quantiles").field("mean", mean).finish_non_exhaustive()
            }
        }
    }
}

/// Lots of one size from one kind of piece.
#[derive(Debug, Clone, Copy)]
pub struct LotKind<'a> {
    /// What to call them in sentences ("4 goblets").
    pub name: &'a str,
    /// How many such lots.
    pub lots: u32,
    /// What one may sell for.
    pub delivered: Delivered<'a>,
    /// A guarded price worked out elsewhere, in currency, such as the pricing room's p40 of the median; left
    /// out, it is the quantile of `delivered`.
    pub guarded_price: Option<f64>,
    /// Share of the delivered price that fees take, from 0 to under 1.
    pub fee_share: f64,
    /// Postage, materials, fixed fees and expected damage of one lot, in currency, from 0. Not one's own work.
    pub cost_per_lot: f64,
    /// The chance that a lot sells by the horizon.
    pub chance_sold: f64,
    /// What an unsold lot is worth at the horizon, in currency, from 0.
    pub unsold_worth: f64,
}

impl<'a> LotKind<'a> {
    /// Lots that all sell, of a price with a log-normal error.
    #[must_use]
    pub fn new(name: &'a str, lots: u32, median: f64, sigma: f64, fee_share: f64, cost_per_lot: f64) -> Self {
        Self {
            name,
            lots,
            delivered: Delivered::Lognormal { median, sigma },
            guarded_price: None,
            fee_share,
            cost_per_lot,
            chance_sold: 1.0,
            unsold_worth: 0.0,
        }
    }

    pub(crate) fn check(&self) -> Result<(), SellingError> {
        let place = format!("lots of {}", self.name);
        let place = Place(&place);
        place.count("lots", self.lots)?;
        match self.delivered {
            Delivered::Lognormal { median, sigma } => {
                place.positive_amount("median", median)?;
                place.ratio_or_zero("sigma", sigma, WIDEST_SIGMA)?;
            }
            Delivered::Quantiles { mean, of: _ } => {
                place.amount("mean", mean)?;
            }
        }
        if let Some(price) = self.guarded_price {
            place.amount("guarded_price", price)?;
        }
        place.share_below_one("fee_share", self.fee_share)?;
        place.amount("cost_per_lot", self.cost_per_lot)?;
        place.share("chance_sold", self.chance_sold)?;
        place.amount("unsold_worth", self.unsold_worth)?;
        Ok(())
    }

    /// The delivered price when the error of prices is `z` standard deviations.
    pub(crate) fn price_at(&self, z: f64) -> Result<f64, SellingError> {
        match self.delivered {
            Delivered::Lognormal { median, sigma } => Ok(median * (sigma * z).exp()),
            Delivered::Quantiles { of, mean: _ } => {
                let price = of(normal::cdf(z));
                let place = format!("lots of {}", self.name);
                Place(&place).amount("price by its quantiles", price)
            }
        }
    }

    /// The mean delivered price.
    pub(crate) fn mean_price(&self) -> f64 {
        match self.delivered {
            Delivered::Lognormal { median, sigma } => median * (0.5 * sigma * sigma).exp(),
            Delivered::Quantiles { mean, of: _ } => mean,
        }
    }

    /// The delivered price that is counted on at the guard's percentile.
    pub(crate) fn guarded(&self, percentile: f64) -> Result<f64, SellingError> {
        match self.guarded_price {
            Some(price) => Ok(price),
            None => self.price_at(normal::quantile(percentile)),
        }
    }

    /// What all lots of the kind leave, before goods and own work, when one sells at `price`.
    pub(crate) fn leaves(&self, price: f64) -> f64 {
        let sold = price * (1.0 - self.fee_share) - self.cost_per_lot;
        f64::from(self.lots) * (self.chance_sold * sold + (1.0 - self.chance_sold) * self.unsold_worth)
    }

    /// The delivered price at which all lots of the kind leave just `paid`: for lots that all sell,
    /// (paid / lots + cost) / (1 - fee). None when no lot sells or no price is low enough to lose.
    pub(crate) fn break_even_price(&self, paid: f64) -> Option<f64> {
        let unsold = (1.0 - self.chance_sold) * self.unsold_worth;
        let sold = (paid / f64::from(self.lots) - unsold) / self.chance_sold;
        let price = (sold + self.cost_per_lot) / (1.0 - self.fee_share);
        (self.chance_sold > 0.0 && price >= 0.0).then_some(price)
    }
}
