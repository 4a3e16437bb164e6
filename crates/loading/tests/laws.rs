//! What holds for any question: loads are possible, answers repeat, and small questions are answered as
//! by trying everything.

#![allow(clippy::unwrap_used)]

mod sets;

use loading::{Budget, Goods, LoadError, Support, bins, fits_all, load};
use proptest::prelude::*;
use sets::fault;

fn some_goods(longest: u32, kinds: usize, count: u32) -> impl Strategy<Value = Vec<Goods>> {
    let one =
        (prop::array::uniform3(1..=longest), prop::array::uniform3(any::<bool>()), any::<bool>(), 1..=count);
    let one = one.prop_map(|(size, upright, turns, count)| {
        let upright = if upright == [false; 3] { [false, true, false] } else { upright };
        Goods { size, upright, turns, count }
    });
    prop::collection::vec(one, 1..=kinds)
}

fn some_support() -> impl Strategy<Value = Support> {
    prop_oneof![Just(Support::None), Just(Support::Full)]
}

/// Whether all boxes fit, by trying everything: the first cell that is not decided is either the corner
/// of some box or stays empty. For containers of up to 128 cells.
struct Everything {
    container: [u32; 3],
    ways: Vec<Vec<[u32; 3]>>,
}

impl Everything {
    fn fit(container: [u32; 3], boxes: &[Goods]) -> bool {
        let cells: u32 = container.iter().product();
        let volume: u64 = boxes.iter().map(Goods::volume).sum();
        let Some(air) = cells.checked_sub(volume as u32) else { return false };
        let all = Self { container, ways: boxes.iter().map(Goods::ways).collect() };
        all.fill(0, 0, (1 << boxes.len()) - 1, air)
    }

    fn fill(&self, from: u32, full: u128, left: u32, air: u32) -> bool {
        if left == 0 {
            return true;
        }
        let [length, width, height] = self.container;
        let Some(cell) = (from..length * width * height).find(|&cell| full >> cell & 1 == 0) else {
            return false;
        };
        let at = [cell % length, cell / length % width, cell / (length * width)];
        for (index, ways) in self.ways.iter().enumerate() {
            for way in ways {
                if left >> index & 1 == 0 || (0..3).any(|axis| at[axis] + way[axis] > self.container[axis]) {
                    continue;
                }
                let mut shape = 0u128;
                for z in 0..way[2] {
                    for y in 0..way[1] {
                        for x in 0..way[0] {
                            shape |= 1 << (cell + x + length * (y + width * z));
                        }
                    }
                }
                if full & shape == 0 && self.fill(cell + 1, full | shape, left & !(1 << index), air) {
                    return true;
                }
            }
        }
        air > 0 && self.fill(cell + 1, full | 1 << cell, left, air - 1)
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_load_can_be_packed_by_hand(
        container in prop::array::uniform3(1u32..60),
        goods in some_goods(30, 8, 12),
        support in some_support(),
    ) {
        let budget = Budget::of_looks(30_000);
        let first = load(container, &goods, support, budget).unwrap();
        prop_assert_eq!(fault(container, &goods, support, &first), None);
        prop_assert_eq!(&first, &load(container, &goods, support, budget).unwrap());
    }

    #[test]
    fn more_work_never_loads_less(
        container in prop::array::uniform3(20u32..60),
        goods in some_goods(30, 5, 12),
        support in some_support(),
    ) {
        let small = load(container, &goods, support, Budget::of_looks(5_000)).unwrap();
        let large = load(container, &goods, support, Budget::of_looks(50_000)).unwrap();
        prop_assert!(large.used_volume >= small.used_volume);
    }

    #[test]
    fn bins_hold_every_box_once(goods in some_goods(20, 8, 6), support in some_support()) {
        let container = [25, 22, 20];
        let loads = bins(container, &goods, support, Budget::of_looks(100_000)).unwrap();
        let mut placed = vec![0; goods.len()];
        for load in &loads {
            prop_assert_eq!(fault(container, &goods, support, load), None);
            load.placed.iter().for_each(|one| placed[one.kind] += 1);
        }
        prop_assert_eq!(placed, goods.iter().map(|one| one.count).collect::<Vec<_>>());
    }

    #[test]
    fn up_to_six_boxes_fit_exactly_where_trying_everything_finds_a_way(
        container in prop::array::uniform3(2u32..=4),
        boxes in some_goods(3, 6, 1),
    ) {
        let found = fits_all(container, &boxes, Support::None, Budget::of_looks(200_000)).unwrap();
        prop_assert_eq!(found.is_some(), Everything::fit(container, &boxes));
    }

    #[test]
    fn of_boxes_that_fit_any_one_may_stay_behind(
        container in prop::array::uniform3(3u32..=12),
        boxes in some_goods(8, 6, 1),
        without in any::<prop::sample::Index>(),
    ) {
        let budget = Budget::of_looks(200_000);
        if fits_all(container, &boxes, Support::None, budget).unwrap().is_some() {
            let mut fewer = boxes.clone();
            fewer.remove(without.index(boxes.len()));
            prop_assert!(fits_all(container, &fewer, Support::None, budget).unwrap().is_some());
        }
    }

    #[test]
    fn no_size_or_count_is_too_strange_to_answer(
        container in prop::array::uniform3(prop_oneof![Just(0), Just(1), Just(3000), Just(u32::MAX)]),
        size in prop::array::uniform3(prop_oneof![Just(0), Just(1), Just(7), Just(2999), Just(u32::MAX)]),
        count in prop_oneof![Just(0), Just(1), Just(300), Just(u32::MAX)],
    ) {
        let goods = [Goods::new(size, count)];
        let budget = Budget::of_looks(10_000);
        if let Ok(load) = load(container, &goods, Support::Full, budget) {
            prop_assert_eq!(fault(container, &goods, Support::Full, &load), None);
        }
        let _ = fits_all(container, &goods, Support::None, budget);
    }
}

#[test]
fn boxes_that_fill_a_container_without_air_are_found() {
    // A block of 2 x 2 x 2 whole ones and layers of unlike ones beneath it.
    let goods = [Goods::new([50, 50, 50], 8), Goods::new([100, 25, 40], 4), Goods::new([50, 100, 10], 2)];
    let load = load([100, 100, 150], &goods, Support::Full, Budget::SMALL).unwrap();
    assert_eq!(load.used_volume, 1_500_000);
}

#[test]
fn a_box_may_rest_on_several_of_one_height() {
    // The large slab has no single box as large as itself beneath it.
    let goods =
        [Goods::new([60, 60, 30], 4).standing_on([false, false, true]), Goods::new([120, 120, 20], 1)];
    let found = fits_all([120, 120, 50], &goods, Support::Full, Budget::SMALL).unwrap();
    assert!(found.is_some());
}

#[test]
fn a_box_that_fits_no_container_is_named() {
    let goods = [Goods::new([5, 5, 5], 1), Goods::new([11, 5, 5], 1)];
    let error = bins([10, 10, 10], &goods, Support::None, Budget::SMALL).unwrap_err();
    assert_eq!(error, LoadError::TooLarge { kind: 1, size: [11, 5, 5], inside: [10; 3] });
}
