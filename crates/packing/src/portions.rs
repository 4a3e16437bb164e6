//! A large order shared out over parcels: even shares first, then pieces moved between them.

use std::collections::BTreeMap;

use crate::divide::{Division, Single};

/// Most parcels that an order is shared out over.
const MOST_PARCELS: u32 = 40;

/// One in so many that a sharing may seem dearer by its first share and is still packed (judgement).
const NEAR: i64 = 20;

/// Single parcels that were packed, for one order only.
type Tried<T> = BTreeMap<Vec<u32>, Option<Portion<T>>>;

/// One parcel of a sharing.
#[derive(Clone)]
struct Portion<T> {
    counts: Vec<u32>,
    cost_cents: i64,
    parcel: T,
}

/// The cheapest even sharing, improved by moves; `None` when no even sharing can be packed.
///
/// One parcel more is tried until that no longer pays; a sharing whose parcels cost at least
/// `least_cents` each cannot beat what is known and is not packed.
pub(crate) fn shared_out<T: Clone>(
    counts: &[u32],
    least_cents: i64,
    moves: u32,
    single: Single<'_, T>,
) -> Option<Division<T>> {
    let mut tried = Tried::new();
    let mut best: Option<Vec<Portion<T>>> = None;
    for parcels in 1..=MOST_PARCELS.min(counts.iter().fold(0, |sum, &count| sum.saturating_add(count))) {
        let known = best.as_ref().map_or(i64::MAX, |best| cost(best));
        if i64::from(parcels).saturating_mul(least_cents) >= known {
            break;
        }
        let mut portions = Vec::new();
        let mut sum = 0i64;
        for share in even(counts, parcels) {
            let Some(portion) = packed(share, &mut tried, single) else { break };
            sum = sum.saturating_add(portion.cost_cents);
            // The shares are all but alike, so that the first tells what all of them will cost.
            let like_this = portion.cost_cents.saturating_mul(i64::from(parcels));
            portions.push(portion);
            if sum >= known || like_this > known.saturating_add(known / NEAR) {
                break;
            }
        }
        let whole = portions.len() == parcels as usize;
        if whole && sum < known {
            best = Some(portions);
        } else if best.is_some() {
            break;
        }
    }
    let mut portions = best?;
    moved(&mut portions, moves, &mut tried, single);
    let cost_cents = cost(&portions);
    Some(Division { cost_cents, parcels: portions.into_iter().map(|portion| portion.parcel).collect() })
}

fn cost<T>(portions: &[Portion<T>]) -> i64 {
    portions.iter().map(|portion| portion.cost_cents).sum()
}

/// Shares that differ by at most one piece of each kind, what is over dealt round so that they stay even
/// altogether.
fn even(counts: &[u32], parcels: u32) -> Vec<Vec<u32>> {
    let mut shares = vec![vec![0; counts.len()]; parcels as usize];
    let mut next = 0usize;
    for (kind, &count) in counts.iter().enumerate() {
        for share in &mut shares {
            share[kind] = count / parcels;
        }
        for _ in 0..count % parcels {
            let to = next % shares.len();
            shares[to][kind] += 1;
            next += 1;
        }
    }
    shares
}

/// One parcel of these counts, packed once.
fn packed<T: Clone>(counts: Vec<u32>, tried: &mut Tried<T>, single: Single<'_, T>) -> Option<Portion<T>> {
    if let Some(known) = tried.get(&counts) {
        return known.clone();
    }
    let found =
        single(&counts).map(|(cost_cents, parcel)| Portion { counts: counts.clone(), cost_cents, parcel });
    tried.insert(counts, found.clone());
    found
}

/// Moves pieces of one kind from one parcel to another while that is cheaper, the dearest parcel first.
fn moved<T: Clone>(portions: &mut [Portion<T>], mut left: u32, tried: &mut Tried<T>, single: Single<'_, T>) {
    loop {
        let mut order: Vec<usize> = (0..portions.len()).collect();
        order.sort_by_key(|&k| (std::cmp::Reverse(portions[k].cost_cents), k));
        let kinds = portions.first().map_or(0, |portion| portion.counts.len());
        let mut better = None;
        'tries: for &from in &order {
            for &to in order.iter().rev().filter(|&&to| to != from) {
                for kind in 0..kinds {
                    let held = portions[from].counts[kind];
                    // All of them, or a third.
                    for pieces in [held, held.div_ceil(3)] {
                        if pieces == 0
                            || (pieces == held && held == portions[from].counts.iter().sum::<u32>())
                        {
                            continue;
                        }
                        if left == 0 {
                            break 'tries;
                        }
                        left -= 1;
                        let mut counts = [portions[from].counts.clone(), portions[to].counts.clone()];
                        counts[0][kind] -= pieces;
                        counts[1][kind] += pieces;
                        let before = portions[from].cost_cents + portions[to].cost_cents;
                        let [less, more] = counts;
                        let Some(more) = packed(more, tried, single) else { continue };
                        if more.cost_cents >= before {
                            continue;
                        }
                        let Some(less) = packed(less, tried, single) else { continue };
                        if more.cost_cents + less.cost_cents < before {
                            better = Some((from, less, to, more));
                            break 'tries;
                        }
                    }
                }
            }
        }
        let Some((from, less, to, more)) = better else { return };
        portions[from] = less;
        portions[to] = more;
    }
}
