//! Three-dimensional bin packing of Martello, Pisinger and Vigo, Operations Research 48 (2000) 256-267:
//! boxes that may not be turned, as few cubes as possible. Published means are recalled (within 0.1), so
//! the check is on ten sets of a class at once.

#![allow(clippy::unwrap_used)]

mod sets;

use loading::{Budget, Support, bins};
use sets::{fault, mpv_set};

#[test]
fn the_generator_draws_the_published_boxes() {
    // Width, height and depth of the first three boxes; the room's order is width, depth, height.
    let first = |class, n, v| {
        let (side, goods) = mpv_set(class, n, v);
        let sizes: Vec<[u32; 3]> =
            goods.iter().take(3).map(|one| [one.size[0], one.size[2], one.size[1]]).collect();
        (side, sizes)
    };
    assert_eq!(first(1, 50, 1), (100, vec![[39, 85, 72], [11, 84, 96], [36, 10, 34]]));
    assert_eq!(first(8, 50, 1), (100, vec![[46, 39, 75], [27, 21, 61], [94, 81, 35]]));
}

/// Containers over the ten sets of a class with each number of boxes.
fn total(class: u32, numbers: &[u32], budget: Budget) -> usize {
    let mut sum = 0;
    for &n in numbers {
        for v in 1..=10 {
            let (side, goods) = mpv_set(class, n, v);
            let container = [side; 3];
            let loads = bins(container, &goods, Support::None, budget).unwrap();
            let mut placed = vec![0; goods.len()];
            for load in &loads {
                assert_eq!(fault(container, &goods, Support::None, load), None);
                load.placed.iter().for_each(|one| placed[one.kind] += 1);
            }
            assert_eq!(placed, vec![1; goods.len()]);
            sum += loads.len();
        }
    }
    sum
}

#[test]
fn class_1_with_fifty_boxes_takes_the_published_number_of_bins_within_2_per_cent() {
    let bins = total(1, &[50], Budget::of_looks(6_000_000));
    assert!(bins as f64 <= 134.0 * 1.02, "{bins} bins");
}

/// Over all four numbers of boxes; with fifty alone it is 100 for 97.
#[test]
fn class_6_takes_the_published_number_of_bins_within_2_per_cent() {
    let bins = total(6, &[50, 100, 150, 200], Budget::of_looks(10_000_000));
    assert!(bins as f64 <= 948.0 * 1.02, "{bins} bins");
}
