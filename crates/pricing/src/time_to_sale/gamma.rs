//! The gamma law with rate 1, for any shape.

use statrs::function::gamma::{checked_gamma_lr, checked_gamma_ur};

use crate::law::ErrorLaw;

/// Shape from which the cube root of a gamma value is taken as normal (Wilson & Hilferty 1931, *The distribution of
/// chi-square*): right to nine digits there and better beyond, where sums of the exact series grow without end.
const CUBE_ROOT_FROM_SHAPE: f64 = 1e6;

/// A value so small that the leading term of the chance has all its digits.
const NEAR_ZERO: f64 = 1e-14;

/// Steps of the search; halving alone would end within.
const MOST_STEPS: u32 = 100;

/// The value that is not exceeded with chance `p`: 0 and infinite at 0 and 1, and not a number outside of them or for
/// a shape that is not above 0.
pub(super) fn quantile(shape: f64, p: f64) -> f64 {
    let usable = (0.0..=1.0).contains(&p) && shape > 0.0 && shape.is_finite();
    if !usable {
        return f64::NAN;
    }
    if p == 0.0 {
        return 0.0;
    }
    if p == 1.0 {
        return f64::INFINITY;
    }
    if shape >= CUBE_ROOT_FROM_SHAPE {
        let root = 1.0 - 1.0 / (9.0 * shape) + ErrorLaw::Normal.quantile(p) / (3.0 * shape.sqrt());
        return shape * root.powi(3);
    }
    // Near 0 the chance is x^shape / Gamma(shape + 1), less the part x of it.
    let near_zero = ((p.ln() + libm::lgamma(shape + 1.0)) / shape).exp();
    if near_zero < NEAR_ZERO {
        return near_zero;
    }
    search(shape, p, near_zero)
}

/// The quantile of an ordinary shape by Newton's steps on the logarithm of the value, kept within a bracket; the
/// leading term is never above it.
fn search(shape: f64, p: f64, near_zero: f64) -> f64 {
    let below = |ln_x: f64| checked_gamma_lr(shape, ln_x.exp()).unwrap_or(f64::NAN);
    let mut low = near_zero.ln();
    let mut high = near_zero.max(shape).ln() + 1.0;
    while below(high) < p {
        high += 1.0;
    }
    let mut ln_x = 0.5 * (low + high);
    for _ in 0..MOST_STEPS {
        let chance = below(ln_x);
        if chance < p {
            low = ln_x;
        } else {
            high = ln_x;
        }
        let slope = (shape * ln_x - ln_x.exp() - libm::lgamma(shape)).exp();
        let next = ln_x - (chance - p) / slope;
        let next = if next > low && next < high { next } else { 0.5 * (low + high) };
        if (next - ln_x).abs() < 4.0 * f64::EPSILON {
            return next.exp();
        }
        ln_x = next;
    }
    ln_x.exp()
}

/// Chance of more than `x`; not a number for an `x` below 0 or a shape that is not above 0.
pub(super) fn above(shape: f64, x: f64) -> f64 {
    let usable = shape > 0.0 && shape.is_finite() && x >= 0.0;
    if !usable {
        return f64::NAN;
    }
    if x == 0.0 {
        return 1.0;
    }
    if x == f64::INFINITY {
        return 0.0;
    }
    if shape >= CUBE_ROOT_FROM_SHAPE {
        let root = (x / shape).cbrt();
        return ErrorLaw::Normal.below(-(root - 1.0 + 1.0 / (9.0 * shape)) * 3.0 * shape.sqrt());
    }
    checked_gamma_ur(shape, x).unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cube_root_takes_over_without_a_step() {
        for p in [0.01, 0.1, 0.5, 0.9, 0.99] {
            let (exact, root) = (quantile(999_999.0, p), quantile(1_000_001.0, p));
            // Two more of shape move every quantile by nearly two.
            assert!((root - exact - 2.0).abs() < 0.005, "{p}: {exact} {root}");
            assert!((above(1_000_001.0, root) - (1.0 - p)).abs() < 1e-9, "{p}");
            assert!((above(999_999.0, root - 2.0) - (1.0 - p)).abs() < 1e-5, "{p}");
        }
    }

    #[test]
    fn a_small_shape_piles_up_at_nothing() {
        for (shape, p) in
            [(0.1, 0.01), (0.1, 0.03), (0.1, 0.05), (0.1, 0.07), (0.02, 0.5), (0.02, 0.6), (0.5, 0.999)]
        {
            let x = quantile(shape, p);
            assert!(x > 0.0 && (1.0 - above(shape, x) - p).abs() < 1e-13, "{shape} {p}: {x}");
        }
    }

    #[test]
    fn odd_shapes_and_chances_are_no_numbers() {
        for odd in [f64::NAN, -1.0, 0.0, f64::INFINITY] {
            assert!(quantile(odd, 0.5).is_nan() && above(odd, 1.0).is_nan());
        }
        assert!(quantile(2.0, 1.1).is_nan() && quantile(2.0, f64::NAN).is_nan() && above(2.0, -1.0).is_nan());
        assert!(quantile(1e300, 0.3).is_finite() && above(1e300, 1e299) == 1.0);
        assert!(quantile(1e-3, 0.999).is_finite() && quantile(1e-300, 0.5) < 1e-300);
    }
}
