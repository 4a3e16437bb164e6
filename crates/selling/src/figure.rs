//! Figures that are let in: finite, of the right sign, and within what the job can mean.

use measure::{LARGEST_MONEY, Money};

use crate::SellingError;
use crate::cents::currency;

/// Longest time that is reckoned with, in days: a century (judgement).
const MOST_DAYS: f64 = 36_525.0;
/// Fewest and most offers or sales a day that are reckoned with (judgement).
const LEAST_PER_DAY: f64 = 1e-9;
const MOST_PER_DAY: f64 = 1e6;
/// Least amount of currency where nothing would be meaningless: a ten-thousandth of a cent (judgement).
const LEAST_AMOUNT: f64 = 1e-6;
/// Most hours of work that are reckoned with (judgement).
const MOST_HOURS: f64 = 1e5;
/// Most of any count that is reckoned with (judgement).
const MOST_COUNT: u32 = 1_000_000;

/// The question whose figures are looked at; it names the place in a refusal.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place<'a>(pub(crate) &'a str);

impl Place<'_> {
    pub(crate) fn wrong(
        self,
        field: &'static str,
        found: impl ToString,
        right: impl Into<String>,
    ) -> SellingError {
        SellingError::Wrong { place: self.0.to_owned(), field, found: found.to_string(), right: right.into() }
    }

    fn within(
        self,
        field: &'static str,
        value: f64,
        lowest: f64,
        highest: f64,
        right: &str,
    ) -> Result<f64, SellingError> {
        if value >= lowest && value <= highest {
            // Minus zero would turn up in sentences.
            Ok(value + 0.0)
        } else {
            Err(self.wrong(field, value, right))
        }
    }

    /// An amount of currency from 0 to ten million.
    pub(crate) fn amount(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        self.within(field, value, 0.0, currency(LARGEST_MONEY), "an amount from 0 to ten million")
    }

    /// An amount of currency above 0, up to ten million.
    pub(crate) fn positive_amount(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        let right = "an amount from 0.000001 to ten million";
        self.within(field, value, LEAST_AMOUNT, currency(LARGEST_MONEY), right)
    }

    /// An amount of currency that may be a cost or a gain.
    pub(crate) fn signed_amount(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        let most = currency(LARGEST_MONEY);
        self.within(field, value, -most, most, "an amount of at most ten million either way")
    }

    /// Money from 0 to ten million, as currency.
    pub(crate) fn money(self, field: &'static str, value: Money) -> Result<f64, SellingError> {
        if value < Money::ZERO || value > LARGEST_MONEY {
            return Err(self.wrong(field, value, "an amount from 0.00 to ten million"));
        }
        Ok(currency(value))
    }

    /// A probability or share, both ends allowed.
    pub(crate) fn share(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        self.within(field, value, 0.0, 1.0, "a share from 0 to 1")
    }

    /// A share under 1.
    pub(crate) fn share_below_one(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        let right = "a share from 0 to under 1, as in 0.13 for 13 %";
        self.within(field, value, 0.0, 1.0 - f64::EPSILON, right)
    }

    /// A probability strictly between 0 and 1.
    pub(crate) fn open_share(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        let right = "a share above 0 and under 1";
        self.within(field, value, f64::EPSILON, 1.0 - f64::EPSILON, right)
    }

    /// A rate per day, for which nothing would be meaningless.
    pub(crate) fn rate(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        let right = "a rate from a billionth to a million a day";
        self.within(field, value, LEAST_PER_DAY, MOST_PER_DAY, right)
    }

    /// Days from 0 to a century.
    pub(crate) fn days(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        self.within(field, value, 0.0, MOST_DAYS, "a time from 0 to 36525 days")
    }

    /// Hours of work.
    pub(crate) fn hours(self, field: &'static str, value: f64) -> Result<f64, SellingError> {
        self.within(field, value, 0.0, MOST_HOURS, "a time from 0 to 100000 hours")
    }

    /// A ratio above 0 with its own upper end.
    pub(crate) fn ratio(self, field: &'static str, value: f64, most: f64) -> Result<f64, SellingError> {
        self.within(field, value, f64::MIN_POSITIVE, most, &format!("a figure above 0, up to {most}"))
    }

    /// A ratio from 0 with its own upper end.
    pub(crate) fn ratio_or_zero(
        self,
        field: &'static str,
        value: f64,
        most: f64,
    ) -> Result<f64, SellingError> {
        self.within(field, value, 0.0, most, &format!("a figure from 0 to {most}"))
    }

    /// A count of at least one.
    pub(crate) fn count(self, field: &'static str, value: u32) -> Result<u32, SellingError> {
        if (1..=MOST_COUNT).contains(&value) {
            Ok(value)
        } else {
            Err(self.wrong(field, value, "a count from 1 to a million"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Place;

    #[test]
    fn what_is_not_a_number_is_never_let_in() {
        let place = Place("test");
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0] {
            assert!(place.amount("x", value).is_err());
            assert!(place.positive_amount("x", value).is_err());
            assert!(place.share("x", value).is_err());
            assert!(place.rate("x", value).is_err());
            assert!(place.days("x", value).is_err());
            assert!(place.hours("x", value).is_err());
        }
        assert!(place.signed_amount("x", f64::NAN).is_err());
        assert!(place.share_below_one("x", 1.0).is_err());
        assert!(place.open_share("x", 0.0).is_err() && place.open_share("x", 1.0).is_err());
        assert!(place.rate("x", 0.0).is_err());
    }

    #[test]
    fn a_refusal_names_place_field_figure_and_what_is_right() {
        let refusal = Place("offer search").rate("per_day", 0.0).unwrap_err().to_string();
        assert_eq!(
            refusal,
            "offer search: per_day can't be 0; right would be a rate from a billionth to a million a day"
        );
    }
}
