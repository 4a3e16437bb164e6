use crate::beam::Search;
use crate::block::BlockRule;
use crate::bound::least_containers;
use crate::goods::check;
use crate::load::{taste, unpack};
use crate::yard::Yard;
use crate::{Budget, Goods, Load, LoadError, Support};

/// Least length of the list of blocks for one container of several (judgement, from trials: the boxes are
/// mostly unlike, and longer lists only cost).
const BLOCKS: usize = 60;
/// Blocks per kind of goods, in tenths, where that is more (judgement, from trials).
const BLOCK_TENTHS_PER_KIND: usize = 12;
/// Share of a block that its boxes fill, where overhang is allowed (judgement, from trials: much air in
/// blocks costs five per cent of the containers).
const LEAST_FILL: f64 = 0.98;
/// Power of the volume that a box is worth at first: a large box is harder to place later (judgement).
const LARGE_FIRST: f64 = 1.25;
/// Share of the old worth that stays when worths are corrected after a round (judgement).
const KEEP: f64 = 0.6;
/// Widest beam for one container.
const WIDEST: usize = 3;

/// Shares all goods out over as few containers of one size as the budget finds, the fullest first.
///
/// Containers are filled one after another for worth rather than volume; boxes that ended in badly filled
/// containers are worth more in the next round (sequential value correction). Then a few containers at a
/// time, the emptiest among them, are repacked to need one fewer.
///
/// # Errors
/// When a size, a count or a way up can't be searched, and when some box fits no container.
///
/// ```
/// use loading::{Budget, Goods, Support, bins};
///
/// let loads = bins([10, 10, 10], &[Goods::new([10, 10, 6], 2)], Support::Full, Budget::SMALL)?;
/// assert_eq!(loads.len(), 2);
/// # Ok::<(), loading::LoadError>(())
/// ```
pub fn bins(
    container: [u32; 3],
    goods: &[Goods],
    support: Support,
    budget: Budget,
) -> Result<Vec<Load>, LoadError> {
    check(container, goods)?;
    for (kind, one) in goods.iter().enumerate().filter(|(_, one)| one.count > 0) {
        if !one.ways().iter().any(|way| (0..3).all(|axis| way[axis] <= container[axis])) {
            return Err(LoadError::TooLarge { kind, size: one.size, inside: container });
        }
    }
    let counts: Vec<u32> = goods.iter().map(|one| one.count).collect();
    let mut depot = Depot { container, goods, support, looks: 0, limit: budget.looks() };
    let mut best = depot.share_out(&counts, usize::MAX, 4, 1).unwrap_or_default();
    let least = least_containers(container, goods, &counts);
    depot.empty_out(&mut best, least);
    best.sort_by_key(|load| std::cmp::Reverse(load.used_volume));
    if let Some(first) = best.first_mut() {
        first.looks = depot.looks;
    }
    Ok(best)
}

struct Depot<'a> {
    container: [u32; 3],
    goods: &'a [Goods],
    support: Support,
    looks: u64,
    limit: u64,
}

