//! Worked examples of offers, with answers from SciPy 1.17 (roots, quadrature, an ODE solver) and closed forms.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use selling::{
    CounterCase, CounterChoice, OfferSizes, PostedDemand, Search, offers_left_values, plan_counter,
    posted_worth, reservation, uniform_by_deadline, worth_by_deadline,
};
use serde_json::Value;

const TOLERANCE: f64 = 1e-8;

fn rows(kind: &str) -> Vec<Value> {
    let data: Value = serde_json::from_str(include_str!("data/economics_deals.json")).unwrap();
    data["offers"][kind].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

fn numbers(row: &Value, key: &str) -> Vec<f64> {
    row[key].as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

/// Within 1e-8, relative once the figure is above 1.
fn close(found: f64, expected: f64, what: &str) {
    assert!(
        (found - expected).abs() <= TOLERANCE * expected.abs().max(1.0),
        "{what}: {found} is not {expected}"
    );
}

fn search(row: &Value) -> Search {
    let sizes = match row["kind"].as_str().unwrap() {
        "exponential" => OfferSizes::Exponential { mean: number(row, "mean") },
        "uniform" => OfferSizes::Uniform { low: number(row, "a"), high: number(row, "b") },
        "lognormal" => {
            // The row gives the log of the median to ten digits; the median is 30.
            assert!((number(row, "mu") - 30_f64.ln()).abs() < 1e-9);
            OfferSizes::Lognormal { median: 30.0, sigma: number(row, "sigma") }
        }
        other => panic!("{other}"),
    };
    Search {
        sizes,
        per_day: number(row, "arrivals_per_day"),
        holding_per_day: number(row, "holding_per_day"),
        discount_per_day: number(row, "discount_per_day"),
    }
}

#[test]
fn every_reservation_value_is_met() {
    let rows = rows("search");
    assert_eq!(rows.len(), 4);
    for row in &rows {
        let found = reservation(&search(row)).unwrap();
        assert!((found.value - number(row, "reservation")).abs() <= TOLERANCE, "{row}");
        close(found.accept_probability, number(row, "accept_prob"), "accept probability");
        close(found.mean_wait_days, number(row, "expected_days"), "mean wait");
    }
}

#[test]
fn a_long_deadline_reaches_the_reservation_value() {
    for row in rows("search") {
        let search = search(&row);
        let far = worth_by_deadline(&search, 30_000.0, 0.0).unwrap();
        close(far.value, number(&row, "reservation"), "value with a far deadline");
        close(far.without_deadline.unwrap(), number(&row, "reservation"), "value without one");
    }
}

#[test]
fn every_posted_price_is_met() {
    let rows = rows("dynamic_pricing");
    assert_eq!(rows.len(), 3);
    for row in &rows {
        let demand = PostedDemand::new(number(row, "a_per_day"), number(row, "alpha")).unwrap();
        let units = row["units"].as_u64().unwrap() as u32;
        let worth = posted_worth(&demand, units, number(row, "days_left")).unwrap();
        let (values, prices) = (numbers(row, "value"), numbers(row, "opt_price"));
        let costs = numbers(row, "opportunity_cost_of_one");
        assert_eq!((worth.values.len(), worth.best_prices.len()), (values.len(), prices.len()));
        for (found, expected) in [
            (&worth.values, &values),
            (&worth.best_prices, &prices),
            (&worth.opportunity_costs, &costs),
            (&worth.values[1..].to_vec(), &numbers(row, "hjb_numeric")),
        ] {
            for (found, expected) in found.iter().zip(expected) {
                close(*found, *expected, "posted price");
            }
        }
    }
}

/// J' of the Hamilton-Jacobi-Bellman equation at the best price, written without the closed form:
/// max over p of a e^(-alpha p) (p - (J(n) - J(n-1))), the maximum by golden section.
fn slope(a: f64, alpha: f64, step_cost: f64) -> f64 {
    let gain = |price: f64| a * (-alpha * price).exp() * (price - step_cost);
    let (mut low, mut high) = (step_cost, step_cost + 10.0 / alpha);
    let golden = 0.5 * (5_f64.sqrt() - 1.0);
    for _ in 0..60 {
        let (left, right) = (high - golden * (high - low), low + golden * (high - low));
        if gain(left) > gain(right) {
            high = right;
        } else {
            low = left;
        }
    }
    gain(0.5 * (low + high))
}

#[test]
fn the_posted_price_solves_its_differential_equation() {
    for row in rows("dynamic_pricing") {
        let (a, alpha) = (number(&row, "a_per_day"), number(&row, "alpha"));
        let units = row["units"].as_u64().unwrap() as usize;
        let days = number(&row, "days_left");
        let demand = PostedDemand::new(a, alpha).unwrap();
        let worth = posted_worth(&demand, units as u32, days).unwrap();
        let rate = |values: &[f64]| -> Vec<f64> {
            let steps = values.windows(2).map(|pair| slope(a, alpha, pair[1] - pair[0]));
            std::iter::once(0.0).chain(steps).collect()
        };
        let moved = |values: &[f64], slopes: &[f64], by: f64| -> Vec<f64> {
            values.iter().zip(slopes).map(|(value, slope)| value + by * slope).collect()
        };
        let steps = 600;
        let dt = days / f64::from(steps);
        let mut values = vec![0.0; units + 1];
        for _ in 0..steps {
            let k1 = rate(&values);
            let k2 = rate(&moved(&values, &k1, 0.5 * dt));
            let k3 = rate(&moved(&values, &k2, 0.5 * dt));
            let k4 = rate(&moved(&values, &k3, dt));
            for i in 0..values.len() {
                values[i] += dt / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
            }
        }
        for (found, expected) in worth.values.iter().zip(&values) {
            close(*found, *expected, "by the equation");
        }
    }
}

#[test]
fn a_uniform_deadline_is_met_by_formula_and_by_integration() {
    for row in rows("finite_horizon_uniform") {
        let (expected_offers, value) = (number(&row, "lamT"), number(&row, "value"));
        close(uniform_by_deadline(expected_offers).unwrap(), value, "formula");
        let sizes = OfferSizes::Uniform { low: 0.0, high: 1.0 };
        let search = Search { sizes, per_day: 0.1, holding_per_day: 0.0, discount_per_day: 0.0 };
        let integrated = worth_by_deadline(&search, expected_offers / 0.1, 0.0).unwrap();
        close(integrated.value, value, "integration");
        assert_eq!(integrated.without_deadline, None);
        // Along V = x/(2 + x) an offer is taken at the rate 2/(2 + x): none so far with chance 4/(2 + x)^2.
        let none = (2.0 / (2.0 + expected_offers)).powi(2);
        close(integrated.chance_taken, 1.0 - none, "chance of a taken offer");
    }
}

#[test]
fn offers_left_are_worth_what_they_must_be() {
    let data: Value = serde_json::from_str(include_str!("data/economics_deals.json")).unwrap();
    let expected = numbers(&data["offers"], "moser_uniform");
    let found = offers_left_values(expected.len() as u32).unwrap();
    assert_eq!(found.len(), 10);
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() <= 1e-10);
    }
}

#[test]
fn every_counter_is_met() {
    let rows = rows("counters");
    assert_eq!(rows.len(), 5);
    for row in &rows {
        let case = CounterCase {
            offer: number(row, "offer"),
            ask: number(row, "ask"),
            reservation: number(row, "reservation"),
            stay_probability: number(row, "stay_prob"),
            reply_cost: 0.0,
        };
        let plan = plan_counter(&case).unwrap();
        close(plan.best_counter.unwrap(), number(row, "best_counter"), "counter");
        close(plan.accept_probability, number(row, "accept_prob_given_stay"), "accepted");
        close(plan.gain_of_counter, number(row, "gain_counter"), "gain of countering");
        close(plan.gain_of_accepting, number(row, "gain_accept"), "gain of accepting");
        close(plan.threshold, number(row, "accept_threshold"), "threshold");
        let decision = match plan.choice {
            CounterChoice::Accept => "accept",
            CounterChoice::Counter => "counter",
            CounterChoice::Decline => "decline",
        };
        assert_eq!(decision, row["decision"].as_str().unwrap(), "{row}");
    }
}
