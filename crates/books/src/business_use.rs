//! The business share of something used both ways.

use measure::Money;

use crate::allocate::{divide_half_up, i64_of};
use crate::error::amount;
use crate::{BooksError, Miles};

/// Business miles of all miles of a car (IRS Publication 334). Not tax advice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BusinessUse {
    business: Miles,
    all: Miles,
}

impl BusinessUse {
    /// Of all miles of a year, those for business.
    ///
    /// # Errors
    /// When no miles were driven, or more for business than in all.
    pub fn new(business: Miles, all: Miles) -> Result<Self, BooksError> {
        if all.hundredths() == 0 || business > all {
            return Err(BooksError::Wrong {
                place: "business use".to_owned(),
                field: "business miles",
                found: format!("{business} of {all}"),
                right: "at most all miles, which are above 0",
            });
        }
        Ok(Self { business, all })
    }

    /// The share, from 0 to 1.
    #[must_use]
    pub fn share(&self) -> f64 {
        f64::from(self.business.hundredths()) / f64::from(self.all.hundredths())
    }

    /// The business share of a cost, rounded half up to the cent.
    ///
    /// # Errors
    /// When the cost is negative or past ten million.
    pub fn of(&self, cost: Money) -> Result<Money, BooksError> {
        let cost = amount("business use", "cost", cost)?;
        let product = i128::from(cost.cents()) * i128::from(self.business.hundredths());
        Ok(Money::from_cents(i64_of(divide_half_up(product, i128::from(self.all.hundredths())))))
    }
}
