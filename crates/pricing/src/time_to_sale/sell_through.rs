//! What a market's own counts say: so many sold in a time while so many were on offer.

use super::positive;
use crate::error::PricingError;

/// Sales of a market in a window of time, beside the listings that were on offer.
///
/// Sold over offered alone is no chance: it grows with the window. Over the days it is a rate, and that gives one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SellThrough {
    sold: u32,
    window_days: f64,
    on_offer: f64,
}

impl SellThrough {
    /// `sold` in `window_days` with `on_offer` listings at a time on average.
    ///
    /// # Errors
    ///
    /// A window or a number on offer that is not above 0.
    pub fn new(sold: u32, window_days: f64, on_offer: f64) -> Result<Self, PricingError> {
        positive("sell-through", "days of the window", window_days)?;
        positive("sell-through", "listings on offer", on_offer)?;
        Ok(Self { sold, window_days, on_offer })
    }

    /// Sold in the window.
    #[must_use]
    pub fn sold(&self) -> u32 {
        self.sold
    }

    /// Days on offer of all listings together, within the window.
    #[must_use]
    pub fn listing_days(&self) -> f64 {
        self.window_days * self.on_offer
    }

    /// Sold for each on offer, within the window.
    #[must_use]
    pub fn ratio(&self) -> f64 {
        f64::from(self.sold) / self.on_offer
    }

    /// Sales of one listing a day.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.ratio() / self.window_days
    }

    /// Days to a sale on average; none where nothing sold.
    #[must_use]
    pub fn mean_days(&self) -> Option<f64> {
        (self.sold > 0).then(|| self.rate().recip())
    }

    /// Chance that one listing sells within `days`.
    #[must_use]
    pub fn chance_within(&self, days: f64) -> f64 {
        -(-self.rate() * days.max(0.0)).exp_m1()
    }
}
