//! Time of worth, split and shelf for the demo's finds, packing left out: `cargo bench -p lotwright --bench
//! decisions`. Prints, never asserts.

use std::time::{Duration, Instant};

use measure::Money;
use trade::{Job, Library, Worth};

const RUNS: usize = 21;

fn demo(library: &Library) -> Job {
    let forms = forms::Catalogue::published();
    let stock = protection::StockCartons::published();
    let shelf =
        sheet::Library::of(library, &forms, &stock, &|name| Err(format!("there is no file {name} here")));
    sheet::read(sheet::example(), &shelf, jiff::civil::date(2026, 11, 25)).expect("the example is right")
}

fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let started = Instant::now();
            run();
            started.elapsed()
        })
        .collect();
    times.sort();
    times[RUNS / 2]
}

fn main() {
    let library = Library::published();
    let job = demo(&library);
    let mut worths: Vec<Worth> = (0..job.finds.len())
        .filter(|&find| !job.finds[find].comps.is_empty())
        .map(|find| trade::appraise(&job, &library, find, &|_| {}).expect("the demo is appraised"))
        .collect();
    let worth = median(|| {
        for worth in &worths {
            let find = &job.finds[worth.find];
            let appraisal = pricing::appraise(&find.comps, find.grade, &job.market.assumptions)
                .expect("the demo has comps");
            for size in &worth.pools[0].sizes {
                std::hint::black_box(appraisal.lot(size.pieces).expect("a size that was tried"));
            }
        }
    });
    let split = median(|| {
        for worth in &mut worths {
            worth.split_again(&job).expect("the demo is split");
        }
    });
    let shelf = median(|| {
        for worth in &worths {
            let purchase = trade::purchase(&job, worth, Money::from_cents(700));
            std::hint::black_box(purchase.expect("the demo is decided on"));
        }
    });
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!(
        "the demo's {} finds with comps, packing left out, median of {RUNS}: worth {:.1} ms, split {:.1} ms, \
         shelf {:.1} ms; one thread, {}",
        worths.len(),
        1e3 * worth.as_secs_f64(),
        1e3 * split.as_secs_f64(),
        1e3 * shelf.as_secs_f64(),
        machine.unwrap_or_else(|| String::from("machine unknown"))
    );
}
