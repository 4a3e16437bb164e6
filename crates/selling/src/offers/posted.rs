//! What several lots are worth at a posted price until a deadline.

use std::fmt;

use super::PostedDemand;
use crate::SellingError;
use crate::cents::{down, percent, up};
use crate::figure::Place;

/// Most lots that are reckoned with (judgement).
const MOST_LOTS: u32 = 10_000;

/// What lots are worth when each is sold at the best posted price of the moment until the deadline.
///
/// Gallego and van Ryzin 1994 (from memory; checked by integrating its differential equation). With
/// S(n) = sum of x^i / i! for i = 0..n and x = a t / e: J(n) = ln S(n) / alpha.
#[derive(Debug, Clone, PartialEq)]
pub struct PostedWorth {
    /// J(0), J(1), ... J(n): what so many lots are worth together, in currency.
    pub values: Vec<f64>,
    /// J(i) - J(i-1) for i = 1..n: what the i-th lot adds, the opportunity cost of selling one of i.
    pub opportunity_costs: Vec<f64>,
    /// The best posted price with i = 1..n lots left: the opportunity cost of one and 1/alpha.
    pub best_prices: Vec<f64>,
    /// Lots expected to be sold by the deadline.
    pub expected_sold: f64,
    /// The chance that all are sold by the deadline.
    pub chance_all_sold: f64,
    /// Days until the deadline.
    pub days_left: f64,
}

impl PostedWorth {
    /// How many lots it was computed for.
    #[must_use]
    pub fn lots(&self) -> usize {
        self.opportunity_costs.len()
    }

    /// What all lots are worth together, in currency.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.values.last().copied().unwrap_or(0.0)
    }

    /// The opportunity cost of selling `wanted` of the lots now, J(n) - J(n - wanted), in currency; none when
    /// there are not so many. Summed from the single steps, which keeps small differences exact.
    #[must_use]
    pub fn worth_of(&self, wanted: u32) -> Option<f64> {
        let start = self.lots().checked_sub(usize::try_from(wanted).ok()?)?;
        Some(self.opportunity_costs.iter().skip(start).sum())
    }

    /// The same lots when each that is left over is worth `rest`, after they were priced above it.
    pub(crate) fn above(mut self, rest: f64) -> Self {
        for (value, lots) in self.values.iter_mut().zip(0_u32..) {
            *value += f64::from(lots) * rest;
        }
        self.opportunity_costs.iter_mut().chain(&mut self.best_prices).for_each(|amount| *amount += rest);
        self
    }
}

impl fmt::Display for PostedWorth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let price = self.best_prices.last().copied().unwrap_or(0.0);
        let last = self.opportunity_costs.last().copied().unwrap_or(0.0);
        let (what, adds) = match self.lots() {
            1 => ("The lot".to_owned(), String::new()),
            lots => (format!("The {lots} lots"), format!(", and the last one adds {}", up(last))),
        };
        write!(
            f,
            "{what}, sold at a posted price, would bring {} in {:.0} days; best priced so that {} remains of \
             each now{adds}. All are sold by then with a chance of {}.",
            down(self.value()),
            self.days_left,
            up(price),
            percent(self.chance_all_sold)
        )
    }
}

/// What `lots` lots are worth at the best posted prices with `days_left` days, under `demand`; prices and
/// values are in the terms of the demand (net, if the demand is).
///
/// Everything is summed in logarithms, so it holds for thousands of lots and any demand.
///
/// # Errors
/// When there are no lots or more than ten thousand, or the days are out of range.
///
/// ```
/// use selling::{PostedDemand, posted_worth};
/// let worth = posted_worth(&PostedDemand::new(0.2, 0.05)?, 3, 60.0)?;
/// assert!((worth.best_prices[0] - 53.781_807_66).abs() < 1e-8);
/// assert!((worth.worth_of(2).unwrap() - (67.686_021_71 - 33.781_807_66)).abs() < 2e-8);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn posted_worth(demand: &PostedDemand, lots: u32, days_left: f64) -> Result<PostedWorth, SellingError> {
    let place = Place("posted price");
    if lots == 0 || lots > MOST_LOTS {
        return Err(place.wrong("lots", lots, "a count from 1 to 10000"));
    }
    let days_left = place.days("days_left", days_left)?;
    let ln_x = demand.ln_reach(days_left);
    let alpha = demand.alpha();
    let mut ln_term = 0.0;
    let mut ln_sum = 0.0;
    let mut ln_sum_before = 0.0;
    let mut values = vec![0.0];
    let mut opportunity_costs = Vec::new();
    for i in 1..=lots {
        ln_term += ln_x - f64::from(i).ln();
        ln_sum_before = ln_sum;
        let growth = softplus(ln_term - ln_sum);
        ln_sum += growth;
        values.push(ln_sum / alpha);
        opportunity_costs.push(growth / alpha);
    }
    // Sales under the best prices are Poisson(x) cut off at n: the path probabilities telescope.
    let none_left = (ln_term - ln_sum).exp();
    let expected_sold = if days_left > 0.0 { (ln_x + ln_sum_before - ln_sum).exp() } else { 0.0 };
    Ok(PostedWorth {
        best_prices: opportunity_costs.iter().map(|cost| cost + 1.0 / alpha).collect(),
        values,
        opportunity_costs,
        expected_sold,
        chance_all_sold: none_left,
        days_left,
    })
}

/// ln(1 + e^x) without overflow, and without losing small results.
fn softplus(x: f64) -> f64 {
    if x > 0.0 { x + (-x).exp().ln_1p() } else { x.exp().ln_1p() }
}
