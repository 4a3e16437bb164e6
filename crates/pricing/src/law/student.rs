//! Student's t, in closed form for 4 degrees of freedom and by the incomplete beta integral for any.

use std::f64::consts::{LN_2, PI};

use statrs::function::beta::checked_beta_reg;

use super::normal;

/// Logarithm of the density at 0 with 4 degrees of freedom: `ln(3/8)`.
const LN_T4_AT_ZERO: f64 = -0.980_829_253_011_726_2;

/// Beyond this the closed form of Student's t with 4 degrees is taken in logarithms, as its square underflows.
const LOGARITHMS_FROM: f64 = 1e60;

/// Degrees of freedom below which Student's t is refused: its quantiles leave the range of a number.
const LEAST_DEGREES: f64 = 1e-3;

/// Degrees of freedom from which the normal law stands in for Student's t.
const NORMAL_FROM_DEGREES: f64 = 1e6;

/// Terms of the series of a far tail; it ends within 20,000 up to [`NORMAL_FROM_DEGREES`].
const MOST_TERMS: f64 = 1e6;

/// A tail below this is taken from its series in logarithms.
const UNDERFLOW: f64 = 1e-290;

/// Logarithm of the density with 4 degrees of freedom.
pub(super) fn t4_ln_density(z: f64) -> f64 {
    LN_T4_AT_ZERO - 2.5 * ln_one_plus_square(0.5 * z)
}

/// Upper tail of Student's t with 4 degrees of freedom at `t >= 0`, a rational function of `sqrt(1 + t*t/4)`.
pub(super) fn t4_tail(t: f64) -> f64 {
    let half = 0.5 * t;
    let r = (1.0 + half * half).sqrt();
    let d = 2.0 / (r * (r + half));
    d * d * (6.0 - d) / 32.0
}

/// Logarithm of [`t4_tail`].
pub(super) fn ln_t4_tail(t: f64) -> f64 {
    if t < LOGARITHMS_FROM {
        return t4_tail(t).ln();
    }
    // r and t/2 agree to the last digit here, so d is 4 / t^2 and 6 - d is 6.
    2.0 * (4.0_f64.ln() - 2.0 * t.ln()) + (6.0_f64 / 32.0).ln()
}

/// Whether Student's t has these degrees of freedom here; what is not a number does not count.
fn usable(degrees: f64) -> bool {
    degrees >= LEAST_DEGREES
}

/// Logarithm of the density.
pub(super) fn ln_density(degrees: f64, z: f64) -> f64 {
    if !usable(degrees) {
        return f64::NAN;
    }
    if degrees >= NORMAL_FROM_DEGREES {
        return -0.5 * z * z - normal::HALF_LN_2_PI;
    }
    ln_gamma_half_step(degrees / 2.0)
        - 0.5 * (degrees * PI).ln()
        - 0.5 * (degrees + 1.0) * ln_one_plus_square(z / degrees.sqrt())
}

/// First and second derivative of the logarithm of the density.
pub(super) fn ln_density_slopes(degrees: f64, z: f64) -> (f64, f64) {
    let sum = degrees + z * z;
    (-(degrees + 1.0) * z / sum, -(degrees + 1.0) * (degrees - z * z) / (sum * sum))
}

/// `ln(Gamma(a + 1/2) / Gamma(a))`; by its asymptotic series where the two logarithms would cancel.
fn ln_gamma_half_step(a: f64) -> f64 {
    if a < 50.0 {
        return libm::lgamma(a + 0.5) - libm::lgamma(a);
    }
    let inverse = 1.0 / a;
    let square = inverse * inverse;
    0.5 * a.ln() - inverse * (1.0 / 8.0 - square * (1.0 / 192.0 - square * (1.0 / 640.0)))
}

/// Chance of at most `z`.
pub(super) fn below(degrees: f64, z: f64) -> f64 {
    if !usable(degrees) || z.is_nan() {
        return f64::NAN;
    }
    if degrees >= NORMAL_FROM_DEGREES {
        return normal::below(z);
    }
    super::symmetric_below(z, |t| tail(degrees, t))
}

/// Logarithm of the chance of at most `z`.
pub(super) fn ln_below(degrees: f64, z: f64) -> f64 {
    if !usable(degrees) || z.is_nan() {
        return f64::NAN;
    }
    if degrees >= NORMAL_FROM_DEGREES {
        return normal::ln_below(z);
    }
    super::ln_symmetric_below(z, |t| ln_tail(degrees, t))
}

/// Upper tail of Student's t at `t >= 0`, an incomplete beta integral (Abramowitz & Stegun, 26.7.1), in the
/// middle taken from its other side, whose argument is exact there.
fn tail(degrees: f64, t: f64) -> f64 {
    let square = t * t;
    if square == f64::INFINITY {
        return ln_tail(degrees, t).exp();
    }
    if t < 1.0 {
        let within = checked_beta_reg(0.5, 0.5 * degrees, square / (degrees + square));
        return within.map_or(f64::NAN, |within| 0.5 * (1.0 - within));
    }
    checked_beta_reg(0.5 * degrees, 0.5, degrees / (degrees + square)).map_or(f64::NAN, |both| 0.5 * both)
}

fn ln_tail(degrees: f64, t: f64) -> f64 {
    if t == f64::INFINITY {
        return f64::NEG_INFINITY;
    }
    let square = t * t;
    if square < 1e300 {
        let tail = tail(degrees, t);
        if tail > UNDERFLOW {
            return tail.ln();
        }
    }
    // I_x(a, 1/2) = x^a sqrt(1 - x) / (a B(a, 1/2)) * (1 + x (a + 1/2) / (a + 1) + ...), x = degrees / (degrees + t^2).
    let a = 0.5 * degrees;
    let ln_x = -ln_one_plus_square(t / degrees.sqrt());
    let x = ln_x.exp();
    let mut term = 1.0;
    let mut sum = 1.0;
    let mut k = 0.0;
    while term > f64::EPSILON * sum && k < MOST_TERMS {
        term *= x * (a + 0.5 + k) / (a + 1.0 + k);
        sum += term;
        k += 1.0;
    }
    let ln_beta = 0.5 * PI.ln() - ln_gamma_half_step(a);
    -LN_2 + a * ln_x + 0.5 * (-x).ln_1p() - a.ln() - ln_beta + sum.ln()
}

/// `ln(1 + x * x)` for any `x`.
fn ln_one_plus_square(x: f64) -> f64 {
    if x.abs() < 1e100 { (x * x).ln_1p() } else { 2.0 * x.abs().ln() }
}
