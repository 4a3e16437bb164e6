//! How many sales to expect.

use super::gamma;

/// Chance of at most `sales` where `expected` are expected (a Poisson count); not a number where fewer than none
/// are expected.
#[must_use]
pub fn chance_of_at_most(sales: u64, expected: f64) -> f64 {
    gamma::above(sales as f64 + 1.0, expected)
}
