//! Pieces that go together: sets made up from several piles, and what is left of each sold bare.

use std::cmp::Ordering;

use measure::Money;

use super::Split;
use super::best::ByProfit;
use super::figure::within;
use super::ledger::Ledger;
use super::split::cost_line;
use crate::SellingError;

/// A pile that gives pieces to sets, and whose rest is sold bare.
#[derive(Clone, Copy)]
pub struct BarePool<'a> {
    /// How the bare pieces sell.
    pub plans: &'a ByProfit<'a>,
    /// Pieces in the pile.
    pub pieces: u32,
    /// Pieces that one set takes, at least 1.
    pub per_set: u32,
}

/// How many sets to make up, and how to split them and the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct PooledPlan {
    /// Sets made up.
    pub sets: u32,
    /// The sets' split, a set being one piece.
    pub of_sets: Split,
    /// The split of each pile's rest, in the order given.
    pub of_bare: Vec<Split>,
    /// Worth before the cost of goods with 0, 1, 2... sets made up, currency.
    pub worth_by_sets: Vec<f64>,
}

impl PooledPlan {
    /// The lines of the profit when all piles together cost so much; pool 0 is the sets.
    #[must_use]
    pub fn ledger(&self, cost: Money) -> Ledger {
        let splits = std::iter::once(&self.of_sets).chain(&self.of_bare);
        let mut lines: Vec<_> = splits.enumerate().flat_map(|(pool, split)| split.lines(pool)).collect();
        lines.push(cost_line(cost));
        Ledger { lines }
    }

    /// Profit when all piles together cost so much: the sum of the ledger's lines.
    #[must_use]
    pub fn profit(&self, cost: Money) -> f64 {
        self.ledger(cost).total()
    }
}

/// The best number of sets to make up from the piles, and the best splits of sets and rests.
///
/// Exact: the piles are independent once the number of sets is fixed, and every number is tried. Sets are
/// made up as far as their own plan and every pile allow. Of equals it is the plan with fewer listings, then
/// fewer lots, then more sets.
///
/// # Errors
/// When a set takes no piece of a pile, or a pile is larger than its plan.
pub fn best_pools(sets: &ByProfit<'_>, bare: &[BarePool<'_>]) -> Result<PooledPlan, SellingError> {
    let mut most = sets.sizing.pieces();
    for (place, pool) in bare.iter().enumerate() {
        let per_set = f64::from(pool.per_set);
        let name = || format!("pile {}, pieces in a set", place + 1);
        within(name, per_set, 1.0..=f64::from(super::MOST_PIECES), "a number from 1 to 1000")?;
        pool.plans.sizing.covers(pool.pieces)?;
        most = most.min(pool.pieces / pool.per_set.max(1));
    }
    let mut best: Option<Tried> = None;
    let mut worth_by_sets = Vec::new();
    for made in 0..=most {
        let tried = Tried::new(made, sets, bare)?;
        worth_by_sets.push(tried.value as f64 / super::table::UNITS);
        if best.as_ref().is_none_or(|best| tried.rank(best) != Ordering::Less) {
            best = Some(tried);
        }
    }
    let sets_made = best.map_or(0, |best| best.sets);
    let of_bare = bare.iter().map(|pool| pool.plans.split(pool.left(sets_made)));
    Ok(PooledPlan {
        sets: sets_made,
        of_sets: sets.split(sets_made)?,
        of_bare: of_bare.collect::<Result<_, _>>()?,
        worth_by_sets,
    })
}

impl BarePool<'_> {
    fn left(&self, sets: u32) -> u32 {
        self.pieces.saturating_sub(self.per_set.saturating_mul(sets))
    }
}

/// A number of sets and what all pools make of it.
struct Tried {
    sets: u32,
    value: i128,
    listings: u32,
    lots: u32,
}

impl Tried {
    fn new(sets: u32, plans: &ByProfit<'_>, bare: &[BarePool<'_>]) -> Result<Self, SellingError> {
        let first = plans.pick(sets)?;
        let mut tried = Self { sets, value: first.value, listings: first.listings, lots: first.lots };
        for pool in bare {
            let pick = pool.plans.pick(pool.left(sets))?;
            tried.value += pick.value;
            tried.listings += pick.listings;
            tried.lots += pick.lots;
        }
        Ok(tried)
    }

    fn rank(&self, other: &Self) -> Ordering {
        let fewer = other.listings.cmp(&self.listings).then(other.lots.cmp(&self.lots));
        self.value.cmp(&other.value).then(fewer)
    }
}
