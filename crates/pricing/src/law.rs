//! How prices and times scatter about their middle: the laws of a standardised error, stable in both tails.

mod normal;
mod student;
#[cfg(test)]
mod tests;

use std::f64::consts::LN_2;

/// The law of the error `e` in `y = location + scale * e`.
///
/// A law of a time or a price follows from the law of its logarithm: lognormal is [`Normal`](Self::Normal),
/// log-logistic is [`Logistic`](Self::Logistic), and Weibull is [`SmallestExtreme`](Self::SmallestExtreme) with
/// shape `1 / scale` and characteristic life `exp(location)`; the exponential law is the Weibull with scale 1.
///
/// All methods take a standardised error `z`, which may be infinite; one that is not a number gives a result
/// that is not a number.
///
/// ```
/// use pricing::ErrorLaw;
///
/// let law = ErrorLaw::Normal;
/// assert!((law.below(1.0) - 0.8413447).abs() < 1e-7);
/// // Far out the difference of two distribution functions is lost, its logarithm is not.
/// assert_eq!(law.below(9.0) - law.below(8.5), 0.0);
/// assert!(law.ln_between(8.5, 9.0).is_finite());
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ErrorLaw {
    /// Standard normal.
    Normal,
    /// Student's t with 4 degrees of freedom: a normal middle and heavy tails, so that one odd price does not
    /// carry the answer away. In closed form, hence quick.
    StudentT4,
    /// Student's t with any number of degrees of freedom from a thousandth; with fewer every method gives a
    /// result that is not a number. From a million degrees on the normal law stands in.
    StudentT {
        /// Degrees of freedom, 0.001 or more.
        degrees: f64,
    },
    /// Standard logistic.
    Logistic,
    /// Smallest extreme value (Gumbel for minima): `F(z) = 1 - exp(-exp(z))`.
    SmallestExtreme,
    /// Largest extreme value (Gumbel for maxima): `F(z) = exp(-exp(-z))`.
    LargestExtreme,
}

/// An interval whose two log-probabilities differ by less than this is narrow: density times width is then
/// right to about 1e-11, and the difference is not.
const NARROW: f64 = 1e-5;

impl ErrorLaw {
    /// Logarithm of the density at `z`.
    #[must_use]
    pub fn ln_density(self, z: f64) -> f64 {
        match self {
            Self::Normal => -0.5 * z * z - normal::HALF_LN_2_PI,
            Self::StudentT4 => student::t4_ln_density(z),
            Self::StudentT { degrees } => student::ln_density(degrees, z),
            Self::Logistic => -z.abs() - 2.0 * (-z.abs()).exp().ln_1p(),
            Self::SmallestExtreme => smallest_extreme_ln_density(z),
            Self::LargestExtreme => smallest_extreme_ln_density(-z),
        }
    }

    /// First and second derivative of [`ln_density`](Self::ln_density) at `z`.
    pub(crate) fn ln_density_slopes(self, z: f64) -> (f64, f64) {
        match self {
            Self::Normal => (-z, -1.0),
            Self::StudentT4 => student::ln_density_slopes(4.0, z),
            Self::StudentT { degrees } => student::ln_density_slopes(degrees, z),
            Self::Logistic => {
                let tanh = (0.5 * z).tanh();
                (-tanh, -0.5 * (1.0 - tanh * tanh))
            }
            Self::SmallestExtreme => (1.0 - z.exp(), -z.exp()),
            Self::LargestExtreme => ((-z).exp() - 1.0, -(-z).exp()),
        }
    }

    /// Logarithm of the chance of an error of at most `z`.
    #[must_use]
    pub fn ln_below(self, z: f64) -> f64 {
        match self {
            Self::Normal => normal::ln_below(z),
            Self::StudentT4 => ln_symmetric_below(z, student::ln_t4_tail),
            Self::StudentT { degrees } => student::ln_below(degrees, z),
            Self::Logistic => logistic_ln_below(z),
            Self::SmallestExtreme => smallest_extreme_ln_below(z),
            Self::LargestExtreme => -(-z).exp(),
        }
    }

    /// Logarithm of the chance of an error above `z`.
    #[must_use]
    pub fn ln_above(self, z: f64) -> f64 {
        match self {
            Self::Normal | Self::StudentT4 | Self::StudentT { .. } | Self::Logistic => self.ln_below(-z),
            Self::SmallestExtreme => -z.exp(),
            Self::LargestExtreme => smallest_extreme_ln_below(-z),
        }
    }

