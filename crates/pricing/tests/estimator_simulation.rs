//! The estimator in a market whose truth is known: the reduced run of `examples/estimator_simulation.rs`, against the
//! figures of a run with another generator (`tests/data/estimator_simulation.json`, 200 sets a condition).

mod simulation;

use serde_json::Value;
use simulation::{Condition, run};

/// Sets in a condition, as many as in the run compared with.
const SETS: usize = 200;
/// How many standard errors of the difference of two such runs are allowed: with six comparisons, once in 3000 runs,
/// and the seed is fixed.
const STANDARD_ERRORS: f64 = 4.0;
/// Coverage that no condition may fall under, as in the run compared with.
const LEAST_COVERAGE: f64 = 0.78;
/// How far two runs' coverage of a condition may lie apart.
const COVERAGE: f64 = 0.04;

fn reference(condition: Condition) -> Value {
    let data: Value =
        serde_json::from_str(include_str!("data/estimator_simulation.json")).expect("the data is JSON");
    let is = |row: &Value, key: &str, right: f64| (row[key].as_f64().expect("a number") - right).abs() < 1e-9;
    data["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .find(|row| {
            is(row, "contam", condition.wrong)
                && is(row, "sigma", condition.sigma)
                && is(row, "comps", condition.comps as f64)
        })
        .expect("the condition is there")
        .clone()
}

#[test]
fn the_estimator_is_unbiased_close_and_honest_about_its_width() {
    for (seed, wrong, sigma, comps) in [(1, 0.0, 0.15, 5), (2, 0.0, 0.30, 10), (3, 0.0, 0.45, 10)] {
        let condition = Condition { wrong, sigma, comps };
        let scores = run(condition, SETS, seed).expect("appraises");
        let row = reference(condition);
        for (score, name) in [(scores.normal, "bayes_normal"), (scores.student, "bayes_t")] {
            println!("{condition:?} {name} {score:?} {}", row[name]);
            let number = |what: &str| row[name][what].as_f64().expect("a number");
            // The bias scatters by about 1.25 times the mean absolute error over the root of the sets.
            let of_bias = 1.25 * score.error / (SETS as f64).sqrt();
            assert!(
                score.bias.abs() < STANDARD_ERRORS * of_bias,
                "{condition:?} {name}: bias {}",
                score.bias
            );
            let off = (score.error - number("mae")).abs();
            let allowed = STANDARD_ERRORS * score.error_of_error * 2.0_f64.sqrt();
            assert!(off < allowed, "{condition:?} {name}: error {} {off} {allowed}", score.error);
            assert!(score.coverage > LEAST_COVERAGE, "{condition:?} {name}: {}", score.coverage);
            let off = (score.coverage - number("cover80")).abs();
            assert!(off < COVERAGE, "{condition:?} {name}: coverage {}", score.coverage);
        }
        assert!(scores.all_asks.bias > 0.15, "asks overstate the market: {}", scores.all_asks.bias);
        assert!(scores.student.error < 0.8 * scores.exact_only.error, "the model beats the sales' median");
        assert!(scores.student.error < 0.6 * scores.all_asks.error, "and the mean of all asks");
    }
}

#[test]
fn with_prices_typed_wrong_students_law_is_closer_than_the_normal() {
    let condition = Condition { wrong: 0.08, sigma: 0.15, comps: 10 };
    let scores = run(condition, SETS, 4).expect("appraises");
    println!("{scores:?}");
    assert!(scores.student.error < 0.8 * scores.normal.error, "{scores:?}");
    assert!(scores.student.bias.abs() < 0.04 && scores.student.coverage > 0.9, "{scores:?}");
}
