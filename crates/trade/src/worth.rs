//! What a find is worth: its comps appraised, its lots packed for real, its pile split.

use std::collections::BTreeMap;

use measure::Money;
use pricing::{Appraisal, LotWorth, PricingError};
use selling::{
    BarePool, Choice, Demand, EqualLots, LotSize, OrderCost, PooledPlan, Sizing, Spare, SpareWorth, Split,
};

use crate::charging::charged_in_lots;
use crate::market::terms;
use crate::order::{Shipped, expected};
use crate::pace::{Pace, pace};
use crate::planner::Planner;
use crate::pool::{Pool, PoolKind, pools};
use crate::{Find, Job, Listing, TradeError};

/// Lots are tried up to this share over the largest lot that was seen sold (Reference: the elasticity beyond
/// it comes from the prior alone).
const BEYOND_SEEN: f64 = 1.5;
/// Lots tried at least, however small those that were seen (judgement).
const TRIED_AT_LEAST: u32 = 2;
/// Largest lot tried without any comp (judgement).
const TRIED_WITHOUT_COMPS: u32 = 12;

/// One lot size of a pile: what it brings and what it takes to send.
#[derive(Debug, Clone)]
pub struct Size {
    /// Pieces (sets) in a lot.
    pub pieces: u32,
    /// What the estimator says of it; `None` without comps or for a pile valued by its share.
    pub worth: Option<LotWorth>,
    /// Parcels of an order of one lot, or why there are none.
    pub parcels: Result<Vec<Shipped>, TradeError>,
    /// The figures that the split reckons with; `None` where nothing could be packed or priced.
    pub lot: Option<LotSize>,
    /// Price delivered at which one lot leaves nothing.
    pub break_even: Option<Money>,
}

/// A pile with its sizes.
#[derive(Debug, Clone)]
pub struct PricedPool {
    /// The pile.
    pub pool: Pool,
    /// Its lot sizes, smallest first.
    pub sizes: Vec<Size>,
    /// Every listing of them, reckoned; `None` without comps.
    pub sizing: Option<Sizing>,
}

/// How a find is best split.
#[derive(Debug, Clone)]
pub struct FindSplit {
    /// Sets and single pieces together.
    pub plan: PooledPlan,
    /// The best split of the sets, the next best and the best that is built on another size.
    pub choice: Choice,
    /// The split of the sets that earns most per hour.
    pub per_hour: Option<Choice>,
    /// Equal lots of each size.
    pub equal: Vec<EqualLots>,
    /// The flawed pieces' splits, in the order of their piles.
    pub flawed: Vec<(usize, Split)>,
    /// What keeping spares costs and saves, where any are kept.
    pub spare: Option<SpareWorth>,
    /// Expected profit of everything, before what the find cost, currency.
    pub worth: f64,
    /// Hours of listing and packing of everything.
    pub hours: f64,
}

/// What a find is worth.
#[derive(Debug, Clone)]
pub struct Worth {
    /// Index of the find.
    pub find: usize,
    /// The comps, appraised; or why that can't be.
    pub appraisal: Result<Appraisal, PricingError>,
    /// How fast it sells.
    pub pace: Pace,
    /// Its piles with their sizes, the sets first.
    pub pools: Vec<PricedPool>,
    /// How it is best split; `None` without comps.
    pub split: Option<FindSplit>,
}