impl Depot<'_> {
    fn whole(&self) -> u64 {
        self.container.iter().map(|&side| u64::from(side)).product()
    }

    /// Packs the counted goods in at most `most` containers: the fewest over several rounds. The first
    /// round is always finished when `most` is not limited.
    fn share_out(&mut self, counts: &[u32], most: usize, rounds: usize, width: usize) -> Option<Vec<Load>> {
        let least = least_containers(self.container, self.goods, counts);
        if least > most {
            return None;
        }
        let whole = self.whole();
        let mut price: Vec<f64> =
            self.goods.iter().map(|one| (one.volume() as f64 / whole as f64).powf(LARGE_FIRST)).collect();
        let mut best: Option<Vec<Load>> = None;
        for round in 0..rounds {
            if round > 0 && self.looks >= self.limit {
                break;
            }
            let open = best.as_ref().map_or(most, |loads| loads.len() - 1);
            let finished = self.round(counts, &price, open, width + round % WIDEST);
            let (loads, complete) = finished;
            for load in &loads {
                let fill = load.filled(self.container).max(0.05);
                for placed in &load.placed {
                    let share = placed.volume() as f64 / whole as f64;
                    let worth = &mut price[placed.kind];
                    *worth = KEEP * *worth + (1.0 - KEEP) * share.powf(LARGE_FIRST) / fill;
                }
            }
            if complete {
                let done = loads.len() <= least || most != usize::MAX;
                best = Some(loads);
                if done {
                    break;
                }
            }
        }
        best
    }

    /// Fills containers one after another; false when more than `most` would be needed.
    fn round(&mut self, counts: &[u32], price: &[f64], most: usize, width: usize) -> (Vec<Load>, bool) {
        let mut left = counts.to_vec();
        let mut loads: Vec<Load> = Vec::new();
        let whole = self.whole();
        let mut volume: u64 = self.goods.iter().zip(&left).map(|(one, &n)| one.volume() * u64::from(n)).sum();
        while left.iter().any(|&count| count > 0) {
            let open = most.saturating_sub(loads.len()) as u64;
            if open.saturating_mul(whole) < volume {
                return (loads, false);
            }
            let load = self.fill_one(&left, price, width);
            if load.placed.is_empty() {
                return (loads, false);
            }
            for placed in &load.placed {
                left[placed.kind] -= 1;
            }
            volume -= load.used_volume;
            loads.push(load);
        }
        (loads, true)
    }

    fn fill_one(&mut self, left: &[u32], price: &[f64], width: usize) -> Load {
        // Only what is left, so that the lists stay short.
        let kinds: Vec<usize> = (0..left.len()).filter(|&kind| left[kind] > 0).collect();
        let goods: Vec<Goods> =
            kinds.iter().map(|&kind| Goods { count: left[kind], ..self.goods[kind] }).collect();
        /// Worths are whole numbers to the search.
        const GRAIN: f64 = 1e9;
        let worth: Vec<u64> =
            kinds.iter().map(|&kind| ((price[kind] * GRAIN).round() as u64).max(1)).collect();
        let least_fill = match self.support {
            Support::None => LEAST_FILL,
            Support::Full => 1.0,
        };
        let rule =
            BlockRule { most: BLOCKS.max(goods.len() * BLOCK_TENTHS_PER_KIND / 10), least_fill, many: 0.2 };
        // The milder taste for contact does better here with or without support.
        let yard = Yard::new(self.container, &goods, self.support, Some(&worth), rule, taste(Support::Full));
        let mut search = Search::new(&yard);
        let end = search.scratch.looks + self.limit.saturating_sub(self.looks);
        search.pass(width, &mut |looks, _| looks < end);
        self.looks += search.scratch.looks + 40 * yard.blocks.list.len() as u64;
        let mut load = unpack(&yard, &search.best, 0);
        for placed in &mut load.placed {
            placed.kind = kinds[placed.kind];
        }
        load
    }

    /// Repacks a few containers at a time, the emptiest always among them.
    fn empty_out(&mut self, best: &mut Vec<Load>, least: usize) {
        let mut turn = 0u64;
        while best.len() > least && best.len() > 1 && self.looks < self.limit {
            best.sort_by_key(|load| load.used_volume);
            let others = (1 + turn % 5).min(best.len() as u64 - 1) as usize;
            let mut chosen = vec![0usize];
            // The companions are drawn by a fixed sequence, so that the same question goes the same way.
            let mut state = turn.wrapping_mul(0x9E37_79B9_7F4A_7C15);
            while chosen.len() <= others {
                state = mix(state);
                let draw = 1 + (state >> 33) as usize % (best.len() - 1);
                if !chosen.contains(&draw) {
                    chosen.push(draw);
                }
            }
            turn += 1;
            let mut counts = vec![0u32; self.goods.len()];
            for &index in &chosen {
                for placed in &best[index].placed {
                    counts[placed.kind] += 1;
                }
            }
            let before = spread(chosen.iter().map(|&index| &best[index]));
            let rounds = 2 + turn as usize % 2;
            let Some(new) = self.repack(&counts, chosen.len(), rounds) else { continue };
            if new.len() < chosen.len() || spread(new.iter()) > before {
                chosen.sort_unstable();
                for &index in chosen.iter().rev() {
                    best.swap_remove(index);
                }
                best.extend(new);
            }
        }
    }

    /// Tries for one container fewer, and otherwise for as many with a more uneven filling.
    fn repack(&mut self, counts: &[u32], present: usize, rounds: usize) -> Option<Vec<Load>> {
        self.share_out(counts, present - 1, rounds, 1).or_else(|| self.share_out(counts, present, 1, 1))
    }
}

/// Uneven filling counts as better: the emptiest container is nearer to being empty.
fn spread<'a>(loads: impl Iterator<Item = &'a Load>) -> f64 {
    loads.map(|load| (load.used_volume as f64).powi(2)).sum()
}

/// SplitMix64 (Steele, Lea and Flood 2014).
fn mix(state: u64) -> u64 {
    let mut z = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
