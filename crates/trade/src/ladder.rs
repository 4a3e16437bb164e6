//! The order ladder: an order of 1, 2, ... all lots of each find, and mixed orders.

use measure::Money;
use packing::Watch;
use rayon::prelude::*;

use crate::charging::{charged, smallest_stated};
use crate::order::{Destination, OrderPlan, Settled, Shipped, expected};
use crate::planner::Planner;
use crate::worth::worth;
use crate::{
    Charging, Job, Ladder, Library, Listing, LotsBy, MixedOrder, Outcome, Row, Stated, TradeError, Worth,
};

/// Works a job out: every find's ladder and every mixed order.
///
/// `only` limits the ladders to orders of that many lots. `progress` is told what is being worked on.
///
/// # Errors
/// When the job can't be worked at all; what can't be packed is an error on its own rung.
pub fn work_out(
    job: &Job,
    library: &Library,
    only: Option<u32>,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Outcome, TradeError> {
    let destinations = Planner::new(job, library)?.destinations().to_vec();
    // Finds share no pieces, so each has a planner of its own and they are worked side by side.
    let finds: Vec<Worked> = (0..job.finds.len())
        .into_par_iter()
        .map(|find| work(job, library, find, only, progress))
        .collect::<Result<_, TradeError>>()?;
    let orders = job
        .orders
        .par_iter()
        .map(|order| {
            progress(&order.name);
            let plan =
                Planner::new(job, library).and_then(|mut planner| mixed(job, &mut planner, order, &finds));
            (order.name.clone(), plan)
        })
        .collect();
    let cautions = job.post.card.warnings().to_vec();
    let (mut worths, mut ladders) = (Vec::new(), Vec::new());
    for worked in finds {
        worths.push(worked.worth);
        ladders.extend(worked.ladders);
    }
    Ok(Outcome { destinations, worths, ladders, orders, cautions })
}

/// Appraises one find and splits it, without the ladders of what it is split into.
///
/// # Errors
/// When the job can't be worked, or the figures of the market can't be used.
pub fn appraise(
    job: &Job,
    library: &Library,
    find: usize,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Worth, TradeError> {
    let mut planner = Planner::new(job, library)?;
    worth(job, &mut planner, find, progress)
}

/// The orders of 1, 2, ... all lots of one listing, each packed for real.
///
/// # Errors
/// When the job can't be worked, or has no such find; what can't be packed is an error on its own rung.
pub fn order_ladder(
    job: &Job,
    library: &Library,
    listing: Listing,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Ladder, TradeError> {
    if job.finds.get(listing.find).is_none_or(|find| find.rows.len() != listing.per_lot.len()) {
        return Err(TradeError::NotPacked(String::from("the listing is of no find of this job")));
    }
    let mut planner = Planner::new(job, library)?;
    Ok(ladder(job, &mut planner, listing, None, progress))
}

/// All usable pieces of a job's finds as one order, without its price: the cheapest parcel or parcels.
///
/// The search takes `effort` times the usual time; the same effort gives the same plan.
///
/// # Errors
/// When the job can't be worked or the pieces can't be packed.
pub fn pack_all(job: &Job, library: &Library, effort: u32) -> Result<OrderPlan, TradeError> {
    pack_all_watched(job, library, effort, &Watch::default())
}

/// [`pack_all`] with somebody looking on, who may stop it.
///
/// # Errors
/// As [`pack_all`]; [`TradeError::Stopped`] once it was told to stop.
pub fn pack_all_watched(
    job: &Job,
    library: &Library,
    effort: u32,
    watch: &Watch,
) -> Result<OrderPlan, TradeError> {
    let mut planner = Planner::new(job, library)?.with_effort(effort).watched(watch);
    let whole: Vec<Listing> = job
        .finds
        .iter()
        .enumerate()
        .map(|(find, group)| Listing {
            find,
            per_lot: group.rows.iter().map(Row::usable).collect(),
            lots: 1,
            price: None,
        })
        .collect();
    let lots: Vec<(&Listing, u32)> = whole.iter().map(|listing| (listing, 1)).collect();
    let counts = planner.counts(&lots);
    let parcels = planner.parcels(&counts)?.parcels;
    let destinations = planner.destinations().to_vec();
    let order = Ordered {
        name: String::from("all pieces"),
        lots: whole.iter().map(|listing| (listing.find, 1)).collect(),
        price: Money::ZERO,
        stated: None,
    };
    let mut plan = settle(job, order, parcels, &destinations);
    planner.mend_all(&mut plan);
    // What was found in a hurry is no plan.
    if watch.is_stopped() { Err(TradeError::Stopped) } else { Ok(plan) }
}

/// A find worked out.
struct Worked {
    worth: Option<Worth>,
    ladders: Vec<Ladder>,
}

fn work(
    job: &Job,
    library: &Library,
    find: usize,
    only: Option<u32>,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Worked, TradeError> {
    let mut planner = Planner::new(job, library)?;
    let group = &job.finds[find];
    let worth = (!group.comps.is_empty()).then(|| worth(job, &mut planner, find, progress)).transpose()?;
    let listings = match (group.lots_by, &worth) {
        (LotsBy::Split, Some(worth)) => worth.listings(),
        (LotsBy::Split, None) => Vec::new(),
        (LotsBy::Sheet, worth) => {
            let mut listing = Listing::as_stated(find, group);
            if listing.price.is_none() {
                listing.price = worth.as_ref().and_then(|worth| worth.price_of(&listing));
            }
            vec![listing]
        }
    };
    let ladders =
        listings.into_iter().map(|listing| ladder(job, &mut planner, listing, only, progress)).collect();
    Ok(Worked { worth, ladders })
}

/// An order over several finds, of the first listing of each.
fn mixed(
    job: &Job,
    planner: &mut Planner<'_>,
    order: &MixedOrder,
    finds: &[Worked],
) -> Result<OrderPlan, TradeError> {
    let mut lots: Vec<(&Listing, u32)> = Vec::new();
    for &(find, wanted) in &order.lots {
        let name = &job.finds[find].name;
        let listing = finds.get(find).and_then(|worked| worked.ladders.first()).map(|ladder| &ladder.listing);
        let listing = listing.ok_or_else(|| {
            TradeError::NotPacked(format!("nothing of \"{name}\" is worth listing, so no lot of it is sold"))
        })?;
        if wanted > listing.lots {
            return Err(TradeError::NotPacked(format!(
                "\"{name}\" makes only {} lots of {} pieces",
                listing.lots,
                listing.pieces()
            )));
        }
        lots.push((listing, wanted));
    }
    let counts = planner.counts(&lots);
    let parcels = planner.parcels(&counts)?.parcels;
    let price =
        lots.iter().map(|(listing, wanted)| listing.price.unwrap_or(Money::ZERO) * i64::from(*wanted)).sum();
    let stated = order
        .lots
        .first()
        .and_then(|lot| finds.get(lot.0))
        .and_then(|worked| worked.ladders.first())
        .and_then(|ladder| ladder.stated);
    let ordered = Ordered { name: order.name.clone(), lots: order.lots.clone(), price, stated };
    let destinations = planner.destinations().to_vec();
    let mut plan = settle(job, ordered, parcels, &destinations);
    planner.mend_all(&mut plan);
    Ok(plan)
}

/// One listing's orders of 1, 2, ... all lots.
pub(crate) fn ladder(
    job: &Job,
    planner: &mut Planner<'_>,
    listing: Listing,
    only: Option<u32>,
    progress: &(dyn Fn(&str) + Sync),
) -> Ladder {
    let find = listing.find;
    let group = &job.finds[find];
    let destinations = planner.destinations().to_vec();
    let mut plans: Vec<(u32, Result<OrderPlan, TradeError>)> = Vec::new();
    for lots in 1..=listing.lots {
        progress(&format!("{}: {lots} of {} lots", group.name, listing.lots));
        let counts = planner.counts(&[(&listing, lots)]);
        let plan = planner.parcels(&counts).map(|division| {
            let price = listing.price.unwrap_or(Money::ZERO) * i64::from(lots);
            let order =
                Ordered { name: name(job, &[(find, lots)]), lots: vec![(find, lots)], price, stated: None };
            settle(job, order, division.parcels, &destinations)
        });
        plans.push((lots, plan));
    }
    let complete: Option<Vec<&OrderPlan>> = plans.iter().map(|(_, plan)| plan.as_ref().ok()).collect();
    let stated =
        complete.and_then(|rungs| smallest_stated(&rungs, &job.post.card, job.post.date, &destinations));
    let rungs = plans
        .into_iter()
        .filter(|(lots, _)| only.is_none_or(|only| only == *lots))
        .map(|(lots, plan)| {
            // What is charged may hang on the stated weight, which is known only now.
            let mut again = |plan: OrderPlan| {
                let order = Ordered { name: plan.name, lots: plan.lots, price: plan.price, stated };
                let mut plan = settle(job, order, plan.parcels, &destinations);
                planner.mend_all(&mut plan);
                plan
            };
            (lots, plan.map(&mut again))
        })
        .collect();
    Ladder { listing, rungs, stated }
}

/// "2 lots of consomme cups", "1 lot of pitcher and 2 lots of goblets".
fn name(job: &Job, lots: &[(usize, u32)]) -> String {
    let parts: Vec<String> = lots
        .iter()
        .map(|&(find, lots)| {
            format!("{lots} {} of {}", if lots == 1 { "lot" } else { "lots" }, job.finds[find].name)
        })
        .collect();
    parts.join(" and ")
}

/// An order to be added up.
struct Ordered {
    name: String,
    /// Index of a find and the number of its lots.
    lots: Vec<(usize, u32)>,
    /// Of all its lots.
    price: Money,
    /// The smallest weight to state, once it is known.
    stated: Option<Stated>,
}

/// Adds up an order: postage, charge and what remains, to every destination.
fn settle(job: &Job, order: Ordered, parcels: Vec<Shipped>, destinations: &[Destination]) -> OrderPlan {
    let Ordered { name, lots, price, stated: smallest } = order;
    let materials: Money = parcels.iter().map(|parcel| parcel.materials).sum();
    let minutes = parcels.iter().map(|parcel| parcel.minutes).sum();
    let count: u32 = lots.iter().map(|lot| lot.1).sum();
    let stated = match job.charging {
        Charging::StatedPerLot { weight, size } => {
            match (weight.or(smallest.map(|s| s.weight)), size.or(smallest.map(|s| s.size))) {
                (Some(weight), Some(size)) => Some((weight, size)),
                _ => None,
            }
        }
        _ => None,
    };
    let settled: Vec<Settled> = destinations
        .iter()
        .enumerate()
        .map(|(k, to)| {
            let postage: Money = parcels.iter().map(|parcel| parcel.quotes[k].total).sum();
            // A stated weight that the card refuses is charged as nothing: against hope.
            let charged = charged(job.charging, count, postage, stated, &job.post.card, job.post.date, to)
                .unwrap_or(Money::ZERO);
            let postage_margin = charged - postage;
            Settled { postage, charged, postage_margin, remains: price + postage_margin - materials }
        })
        .collect();
    let worst = (0..settled.len()).min_by_key(|&k| settled[k].remains).unwrap_or(0);
    let of = |amount: fn(&Settled) -> Money| expected(settled.iter().map(amount), destinations);
    let short_of = job
        .cartons
        .iter()
        .filter_map(|stock| {
            let needed = parcels.iter().filter(|parcel| parcel.plan.carton.name == stock.name).count() as u32;
            let on_hand = stock.on_hand?;
            (needed > on_hand).then(|| (stock.name.clone(), needed, on_hand))
        })
        .collect();
    OrderPlan {
        short_of,
        name,
        lots,
        price,
        materials,
        minutes,
        expected_postage: of(|s| s.postage),
        expected_margin: of(|s| s.postage_margin),
        expected_remains: of(|s| s.remains),
        worst,
        settled,
        parcels,
    }
}
