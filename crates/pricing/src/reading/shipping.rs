//! What the buyer pays for shipping beside the price.

use measure::Money;

use super::comp_error::{CompError, CompPart};
use super::scan::Scan;
use super::words;
use crate::Shipping;

/// What shipping looks like.
pub(super) const SHIPPING: &str = "17.50 + 8.25, 17.50 + 7-12, 17.50 + ? or 17.50 free ship";

impl Scan<'_> {
    /// Reads what stands behind `+` or `shipping`: an amount, a range, `?`, `unknown`, `not stated`, `free`.
    ///
    /// `+ 0` is free shipping: the buyer pays the price and nothing more.
    pub(super) fn shipping(&mut self) -> Result<Shipping, CompError> {
        if self.take_sign('?') || self.take_word(&["unknown"]) {
            return Ok(Shipping::Unknown);
        }
        if self.is_word(0, &["not"]) && self.is_word(1, &["stated"]) {
            self.advance(2);
            return Ok(Shipping::Unknown);
        }
        if self.take_word(&["free"]) || self.take_word(words::INCLUDING) {
            return Ok(Shipping::Free);
        }
        let from = self.place();
        let low = self.shipping_amount()?;
        let low_is_free = if low == Money::ZERO { Shipping::Free } else { Shipping::Charged(low) };
        if !(self.is_sign(0, '-') || self.is_word(0, &["to"])) {
            return Ok(low_is_free);
        }
        self.advance(1);
        let high = self.shipping_amount()?;
        if high < low {
            let reason = "the lower amount comes first";
            return Err(self.unfit(self.since(from), CompPart::Shipping, reason, SHIPPING));
        }
        Ok(if high == low { low_is_free } else { Shipping::Between(low, high) })
    }

    fn shipping_amount(&mut self) -> Result<Money, CompError> {
        if self.figure(0).is_some() && !self.is_amount(0) {
            return Err(self.unfit(
                self.here(),
                CompPart::Shipping,
                "shipping is an amount of money",
                SHIPPING,
            ));
        }
        self.amount(CompPart::Shipping, SHIPPING)
    }
}
