//! Time to drop every parcel of the demo on its faces, edges and corners: `cargo bench -p lotwright --bench drops`.
//! Prints, never asserts.

use std::time::Instant;

use droptest::{Detail, Filling, assess};
use measure::Length;
use trade::{Library, OrderPlan, Shipped};

/// What all of it may take, ms, on two cores.
const REACH_MS: f64 = 200.0;
const RUNS: usize = 11;

fn main() {
    let library = Library::published();
    let forms = forms::Catalogue::published();
    let stock = protection::StockCartons::published();
    let shelf =
        sheet::Library::of(&library, &forms, &stock, &|name| Err(format!("there is no file {name} here")));
    let job =
        sheet::read(sheet::example(), &shelf, jiff::civil::date(2026, 11, 25)).expect("the example is right");
    let outcome = trade::work_out(&job, &library, None, &|_| {}).expect("the demo is worked out");
    let rungs =
        outcome.ladders.iter().flat_map(|ladder| &ladder.rungs).filter_map(|(_, plan)| plan.as_ref().ok());
    let mixed = outcome.orders.iter().filter_map(|(_, plan)| plan.as_ref().ok());
    let parcels: Vec<&Shipped> = rungs.chain(mixed).flat_map(|plan: &OrderPlan| &plan.parcels).collect();
    let filling = Filling { cushions: &library.cushions, fill: &job.protecting.fill, pad_g_mm2: 4e-4 };
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let started = Instant::now();
            for shipped in &parcels {
                let Ok(guard) = &shipped.guard else { continue };
                let height: Length = guard.assessment.height;
                let again = assess(&shipped.plan, &guard.guarded, &filling, height, Detail::Full);
                std::hint::black_box(again.expect("what was dropped once can be dropped again"));
            }
            1e3 * started.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!(
        "{} parcels of the demo, 26 landings each, median of {RUNS}: {:.0} ms, {:.2} of the {REACH_MS} ms to reach; \
         {} threads, {}",
        parcels.len(),
        times[RUNS / 2],
        times[RUNS / 2] / REACH_MS,
        std::thread::available_parallelism().map_or(1, usize::from),
        machine.unwrap_or_else(|| String::from("machine unknown"))
    );
}
