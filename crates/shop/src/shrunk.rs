//! What to believe after a few parcels: each observed figure is drawn towards its default by a fixed number of
//! parcels that are taken to have gone as predicted.
//!
//! A ratio of actual to predicted is `(n r + k) / (n + k)` for `n` parcels whose sums stand in the ratio `r`: the
//! mean of a normal with a prior mean of 1, the prior weighing as much as `k` parcels. A share of broken orders is
//! `(b + m d) / (n + m)` for `b` broken among `n` orders and the default `d`: the mean of a beta distribution whose
//! prior weighs as much as `m` orders (Gelman and others, Bayesian Data Analysis, sections 2.4 and 2.5).

use crate::Tuned;

/// Parcels that the prediction weighs as much as (judgement: five weighed parcels outvote it).
pub const WEIGHT_OF_A_PREDICTION: f64 = 5.0;
/// Orders that the default share of broken ones weighs as much as (judgement: breakage is rare, and a few broken
/// parcels say little).
pub const WEIGHT_OF_A_BREAKAGE: f64 = 100.0;

/// A ratio of actual to predicted after `count` parcels with these sums, drawn towards 1; exactly 1 where there is
/// nothing to go by.
#[must_use]
pub fn shrunk_ratio(count: u32, predicted: i64, actual: i64) -> f64 {
    if count == 0 || predicted <= 0 || actual < 0 {
        return 1.0;
    }
    let (n, seen) = (f64::from(count), actual as f64 / predicted as f64);
    (n * seen + WEIGHT_OF_A_PREDICTION) / (n + WEIGHT_OF_A_PREDICTION)
}

/// A share of broken orders, 0 to 1, drawn towards a default, which is taken as a share from 0 to 1.
#[must_use]
pub fn shrunk_share(orders: u32, broken: u32, default: f64) -> f64 {
    let default = if default.is_finite() { default.clamp(0.0, 1.0) } else { 0.0 };
    let broken = f64::from(broken.min(orders));
    (broken + WEIGHT_OF_A_BREAKAGE * default) / (f64::from(orders) + WEIGHT_OF_A_BREAKAGE)
}

impl Tuned {
    /// What to multiply predicted weights by.
    #[must_use]
    pub fn weight_factor(&self) -> f64 {
        shrunk_ratio(self.weighed, self.predicted_milligrams, self.actual_milligrams)
    }

    /// What to multiply predicted minutes by.
    #[must_use]
    pub fn minutes_factor(&self) -> f64 {
        shrunk_ratio(self.timed, self.predicted_minutes, self.actual_minutes)
    }

    /// Share of parcels that arrive broken, 0 to 1, drawn towards a default.
    #[must_use]
    pub fn breakage(&self, default: f64) -> f64 {
        shrunk_share(self.parcels, self.broken_orders, default)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_seen_leaves_the_default() {
        assert_eq!(shrunk_ratio(0, 0, 0), 1.0);
        assert_eq!(shrunk_ratio(3, 0, 500), 1.0);
        assert_eq!(shrunk_ratio(3, -5, -500), 1.0);
        assert_eq!(shrunk_share(0, 0, 0.015), 0.015);
        assert_eq!(shrunk_share(0, 4, f64::NAN), 0.0);
    }

    #[test]
    fn five_parcels_go_half_the_way_and_many_go_all_of_it() {
        assert!((shrunk_ratio(5, 1000, 1200) - 1.1).abs() < 1e-12);
        assert!((shrunk_ratio(1_000_000, 1000, 1200) - 1.2).abs() < 1e-5);
        assert!((shrunk_share(100, 3, 0.01) - 0.02).abs() < 1e-12);
    }

    #[test]
    fn a_shrunk_figure_lies_between_the_default_and_what_was_seen() {
        for count in 1..50 {
            let factor = shrunk_ratio(count, 100, 80);
            assert!((0.8..1.0).contains(&factor), "{factor}");
            assert!(factor < shrunk_ratio(count - 1, 100, 80));
        }
    }
}
