//! Offers against the literature: McCall, "Economics of information and job search" (1970); Gallego and van
//! Ryzin, "Optimal dynamic pricing of inventories with stochastic demand over finite horizons" (1994); Moser,
//! "On a problem of Cayley" (1956). The formulas are from memory; the checks below are worked out here.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use selling::{
    OfferSizes, PostedDemand, Search, offers_left_values, posted_worth, reservation, worth_by_deadline,
};

#[test]
fn one_unit_with_a_t_equal_to_e_is_worth_ln_2() {
    let worth = posted_worth(&PostedDemand::new(1.0, 1.0).unwrap(), 1, std::f64::consts::E).unwrap();
    assert!((worth.values[1] - std::f64::consts::LN_2).abs() < 1e-14);
    assert!((worth.best_prices[0] - 1.693_147_180_559_945_3).abs() < 1e-14);
}

#[test]
fn with_more_lots_than_can_be_asked_for_the_price_is_the_best_price_without_stock() {
    // Unlimited stock sells at 1/alpha for a/e a day: J = a t / (e alpha).
    let worth = posted_worth(&PostedDemand::new(2.0, 0.1).unwrap(), 1000, 30.0).unwrap();
    let unlimited = 2.0 * 30.0 / std::f64::consts::E / 0.1;
    assert!((worth.value() - unlimited).abs() < 1e-9 * unlimited);
    assert!((worth.best_prices[999] - 10.0).abs() < 1e-9);
    assert!((worth.expected_sold - 60.0 / std::f64::consts::E).abs() < 1e-9);
    assert!(worth.chance_all_sold < 1e-300);
}

#[test]
fn sales_at_the_best_prices_follow_the_chain_of_their_rates() {
    // The state of the stock, followed forward in time at the sale rate a e^(-alpha p*(n, t)).
    let (a, alpha, days) = (0.2, 0.05, 60.0);
    let demand = PostedDemand::new(a, alpha).unwrap();
    let worth = posted_worth(&demand, 3, days).unwrap();
    let steps = 2000;
    let dt = days / f64::from(steps);
    let rates = |left: f64| -> Vec<f64> {
        let prices = posted_worth(&demand, 3, left.max(0.0)).unwrap().best_prices;
        std::iter::once(0.0).chain(prices.iter().map(|price| a * (-alpha * price).exp())).collect()
    };
    let flow = |chances: &[f64], rates: &[f64]| -> Vec<f64> {
        (0..4)
            .map(|n| {
                let from_above = if n < 3 { chances[n + 1] * rates[n + 1] } else { 0.0 };
                from_above - chances[n] * rates[n]
            })
            .collect()
    };
    let moved = |chances: &[f64], slopes: &[f64], by: f64| -> Vec<f64> {
        chances.iter().zip(slopes).map(|(chance, slope)| chance + by * slope).collect()
    };
    let mut chances = vec![0.0, 0.0, 0.0, 1.0];
    for step in 0..steps {
        let left = days - f64::from(step) * dt;
        let (now, half, end) = (rates(left), rates(left - 0.5 * dt), rates(left - dt));
        let k1 = flow(&chances, &now);
        let k2 = flow(&moved(&chances, &k1, 0.5 * dt), &half);
        let k3 = flow(&moved(&chances, &k2, 0.5 * dt), &half);
        let k4 = flow(&moved(&chances, &k3, dt), &end);
        for n in 0..4 {
            chances[n] += dt / 6.0 * (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]);
        }
    }
    let sold = chances[2] + 2.0 * chances[1] + 3.0 * chances[0];
    assert!((worth.expected_sold - sold).abs() < 1e-8, "{} {sold}", worth.expected_sold);
    assert!((worth.chance_all_sold - chances[0]).abs() < 1e-8);
}

#[test]
fn a_deadline_with_exponential_offers_has_the_value_of_its_linear_equation() {
    // With u = e^(V/m) and no discount: u' = rate - (h/m) u.
    let (mean, rate, holding) = (12.0, 0.1, 0.05);
    let sizes = OfferSizes::Exponential { mean };
    let search = Search { sizes, per_day: rate, holding_per_day: holding, discount_per_day: 0.0 };
    let end = rate * mean / holding;
    for (days, rest) in [(1.0, 0.0), (30.0, 0.0), (90.0, 5.0), (400.0, 0.0)] {
        let start: f64 = f64::exp(rest / mean);
        let by_equation = mean * (end + (start - end) * (-holding / mean * days).exp()).ln();
        let found = worth_by_deadline(&search, days, rest).unwrap();
        assert!((found.value - by_equation).abs() < 1e-8, "{days}: {} {by_equation}", found.value);
    }
}

#[test]
fn a_deadline_with_uniform_offers_has_the_value_of_its_riccati_equation() {
    // With y = b - V: y' = h - rate y^2 / (2 (b - a)), so y = s coth(k t + c) once V is above a.
    let (low, high, rate, holding) = (8.0, 30.0, 0.1, 0.05);
    let sizes = OfferSizes::Uniform { low, high };
    let search = Search { sizes, per_day: rate, holding_per_day: holding, discount_per_day: 0.0 };
    let settled: f64 = (2.0 * holding * (high - low) / rate).sqrt();
    let speed = (rate * holding / (2.0 * (high - low))).sqrt();
    // Below a every offer is taken: V' = -h + rate (mean - V).
    let drift = rate * 19.0 - holding;
    let days_below = (drift / (drift - rate * low)).ln() / rate;
    let start = (settled / (high - low)).atanh();
    let by_equation = high - settled / (speed * (90.0 - days_below) + start).tanh();
    let found = worth_by_deadline(&search, 90.0, 0.0).unwrap();
    assert!((found.value - by_equation).abs() < 1e-8, "{} {by_equation}", found.value);
    assert!(found.value < found.without_deadline.unwrap());
}

#[test]
fn a_discounted_reservation_value_solves_its_equation_by_quadrature() {
    // r V = rate * integral over x > V of (1 - F(x)) dx - h, the integral by Simpson's rule.
    let sizes = OfferSizes::Lognormal { median: 30.0, sigma: 0.35 };
    let search = Search { sizes, per_day: 0.06, holding_per_day: 0.08, discount_per_day: 0.0004 };
    let value = reservation(&search).unwrap().value;
    let panels = 4000;
    let width = (600.0 - value) / f64::from(panels);
    let mut sum = 0.0;
    for i in 0..=panels {
        let weight = if i == 0 || i == panels { 1.0 } else { 2.0 * f64::from(1 + i % 2) };
        sum += weight * sizes.chance_over(value + f64::from(i) * width);
    }
    let tail = sum * width / 3.0;
    assert!((0.06 * tail - 0.08 - 0.0004 * value).abs() < 1e-9);
}

#[test]
fn offers_left_begin_with_a_half_and_five_eighths_and_rise_to_one() {
    let values = offers_left_values(1000).unwrap();
    assert_eq!(values[..3], [0.5, 0.625, 0.695_312_5]);
    // 1 - 2/n to first order.
    assert!((values[999] - (1.0 - 2.0 / 1000.0)).abs() < 2e-5);
}
