//! How far off the estimator is in a simulated market whose truth is known, beside a reference run
//! made with another random generator: `cargo run --release -p pricing --example estimator_simulation`.
//!
//! Takes half a minute. An argument sets how many sets a condition has (200).

#[path = "../tests/simulation/mod.rs"]
mod simulation;

use pricing::PricingError;
use serde_json::Value;
use simulation::{Condition, Score, Scores};

const SETS: usize = 200;
const SEED: u64 = 20_260_901;

fn main() -> Result<(), PricingError> {
    let sets = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(SETS).max(2);
    let reference: Value =
        serde_json::from_str(include_str!("../tests/data/estimator_simulation.json")).unwrap_or_default();
    println!(
        "Error of the median of a lot of {} in the logarithm; {sets} sets a condition.",
        simulation::LOT
    );
    println!("In brackets the reference run, 200 sets a condition.\n");
    println!(
        "                   mean of all asks  median of sales   model, normal errors       model, Student's t"
    );
    println!(
        "wrong sigma comps   m.a.e.            m.a.e.            bias   m.a.e. coverage     bias   m.a.e. coverage"
    );
    let mut rows = Vec::new();
    for (k, row) in reference["rows"].as_array().into_iter().flatten().enumerate() {
        let number = |value: &Value| value.as_f64().unwrap_or(f64::NAN);
        let condition = Condition {
            wrong: number(&row["contam"]),
            sigma: number(&row["sigma"]),
            comps: number(&row["comps"]) as usize,
        };
        let scores = simulation::run(condition, sets, SEED + k as u64)?;
        let part = |name: &str, what: &str| number(&row[name][what]);
        let model = |score: Score, name: &str| {
            format!(
                "{:+.3}  {:.3} ({:.3})  {:.2} ({:.2})",
                score.bias,
                score.error,
                part(name, "mae"),
                score.coverage,
                part(name, "cover80")
            )
        };
        println!(
            "{:4.2}  {:4.2} {:4}    {:.3} ({:.3})     {:.3} ({:.3})     {}   {}",
            condition.wrong,
            condition.sigma,
            condition.comps,
            scores.all_asks.error,
            part("mean_all_asks", "mae"),
            scores.exact_only.error,
            part("median_sold_only", "mae"),
            model(scores.normal, "bayes_normal"),
            model(scores.student, "bayes_t"),
        );
        rows.push((condition, scores));
    }
    summary(&rows);
    Ok(())
}

type Part = fn(&Scores) -> Score;

fn summary(rows: &[(Condition, Scores)]) {
    // Estimator, and the reference's bias, error without and error with wrong prices.
    let parts: [(&str, Part, [f64; 3]); 4] = [
        ("mean of all asks per piece", |s| s.all_asks, [0.273, 0.285, 0.328]),
        ("median of exact sales per piece", |s| s.exact_only, [0.131, 0.217, 0.258]),
        ("model, normal errors", |s| s.normal, [-0.015, 0.129, 0.181]),
        ("model, Student's t errors", |s| s.student, [-0.017, 0.133, 0.163]),
    ];
    println!("\n{:34}bias, clean      m.a.e., clean   m.a.e., 8 % wrong", "Over all conditions");
    let mean = |wrong: bool, value: &dyn Fn(&Scores) -> f64| {
        let chosen: Vec<f64> =
            rows.iter().filter(|row| (row.0.wrong > 0.0) == wrong).map(|row| value(&row.1)).collect();
        chosen.iter().sum::<f64>() / chosen.len().max(1) as f64
    };
    for (name, part, [bias, clean, wrong]) in parts {
        println!(
            "{name:34}{:+.3} ({bias:+.3})  {:.3} ({clean:.3})   {:.3} ({wrong:.3})",
            mean(false, &|s| part(s).bias),
            mean(false, &|s| part(s).error),
            mean(true, &|s| part(s).error),
        );
    }
    let least = rows.iter().map(|row| row.1.student.coverage).fold(1.0, f64::min);
    println!("\nMust hold for the model with Student's t errors:");
    let bias = mean(false, &|s| s.student.bias);
    say(bias.abs() <= 0.03, &format!("bias over clean conditions within 0.03: {bias:+.3}"));
    let error = mean(false, &|s| s.student.error);
    let naive = mean(false, &|s| s.exact_only.error);
    say(error <= 0.15, &format!("mean absolute error over clean conditions at most 0.15: {error:.3}"));
    say(
        error <= 0.75 * naive,
        &format!("and three quarters of that of the sales' median ({naive:.3}): {error:.3}"),
    );
    let (student, normal) = (mean(true, &|s| s.student.error), mean(true, &|s| s.normal.error));
    say(
        student < normal,
        &format!("with wrong prices a smaller error than with normal errors: {student:.3} {normal:.3}"),
    );
    say(least >= 0.78, &format!("coverage of the 80 % range at least 0.78 in every condition: {least:.3}"));
}

fn say(holds: bool, what: &str) {
    println!("  {} {what}", if holds { "yes:" } else { "NO: " });
}
