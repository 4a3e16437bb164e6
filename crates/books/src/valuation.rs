//! Valuing stock otherwise than at cost: lower of cost or market, and the retail method. Not tax advice.

use measure::Money;

use crate::BooksError;
use crate::allocate::{divide_half_up, i64_of};
use crate::error::amount;

/// An item of stock with two values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CostAndMarket {
    /// What it cost.
    pub cost: Money,
    /// Market value; for damaged goods the selling price less the direct cost of disposing of them.
    pub market: Money,
}

/// Stock at the lower of cost or market, item by item (IRS Publication 538): never on the totals.
///
/// # Errors
/// When a value is negative or past ten million.
pub fn lower_of_cost_or_market(items: &[CostAndMarket]) -> Result<Money, BooksError> {
    let mut total = Money::ZERO;
    for item in items {
        let cost = amount("stock", "cost", item.cost)?;
        total += cost.min(amount("stock", "market value", item.market)?);
    }
    Ok(total)
}

/// Goods at cost and at the price they are marked with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CostAndRetail {
    /// At cost.
    pub cost: Money,
    /// At retail.
    pub retail: Money,
}

/// A period by the retail method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RetailPeriod {
    /// Stock at the beginning.
    pub opening: CostAndRetail,
    /// Bought in the period.
    pub purchases: CostAndRetail,
    /// Prices raised.
    pub markups: Money,
    /// Prices lowered.
    pub markdowns: Money,
    /// Sold, at retail.
    pub sales: Money,
}

/// Closing stock by the retail method.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RetailClosing {
    /// All goods of the period at cost.
    pub total_cost: Money,
    /// All goods of the period at retail.
    pub total_retail: Money,
    /// Closing stock at retail.
    pub closing_retail: Money,
    /// Markup as a share of retail.
    pub markup_share: f64,
    /// Closing stock at cost, rounded half up to the cent.
    pub closing_cost: Money,
}

/// Closing stock by the retail method (IRS Publication 538): what wasn't sold, at retail, less the average markup.
///
/// # Errors
/// When an amount is negative or past ten million, nothing is there at retail, or more was sold than was there.
pub fn retail_method(period: &RetailPeriod) -> Result<RetailClosing, BooksError> {
    let place = "retail method";
    for (field, money) in [
        ("opening cost", period.opening.cost),
        ("opening retail", period.opening.retail),
        ("purchases at cost", period.purchases.cost),
        ("purchases at retail", period.purchases.retail),
        ("markups", period.markups),
        ("markdowns", period.markdowns),
        ("sales", period.sales),
    ] {
        amount(place, field, money)?;
    }
    let total_cost = period.opening.cost + period.purchases.cost;
    let total_retail = period.opening.retail + period.purchases.retail + period.markups - period.markdowns;
    let closing_retail = total_retail - period.sales;
    if total_retail <= Money::ZERO || closing_retail < Money::ZERO {
        return Err(BooksError::Wrong {
            place: place.to_owned(),
            field: "sales",
            found: period.sales.write(),
            right: "at most what was there at retail, which is above 0.00",
        });
    }
    let (cost, retail) = (i128::from(total_cost.cents()), i128::from(total_retail.cents()));
    let closing_cost = divide_half_up(i128::from(closing_retail.cents()) * cost, retail);
    Ok(RetailClosing {
        total_cost,
        total_retail,
        closing_retail,
        markup_share: (retail - cost) as f64 / retail as f64,
        closing_cost: Money::from_cents(i64_of(closing_cost)),
    })
}
