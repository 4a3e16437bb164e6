//! One listing: so many lots of one size, sold one order after another.

use super::course::Expected;
use crate::OrderMoney;

/// One listing and what is expected of it; money in currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Listing {
    /// Pieces in one lot.
    pub size: u32,
    /// Lots in the listing.
    pub lots: u32,
    /// Orders per day.
    pub rate_per_day: f64,
    /// Every order that a parcel carries, by number of lots, fewest first: the arithmetic to show. An
    /// order of one lot is always the first.
    pub orders: Vec<OrderMoney>,
    /// Sums over all orders until the last lot is sold.
    pub expected: Expected,
    /// Making the listing, minutes.
    pub listing_minutes: f64,
    /// Making the listing at the wage.
    pub listing_labour: f64,
    /// Keeping the pieces until they are sold.
    pub holding: f64,
    /// What the listing is worth before the cost of goods: what its orders leave, less listing and keeping.
    pub worth: f64,
    /// Listing and packing, hours.
    pub hours: f64,
    /// Lots expected to be sold by the horizon.
    pub sold_by_horizon: f64,
    /// Chance that all lots are sold by the horizon, from 0 to 1.
    pub all_by_horizon: f64,
}

impl Listing {
    /// Pieces in all its lots.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        self.size.saturating_mul(self.lots)
    }
}
