//! Offers spread evenly from 0 to 1: two textbook cases in closed form, for scale and for checks.

use crate::SellingError;
use crate::figure::Place;

/// Most offers left that are reckoned with (judgement).
const MOST_OFFERS: u32 = 1_000_000;

/// What one unit is worth while `expected_offers` uniform offers from 0 to 1 are still expected before the
/// deadline and waiting costs nothing: x / (2 + x), dimensionless. Multiply by the highest offer.
///
/// # Errors
/// When the number is negative or not finite.
pub fn uniform_by_deadline(expected_offers: f64) -> Result<f64, SellingError> {
    let expected =
        Place("uniform offers").ratio_or_zero("expected_offers", expected_offers, f64::from(MOST_OFFERS))?;
    Ok(expected / (2.0 + expected))
}

/// What one unit is worth with 1, 2, ... `offers` uniform offers from 0 to 1 still to come, exactly so many:
/// 1/2, 5/8, ... by V(n+1) = (1 + V(n)^2) / 2, dimensionless (Moser 1956, from memory).
///
/// # Errors
/// When `offers` is above a million.
pub fn offers_left_values(offers: u32) -> Result<Vec<f64>, SellingError> {
    if offers > MOST_OFFERS {
        return Err(Place("uniform offers").wrong("offers", offers, "a count up to a million"));
    }
    let mut value: f64 = 0.0;
    Ok((0..offers)
        .map(|_| {
            value = 0.5 * (1.0 + value * value);
            value
        })
        .collect())
}
