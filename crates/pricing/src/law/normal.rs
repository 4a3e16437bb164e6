//! The tails of the normal law.

use std::f64::consts::SQRT_2;

/// Half the logarithm of `2 pi`.
pub(super) const HALF_LN_2_PI: f64 = 0.918_938_533_204_672_8;

/// Beyond this many standard deviations the asymptotic series of the normal tail holds to the last digit
/// (Abramowitz & Stegun, *Handbook of Mathematical Functions*, 26.2.12) and nothing can underflow.
const SERIES_FROM: f64 = 20.0;

/// Terms of that series: the next one is below 1e-16 at [`SERIES_FROM`].
const SERIES_TERMS: u32 = 9;

/// Chance of at most `z`.
pub(super) fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Logarithm of the chance of at most `z`.
pub(super) fn ln_below(z: f64) -> f64 {
    if z > 0.0 {
        return (-0.5 * libm::erfc(z / SQRT_2)).ln_1p();
    }
    if z > -SERIES_FROM {
        return below(z).ln();
    }
    if z == f64::NEG_INFINITY {
        return z;
    }
    let inverse_square = 1.0 / (z * z);
    let mut term = 1.0;
    let mut sum = 0.0;
    for k in 1..=SERIES_TERMS {
        term *= -f64::from(2 * k - 1) * inverse_square;
        sum += term;
    }
    -0.5 * z * z - HALF_LN_2_PI - (-z).ln() + sum.ln_1p()
}
