//! What the venue takes of a sale.

use measure::Money;

use super::figure::{amount, share};
use crate::SellingError;

/// A sum that is a tie in decimals may fall this much short of it in binary, cents.
const TIE: f64 = 1e-6;

/// Cents computed from a rate, a half rounded up.
pub(crate) fn half_up(cents: f64) -> Money {
    Money::from_cents_rounded((cents + 0.5 + TIE).floor())
}

fn cents(money: Money) -> f64 {
    money.cents() as f64
}

/// The rule by which a venue takes its fee of an order: shares of what the buyer pays, and a fixed sum.
///
/// ```
/// use measure::Money;
/// use selling::FeeRule;
///
/// let rule = FeeRule {
///     share_of_item: 0.129,
///     share_of_shipping: 0.129,
///     share_of_tax: 0.129,
///     fixed: Money::from_cents(30),
///     share_given_back: 1.0,
/// };
/// let fee = rule.fee(Money::from_cents(5608), Money::ZERO, Money::from_cents(381));
/// assert_eq!(fee, Money::from_cents(803));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeeRule {
    /// Share of the price of the goods, from 0 to 1.
    pub share_of_item: f64,
    /// Share of what is charged for shipping, from 0 to 1.
    pub share_of_shipping: f64,
    /// Share of the sales tax that the buyer pays, from 0 to 1; 0 where the venue charges none on tax.
    pub share_of_tax: f64,
    /// Taken per order, whatever its size.
    pub fixed: Money,
    /// How much of the shares of item and shipping is given back when the buyer is refunded, from 0 to 1.
    /// The share of tax and the fixed sum never are.
    pub share_given_back: f64,
}

impl FeeRule {
    /// The fee of one order, a half cent rounded up.
    #[must_use]
    pub fn fee(&self, item: Money, shipping: Money, tax: Money) -> Money {
        half_up(self.shares(item, shipping) + self.share_of_tax * cents(tax) + cents(self.fixed))
    }

    /// What of the fee comes back when item and shipping are refunded, a half cent rounded up.
    #[must_use]
    pub fn given_back(&self, item: Money, shipping: Money) -> Money {
        half_up(self.share_given_back * self.shares(item, shipping))
    }

    fn shares(&self, item: Money, shipping: Money) -> f64 {
        self.share_of_item * cents(item) + self.share_of_shipping * cents(shipping)
    }

    pub(super) fn check(&self) -> Result<(), SellingError> {
        share("fee, share of the item", self.share_of_item)?;
        share("fee, share of the shipping", self.share_of_shipping)?;
        share("fee, share of the tax", self.share_of_tax)?;
        share("fee, share given back on a refund", self.share_given_back)?;
        amount(|| "fee, fixed per order".to_owned(), cents(self.fixed) / 100.0)?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_cent_is_rounded_up_though_binary_holds_it_short() {
        assert_eq!(half_up(1.005 * 100.0), Money::from_cents(101), "1.005 is 1.00499... in binary");
        assert_eq!(half_up(250.4), Money::from_cents(250));
        assert_eq!(half_up(0.0), Money::ZERO);
    }

    #[test]
    fn only_the_shares_of_item_and_shipping_are_given_back() {
        let rule = FeeRule {
            share_of_item: 0.1,
            share_of_shipping: 0.05,
            share_of_tax: 0.1,
            fixed: Money::from_cents(30),
            share_given_back: 0.5,
        };
        let (item, shipping) = (Money::from_cents(2000), Money::from_cents(800));
        assert_eq!(rule.fee(item, shipping, Money::from_cents(100)), Money::from_cents(200 + 40 + 10 + 30));
        assert_eq!(rule.given_back(item, shipping), Money::from_cents(120));
    }
}
