//! The terms on which lots are sold.

use super::FeeRule;
use super::figure::{amount, share, within};
use crate::SellingError;

/// Longest listing or packing time that is read, minutes (judgement).
pub(crate) const LONGEST_MINUTES: f64 = 10_000.0;

/// The terms on which every lot is sold: fees, tax, the seller's time, damage and keeping.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// What the venue takes.
    pub fees: FeeRule,
    /// Sales tax that the buyer pays on item and shipping, from 0 to 1. It passes through, but some
    /// venues take their share of it.
    pub tax_rate: f64,
    /// What an hour of the seller's time is worth to them, currency.
    pub wage: f64,
    /// To make one listing, minutes; spent once however many lots it holds.
    pub listing_minutes: f64,
    /// Chance that an order arrives damaged and is refunded whole, from 0 to 1.
    pub chance_of_damage: f64,
    /// What keeping one unsold piece costs, currency per day.
    pub holding: f64,
}

impl Terms {
    pub(crate) fn labour(&self, minutes: f64) -> f64 {
        self.wage * minutes / 60.0
    }

    pub(crate) fn check(&self) -> Result<(), SellingError> {
        self.fees.check()?;
        share("tax rate", self.tax_rate)?;
        amount(|| "wage per hour".to_owned(), self.wage)?;
        within(
            || "minutes to make a listing".to_owned(),
            self.listing_minutes,
            0.0..=LONGEST_MINUTES,
            "a number of minutes from 0 to 10,000",
        )?;
        share("chance of damage", self.chance_of_damage)?;
        amount(|| "cost of keeping a piece for a day".to_owned(), self.holding)?;
        Ok(())
    }
}
