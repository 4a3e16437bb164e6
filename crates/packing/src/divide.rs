//! One order in several parcels when one cannot hold or lift it, or when two are cheaper.

use std::collections::BTreeMap;

use crate::portions::shared_out;

/// Parcels of one order and their cost together.
#[derive(Debug, Clone, PartialEq)]
pub struct Division<T> {
    /// Whole cents.
    pub cost_cents: i64,
    /// One entry per parcel.
    pub parcels: Vec<T>,
}

/// Remembered answers for count vectors, kept for a whole ladder.
pub type Memory<T> = BTreeMap<Vec<u32>, Option<Division<T>>>;

/// Packs one parcel of the counts and says what it costs in cents, or that none can be packed.
pub type Single<'a, T> = &'a mut dyn FnMut(&[u32]) -> Option<(i64, T)>;

/// More kinds than this are not split in every way, but one kind against the rest.
const KINDS: usize = 5;
/// Pieces beyond which an order of several kinds, and of any, is shared out instead of split in every way:
/// so many splits would be packed for each part of it. Half of the first where there are more than `KINDS`.
const MANY: u32 = 24;
const MANY_LIKE: u32 = 60;
/// Kinds that do not count as several.
const PAIR: usize = 2;
/// Moves of pieces between the parcels of a large order that are tried.
const MOVES: u32 = 12;

/// The cheapest way to send `counts` (pieces of each kind) in one or more parcels.
///
/// `single` packs one parcel or says that none can be; `least_cents` is a cost that no parcel goes
/// below, so that a single parcel at no more than twice of it is never split.
///
/// An order of many pieces is shared out evenly first, and pieces are then moved between its parcels
/// where that is cheaper.
pub fn divide<T: Clone>(
    counts: &[u32],
    least_cents: i64,
    memory: &mut Memory<T>,
    single: Single<'_, T>,
) -> Option<Division<T>> {
    divide_with(counts, least_cents, MOVES, memory, single)
}

/// [`divide`], trying at most `moves` moves of pieces between the parcels of a large order.
pub fn divide_with<T: Clone>(
    counts: &[u32],
    least_cents: i64,
    moves: u32,
    memory: &mut Memory<T>,
    single: Single<'_, T>,
) -> Option<Division<T>> {
    if let Some(known) = memory.get(counts) {
        return known.clone();
    }
    if large(counts)
        && let Some(found) = shared_out(counts, least_cents, moves, single)
    {
        memory.insert(counts.to_vec(), Some(found.clone()));
        return Some(found);
    }
    whole_or_split(counts, least_cents, memory, single)
}

fn large(counts: &[u32]) -> bool {
    let pieces = counts.iter().fold(0u32, |sum, &count| sum.saturating_add(count));
    let kinds = counts.iter().filter(|&&count| count > 0).count();
    pieces > MANY_LIKE || (pieces > MANY && kinds > PAIR) || (pieces > MANY / 2 && kinds > KINDS)
}

/// In one parcel, or split in two and each part again.
fn whole_or_split<T: Clone>(
    counts: &[u32],
    least_cents: i64,
    memory: &mut Memory<T>,
    single: Single<'_, T>,
) -> Option<Division<T>> {
    if let Some(known) = memory.get(counts) {
        return known.clone();
    }
    let mut best = single(counts).map(|(cost_cents, parcel)| Division { cost_cents, parcels: vec![parcel] });
    if best.as_ref().is_none_or(|one| one.cost_cents > 2 * least_cents) {
        for (one, rest) in splits(counts, best.is_none()) {
            let Some(first) = whole_or_split(&one, least_cents, memory, single) else { continue };
            if best.as_ref().is_some_and(|best| first.cost_cents + least_cents >= best.cost_cents) {
                continue;
            }
            let Some(second) = whole_or_split(&rest, least_cents, memory, single) else { continue };
            let cost_cents = first.cost_cents + second.cost_cents;
            if best.as_ref().is_none_or(|best| cost_cents < best.cost_cents) {
                let mut parcels = first.parcels;
                parcels.extend(second.parcels);
                best = Some(Division { cost_cents, parcels });
            }
        }
    }
    memory.insert(counts.to_vec(), best.clone());
    best
}

/// One part of an order and the rest of it.
type Halves = (Vec<u32>, Vec<u32>);

