//! What to do at the shelf.

use measure::{LARGEST_MONEY, Money};

use super::limits::limits;
use super::loss::{loss_risk, proceeds_at};
use super::{
    AtAsking, BuyCase, BuyDecision, LotKind, NotEvenFree, PriceLimits, Verdict, sell_through_break_even,
};
use crate::SellingError;
use crate::cents::{NOISE, currency, down};
use crate::figure::Place;
use crate::normal;

/// The chance that the bad-luck profit is told for when no limit names one (common practice: p10).
const USUAL_BAD_LUCK: f64 = 0.10;

/// Decides on a purchase: the most to pay and by which limit, how it looks at the asking price, and whether to
/// buy, haggle or leave it.
///
/// # Errors
/// When there are no lots, a figure is out of its range, or a quantile function gives something that is not a
/// price.
///
/// ```
/// use measure::Money;
/// use selling::{BuyCase, LotKind, Verdict, buy_decision};
/// let kinds = [LotKind::new("4 goblets", 3, 42.0, 0.30, 0.14, 14.80)];
/// let decision = buy_decision(&BuyCase::new(Money::from_cents(30_00), &kinds, 1.2))?;
/// assert_eq!(decision.verdict, Verdict::HaggleTo(Money::from_cents(25_35)));
/// assert!(decision.at_asking.chance_of_loss > 0.10);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn buy_decision(case: &BuyCase) -> Result<BuyDecision, SellingError> {
    let place = Place("purchase");
    place.money("asking", case.asking)?;
    place.share_below_one("tax_share", case.tax_share)?;
    let hours = place.hours("hours", case.hours)?;
    case.targets.check()?;
    if case.kinds.is_empty() {
        return Err(place.wrong("kinds", "empty", "at least one kind of lot"));
    }
    for kind in case.kinds {
        kind.check()?;
    }
    let counted_prices = counted_prices(case)?;
    let proceeds: f64 = case.kinds.iter().zip(&counted_prices).map(|(kind, &price)| kind.leaves(price)).sum();
    let wage = currency(case.targets.wage) * hours;
    let wage_at_risk = if case.targets.loss_counts_wage { wage } else { 0.0 };
    let by_loss_chance = match case.targets.loss_chance {
        Some(chance) => Some(proceeds_at(case.kinds, normal::quantile(chance))? - wage_at_risk),
        None => None,
    };
    let limits = limits(proceeds, hours, by_loss_chance, &case.targets);
    let most_to_pay = shelf_price(limits.most, case.tax_share);
    let not_even_free = not_even_free(&limits);
    let verdict = if not_even_free.is_none() && case.asking <= most_to_pay {
        Verdict::Buy
    } else if most_to_pay > Money::ZERO {
        Verdict::HaggleTo(most_to_pay)
    } else {
        Verdict::Leave
    };
    let (at_asking, proceeds_at_means) = at_asking(case, proceeds, wage, wage_at_risk)?;
    Ok(BuyDecision {
        most_to_pay,
        bound_by: limits.bound_by,
        verdict,
        asking: case.asking,
        at_asking,
        not_even_free,
        limits,
        targets: case.targets,
        counted_prices,
        price_percentile: case.price_percentile,
        proceeds_at_means,
        tax_share: case.tax_share,
    })
}

fn counted_prices(case: &BuyCase) -> Result<Vec<f64>, SellingError> {
    match case.price_percentile {
        Some(percentile) => {
            let percentile = Place("purchase").open_share("price_percentile", percentile)?;
            case.kinds.iter().map(|kind| kind.guarded(percentile)).collect()
        }
        None => Ok(case.kinds.iter().map(LotKind::mean_price).collect()),
    }
}

fn not_even_free(limits: &PriceLimits) -> Option<NotEvenFree> {
    if limits.most >= -NOISE {
        None
    } else if limits.proceeds < -NOISE {
        Some(NotEvenFree::LosesMoney)
    } else {
        Some(NotEvenFree::MissesLimit)
    }
}

fn at_asking(
    case: &BuyCase,
    proceeds: f64,
    wage: f64,
    wage_at_risk: f64,
) -> Result<(AtAsking, f64), SellingError> {
    let paid = with_tax(case.asking, case.tax_share);
    let spent = currency(paid);
    let bad_luck = case.targets.loss_chance.unwrap_or(USUAL_BAD_LUCK);
    let risk = loss_risk(case.kinds, spent + wage_at_risk, bad_luck)?;
    let lots = case.kinds.iter().fold(0_u32, |sum, kind| sum.saturating_add(kind.lots));
    let profit = proceeds - spent;
    let proceeds_at_means = risk.expected_profit + risk.paid;
    let at_asking = AtAsking {
        paid,
        expected_profit: down(profit - wage),
        profit_before_wage: down(profit),
        hours: case.hours,
        net_per_hour: (case.hours > 0.0).then(|| down(profit / case.hours)),
        chance_of_loss: risk.chance_of_loss,
        sell_through: sell_through_break_even(spent, lots, sold_lot_leaves(case, lots)?)?,
        risk,
    };
    Ok((at_asking, proceeds_at_means))
}

/// What a lot leaves on average when it sells, at the prices counted on.
fn sold_lot_leaves(case: &BuyCase, lots: u32) -> Result<f64, SellingError> {
    let prices = counted_prices(case)?;
    let all: f64 = case
        .kinds
        .iter()
        .zip(prices)
        .map(|(kind, price)| LotKind { chance_sold: 1.0, ..*kind }.leaves(price))
        .sum();
    Ok(all / f64::from(lots.max(1)))
}

/// The shelf price and its tax, rounded half up to the cent as a till does.
fn with_tax(shelf: Money, tax_share: f64) -> Money {
    shelf + Money::from_cents_rounded(shelf.cents() as f64 * tax_share)
}

/// The highest shelf price that with its tax is at most `most`, at least 0.00.
fn shelf_price(most: f64, tax_share: f64) -> Money {
    let most = down(most.min(currency(LARGEST_MONEY)));
    if most <= Money::ZERO {
        return Money::ZERO;
    }
    let cent = Money::from_cents(1);
    let mut shelf = down(currency(most) / (1.0 + tax_share)) + cent;
    // The tax rounds by half a cent at most, so this ends after a step or two.
    while shelf > Money::ZERO && with_tax(shelf, tax_share) > most {
        shelf = shelf - cent;
    }
    shelf
}

#[cfg(test)]
mod tests {
    use super::{shelf_price, with_tax};
    use measure::Money;

    #[test]
    fn the_shelf_price_with_its_tax_is_the_most_that_fits() {
        for tax in [0.0, 0.055, 0.0725, 0.0825, 0.999_999] {
            for cents in [0, 1, 7, 99, 1510, 123_456] {
                let most = Money::from_cents(cents);
                let shelf = shelf_price(cents as f64 / 100.0, tax);
                assert!(with_tax(shelf, tax) <= most, "{tax} {cents}");
                assert!(with_tax(shelf + Money::from_cents(1), tax) > most, "{tax} {cents}");
            }
        }
        assert_eq!(shelf_price(-3.0, 0.05), Money::ZERO);
    }
}
