//! Fits and shares from censored data against the worked examples of the literature. Each test names its source;
//! the data file carries the data, the published values, and the values that public libraries find on the same
//! data (SciPy 1.17.1, lifelines 0.30.3, reliability 0.9.0, or an optimiser of its own where these do not apply).
//!
//! A published value is held to its printed digits, or to the accuracy of the program that printed it where that is
//! coarser, and the recomputed one to nearly all of its nine.

mod lines;
mod lives;
mod ranges;

use pricing::{Bounds, ErrorLaw, Fit, Observation, Scale, fit};
use serde_json::Value;

/// An example of the data file.
fn example(id: &str) -> Value {
    let data: Value =
        serde_json::from_str(include_str!("../data/published_censored.json")).expect("check data");
    let examples = data["examples"].as_array().expect("examples");
    examples.iter().find(|example| example["id"] == id).unwrap_or_else(|| panic!("no example {id}")).clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("not a list: {value}")).iter().map(number).collect()
}

/// Agreement to printed digits: half a unit of the last one.
fn printed(got: f64, wanted: &Value, decimals: i32) {
    let wanted = number(wanted);
    // A hair more than half a unit, as the printed decimals are no binary numbers.
    assert!((got - wanted).abs() <= 0.500_001 * 10.0_f64.powi(-decimals), "got {got}, printed {wanted}");
}

/// Relative agreement.
fn near(got: f64, wanted: &Value, tolerance: f64) {
    let wanted = number(wanted);
    assert!((got - wanted).abs() <= tolerance * wanted.abs(), "got {got}, wanted {wanted}");
}

/// The accuracy of the programs that found the recomputed values.
const RECOMPUTED: f64 = 1e-7;

fn alone(bounds: impl IntoIterator<Item = Bounds>) -> Vec<Observation<0>> {
    bounds.into_iter().map(|bounds| Observation { bounds, covariates: [], weight: 1.0 }).collect()
}

/// Logarithms of times that ended (1) or went on (0).
fn ln_times(times: &Value, ended: &Value) -> Vec<Bounds> {
    let pairs = numbers(times).into_iter().zip(numbers(ended));
    pairs.map(|(t, e)| if e == 1.0 { Bounds::Exact(t.ln()) } else { Bounds::Above(t.ln()) }).collect()
}

fn fitted<const K: usize>(law: ErrorLaw, seen: &[Observation<K>]) -> Fit<K> {
    fit(law, seen, Scale::Free).expect("a best fit")
}

/// Shape and scale of a Weibull law of times, fitted to their logarithms.
fn weibull(seen: Vec<Bounds>) -> (f64, f64) {
    let fit = fitted(ErrorLaw::SmallestExtreme, &alone(seen));
    (fit.scale.recip(), fit.intercept.exp())
}

/// The exponential law of times: a Weibull law of shape 1.
fn exponential(seen: Vec<Bounds>) -> Fit<0> {
    fit(ErrorLaw::SmallestExtreme, &alone(seen), Scale::Fixed(1.0)).expect("a best fit")
}

#[test]
fn every_example_of_the_file_is_checked_here() {
    let checked = [lines::CHECKED, lives::CHECKED, ranges::CHECKED].concat();
    let data: Value =
        serde_json::from_str(include_str!("../data/published_censored.json")).expect("check data");
    for example in data["examples"].as_array().expect("examples") {
        assert!(checked.contains(&example["id"].as_str().expect("an id")), "{}", example["id"]);
    }
}
