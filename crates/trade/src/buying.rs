//! What to pay at the shop for a find that is to be split as planned.

use measure::Money;
use pricing::Appraisal;
use selling::{BuyCase, BuyDecision, BuyTargets, Delivered, Demand, LotKind, SellingError, Sizing};

use crate::market::terms;
use crate::worth::{PricedPool, Worth};
use crate::{Job, TradeError};

/// Standard deviations between the 10th and the 90th percentile of a normal law.
const P10_TO_P90: f64 = 2.0 * 1.281_551_565_544_600_4;

/// One kind of lot of the plan, as the decision reckons with it.
#[derive(Debug, Clone, PartialEq)]
pub struct CountedKind {
    /// What a lot is ("2 cups with saucers").
    pub name: String,
    /// How many.
    pub lots: u32,
    /// Median of the delivered price, currency.
    pub median: f64,
    /// Price that is counted on, at the guarding percentile, currency.
    pub guarded: f64,
    /// Share of the price that fees take.
    pub fee_share: f64,
    /// Postage, materials, fixed fee, expected damage and keeping of one lot, currency.
    pub cost: f64,
    /// Chance that a lot sells by the horizon of buying.
    pub chance_sold: f64,
}

/// The decision with the lots it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// The decision.
    pub decision: BuyDecision,
    /// The lots.
    pub kinds: Vec<CountedKind>,
    /// Days by which a lot must have sold to count.
    pub horizon_days: f64,
}

/// What to pay for a find at most, when the shop asks `asking`; `None` where it can't be priced or nothing of
/// it is worth selling.
///
/// # Errors
/// When a figure of the market or the price can't be used.
pub fn purchase(job: &Job, worth: &Worth, asking: Money) -> Result<Option<Purchase>, TradeError> {
    let (Ok(appraisal), Some(split)) = (&worth.appraisal, &worth.split) else { return Ok(None) };
    let named = |e: SellingError| TradeError::Market {
        find: job.finds[worth.find].name.clone(),
        reason: e.to_string(),
    };
    let kinds = kinds(job, worth, appraisal).map_err(named)?;
    if kinds.is_empty() {
        return Ok(None);
    }
    let lots: Vec<LotKind<'_>> = kinds
        .iter()
        .map(|(kind, sigma)| LotKind {
            delivered: Delivered::Lognormal { median: kind.median, sigma: *sigma },
            guarded_price: Some(kind.guarded),
            chance_sold: kind.chance_sold,
            unsold_worth: 0.0,
            ..LotKind::new(&kind.name, kind.lots, kind.median, *sigma, kind.fee_share, kind.cost)
        })
        .collect();
    let rules = &job.market.buying;
    let case = BuyCase {
        asking,
        tax_share: rules.shop_tax,
        kinds: &lots,
        hours: split.hours,
        targets: BuyTargets {
            wage: job.wage,
            return_on_cost: Some(rules.return_wanted),
            minimum_profit: Some(Money::from_cents_rounded(100.0 * rules.least_profit)),
            loss_chance: Some(rules.loss_risk),
            ..BuyTargets::default()
        },
        price_percentile: Some(rules.guard),
    };
    let decision = selling::buy_decision(&case).map_err(named)?;
    let kinds = kinds.into_iter().map(|(kind, _)| kind).collect();
    Ok(Some(Purchase { decision, kinds, horizon_days: rules.horizon_days }))
}

/// The lots of the best split, each with the spread of its price.
fn kinds(job: &Job, worth: &Worth, appraisal: &Appraisal) -> Result<Vec<(CountedKind, f64)>, SellingError> {
    let rules = &job.market.buying;
    let mut kinds = Vec::new();
    for (pool, split) in worth.splits() {
        let scale = pool.pool.worth * job.market.ask_ratio;
        let by_then = by_horizon(job, pool, rules.horizon_days)?;
        for listing in &split.listings {
            let (Some(order), Ok(lot), Ok(guarded)) = (
                listing.orders.first(),
                appraisal.lot(listing.size),
                appraisal.quantile(listing.size, rules.guard),
            ) else {
                continue;
            };
            let sold = by_then
                .listing(listing.size, listing.lots)
                .map_or(listing.sold_by_horizon, |listing| listing.sold_by_horizon);
            let delivered = order.delivered.currency();
            let fixed = job.market.venue.fixed_fee.currency();
            let fee = order.fee.currency();
            let lots = f64::from(listing.lots);
            kinds.push((
                CountedKind {
                    name: pool.pool.counted(listing.size),
                    lots: listing.lots,
                    median: lot.median * scale,
                    guarded: guarded * scale,
                    fee_share: ((fee - fixed) / delivered.max(0.01)).clamp(0.0, 0.99),
                    cost: order.postage + order.materials + fixed + order.damage + listing.holding / lots,
                    chance_sold: (sold / lots).clamp(0.0, 1.0),
                },
                (lot.p90 / lot.p10).ln() / P10_TO_P90,
            ));
        }
    }
    Ok(kinds)
}

/// The same lots reckoned to the horizon of buying.
fn by_horizon(job: &Job, pool: &PricedPool, days: f64) -> Result<Sizing, SellingError> {
    let lots: Vec<selling::LotSize> = pool.sizes.iter().filter_map(|size| size.lot.clone()).collect();
    let demand = Demand { horizon_days: days, ..job.market.demand.clone() };
    Sizing::new(pool.pool.available, &lots, &terms(job), &demand)
}
