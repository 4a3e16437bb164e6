//! Time of one appraisal: `cargo bench -p pricing`. Prints, never asserts.

use std::hint::black_box;
use std::time::{Duration, Instant};

use measure::Money;
use pricing::{Assumptions, Bids, Comp, ErrorLaw, Evidence, Grade, PricingError, Shipping, appraise};

const RUNS: usize = 31;
const LADDER: [u32; 8] = [1, 2, 3, 4, 6, 8, 10, 12];

/// A mixture of sales, offers, unsold listings and lone bids in lots of 1, 2, 4 and 6.
fn comps(count: i64) -> Vec<Comp> {
    (0..count)
        .map(|k| {
            let pieces = [1_u32, 2, 4, 6][k as usize % 4];
            let price = Money::from_cents((1500 + (k * 389) % 900) * i64::from(pieces) * 9 / 10);
            let evidence = match k % 10 {
                0..5 => Evidence::Sold { price },
                5..8 => Evidence::AcceptedOffer { ask: price },
                8 => Evidence::Unsold { ask: price, days: 40.0 },
                _ => Evidence::Auction { price, bids: Bids::One, days: 7.0 },
            };
            Comp {
                evidence,
                shipping: Shipping::Free,
                pieces,
                grade: Grade::C,
                age_days: k as f64,
                days_to_sell: None,
                likeness: 1.0,
            }
        })
        .collect()
}

fn median_ms(mut work: impl FnMut() -> Result<(), PricingError>) -> Result<f64, PricingError> {
    let mut times = Vec::with_capacity(RUNS);
    for _ in 0..RUNS {
        let started = Instant::now();
        work()?;
        times.push(started.elapsed());
    }
    times.sort();
    Ok(times.get(RUNS / 2).map_or(0.0, Duration::as_secs_f64) * 1e3)
}

fn main() -> Result<(), PricingError> {
    println!("median of {RUNS} runs, one thread\n");
    println!("comps  errors      appraisal  one lot  ladder of {}", LADDER.len());
    for (law, name) in [(ErrorLaw::StudentT4, "Student's t"), (ErrorLaw::Normal, "normal")] {
        let assumptions = Assumptions { error_law: law, ..Assumptions::default() };
        for count in [1, 3, 10, 30, 100, 300, 1000] {
            let comps = comps(count);
            let appraisal = appraise(&comps, Grade::C, &assumptions)?;
            let whole = median_ms(|| appraise(black_box(&comps), Grade::C, &assumptions).map(|_| ()))?;
            let lot = median_ms(|| appraisal.lot(black_box(4)).map(|_| ()))?;
            let ladder =
                median_ms(|| LADDER.iter().try_for_each(|&n| appraisal.lot(black_box(n)).map(|_| ())))?;
            println!("{count:5}  {name:11} {whole:7.2} ms {lot:5.2} ms {ladder:8.2} ms");
        }
    }
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!("\n{}", machine.unwrap_or_else(|| String::from("machine unknown")));
    Ok(())
}
