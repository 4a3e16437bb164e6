//! Small sets for which a solver can prove the lowest load.
#![allow(dead_code, missing_docs, reason = "the test and the benchmark use their own parts")]

use loading::Goods;

/// Sets in the comparison, numbered from 0; the number is the seed.
pub const SETS: u64 = 40;
/// Shortest and longest side of a box, in units.
const SIDES: [u32; 2] = [20, 60];
/// Shortest and longest side of a base, in units: one to three boxes stand along it.
const BASE: [u32; 2] = [65, 110];

/// A base and boxes of which each is there once.
pub struct SmallSet {
    pub seed: u64,
    pub base: [u32; 2],
    pub goods: Vec<Goods>,
}

impl SmallSet {
    /// The set of a seed: three to eight boxes. In every third set no box turns, in every third each box
    /// turns any way, in every third each box draws one of these or a turn about the vertical alone.
    pub fn of(seed: u64) -> Self {
        let mut state = seed;
        let mut draw =
            |[least, most]: [u32; 2]| least + (next(&mut state) % u64::from(most - least + 1)) as u32;
        let base = [draw(BASE), draw(BASE)];
        let boxes = 3 + (seed % 6) as usize;
        let goods = (0..boxes)
            .map(|_| {
                let one = Goods::new([draw(SIDES), draw(SIDES), draw(SIDES)], 1);
                match (seed / 6 % 3, draw([0, 2])) {
                    (0, _) | (2, 0) => one.fixed(),
                    (1, _) | (2, 1) => one,
                    _ => one.standing_on([false, false, true]),
                }
            })
            .collect();
        Self { seed, base, goods }
    }

    /// A height under which all boxes fit for certain: each on top of the last.
    pub fn ceiling(&self) -> u32 {
        self.goods.iter().map(|one| one.size.iter().copied().max().unwrap_or(0)).sum()
    }

    /// Volume of all boxes, in cubic units; it tells whether the generator is still the one of the table.
    pub fn volume(&self) -> u64 {
        self.goods.iter().map(Goods::volume).sum()
    }
}

/// SplitMix64 (Steele, Lea and Flood 2014).
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
