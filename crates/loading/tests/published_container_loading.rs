//! Container loading sets of Bischoff and Ratcliff, OMEGA 23 (1995) 377-390, and Davies and Bischoff,
//! EJOR 114 (1999) 509-527, as in the OR-Library. Best known volumes are no upper bound, so the checks
//! are on geometry and on the least volume that a fixed amount of work has to reach.

#![allow(clippy::unwrap_used)]

mod sets;

use loading::{Budget, Support, load};
use sets::{br_problems, fault};

/// Budget of the checks below.
const BUDGET: Budget = Budget::of_looks(6_000_000);

/// Class, kinds of boxes and mean boxes, supply and best known volume, from the file of class means.
fn class_means() -> Vec<(String, usize, f64, f64)> {
    include_str!("data/class_summary.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let words: Vec<&str> = line.split(',').collect();
            (words[0].into(), words[1].parse().unwrap(), words[2].parse().unwrap(), words[3].parse().unwrap())
        })
        .collect()
}

#[test]
fn the_problems_are_read_as_they_were_published() {
    let means = class_means();
    assert_eq!(means.len(), 16);
    let problems = br_problems();
    for one in &problems {
        let (class, kinds, boxes, supply) = &means[one.class as usize];
        assert_eq!(class, &format!("BR{}", one.class));
        assert_eq!(one.goods.len(), *kinds, "{class} {}", one.problem);
        assert_eq!(one.container, [587, 233, 220]);
        let whole: u32 = one.container.iter().product();
        assert_eq!(whole, 30_089_620);
        let volume: u64 = one.goods.iter().map(|goods| goods.volume() * u64::from(goods.count)).sum();
        let share = 100.0 * volume as f64 / f64::from(whole);
        assert!((share - supply).abs() < 3.5, "{class} {}: {share:.2} against {supply}", one.problem);
        let count: u32 = one.goods.iter().map(|goods| goods.count).sum();
        assert!((0.4 * boxes..2.5 * boxes).contains(&f64::from(count)), "{class} {}: {count}", one.problem);
    }
    for class in 1..=15 {
        assert!(problems.iter().any(|one| one.class == class));
    }
}

fn reaches(support: Support, least: &[(u32, f64)]) {
    let problems = br_problems();
    for &(class, percent) in least {
        let one = problems.iter().find(|one| one.class == class).unwrap();
        let load = load(one.container, &one.goods, support, BUDGET).unwrap();
        assert_eq!(fault(one.container, &one.goods, support, &load), None, "BR{class}");
        let share = 100.0 * load.filled(one.container);
        println!("BR{class} {} {support:?}: {share:.2}", one.problem);
        assert!(share >= percent, "BR{class} {}: {share:.2} under {percent}", one.problem);
    }
}

#[test]
fn a_fixed_budget_fills_the_stated_share_where_boxes_may_overhang() {
    reaches(Support::None, &[(1, 95.8), (3, 95.0), (5, 94.4), (7, 93.8), (10, 94.4), (15, 92.7)]);
}

#[test]
fn a_fixed_budget_fills_the_stated_share_with_every_base_supported() {
    reaches(Support::Full, &[(1, 93.7), (3, 94.9), (5, 93.2), (7, 93.0), (10, 88.1)]);
}
