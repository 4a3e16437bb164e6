//! The order ladder: an order of 1, 2, ... all lots of each find, and mixed orders.

use measure::Money;
use rayon::prelude::*;

use crate::charging::{charged, smallest_stated};
use crate::order::{Destination, OrderPlan, Settled, Shipped, expected};
use crate::planner::Planner;
use crate::{Charging, Job, Ladder, Library, Listing, Outcome, Stated, TradeError};

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
    // Finds share no pieces, so each has a planner of its own and they are worked side by side, the mixed
    // orders beside them.
    let (ladders, mixed) = rayon::join(
        || -> Result<Vec<Ladder>, TradeError> {
            (0..job.finds.len())
                .into_par_iter()
                .map(|find| {
                    let mut planner = Planner::new(job, library)?;
                    let listing = Listing::as_stated(find, &job.finds[find]);
                    Ok(ladder(job, &mut planner, listing, only, progress))
                })
                .collect()
        },
        || -> Result<Vec<Result<Vec<Shipped>, TradeError>>, TradeError> {
            let mut planner = Planner::new(job, library)?;
            let mut parcels = Vec::new();
            for order in &job.orders {
                progress(&order.name);
                let listings: Vec<Listing> =
                    order.lots.iter().map(|lot| Listing::as_stated(lot.0, &job.finds[lot.0])).collect();
                let lots: Vec<(&Listing, u32)> =
                    listings.iter().zip(&order.lots).map(|(listing, lot)| (listing, lot.1)).collect();
                let counts = planner.counts(&lots);
                parcels.push(planner.parcels(&counts).map(|division| division.parcels));
            }
            Ok(parcels)
        },
    );
    let ladders = ladders?;
    let orders = job
        .orders
        .iter()
        .zip(mixed?)
        .map(|(order, parcels)| {
            let stated =
                order.lots.first().and_then(|lot| ladders.get(lot.0)).and_then(|ladder| ladder.stated);
            let plan = parcels.map(|parcels| {
                let price = order
                    .lots
                    .iter()
                    .map(|&(find, lots)| job.finds[find].price.unwrap_or(Money::ZERO) * i64::from(lots))
                    .sum();
                let order = Ordered { name: order.name.clone(), lots: order.lots.clone(), price, stated };
                settle(job, order, parcels, &destinations)
            });
            (order.name.clone(), plan)
        })
        .collect();
    let cautions = job.post.card.warnings().to_vec();
    Ok(Outcome { destinations, ladders, orders, cautions })
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
            let again = |plan: OrderPlan| {
                let order = Ordered { name: plan.name, lots: plan.lots, price: plan.price, stated };
                settle(job, order, plan.parcels, &destinations)
            };
            (lots, plan.map(again))
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
