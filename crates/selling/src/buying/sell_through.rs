//! How much of a purchase must sell to have it back.

use std::fmt;

use crate::SellingError;
use crate::cents::percent;
use crate::figure::Place;

/// The share of lots that must sell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotsToSell {
    /// What was paid over what all lots leave; above 1 when not even all of them are enough. None when a lot
    /// leaves nothing and something was paid.
    pub share: Option<f64>,
    /// The fewest whole lots that are enough; none when not even all are.
    pub lots: Option<u32>,
    /// Of how many.
    pub of: u32,
}

impl fmt::Display for LotsToSell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.lots, self.share) {
            (Some(lots), Some(share)) => {
                write!(f, "{lots} of {} lots must sell to have the money back ({}).", self.of, percent(share))
            }
            (Some(_) | None, _) => write!(f, "Not even all {} lots bring the money back.", self.of),
        }
    }
}

/// C / (k net): the share of `lots` that must sell to have back the `paid` (currency, tax included), when each
/// leaves `net_per_lot` (currency, before goods).
///
/// # Errors
/// When a figure is out of its range.
pub fn sell_through_break_even(paid: f64, lots: u32, net_per_lot: f64) -> Result<LotsToSell, SellingError> {
    let place = Place("sell-through");
    let paid = place.amount("paid", paid)?;
    let of = place.count("lots", lots)?;
    let net = place.signed_amount("net_per_lot", net_per_lot)?;
    if paid == 0.0 {
        return Ok(LotsToSell { share: Some(0.0), lots: Some(0), of });
    }
    if net <= 0.0 {
        return Ok(LotsToSell { share: None, lots: None, of });
    }
    let needed = (paid / net - crate::cents::NOISE).ceil().max(0.0);
    let lots = (needed <= f64::from(of)).then_some(needed as u32);
    Ok(LotsToSell { share: Some(paid / (f64::from(of) * net)), lots, of })
}
