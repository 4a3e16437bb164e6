//! The standard normal distribution.

use std::f64::consts::FRAC_1_SQRT_2;

/// Past this the tail is below the smallest double.
pub(crate) const FARTHEST: f64 = 38.0;

/// P(Z <= z), with full relative accuracy in the lower tail.
pub(crate) fn cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// P(Z > z), with full relative accuracy in the upper tail.
pub(crate) fn upper_tail(z: f64) -> f64 {
    cdf(-z)
}

/// The z with P(Z <= z) = `share`, for 0 < share < 1, by bisection; it stops at [`FARTHEST`] either way.
pub(crate) fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-FARTHEST, FARTHEST);
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle;
        }
        if cdf(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{cdf, quantile, upper_tail};

    #[test]
    fn tails_agree_with_forty_digit_values() {
        // ln Phi(-10) by mpmath at 40 digits; the tail at 37, near the end of the doubles, from memory.
        assert!((cdf(-10.0).ln() + 53.231_285_150_512_47).abs() < 1e-11);
        assert!((upper_tail(37.0) / 5.725_571_222_524_577e-300 - 1.0).abs() < 1e-9);
        assert_eq!(cdf(0.0), 0.5);
    }

    #[test]
    fn the_quantile_undoes_the_distribution() {
        assert!((quantile(0.1) + 1.281_551_565_544_600_4).abs() < 1e-13);
        assert!((quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-13);
        for share in [1e-300, 1e-12, 0.3, 0.5, 0.999_999] {
            assert!((cdf(quantile(share)) / share - 1.0).abs() < 1e-9, "{share}");
        }
    }
}
