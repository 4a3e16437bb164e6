//! Least heights proved with CP-SAT of OR-Tools 9.15 (three coordinates per box, a choice of its ways, six
//! cases per pair): forty seeded sets of three to eight boxes. `cargo bench -p loading --bench
//! small_optimum -- --table` asks the solver again and writes the table.

#![allow(clippy::unwrap_used)]

mod sets;
#[path = "sets/small.rs"]
mod small;

use loading::{Budget, Load, Support, fits_all, lowest};
use sets::fault;
use small::{SETS, SmallSet};

/// Seed, boxes, volume, least height of each row.
fn table() -> Vec<[u64; 4]> {
    let number = |word: &str| word.parse::<u64>().unwrap();
    include_str!("data/small_optimum.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let words: Vec<&str> = line.split(',').collect();
            assert_eq!(words[4], "OR-Tools CP-SAT 9.15.6755");
            [0, 1, 2, 3].map(|column| number(words[column]))
        })
        .collect()
}

fn low(set: &SmallSet) -> Load {
    lowest(set.base, set.ceiling(), &set.goods, Support::None, Budget::SMALL).unwrap().unwrap()
}

#[test]
fn the_generator_is_the_one_that_the_table_was_made_with() {
    let rows = table();
    assert_eq!(rows.len() as u64, SETS);
    for [seed, boxes, volume, _] in rows {
        let set = SmallSet::of(seed);
        assert_eq!((set.goods.len() as u64, set.volume()), (boxes, volume), "set {seed}");
    }
}

#[test]
fn up_to_eight_boxes_stand_at_their_proved_least_height() {
    for [seed, _, _, height] in table() {
        let set = SmallSet::of(seed);
        let load = low(&set);
        let inside = [set.base[0], set.base[1], load.height()];
        assert_eq!(fault(inside, &set.goods, Support::None, &load), None, "set {seed}");
        assert_eq!(load.placed.len(), set.goods.len(), "set {seed}");
        assert_eq!(u64::from(load.height()), height, "set {seed}");
    }
}

#[test]
fn no_load_is_found_below_the_proved_least_height() {
    for [seed, _, _, height] in table() {
        let set = SmallSet::of(seed);
        let below = [set.base[0], set.base[1], height as u32 - 1];
        assert_eq!(fits_all(below, &set.goods, Support::None, Budget::SMALL).unwrap(), None, "set {seed}");
    }
}