/// Appraises a find, packs its lot sizes and splits it.
///
/// # Errors
/// When the figures of the market can't be used. What can't be packed or priced is told by its size.
pub(crate) fn worth(
    job: &Job,
    planner: &mut Planner<'_>,
    find: usize,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Worth, TradeError> {
    let group = &job.finds[find];
    let market = &job.market;
    let named = |reason: String| TradeError::Market { find: group.name.clone(), reason };
    let appraisal = pricing::appraise(&group.comps, group.grade, &market.assumptions);
    let pace = pace(job, group, appraisal.as_ref().ok()).map_err(|e| named(e.to_string()))?;
    let mut demand = market.demand.clone();
    demand.at_one = pace.rate.mean_rate() * market.ask_ratio.powf(-pace.rate.ask_exponent());
    let offsets: Vec<f64> = group
        .rows
        .iter()
        .map(|row| market.assumptions.grades.of(row.flawed_grade) - market.assumptions.grades.of(group.grade))
        .collect();
    let mut priced = Vec::new();
    for pool in pools(group, &offsets) {
        let most = largest_lot(group, appraisal.as_ref().ok()).min(pool.available).max(1);
        let mut sizes = Vec::new();
        for pieces in 1..=most.min(pool.available) {
            progress(&format!("{}: lots of {pieces} {}", group.name, pool.name));
            sizes.push(size(job, planner, find, &pool, pieces, appraisal.as_ref().ok(), &demand));
        }
        priced.push(PricedPool { pool, sizes, sizing: None });
    }
    let mut worth = Worth { find, appraisal, pace, pools: priced, split: None };
    worth.split_again(job).map_err(|e| named(e.to_string()))?;
    Ok(worth)
}

/// The largest lot to try, in sets.
fn largest_lot(group: &Find, appraisal: Option<&Appraisal>) -> u32 {
    if let Some(largest) = group.largest_lot {
        return largest;
    }
    match appraisal {
        None => TRIED_WITHOUT_COMPS,
        Some(appraisal) => {
            let seen = f64::from(appraisal.largest_lot());
            ((BEYOND_SEEN * seen).floor() as u32).max(TRIED_AT_LEAST)
        }
    }
}

/// One lot size: packed, priced and ready to be reckoned with.
fn size(
    job: &Job,
    planner: &mut Planner<'_>,
    find: usize,
    pool: &Pool,
    pieces: u32,
    appraisal: Option<&Appraisal>,
    demand: &Demand,
) -> Size {
    let worth = appraisal.and_then(|appraisal| appraisal.lot(pieces).ok());
    let delivered = worth.as_ref().map(|worth| worth.median * pool.worth * job.market.ask_ratio);
    let listing = Listing {
        find,
        per_lot: pool.unit.iter().map(|count| count * pieces).collect(),
        lots: pool.available / pieces,
        price: None,
    };
    let mut orders = BTreeMap::new();
    let mut parcels = Err(TradeError::NotPacked(String::from("nothing to pack")));
    for (lots, _) in demand.mix.shares().filter(|(lots, _)| *lots <= listing.lots) {
        let counts = planner.counts(&[(&listing, lots)]);
        let packed = planner.compared(&counts).map(|division| division.parcels);
        if let Ok(packed) = &packed
            && let Some(cost) = order_cost(job, planner, lots, packed)
        {
            orders.insert(lots, cost);
        }
        if lots == 1 {
            parcels = packed;
        }
    }
    let lot = delivered.map(|delivered| LotSize {
        pieces,
        delivered,
        rate_per_day: demand.rate(pieces),
        orders: orders.clone(),
    });
    let break_even = orders.get(&1).and_then(|order| {
        let lot = LotSize {
            pieces,
            delivered: delivered.unwrap_or(1.0),
            rate_per_day: demand.rate(pieces),
            orders: BTreeMap::from([(1, *order)]),
        };
        lot.break_even(&terms(job)).ok().flatten()
    });
    // A lot that shipping would eat, or that no parcel carries, is not offered.
    let lot = lot.filter(|lot| lot.orders.contains_key(&1));
    Size { pieces, worth: worth.filter(|_| pool.kind == PoolKind::Sets), parcels, lot, break_even }
}

/// What an order of so many lots costs, on its real parcels.
fn order_cost(job: &Job, planner: &Planner<'_>, lots: u32, parcels: &[Shipped]) -> Option<OrderCost> {
    let destinations = planner.destinations();
    let postage: f64 = destinations
        .iter()
        .enumerate()
        .map(|(k, to)| {
            let total: Money = parcels.iter().map(|parcel| parcel.quotes[k].total).sum();
            to.share * total.currency()
        })
        .sum();
    let charged: Vec<Money> = charged_in_lots(job, lots, parcels, destinations)?;
    Some(OrderCost {
        postage,
        materials: parcels.iter().map(|parcel| parcel.materials.currency()).sum(),
        minutes: parcels.iter().map(|parcel| parcel.minutes).sum(),
        shipping_charged: expected(charged.into_iter(), destinations),
    })
}

/// The best split of all piles.
fn split(job: &Job, pools: &[PricedPool]) -> Result<Option<FindSplit>, selling::SellingError> {
    let Some(first) = pools.first() else { return Ok(None) };
    let Some(sets) = &first.sizing else { return Ok(None) };
    let most = job.market.most_sizes;
    let by_profit = sets.by_profit(most)?;
    let alone: Vec<(&PricedPool, &Sizing)> = pools
        .iter()
        .filter(|priced| matches!(priced.pool.kind, PoolKind::Alone { .. }))
        .filter_map(|priced| Some((priced, priced.sizing.as_ref()?)))
        .collect();
    let plans: Vec<selling::ByProfit<'_>> =
        alone.iter().map(|(_, sizing)| sizing.by_profit(most)).collect::<Result<_, _>>()?;
    let bare: Vec<BarePool<'_>> = alone
        .iter()
        .zip(&plans)
        .filter_map(|((priced, _), plans)| {
            let PoolKind::Alone { row } = priced.pool.kind else { return None };
            let per_set = *first.pool.unit.get(row)?;
            (per_set > 0).then_some(BarePool { plans, pieces: priced.pool.available, per_set })
        })
        .collect();
    let mut plan = selling::best_pools(&by_profit, &bare)?;
    let mut choice = by_profit.choice(plan.sets)?;
    let spare = (job.market.spare > 0 && job.market.spare < plan.sets)
        .then(|| by_profit.spare(plan.sets, &spare(job, first, &choice)))
        .transpose()?;
    if let Some(spare) = spare.as_ref().filter(|spare| spare.pays()) {
        // Spares that pay are kept: the lots are made of the rest.
        choice = by_profit.choice(spare.with.pieces)?;
        plan.of_sets = spare.with.clone();
    }
    let lots_of = plan.of_sets.pieces;
    let per_hour = sets.per_hour(lots_of, Money::ZERO, most)?;
    let equal = sets.equal_lots(lots_of)?;
    let mut flawed = Vec::new();
    for (k, priced) in pools.iter().enumerate() {
        let apart = match priced.pool.kind {
            PoolKind::Flawed { .. } => true,
            // A kind that no set takes is a pile of its own.
            PoolKind::Alone { row } => first.pool.unit.get(row) == Some(&0),
            PoolKind::Sets => false,
        };
        if apart && let Some(sizing) = &priced.sizing {
            flawed.push((k, sizing.by_profit(most)?.split(priced.pool.available)?));
        }
    }
    let splits =
        || std::iter::once(&plan.of_sets).chain(&plan.of_bare).chain(flawed.iter().map(|(_, split)| split));
    let (worth, hours) = (splits().map(Split::worth).sum(), splits().map(Split::hours).sum());
    Ok(Some(FindSplit { plan: plan.clone(), choice, per_hour, equal, flawed, spare, worth, hours }))
}

/// What a spare saves when an order breaks: the refund less a second parcel of one piece.
fn spare(job: &Job, sets: &PricedPool, choice: &Choice) -> Spare {
    let refund = choice
        .best
        .listings
        .first()
        .and_then(|listing| listing.orders.first())
        .map_or(0.0, |order| order.damage / job.market.damage.max(f64::MIN_POSITIVE));
    let again = sets
        .sizes
        .first()
        .and_then(|size| size.lot.as_ref())
        .and_then(|lot| lot.orders.get(&1))
        .map_or(0.0, |order| order.postage + order.materials + terms(job).wage * order.minutes / 60.0);
    Spare { kept: job.market.spare, chance_of_break: job.market.damage, saving: (refund - again).max(0.0) }
}

impl Worth {
    /// Chooses the split anew from the lots that are packed and priced already: after a change of the job's
    /// terms or demand that moves neither parcels nor prices.
    ///
    /// # Errors
    /// When a figure of the market can't be used.
    pub fn split_again(&mut self, job: &Job) -> Result<(), selling::SellingError> {
        if self.appraisal.is_err() {
            return Ok(());
        }
        for priced in &mut self.pools {
            let lots: Vec<LotSize> = priced.sizes.iter().filter_map(|size| size.lot.clone()).collect();
            let demand = &job.market.demand;
            priced.sizing = Some(Sizing::new(priced.pool.available, &lots, &terms(job), demand)?);
        }
        self.split = split(job, &self.pools)?;
        Ok(())
    }

    /// Every pile with its part of the best split, the sets first; empty without comps.
    #[must_use]
    pub fn splits(&self) -> Vec<(&PricedPool, &Split)> {
        let (Some(split), Some(sets)) = (&self.split, self.pools.first()) else { return Vec::new() };
        let beside_sets = self.pools.iter().filter(|priced| {
            let PoolKind::Alone { row } = priced.pool.kind else { return false };
            sets.pool.unit.get(row).is_some_and(|per_set| *per_set > 0)
        });
        let apart = split.flawed.iter().filter_map(|(k, split)| Some((self.pools.get(*k)?, split)));
        std::iter::once((sets, &split.plan.of_sets))
            .chain(beside_sets.zip(&split.plan.of_bare))
            .chain(apart)
            .collect()
    }

    /// The pile that a listing is of, and pieces (sets) of it in one lot.
    #[must_use]
    pub fn pool_of(&self, listing: &Listing) -> Option<(usize, u32)> {
        let of = |priced: &PricedPool| -> Option<u32> {
            let unit = &priced.pool.unit;
            let (row, per_set) = unit.iter().enumerate().find(|(_, per_set)| **per_set > 0)?;
            let size = listing.per_lot.get(row)? / per_set;
            unit.iter().map(|count| count * size).eq(listing.per_lot.iter().copied()).then_some(size)
        };
        // Flawed pieces are listed only by the split, at a price of their own.
        let priced = |k: usize, size: u32| {
            let listed = self.pools.get(k)?.sizing.as_ref()?.listing(size, 1)?;
            listed.orders.first().map(|order| order.item)
        };
        let mut found = self.pools.iter().enumerate().filter_map(|(k, pool)| Some((k, of(pool)?)));
        let first = found.clone().next();
        found.find(|&(k, size)| listing.price.is_some() && priced(k, size) == listing.price).or(first)
    }

    /// Whether a listing of the split is of flawed pieces.
    #[must_use]
    pub fn is_of_flawed(&self, listing: &Listing) -> bool {
        let pool = self.pool_of(listing).and_then(|(pool, _)| self.pools.get(pool));
        pool.is_some_and(|priced| matches!(priced.pool.kind, PoolKind::Flawed { .. }))
    }

    /// Price of one lot of a stated listing of sets, by the estimator; `None` where its size was not tried.
    #[must_use]
    pub fn price_of(&self, listing: &Listing) -> Option<Money> {
        let sets = self.pools.first()?;
        let (row, per_set) = sets.pool.unit.iter().enumerate().find(|(_, per_set)| **per_set > 0)?;
        let size = listing.per_lot.get(row)? / per_set;
        let listed = sets.sizing.as_ref()?.listing(size, 1)?;
        listed.orders.first().map(|order| order.item)
    }

    /// The listings of the best split, the largest lots of sets first; their prices are the items'.
    #[must_use]
    pub fn listings(&self) -> Vec<Listing> {
        let of = |priced: &PricedPool, listing: &selling::Listing| Listing {
            find: self.find,
            per_lot: priced.pool.unit.iter().map(|count| count * listing.size).collect(),
            lots: listing.lots,
            price: listing.orders.first().map(|order| order.item),
        };
        self.splits()
            .into_iter()
            .flat_map(|(priced, split)| split.listings.iter().map(move |listing| of(priced, listing)))
            .collect()
    }
}
