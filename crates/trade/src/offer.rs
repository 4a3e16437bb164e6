//! What to answer to an offer for lots of a find.

use measure::Money;
use selling::{Answer, CounterRounding, NetOf, OfferCase, PostedDemand, Waiting};

use crate::market::terms;
use crate::worth::Worth;
use crate::{Job, TradeError};

/// An offer as it came in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// What the buyer offers for all the lots wanted, without shipping.
    pub amount: Money,
    /// The price asked for them; `None` takes the plan's.
    pub ask: Option<Money>,
    /// The pile they are of: 0 for the sets.
    pub pool: usize,
    /// Pieces (sets) in one lot; `None` takes the largest lots of the split.
    pub size: Option<u32>,
    /// Lots the buyer wants.
    pub lots: u32,
    /// Lots still there, with those wanted; `None` takes the plan's.
    pub lots_left: Option<u32>,
    /// Days until the lots must be gone.
    pub days_left: f64,
    /// Chance that the buyer is still there after a counter; `None` takes the usual.
    pub stay: Option<f64>,
    /// What answering costs.
    pub reply_cost: Money,
}

/// The answer with the figures it rests on.
#[derive(Debug, Clone)]
pub struct Answered {
    /// The answer.
    pub answer: Answer,
    /// Pieces (sets) in one lot.
    pub size: u32,
    /// Lots wanted.
    pub lots: u32,
    /// Lots still there.
    pub lots_left: u32,
    /// Median of the delivered price of one lot, currency.
    pub median: f64,
    /// Orders a day at the median.
    pub rate: f64,
    /// What the order costs beside the fee on its price, currency, own work included.
    pub costs: f64,
    /// Share of the item price that fees take.
    pub fee_share: f64,
}

/// What to answer.
///
/// # Errors
/// When the find can't be priced, has no such lots, or a figure can't be used.
pub fn answer(job: &Job, worth: &Worth, offer: &Offer) -> Result<Answered, TradeError> {
    let find = &job.finds[worth.find].name;
    let market = |reason: String| TradeError::Market { find: find.clone(), reason };
    let appraisal = worth.appraisal.as_ref().map_err(|e| market(e.to_string()))?;
    let pile = worth.pools.get(offer.pool).ok_or_else(|| market(String::from("it has no pieces")))?;
    let planned = worth
        .splits()
        .into_iter()
        .find(|(priced, _)| priced.pool == pile.pool)
        .and_then(|(_, split)| split.listings.iter().max_by_key(|listing| listing.size))
        .cloned();
    let size = offer.size.or(planned.as_ref().map(|listing| listing.size)).ok_or_else(|| {
        market(String::from("no lot of it is worth selling by the split; say how many pieces are in the lot"))
    })?;
    let lot = pile.sizes.iter().find(|known| known.pieces == size).and_then(|known| known.lot.as_ref());
    let lot = lot.ok_or_else(|| {
        market(format!("lots of {size} can't be packed or are not among the sizes tried; see its lot sizes"))
    })?;
    let listed = planned.filter(|listing| listing.size == size).map(|listing| listing.lots);
    let lots_left =
        offer.lots_left.or(listed).unwrap_or_else(|| (pile.pool.available / size).max(1)).max(offer.lots);
    // The order's own parcel where it was packed, else that many parcels of one lot.
    let (parcels, cost) = match lot.orders.get(&offer.lots) {
        Some(cost) => (1.0, *cost),
        None => (
            f64::from(offer.lots),
            *lot.orders.get(&1).ok_or_else(|| market(format!("lots of {size} can't be packed")))?,
        ),
    };
    let terms = terms(job);
    let single = lot.money(1, &terms).map_err(|e| market(e.to_string()))?;
    let currency = Money::currency;
    // Fees on price, shipping and tax are linear but for their rounding; damage takes its share of both.
    let taken = |share: f64| share + terms.fees.share_of_tax * terms.tax_rate;
    let kept_in_damage = |share: f64| terms.chance_of_damage * (1.0 - terms.fees.share_given_back * share);
    let fee_share = taken(terms.fees.share_of_item) + kept_in_damage(terms.fees.share_of_item);
    let on_shipping = taken(terms.fees.share_of_shipping) + kept_in_damage(terms.fees.share_of_shipping);
    let costs = parcels
        * (cost.postage + cost.materials + terms.wage * cost.minutes / 60.0
            - currency(cost.shipping_charged) * (1.0 - on_shipping))
        + currency(terms.fees.fixed);
    let ask = offer.ask.unwrap_or(single.item * i64::from(offer.lots));
    let median = pile.pool.worth * appraisal.lot(size).map_err(|e| market(e.to_string()))?.median;
    let rate = lot.rate_per_day;
    let wrong = |e: selling::SellingError| market(e.to_string());
    // Demand is told in what remains of one lot, so that values and offers are of one kind.
    let demand = PostedDemand::fit(median, rate, worth.pace.rate.ask_exponent().max(0.1))
        .and_then(|demand| {
            let one = lot.orders.get(&1).map_or(cost, |one| *one);
            let costs =
                one.postage + one.materials + terms.wage * one.minutes / 60.0 + currency(terms.fees.fixed);
            demand.after_costs(fee_share.min(0.99), costs)
        })
        .map_err(wrong)?;
    let mut case = OfferCase::new(
        offer.amount,
        ask,
        NetOf::Linear {
            fee_share: fee_share.min(0.99),
            costs: Money::from_cents_rounded((100.0 * costs).ceil()),
        },
        Waiting::Posted { demand, lots_left, lots_wanted: offer.lots },
        offer.days_left,
    );
    case.reply_cost = offer.reply_cost;
    case.rounding = CounterRounding::NinetyNineOrFifty;
    if let Some(stay) = offer.stay {
        case.stay_probability = stay;
    }
    let answer = selling::answer_offer(&case).map_err(wrong)?;
    Ok(Answered { answer, size, lots: offer.lots, lots_left, median, rate, costs, fee_share })
}
