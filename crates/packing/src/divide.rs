//! One order in several parcels when one cannot hold or lift it, or when two are cheaper.

use std::collections::BTreeMap;

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

/// The cheapest way to send `counts` (pieces of each kind) in one or more parcels.
///
/// `single` packs one parcel or says that none can be; `least_cents` is a cost that no parcel goes
/// below, so that a single parcel at no more than twice of it is never split.
pub fn divide<T: Clone>(
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
            let Some(first) = divide(&one, least_cents, memory, single) else { continue };
            if best.as_ref().is_some_and(|best| first.cost_cents + least_cents >= best.cost_cents) {
                continue;
            }
            let Some(second) = divide(&rest, least_cents, memory, single) else { continue };
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
    use super::divide;
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
}
