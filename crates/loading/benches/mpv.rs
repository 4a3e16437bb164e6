//! Three-dimensional bin packing sets against recalled published means.
//!
//! `cargo bench -p loading --bench mpv -- [million looks] [sets per class and size, to 10]`; by default ten
//! million looks and three sets.

#[path = "../tests/sets/mod.rs"]
mod sets;

use loading::{Budget, Support, bins};
use sets::{fault, mpv_set};

/// Mean bins of the best published heuristics for 50, 100, 150 and 200 boxes, ten sets each (from memory,
/// within 0.1): guided local search, two-level tabu search and their successors, 2003-2013.
const PUBLISHED: [(u32, [f64; 4]); 6] = [
    (1, [13.4, 26.6, 36.4, 50.8]),
    (4, [29.4, 58.9, 86.8, 118.8]),
    (5, [8.3, 15.0, 20.0, 27.1]),
    (6, [9.7, 18.9, 29.0, 37.2]),
    (7, [7.4, 12.2, 15.2, 23.4]),
    (8, [9.2, 18.8, 23.6, 29.3]),
];

fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    text.split(' ').next().and_then(|word| word.parse::<f64>().ok()).unwrap_or(0.0) / 1e9
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let looks: u64 = words.first().and_then(|word| word.parse().ok()).unwrap_or(10) * 1_000_000;
    let sets: u32 = words.get(1).and_then(|word| word.parse().ok()).unwrap_or(3).clamp(1, 10);
    let (mut ours, mut theirs) = (0.0, 0.0);
    for (class, published) in PUBLISHED {
        let start = processor_seconds();
        let mut means = [0.0; 4];
        for (mean, n) in means.iter_mut().zip([50, 100, 150, 200]) {
            for v in 1..=sets {
                let (side, goods) = mpv_set(class, n, v);
                let loads = bins([side; 3], &goods, Support::None, Budget::of_looks(looks)).expect("a set");
                assert!(loads.iter().all(|load| fault([side; 3], &goods, Support::None, load).is_none()));
                *mean += loads.len() as f64 / f64::from(sets);
            }
        }
        let (sum, known): (f64, f64) = (means.iter().sum(), published.iter().sum());
        let seconds = (processor_seconds() - start) / f64::from(4 * sets);
        println!(
            "class {class}: {means:.1?} published {published:?} ratio {:.4}, {seconds:.2} s a set",
            sum / known
        );
        ours += sum;
        theirs += known;
    }
    println!("all: {:.1} for {:.1} per ten sets, ratio {:.4}", 10.0 * ours, 10.0 * theirs, ours / theirs);
}
