//! The most to pay, by each limit that applies.

use std::fmt;

use measure::Money;

use crate::SellingError;
use crate::cents::{NOISE, currency, down};
use crate::figure::Place;

/// Highest return that can be asked for: a hundredfold (judgement).
const HIGHEST_RETURN: f64 = 100.0;

/// What a purchase must bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuyTargets {
    /// What an hour of one's own work must earn, from 0; it always applies.
    pub wage: Money,
    /// Profit after the wage as a share of the price paid (0.5: half as much again); none if it doesn't apply.
    pub return_on_cost: Option<f64>,
    /// Least profit after the wage for the whole purchase; none if it doesn't apply.
    pub minimum_profit: Option<Money>,
    /// Highest chance of losing money, above 0 and under 1; none if it doesn't apply.
    pub loss_chance: Option<f64>,
    /// Whether earning less than the wage counts as losing money; otherwise only cash does.
    pub loss_counts_wage: bool,
}

impl Default for BuyTargets {
    /// 15.00 an hour, half as much again, 5.00 at least, one chance in ten of losing cash (all judgement).
    fn default() -> Self {
        Self {
            wage: Money::from_cents(1500),
            return_on_cost: Some(0.5),
            minimum_profit: Some(Money::from_cents(500)),
            loss_chance: Some(0.10),
            loss_counts_wage: false,
        }
    }
}

impl BuyTargets {
    pub(crate) fn check(&self) -> Result<(), SellingError> {
        let place = Place("buying targets");
        place.money("wage", self.wage)?;
        if let Some(share) = self.return_on_cost {
            place.ratio_or_zero("return_on_cost", share, HIGHEST_RETURN)?;
        }
        if let Some(profit) = self.minimum_profit {
            place.money("minimum_profit", profit)?;
        }
        if let Some(chance) = self.loss_chance {
            place.open_share("loss_chance", chance)?;
        }
        Ok(())
    }
}

/// The limit that binds the most to pay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The return on what is paid.
    Return,
    /// The wage.
    Wage,
    /// The least profit.
    MinimumProfit,
    /// The chance of losing money.
    LossChance,
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Return => "the return asked for",
            Self::Wage => "the wage",
            Self::MinimumProfit => "the least profit",
            Self::LossChance => "the chance of losing money",
        })
    }
}

/// Figures of a purchase, for its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PriceCase {
    /// What the sales bring, in currency, from 0.
    pub gross: f64,
    /// All costs but the goods and one's own work: fees, postage, materials, damage; in currency, from 0.
    pub other_costs: f64,
    /// Hours of one's own work.
    pub hours: f64,
    /// The most that can be paid at the highest chance of loss, in currency, when that limit applies.
    pub by_loss_chance: Option<f64>,
}

/// The most to pay by each limit, in currency, tax included; below 0 when not even a gift would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PriceLimits {
    /// P: what the sales leave before goods and work.
    pub proceeds: f64,
    /// L: what one's own work must earn.
    pub labour: f64,
    /// (P - L) / (1 + return).
    pub by_return: Option<f64>,
    /// P - L.
    pub by_wage: f64,
    /// P - L - least profit.
    pub by_minimum_profit: Option<f64>,
    /// As given.
    pub by_loss_chance: Option<f64>,
    /// The least of them.
    pub most: f64,
    /// Which that is; of equals the first in the order wage, return, least profit, chance of loss.
    pub bound_by: Limit,
}

impl fmt::Display for PriceLimits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "The sales leave {} before goods and own work of {}; by the wage at most {} may be paid",
            down(self.proceeds),
            down(self.labour),
            down(self.by_wage)
        )?;
        for (limit, most) in [
            (Limit::Return, self.by_return),
            (Limit::MinimumProfit, self.by_minimum_profit),
            (Limit::LossChance, self.by_loss_chance),
        ] {
            if let Some(most) = most {
                write!(f, ", by {limit} {}", down(most))?;
            }
        }
        f.write_str(".")
    }
}

/// The most to pay by each limit.
///
/// # Errors
/// When a figure is out of its range.
///
/// ```
/// use measure::Money;
/// use selling::{BuyTargets, Limit, PriceCase, price_limits};
/// let case = PriceCase { gross: 104.0, other_costs: 52.40, hours: 1.9, by_loss_chance: None };
/// let targets = BuyTargets { minimum_profit: Some(Money::from_cents(800)), ..BuyTargets::default() };
/// let limits = price_limits(&case, &targets)?;
/// assert!((limits.most - 15.10).abs() < 1e-9);
/// assert_eq!(limits.bound_by, Limit::MinimumProfit);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn price_limits(case: &PriceCase, targets: &BuyTargets) -> Result<PriceLimits, SellingError> {
    targets.check()?;
    let place = Place("the most to pay");
    let gross = place.amount("gross", case.gross)?;
    let other_costs = place.amount("other_costs", case.other_costs)?;
    let hours = place.hours("hours", case.hours)?;
    if let Some(most) = case.by_loss_chance
        && !most.is_finite()
    {
        return Err(place.wrong("by_loss_chance", most, "a finite amount"));
    }
    Ok(limits(gross - other_costs, hours, case.by_loss_chance, targets))
}

/// As [`price_limits`], from checked figures.
pub(crate) fn limits(
    proceeds: f64,
    hours: f64,
    by_loss_chance: Option<f64>,
    targets: &BuyTargets,
) -> PriceLimits {
    let labour = currency(targets.wage) * hours;
    let by_wage = proceeds - labour;
    let by_return = targets.return_on_cost.map(|share| by_wage / (1.0 + share));
    let by_minimum_profit = targets.minimum_profit.map(|profit| by_wage - currency(profit));
    let (mut most, mut bound_by) = (by_wage, Limit::Wage);
    for (limit, amount) in [
        (Limit::Return, by_return),
        (Limit::MinimumProfit, by_minimum_profit),
        (Limit::LossChance, by_loss_chance),
    ] {
        if let Some(amount) = amount
            && amount < most - NOISE
        {
            (most, bound_by) = (amount, limit);
        }
    }
    PriceLimits { proceeds, labour, by_return, by_wage, by_minimum_profit, by_loss_chance, most, bound_by }
}
