//! What a buyer is charged for postage under each policy, and the weight to state.

use jiff::civil::Date;
use measure::{Length, Mass, Money};
use postage::{ParcelFacts, RateCard};

use crate::order::Destination;
use crate::{Charging, OrderPlan};

/// A weight and size to state for one lot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// Weight.
    pub weight: Mass,
    /// Length, width and height, whole inches.
    pub size: [Length; 3],
    /// Most that any order to any destination is charged beyond its postage.
    pub most_over: Money,
    /// Lots in that order.
    pub most_over_lots: u32,
    /// Expected charge beyond postage, averaged over the orders and by the buyers' shares.
    pub expected_over: Money,
}

/// Postage of a stated weight and size to a destination; `None` when the card refuses it.
pub(crate) fn stated_postage(
    card: &RateCard,
    date: Date,
    weight: Mass,
    size: [Length; 3],
    to: &Destination,
) -> Option<Money> {
    let facts = ParcelFacts { outside: size, gross: weight, rectangular: true };
    card.quote(&facts, to.zone.zone, date).ok().map(|quote| quote.total)
}

/// What is charged for an order of `lots` lots to a destination.
pub(crate) fn charged(
    charging: Charging,
    lots: u32,
    postage: Money,
    stated: Option<(Mass, [Length; 3])>,
    card: &RateCard,
    date: Date,
    to: &Destination,
) -> Option<Money> {
    match charging {
        Charging::Flat { amount } => Some(amount),
        Charging::FlatPlus { first, further } => Some(first + further * i64::from(lots.saturating_sub(1))),
        Charging::StatedPerLot { .. } => {
            let (weight, size) = stated?;
            stated_postage(card, date, weight, size, to).map(|each| each * i64::from(lots))
        }
        Charging::Combined => Some(postage),
        Charging::Included => Some(Money::ZERO),
    }
}

/// Sizes are stated in whole inches, rounded up.
fn whole_inches(outside: [Length; 3]) -> [Length; 3] {
    // A thousandth of an inch is forgiven, so that 12 in computed from millimetres stays 12 in.
    outside.map(|side| Length::from_inches((side.inches() - 0.001).ceil()))
}

/// Weights worth stating: whole ounces to a pound, then whole pounds. The card's own steps lie among
/// them for every published parcel card.
fn weights(limit: Mass) -> impl Iterator<Item = Mass> {
    let pounds = limit.pounds().floor() as u32;
    (1..16)
        .map(|ounces| Mass::from_ounces(f64::from(ounces)))
        .chain((1..=pounds).map(|pounds| Mass::from_pounds(f64::from(pounds))))
}

/// The smallest weight to state per lot, at the one-lot parcel's size, so that no order on the ladder
/// is charged less than its postage to any destination, when each lot is charged by itself.
pub(crate) fn smallest_stated(
    rungs: &[&OrderPlan],
    card: &RateCard,
    date: Date,
    destinations: &[Destination],
) -> Option<Stated> {
    let one = rungs.first()?;
    let largest = one.parcels.iter().max_by(|a, b| {
        let volume =
            |parcel: &crate::Shipped| (parcel.outside[0] * parcel.outside[1] * parcel.outside[2]).mm3();
        volume(a).total_cmp(&volume(b))
    })?;
    let size = whole_inches(largest.outside);
    // Less than a lot weighs is never stated, even where its size alone sets the postage.
    let lightest: Mass = one.parcels.iter().map(|parcel| parcel.gross).sum();
    for weight in weights(card.weight_limit()).filter(|weight| *weight >= lightest) {
        let each: Option<Vec<Money>> =
            destinations.iter().map(|to| stated_postage(card, date, weight, size, to)).collect();
        let Some(each) = each else { continue };
        let over =
            |rung: &OrderPlan, k: usize| each[k] * i64::from(rung.lot_count()) - rung.settled[k].postage;
        let never_loses = rungs.iter().all(|rung| (0..each.len()).all(|k| over(rung, k) >= Money::ZERO));
        if !never_loses {
            continue;
        }
        let mut most = (Money::ZERO, 0);
        let mut sum = 0.0;
        for rung in rungs {
            for (k, to) in destinations.iter().enumerate() {
                let over = over(rung, k);
                if over > most.0 {
                    most = (over, rung.lot_count());
                }
                sum += over.cents() as f64 * to.share;
            }
        }
        return Some(Stated {
            weight,
            size,
            most_over: most.0,
            most_over_lots: most.1,
            expected_over: Money::from_cents_rounded(sum / rungs.len() as f64),
        });
    }
    None
}
