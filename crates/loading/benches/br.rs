//! Container loading sets BR1-BR15 against a published beam search on the same problems.
//!
//! `cargo bench -p loading --bench br -- [seconds] [none|full] [classes, as 1,2,3]`; seconds are of the
//! processor, per problem. By default 0.1 s without and with support, every problem that has a reference.

#[path = "../tests/sets/mod.rs"]
mod sets;

use std::collections::BTreeMap;

use loading::{Support, load_while};
use sets::{br_problems, fault};

/// Processor seconds at which the best so far is read; the columns of the reference file.
const MARKS: [f64; 8] = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0];

/// Looks between two readings of the processor's clock.
const BETWEEN: u64 = 100_000;

fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    text.split(' ').next().and_then(|word| word.parse::<f64>().ok()).unwrap_or(0.0) / 1e9
}

#[derive(Default)]
struct Means {
    problems: u32,
    ours: [f64; 8],
    reference: [f64; 8],
    best_known: f64,
}

fn row(name: &str, sums: [f64; 8], count: u32) {
    // What was not measured is no number.
    let cell = |sum: &f64| {
        let mean = sum / f64::from(count);
        if mean.is_nan() { format!("{:>8}", "-") } else { format!("{mean:8.2}") }
    };
    let cells: String = sums.iter().map(cell).collect();
    println!("{name:<22}{cells}");
}

fn run(limit: f64, support: Support, classes: &[u32]) {
    let problems = br_problems();
    let mut groups: BTreeMap<String, Means> = BTreeMap::new();
    for line in include_str!("../tests/data/beam_search_anytime.csv").lines().skip(1) {
        let words: Vec<&str> = line.split(',').collect();
        let class: u32 = words[0].trim_start_matches("BR").parse().unwrap_or(0);
        let problem: u32 = words[1].parse().unwrap_or(0);
        let Some(one) = problems.iter().find(|one| one.class == class && one.problem == problem) else {
            continue;
        };
        if (words[2] == "full") != (support == Support::Full) || !classes.contains(&class) {
            continue;
        }
        let whole: f64 = one.container.iter().map(|&side| f64::from(side)).product();
        let start = processor_seconds();
        let (mut read, mut next, mut check, mut last) = ([f64::NAN; 8], 0, 0, 0u64);
        let load = load_while(one.container, &one.goods, support, |looks, best| {
            let mut elapsed = 0.0;
            if looks >= check {
                check = looks + BETWEEN;
                elapsed = processor_seconds() - start;
                while next < MARKS.len() && elapsed >= MARKS[next] {
                    read[next] = 100.0 * last as f64 / whole;
                    next += 1;
                }
            }
            last = best;
            elapsed < limit
        })
        .expect("a published problem");
        while next < MARKS.len() && MARKS[next] <= limit {
            read[next] = 100.0 * load.used_volume as f64 / whole;
            next += 1;
        }
        assert_eq!(fault(one.container, &one.goods, support, &load), None);
        for name in [format!("BR{class:02}"), if class <= 7 { "BR1-7 ".into() } else { "BR8-15".to_string() }]
        {
            let means = groups.entry(name).or_default();
            means.problems += 1;
            means.best_known += words[5].parse::<f64>().unwrap_or(f64::NAN);
            for (mark, percent) in read.iter().enumerate() {
                means.ours[mark] += percent;
                means.reference[mark] +=
                    words.get(6 + mark).and_then(|word| word.parse().ok()).unwrap_or(f64::NAN);
            }
        }
    }
    println!("support {support:?}, per cent of the container after processor seconds {MARKS:?}");
    for (name, means) in groups {
        row(&format!("{name} ({}) ours", means.problems), means.ours, means.problems);
        row("       reference", means.reference, means.problems);
        println!("       best known, no support {:8.2}", means.best_known / f64::from(means.problems));
    }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let limit = words.first().and_then(|word| word.parse().ok()).unwrap_or(0.1);
    let classes: Vec<u32> = match words.get(2) {
        Some(list) => list.split(',').filter_map(|word| word.parse().ok()).collect(),
        None => (1..=15).collect(),
    };
    for support in [Support::None, Support::Full] {
        if words.get(1).is_none_or(|word| (word == "full") == (support == Support::Full)) {
            run(limit, support, &classes);
        }
    }
}
