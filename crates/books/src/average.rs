//! Units at moving average, with every cent accounted for.

use measure::Money;

use crate::allocate::{divide_half_up, i64_of};
use crate::error::amount;
use crate::{BooksError, Quantity};

/// Millionths of a cent in a cent.
const MICROCENTS: i128 = 1_000_000;

/// Units on hand at moving average. Their cost is held to the millionth of a cent; the books show it rounded to
/// the cent, and what a use costs is the fall of that rounded figure (cumulative rounding). So a thousand uses of
/// 0.4 cents cost 4.00, and when the last unit goes, so does the last cent.
///
/// ```
/// use books::{AveragePool, Quantity};
/// use measure::Money;
///
/// let mut fill = AveragePool::default();
/// fill.add(Quantity::units(3.5)?, Money::from_cents(1000))?;
/// assert_eq!(fill.take(Quantity::units(0.5)?)?, Money::from_cents(143));
/// # Ok::<(), books::BooksError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct AveragePool {
    on_hand: Quantity,
    microcents: i128,
}

impl AveragePool {
    /// Units on hand.
    #[must_use]
    pub fn on_hand(&self) -> Quantity {
        self.on_hand
    }

    /// Their cost in the books.
    #[must_use]
    pub fn cost(&self) -> Money {
        Money::from_cents(i64_of(divide_half_up(self.microcents, MICROCENTS)))
    }

    /// Average cost of a unit in currency, where there is one.
    #[must_use]
    pub fn unit_cost(&self) -> Option<f64> {
        (self.on_hand > Quantity::NONE)
            .then(|| self.microcents as f64 / MICROCENTS as f64 / 100.0 / self.on_hand.in_units())
    }

    /// Adds units with what they cost.
    ///
    /// # Errors
    /// When there are no units, the cost is negative or past ten million, or the pool would hold more units or
    /// more money than is reckoned with.
    pub fn add(&mut self, units: Quantity, cost: Money) -> Result<(), BooksError> {
        amount("supplies", "cost", cost)?;
        if units == Quantity::NONE {
            return Err(BooksError::Wrong {
                place: "supplies".to_owned(),
                field: "units",
                found: "0".to_owned(),
                right: "a figure above 0",
            });
        }
        let on_hand = Quantity::from_micros(self.on_hand.micros().saturating_add(units.micros()))?;
        amount("supplies", "cost of all on hand", self.cost() + cost)?;
        self.on_hand = on_hand;
        self.microcents += i128::from(cost.cents()) * MICROCENTS;
        Ok(())
    }

    /// What taking units would cost.
    ///
    /// # Errors
    /// When fewer are on hand.
    pub fn quote(&self, units: Quantity) -> Result<Money, BooksError> {
        let mut after = *self;
        after.take(units)
    }

    /// Takes units, and says what they cost.
    ///
    /// # Errors
    /// When fewer are on hand; the pool is then unchanged.
    pub fn take(&mut self, units: Quantity) -> Result<Money, BooksError> {
        self.check(units)?;
        let before = self.cost();
        let share = if units == self.on_hand {
            self.microcents
        } else {
            // Fewer units than on hand, so there are some and the divisor is above 0.
            let on_hand = i128::from(self.on_hand.micros());
            divide_half_up(self.microcents * i128::from(units.micros()), on_hand)
        };
        self.microcents -= share;
        self.on_hand = Quantity::from_micros(self.on_hand.micros() - units.micros())?;
        Ok(before - self.cost())
    }

    /// Takes units at a stated cost: a purchase undone.
    ///
    /// # Errors
    /// When fewer units or less money is on hand; the pool is then unchanged.
    pub fn take_at(&mut self, units: Quantity, cost: Money) -> Result<(), BooksError> {
        self.check(units)?;
        let left = self.microcents - i128::from(cost.cents()) * MICROCENTS;
        if left < 0 || (units == self.on_hand && left != 0) {
            return Err(BooksError::Wrong {
                place: "supplies".to_owned(),
                field: "cost undone",
                found: cost.write(),
                right: "at most what is on hand, and all of it with the last unit",
            });
        }
        self.microcents = left;
        self.on_hand = Quantity::from_micros(self.on_hand.micros() - units.micros())?;
        Ok(())
    }

    fn check(&self, units: Quantity) -> Result<(), BooksError> {
        if units > self.on_hand {
            return Err(BooksError::PoolShort { asked: units.in_units(), held: self.on_hand.in_units() });
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::AveragePool;
    use crate::Quantity;
    use measure::Money;

    #[test]
    fn many_uses_below_a_cent_cost_what_they_cost_together() {
        let mut pool = AveragePool::default();
        pool.add(Quantity::whole(1000), Money::from_cents(400)).unwrap();
        let mut used = Money::ZERO;
        for sheets in 1..=1000_i64 {
            used += pool.take(Quantity::whole(1)).unwrap();
            assert!((used.cents() as f64 - 0.4 * sheets as f64).abs() <= 0.5 + 1e-3);
        }
        assert_eq!(used, Money::from_cents(400));
        assert_eq!(pool, AveragePool::default());
    }

    #[test]
    fn a_refused_use_leaves_the_pool_as_it_was() {
        let mut pool = AveragePool::default();
        pool.add(Quantity::units(0.5).unwrap(), Money::from_cents(3)).unwrap();
        let before = pool;
        assert!(pool.take(Quantity::whole(1)).is_err());
        assert!(pool.take_at(Quantity::units(0.1).unwrap(), Money::from_cents(4)).is_err());
        assert!(pool.add(Quantity::NONE, Money::ZERO).is_err());
        assert!(pool.add(Quantity::whole(1), Money::from_cents(-1)).is_err());
        assert_eq!(pool, before);
    }

    #[test]
    fn figures_that_are_no_quantity_are_refused() {
        for units in [f64::NAN, f64::INFINITY, -0.1, 1e10] {
            assert!(Quantity::units(units).is_err(), "{units}");
        }
        assert!(Quantity::from_micros(u64::MAX).is_err());
    }
}