    /// Logarithm of the chance of an error above `low` and at most `high`, to full accuracy in both tails and
    /// for narrow intervals; minus infinity where `low` is not below `high`.
    #[must_use]
    pub fn ln_between(self, low: f64, high: f64) -> f64 {
        if low.is_nan() || high.is_nan() {
            return f64::NAN;
        }
        if low >= high {
            return f64::NEG_INFINITY;
        }
        if low == f64::NEG_INFINITY {
            return self.ln_below(high);
        }
        if high == f64::INFINITY {
            return self.ln_above(low);
        }
        // Right of the middle the upper tails are the small numbers, left of it the lower ones.
        let (more, less) = if low > 0.0 {
            (self.ln_above(low), self.ln_above(high))
        } else {
            (self.ln_below(high), self.ln_below(low))
        };
        if more - less < NARROW || more == f64::NEG_INFINITY {
            return self.ln_density(low + 0.5 * (high - low)) + (high - low).ln();
        }
        more + ln_one_minus_exp(less - more)
    }

    /// Chance of an error of at most `z`.
    #[must_use]
    pub fn below(self, z: f64) -> f64 {
        match self {
            Self::Normal => normal::below(z),
            Self::StudentT4 => symmetric_below(z, student::t4_tail),
            Self::StudentT { degrees } => student::below(degrees, z),
            Self::Logistic => logistic_ln_below(z).exp(),
            Self::SmallestExtreme => -(-z.exp()).exp_m1(),
            Self::LargestExtreme => (-(-z).exp()).exp(),
        }
    }

    /// The error that is not exceeded with chance `p`: infinite at 0 and 1, and not a number outside of them.
    #[must_use]
    pub fn quantile(self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            return f64::NAN;
        }
        match self {
            Self::Normal | Self::StudentT4 | Self::StudentT { .. } => self.symmetric_quantile(p),
            Self::Logistic => p.ln() - (-p).ln_1p(),
            Self::SmallestExtreme => (-(-p).ln_1p()).ln(),
            Self::LargestExtreme => -(-p.ln()).ln(),
        }
    }

    /// Quantile of a law without a closed form (or with one that loses digits) by halving the bracket of the
    /// lower tail; `1 - p` is exact where it is used.
    fn symmetric_quantile(self, p: f64) -> f64 {
        if p > 0.5 {
            return -self.symmetric_quantile(1.0 - p);
        }
        if p == 0.0 {
            return f64::NEG_INFINITY;
        }
        if p == 0.5 {
            return 0.0;
        }
        let aim = p.ln();
        if self.ln_below(-1.0).is_nan() {
            return f64::NAN;
        }
        let mut low = -1.0;
        while self.ln_below(low) > aim && low > -1e300 {
            low *= 2.0;
        }
        let mut high = 0.0;
        let mut z = 0.5 * (low + high);
        for _ in 0..QUANTILE_STEPS {
            let ln_below = self.ln_below(z);
            if ln_below < aim {
                low = z;
            } else {
                high = z;
            }
            // Newton's step on the logarithm, whose slope is density over distribution; halving if it leaves.
            let step = (ln_below - aim) * (ln_below - self.ln_density(z)).exp();
            let next = z - step;
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            if (next - z).abs() <= f64::EPSILON * z.abs() {
                return next;
            }
            z = next;
        }
        z
    }
}

/// Steps of the search for a quantile; halving alone would end well within.
const QUANTILE_STEPS: u32 = 200;

/// `ln(1 - exp(x))` for `x <= 0` without loss at either end (Maechler, *Accurately computing log(1 - exp(-|a|))*).
fn ln_one_minus_exp(x: f64) -> f64 {
    if x > -LN_2 { (-x.exp_m1()).ln() } else { (-x.exp()).ln_1p() }
}

fn symmetric_below(z: f64, tail: impl Fn(f64) -> f64) -> f64 {
    if z > 0.0 { 1.0 - tail(z) } else { tail(-z) }
}

fn ln_symmetric_below(z: f64, ln_tail: impl Fn(f64) -> f64) -> f64 {
    if z > 0.0 { ln_one_minus_exp(ln_tail(z)) } else { ln_tail(-z) }
}

fn logistic_ln_below(z: f64) -> f64 {
    if z > 0.0 { -(-z).exp().ln_1p() } else { z - z.exp().ln_1p() }
}

/// `z - exp(z)`, which is minus infinity at both ends.
fn smallest_extreme_ln_density(z: f64) -> f64 {
    if z == f64::INFINITY { f64::NEG_INFINITY } else { z - z.exp() }
}

/// `ln(1 - exp(-exp(z)))`, which is `z` where `exp(z)` is nothing beside 1.
fn smallest_extreme_ln_below(z: f64) -> f64 {
    if z < LN_EPSILON { z } else { ln_one_minus_exp(-z.exp()) }
}

/// Logarithm of a part of 1 that is lost in rounding.
const LN_EPSILON: f64 = -37.0;
