//! Between whole cents and the currency that is reckoned in.
//!
//! Expectations are reckoned as f64 in units of the currency (15.40 is `15.4`); what a person pays or asks is
//! whole cents, rounded against hope.

use measure::Money;

/// Share of a cent that is taken for noise of binary fractions when rounding: (104 - 52.4 - 28.5) / 1.5 must
/// stay 15.40 and not become 15.39.
const NOISE_CENTS: f64 = 1e-6;
/// The same noise in currency, for comparisons of amounts.
pub(crate) const NOISE: f64 = NOISE_CENTS / 100.0;

/// Whole cents as currency.
pub(crate) fn currency(money: Money) -> f64 {
    money.currency()
}

/// The next whole cent at or below.
pub(crate) fn down(currency: f64) -> Money {
    Money::from_cents_rounded((currency * 100.0 + NOISE_CENTS).floor())
}

/// The next whole cent at or above.
pub(crate) fn up(currency: f64) -> Money {
    Money::from_cents_rounded((currency * 100.0 - NOISE_CENTS).ceil())
}

/// A share as a percentage with one decimal, for sentences.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::{down, up};
    use measure::Money;

    #[test]
    fn a_cent_is_not_lost_to_binary_fractions() {
        assert_eq!(down((104.0 - 52.4 - 28.5) / 1.5), Money::from_cents(1540));
        assert_eq!(up(0.1 + 0.2), Money::from_cents(30));
        assert_eq!(down(15.399), Money::from_cents(1539));
        assert_eq!(up(15.391), Money::from_cents(1540));
        assert_eq!(down(-0.001), Money::from_cents(-1));
    }
}
