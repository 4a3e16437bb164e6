//! Checking the figures that are given.

use std::ops::RangeInclusive;

use crate::SellingError;

/// The largest amount of money that one figure may be, currency (judgement): far above any lot of used
/// household goods, and small enough that exact sums cannot run over.
pub const LARGEST_AMOUNT: f64 = 100_000.0;

/// A figure that lies in its range; `right` says the range in words.
pub(crate) fn within(
    place: impl FnOnce() -> String,
    found: f64,
    range: RangeInclusive<f64>,
    right: &'static str,
) -> Result<f64, SellingError> {
    // A figure that is no number lies in no range.
    if range.contains(&found) {
        Ok(found)
    } else {
        Err(SellingError::Figure { place: place(), found, right })
    }
}

/// An amount of money that is not negative.
pub(crate) fn amount(place: impl FnOnce() -> String, found: f64) -> Result<f64, SellingError> {
    within(place, found, 0.0..=LARGEST_AMOUNT, "an amount from 0 to 100,000")
}

/// A share or a chance.
pub(super) fn share(place: &str, found: f64) -> Result<f64, SellingError> {
    within(|| place.to_owned(), found, 0.0..=1.0, "a share from 0 to 1")
}
