//! Time of the demo's whole ladder: `cargo bench -p lotwright`. Prints, never asserts.

use std::process::Command;
use std::time::{Duration, Instant};

const RUNS: usize = 5;

fn main() {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let started = Instant::now();
            let output = Command::new(env!("CARGO_BIN_EXE_lotwright")).output();
            let took = started.elapsed();
            assert!(output.is_ok_and(|output| output.status.success()), "the demo is planned");
            took
        })
        .collect();
    times.sort();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!(
        "demo ladder: median {:.2} s, best {:.2} s of {RUNS} runs; {threads} threads, {}",
        times[RUNS / 2].as_secs_f64(),
        times[0].as_secs_f64(),
        machine.unwrap_or_else(|| String::from("machine unknown"))
    );
}
