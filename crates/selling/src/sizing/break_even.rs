//! The price from which a lot is worth sending.

use measure::Money;

use super::Terms;
use super::figure::LARGEST_AMOUNT;
use crate::cents::currency;
use crate::{LotSize, SellingError};

/// What must be left of a dearer price, as a share, for a break-even to be told (judgement).
const LEAST_LEFT: f64 = 0.001;
/// Below this an order leaves nothing, currency.
const NOTHING: f64 = 1e-9;
/// Cents by which the roundings of tax, fee and refund, half a cent each, can move the difference of what two
/// prices leave.
const ROUNDINGS: f64 = 3.0;

impl LotSize {
    /// The least price delivered of one lot from which every price leaves more than nothing, whatever the
    /// lot's own price is; listing and keeping are not counted.
    ///
    /// None when fees, tax and damage take (nearly) all of a dearer price, or it would pass
    /// [`LARGEST_AMOUNT`].
    ///
    /// # Errors
    /// When a figure is out of range or there is no parcel for one lot.
    pub fn break_even(&self, terms: &Terms) -> Result<Option<Money>, SellingError> {
        terms.check()?;
        self.check()?;
        let single = self.single()?;
        let net = |cents: i64| self.order_money(1, Money::from_cents(cents), single, terms).net;
        let fees = &terms.fees;
        let taken = fees.share_of_item + fees.share_of_tax * terms.tax_rate;
        let refunded = terms.chance_of_damage * (1.0 - fees.share_given_back * fees.share_of_item);
        let left = 1.0 - taken - refunded;
        if left < LEAST_LEFT {
            return Ok(None);
        }
        // Without roundings this is the price; they move it by a few cents, so walk down from above.
        let above = (-100.0 * net(0) + ROUNDINGS) / left;
        let mut item = (above.ceil() as i64).max(1);
        while item > 1 && net(item - 1) > NOTHING {
            item -= 1;
        }
        let delivered = Money::from_cents(item) + single.shipping_charged;
        Ok((net(item) > NOTHING && currency(delivered) <= LARGEST_AMOUNT).then_some(delivered))
    }
}