/// Ways to divide the counts in two, none of them empty; `no_single` when no one parcel takes them.
fn splits(counts: &[u32], no_single: bool) -> Vec<Halves> {
    let mut found: Vec<Halves> = Vec::new();
    let add = |one: Vec<u32>, found: &mut Vec<Halves>| {
        let rest: Vec<u32> = counts.iter().zip(&one).map(|(all, part)| all - part).collect();
        if one.iter().any(|&n| n > 0) && rest.iter().any(|&n| n > 0) {
            let pair = (one, rest);
            if !found.contains(&pair) && !found.contains(&(pair.1.clone(), pair.0.clone())) {
                found.push(pair);
            }
        }
    };
    let lots = counts.iter().copied().filter(|&n| n > 0).fold(0, gcd);
    // Whole lots first: a parcel of whole lots is easy to count.
    for k in 1..=lots / 2 {
        add(counts.iter().map(|&n| n / lots * k).collect(), &mut found);
    }
    let kinds: Vec<usize> = (0..counts.len()).filter(|&k| counts[k] > 0).collect();
    if kinds.len() >= 2 && kinds.len() <= KINDS {
        for mask in 1..(1u32 << (kinds.len() - 1)) {
            let mut one = vec![0; counts.len()];
            for (bit, &kind) in kinds.iter().enumerate() {
                if mask >> bit & 1 == 1 {
                    one[kind] = counts[kind];
                }
            }
            add(one, &mut found);
        }
    }
    if kinds.len() > KINDS && no_single {
        // Too many kinds for every division of them: each by itself, so that what may not share a carton
        // with the rest can always be parted from it.
        for &kind in &kinds {
            let mut one = vec![0; counts.len()];
            one[kind] = counts[kind];
            add(one, &mut found);
        }
    }
    add(counts.iter().map(|&n| n.div_ceil(2)).collect(), &mut found);
    if lots <= 1 && kinds.len() == 1 {
        return found;
    }
    add(counts.iter().map(|&n| n / 3).collect(), &mut found);
    found
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::{divide, divide_with};
    use std::collections::BTreeMap;

    #[test]
    fn what_may_not_travel_with_the_rest_is_parted_from_it_however_many_kinds_there_are() {
        // The fourth of seven kinds goes with no other; a parcel takes any ten of the rest.
        let mut single = |counts: &[u32]| {
            let pieces: u32 = counts.iter().sum();
            let alone = counts[3] == 0 || counts[3] == pieces;
            (alone && pieces <= 10).then_some((100, counts.to_vec()))
        };
        let counts = [2, 1, 3, 1, 2, 1, 1];
        let found = divide(&counts, 50, &mut BTreeMap::new(), &mut single).expect("it can be divided");
        let mut sum = [0; 7];
        for parcel in &found.parcels {
            for (all, part) in sum.iter_mut().zip(parcel) {
                *all += part;
            }
        }
        assert_eq!(sum, counts);
        assert_eq!((found.cost_cents, found.parcels.len()), (200, 2));
    }

    #[test]
    fn what_may_not_travel_with_the_rest_is_parted_from_a_large_order_too() {
        // Iron goes with nothing; a parcel takes any twenty of the rest.
        let mut single = |counts: &[u32]| {
            let pieces: u32 = counts.iter().sum();
            (pieces <= 20 && (counts[2] == 0 || counts[2] == pieces)).then_some((100, counts.to_vec()))
        };
        let found =
            divide(&[30, 20, 3, 10], 50, &mut BTreeMap::new(), &mut single).expect("it can be divided");
        let iron: u32 = found.parcels.iter().map(|parcel| parcel[2]).sum();
        let all: u32 = found.parcels.iter().flatten().sum();
        assert_eq!((iron, all), (3, 63));
    }

    #[test]
    fn a_large_order_is_shared_out_and_a_move_saves_a_step() {
        // 31 pieces of each of three kinds; every ten pounds begun cost a step, and the heavy kind may be
        // put where it fills one.
        let weights = [1u32, 2, 6];
        let mut single = |counts: &[u32]| {
            let weight: u32 = counts.iter().zip(weights).map(|(count, each)| count * each).sum();
            (weight <= 100).then_some((i64::from(weight.div_ceil(10)) * 100 + 150, counts.to_vec()))
        };
        let even = divide_with(&[31, 31, 31], 250, 0, &mut BTreeMap::new(), &mut single).expect("shared out");
        let moved =
            divide_with(&[31, 31, 31], 250, 60, &mut BTreeMap::new(), &mut single).expect("and moved");
        assert!(moved.cost_cents < even.cost_cents, "{} and {}", moved.cost_cents, even.cost_cents);
        for kind in 0..3 {
            assert_eq!(moved.parcels.iter().map(|parcel| parcel[kind]).sum::<u32>(), 31);
        }
    }
}
