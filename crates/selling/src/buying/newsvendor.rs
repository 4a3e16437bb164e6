//! How many to buy when the quantity is free and each is sold only if somebody comes.

use std::fmt;

use crate::SellingError;
use crate::cents::{down, percent};
use crate::figure::Place;

/// Highest expected demand that is reckoned with (judgement).
const MOST_EXPECTED: f64 = 1e5;
/// Most pieces whose sale is reckoned with: ten times that.
const MOST_PIECES: u32 = 1_000_000;
/// A chance under this is what rounding leaves of none.
const NO_CHANCE: f64 = 1e-15;

/// Pieces that can be bought in any number at one price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewsvendorCase {
    /// What a sold piece leaves before its own price, in currency, from 0.
    pub net_per_piece: f64,
    /// What a piece costs, in currency, from 0.
    pub unit_cost: f64,
    /// What an unsold piece is worth, in currency, from 0 and under its cost.
    pub salvage: f64,
    /// Pieces asked for by the horizon on average (Poisson), above 0.
    pub expected_demand: f64,
}

/// How many to buy, and what that brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BestQuantity {
    /// How many to buy: the fewest for which the chance of enough reaches the critical ratio; 0 when a piece
    /// costs what it leaves, or more.
    pub quantity: u32,
    /// Underage over underage and overage: (net - cost) / (net - salvage); 0 when nothing is to be bought.
    pub critical_ratio: f64,
    /// Profit, in currency.
    pub expected_profit: f64,
    /// Pieces sold on average.
    pub expected_sold: f64,
    /// The chance that all are sold.
    pub chance_all_sold: f64,
}

impl fmt::Display for BestQuantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.quantity == 0 {
            return write!(f, "Buy none: a sold piece leaves no more than it costs.");
        }
        write!(
            f,
            "Buy {}: {:.1} of them sell on average, all with a chance of {}, and they bring {}.",
            self.quantity,
            self.expected_sold,
            percent(self.chance_all_sold),
            down(self.expected_profit)
        )
    }
}

impl NewsvendorCase {
    fn check(&self) -> Result<(), SellingError> {
        let place = Place("best quantity");
        place.amount("net_per_piece", self.net_per_piece)?;
        place.amount("unit_cost", self.unit_cost)?;
        place.amount("salvage", self.salvage)?;
        place.ratio("expected_demand", self.expected_demand, MOST_EXPECTED)?;
        if self.salvage >= self.unit_cost {
            let right = format!("an amount under the cost of {}: otherwise any number pays", self.unit_cost);
            return Err(place.wrong("salvage", self.salvage, right));
        }
        Ok(())
    }

    /// What buying just `quantity` brings.
    ///
    /// # Errors
    /// When a figure is out of its range or the quantity above a million.
    pub fn at(&self, quantity: u32) -> Result<BestQuantity, SellingError> {
        self.check()?;
        if quantity > MOST_PIECES {
            return Err(Place("best quantity").wrong("quantity", quantity, "a count up to a million"));
        }
        let mut demand = Demanded::start(self.expected_demand);
        // Sold on average: sum over j < q of P(demand > j).
        let mut sold = 0.0;
        let mut over = 1.0;
        for _ in 0..quantity {
            over = demand.chance_over();
            sold += over;
            demand.next();
        }
        Ok(self.result(quantity, sold, over))
    }

    fn ratio(&self) -> f64 {
        ((self.net_per_piece - self.unit_cost) / (self.net_per_piece - self.salvage)).max(0.0)
    }

    fn result(&self, quantity: u32, sold: f64, chance_all_sold: f64) -> BestQuantity {
        let bought = f64::from(quantity);
        BestQuantity {
            quantity,
            critical_ratio: if self.net_per_piece > self.unit_cost { self.ratio() } else { 0.0 },
            expected_profit: self.net_per_piece * sold + self.salvage * (bought - sold)
                - self.unit_cost * bought,
            expected_sold: sold,
            chance_all_sold,
        }
    }
}

/// How many to buy: the smallest q with P(demand <= q) >= (net - cost) / (net - salvage), demand being
/// Poisson (the newsvendor rule, from memory).
///
/// # Errors
/// When a figure is out of its range or an unsold piece is worth its cost.
///
/// ```
/// use selling::{NewsvendorCase, best_quantity};
/// let case = NewsvendorCase { net_per_piece: 9.0, unit_cost: 2.5, salvage: 0.5, expected_demand: 6.0 };
/// assert_eq!(best_quantity(&case)?.quantity, 8);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn best_quantity(case: &NewsvendorCase) -> Result<BestQuantity, SellingError> {
    case.check()?;
    if case.net_per_piece <= case.unit_cost {
        return Ok(case.result(0, 0.0, 1.0));
    }
    let stop = 1.0 - case.ratio();
    let mut demand = Demanded::start(case.expected_demand);
    let (mut quantity, mut sold, mut over) = (0, 0.0, 1.0);
    // A chance of more of at most `stop` is a chance of enough of at least the ratio.
    while demand.chance_over() > stop && quantity < MOST_PIECES {
        over = demand.chance_over();
        sold += over;
        quantity += 1;
        demand.next();
    }
    Ok(case.result(quantity, sold, over))
}

/// A Poisson number looked at from 0 up.
struct Demanded {
    mean: f64,
    count: u32,
    /// P(demand <= count).
    so_far: f64,
}

impl Demanded {
    fn start(mean: f64) -> Self {
        Self { mean, count: 0, so_far: (-mean).exp() }
    }

    /// P(demand > count).
    fn chance_over(&self) -> f64 {
        let over = 1.0 - self.so_far;
        if over < NO_CHANCE { 0.0 } else { over }
    }

    fn next(&mut self) {
        self.count = self.count.saturating_add(1);
        let count = f64::from(self.count);
        // Each term by itself: a running product would start from e^-mean, which may be no double.
        self.so_far += (count * self.mean.ln() - self.mean - libm::lgamma(count + 1.0)).exp();
    }
}

#[cfg(test)]
mod tests {
    use super::Demanded;

    #[test]
    fn the_poisson_distribution_agrees_with_forty_digit_values() {
        let mut demand = Demanded::start(6.0);
        (0..7).for_each(|_| demand.next());
        // mpmath: P(N <= 7) at mean 6.
        assert!((demand.so_far - 0.743_979_760_453_717).abs() < 1e-14);
        let mut large = Demanded::start(5000.0);
        (0..5000).for_each(|_| large.next());
        // Near the mean the chance is 1/2 + 2/3 / sqrt(2 pi m), to second order.
        let near = 0.5 + 2.0 / 3.0 / (2.0 * std::f64::consts::PI * 5000.0).sqrt();
        assert!((large.so_far - near).abs() < 1e-6);
    }
}
