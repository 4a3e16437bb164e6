//! What a buyer is charged for postage under each policy, and the weight to state.

use jiff::civil::Date;
use measure::{Length, Mass, Money};
use postage::{ParcelFacts, RateCard};

use crate::order::Destination;
use crate::{Charging, Job, OrderPlan, Shipped};

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

/// What is charged for an order of lots to each destination, before its ladder is known: where the stated
/// weight is still to be found, a lot's share of these parcels, rounded up to whole pounds, stands for it.
pub(crate) fn charged_in_lots(
    job: &Job,
    lots: u32,
    parcels: &[Shipped],
    destinations: &[Destination],
) -> Option<Vec<Money>> {
    let stated = match job.charging {
        Charging::StatedPerLot { weight, size } => {
            let gross: Mass = parcels.iter().map(|parcel| parcel.gross).sum();
            let own = Mass::from_pounds((gross.pounds() / f64::from(lots.max(1))).ceil());
            let outside = parcels.first().map(|parcel| whole_inches(parcel.outside));
            Some((weight.unwrap_or(own), size.or(outside)?))
        }
        Charging::Flat { .. } | Charging::FlatPlus { .. } | Charging::Combined | Charging::Included => None,
    };
    destinations
        .iter()
        .enumerate()
        .map(|(k, to)| {
            let postage: Money = parcels.iter().map(|parcel| parcel.quotes[k].total).sum();
            charged(job.charging, lots, postage, stated, &job.post.card, job.post.date, to)
        })
        .collect()
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

/// Size and weight below which nothing is stated: those of the order of one lot.
fn one_lot(one: &OrderPlan) -> Option<([Length; 3], Mass)> {
    let volume = |parcel: &Shipped| (parcel.outside[0] * parcel.outside[1] * parcel.outside[2]).mm3();
    let largest = one.parcels.iter().max_by(|a, b| volume(a).total_cmp(&volume(b)))?;
    // Less than a lot weighs is never stated, even where its size alone sets the postage.
    Some((whole_inches(largest.outside), one.parcels.iter().map(|parcel| parcel.gross).sum()))
}

/// The smallest weight to state per lot, at the one-lot parcel's size, so that no order on the ladder
/// is charged less than its postage to any destination, when each lot is charged by itself.
pub(crate) fn smallest_stated(
    rungs: &[&OrderPlan],
    card: &RateCard,
    date: Date,
    destinations: &[Destination],
) -> Option<Stated> {
    let (size, lightest) = one_lot(rungs.first()?)?;
    let postages: Vec<(u32, Vec<Money>)> = rungs
        .iter()
        .map(|rung| (rung.lot_count(), rung.settled.iter().map(|settled| settled.postage).collect()))
        .collect();
    let each = |weight: Mass| -> Option<Vec<Money>> {
        destinations.iter().map(|to| stated_postage(card, date, weight, size, to)).collect()
    };
    let shares: Vec<f64> = destinations.iter().map(|to| to.share).collect();
    weights(card.weight_limit())
        .filter(|weight| *weight >= lightest)
        .find_map(|weight| never_loses(&postages, &each(weight)?, &shares).map(|over| (weight, over)))
        .map(|(weight, (most_over, most_over_lots, expected_over))| Stated {
            weight,
            size,
            most_over,
            most_over_lots,
            expected_over,
        })
}

/// The most that is charged beyond postage, the lots of that order and the expected excess, when each lot
/// is charged `each` to a destination; `None` when any order to any destination loses.
///
/// `postages` are the lots of an order and its postage per destination.
fn never_loses(
    postages: &[(u32, Vec<Money>)],
    each: &[Money],
    shares: &[f64],
) -> Option<(Money, u32, Money)> {
    let mut most = (Money::ZERO, 0);
    let mut sum = 0.0;
    for (lots, postage) in postages {
        for ((each, postage), share) in each.iter().zip(postage).zip(shares) {
            let over = *each * i64::from(*lots) - *postage;
            if over < Money::ZERO {
                return None;
            }
            if over > most.0 {
                most = (over, *lots);
            }
            sum += over.cents() as f64 * share;
        }
    }
    Some((most.0, most.1, Money::from_cents_rounded(sum / postages.len() as f64)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_charge_that_loses_on_any_order_to_any_destination_is_no_answer() {
        let cents =
            |amounts: &[i64]| amounts.iter().map(|&cents| Money::from_cents(cents)).collect::<Vec<_>>();
        let postages = [(1, cents(&[800, 1000])), (2, cents(&[1500, 2500]))];
        let shares = [0.5, 0.5];
        // Twice 12.00 is 1.00 short of the far postage of two lots.
        assert_eq!(never_loses(&postages, &cents(&[900, 1200]), &shares), None);
        let (most, lots, expected) =
            never_loses(&postages, &cents(&[900, 1250]), &shares).expect("it just covers");
        assert_eq!((most, lots), (Money::from_cents(300), 2));
        // 1.00 and 2.50 on one lot, 3.00 and 0.00 on two.
        assert_eq!(expected, Money::from_cents(163));
    }
}
