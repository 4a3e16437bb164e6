//! What the estimator takes for granted, each figure a setting.

use measure::Money;

use crate::{ErrorLaw, Grade, PricingError};

/// Days after which a comp counts half (judgement).
pub const HALF_LIFE_DAYS: f64 = 180.0;
/// Lowest share of the ask that an accepted offer is taken to have been (judgement).
pub const OFFER_FLOOR: f64 = 0.60;
/// Mean days until a listing at the median sells; how fast silence becomes evidence (judgement).
pub const MEAN_DAYS_AT_MEDIAN: f64 = 45.0;
/// Cents taken as bounds of shipping that isn't stated: a light and a heavy small parcel (judgement).
pub const UNSTATED_SHIPPING_CENTS: (i64, i64) = (700, 1600);

/// What the grades are worth against each other, in logarithms of the price.
///
/// A price seen at one grade is divided by `exp(offset of its grade - offset of the target's)`. The offsets
/// are set, not estimated: three to ten comps can't tell them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GradeOffsets {
    /// As new: +0.20, 22 % above C (judgement).
    pub a: f64,
    /// Light wear: +0.10, 11 % above C (judgement).
    pub b: f64,
    /// Ordinary used condition: 0, the reference.
    pub c: f64,
    /// Small flaws: -0.20, 18 % below C (judgement).
    pub d: f64,
    /// Damaged: -0.50, 39 % below C (judgement).
    pub e: f64,
}

impl Default for GradeOffsets {
    fn default() -> Self {
        Self { a: 0.20, b: 0.10, c: 0.0, d: -0.20, e: -0.50 }
    }
}

impl GradeOffsets {
    /// Offset of one grade, in logarithms of the price.
    #[must_use]
    pub fn of(&self, grade: Grade) -> f64 {
        match grade {
            Grade::A => self.a,
            Grade::B => self.b,
            Grade::C => self.c,
            Grade::D => self.d,
            Grade::E => self.e,
        }
    }
}

/// What is believed before any comp is seen, as three normal laws.
///
/// The model is `ln(delivered price / pieces) = mu + beta * ln(pieces) + sigma * error`. The prior is what
/// lets one comp, a set without any sale, or a set of a single lot size give an answer at all: plain
/// maximum likelihood then has none, or claims a spread of 2 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Middle of `mu`, the logarithm of a single piece's price in currency units; when absent, the weighted
    /// median over the comps of their logarithmic price per piece.
    pub mu_mean: Option<f64>,
    /// Standard deviation of `mu`: 1.5, a factor of 4.5 either way (judgement).
    pub mu_sd: f64,
    /// Middle of `beta`, how the price per piece moves with the lot size: -0.20, so that a lot twice the
    /// size brings 13 % less per piece (judgement).
    pub beta_mean: f64,
    /// Standard deviation of `beta`: 0.20 (judgement).
    pub beta_sd: f64,
    /// Middle of `ln sigma`: `ln 0.35`, sales within about 35 % of their median (judgement).
    pub ln_sigma_mean: f64,
    /// Standard deviation of `ln sigma`: 0.5 (judgement). Past five of them either way sigma is not looked
    /// for: by default it lies from 0.029 to 4.3.
    pub ln_sigma_sd: f64,
}

impl Default for Prior {
    fn default() -> Self {
        Self {
            mu_mean: None,
            mu_sd: 1.5,
            beta_mean: -0.20,
            beta_sd: 0.20,
            // ln 0.35, which has no constant form.
            ln_sigma_mean: -1.049_822_124_498_677_7,
            ln_sigma_sd: 0.5,
        }
    }
}

/// Points of the grid along each parameter; more points cost time and add digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridSize {
    /// Along the level (`mu` at the comps' middle lot size), 9 to 401.
    pub level: usize,
    /// Along `beta`, 9 to 401.
    pub beta: usize,
    /// Along `ln sigma`, 9 to 401.
    pub ln_sigma: usize,
}

impl Default for GridSize {
    /// Chosen by measurement: against a grid three times as fine along each parameter, the quantiles of the
    /// next sale of a lot size among the comps agree to a few parts in a million on every checked set, the
    /// range of the median to one in ten thousand.
    fn default() -> Self {
        Self { level: 41, beta: 21, ln_sigma: 25 }
    }
}

/// Everything the estimator takes for granted.
///
/// ```
/// use pricing::{Assumptions, ErrorLaw};
///
/// let brisk = Assumptions { half_life_days: 60.0, error_law: ErrorLaw::Normal, ..Assumptions::default() };
/// assert_eq!(brisk.offer_floor, 0.60);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumptions {
    /// Days after which a comp counts half: [`HALF_LIFE_DAYS`].
    pub half_life_days: f64,
    /// Lowest share of the ask that an accepted offer is taken to have been, 0 to 1: [`OFFER_FLOOR`].
    pub offer_floor: f64,
    /// Mean days until a listing at the median sells. A listing unsold for `t` days counts with weight
    /// `1 - exp(-t / this)`: [`MEAN_DAYS_AT_MEDIAN`].
    pub mean_days_at_median: f64,
    /// What the grades are worth against each other.
    pub grades: GradeOffsets,
    /// Bounds of shipping that isn't stated: 7.00 to 16.00 ([`UNSTATED_SHIPPING_CENTS`]).
    pub unstated_shipping: (Money, Money),
    /// How sales scatter about their median in the logarithm: Student's t with 4 degrees of freedom, so that
    /// one odd price doesn't carry the answer away (judgement).
    pub error_law: ErrorLaw,
    /// What is believed before any comp is seen.
    pub prior: Prior,
    /// How fine the grid is.
    pub grid: GridSize,
}

impl Default for Assumptions {
    fn default() -> Self {
        let (least, most) = UNSTATED_SHIPPING_CENTS;
        Self {
            half_life_days: HALF_LIFE_DAYS,
            offer_floor: OFFER_FLOOR,
            mean_days_at_median: MEAN_DAYS_AT_MEDIAN,
            grades: GradeOffsets::default(),
            unstated_shipping: (Money::from_cents(least), Money::from_cents(most)),
            error_law: ErrorLaw::StudentT4,
            prior: Prior::default(),
            grid: GridSize::default(),
        }
    }
}

/// Range of a time assumed, in days.
const DAYS: (f64, f64) = (0.01, 100_000.0);
/// Range of an offset between grades.
const OFFSET: (f64, f64) = (-5.0, 5.0);
/// Range of the middle of a prior on `mu` (a piece from a millionth of a cent to far past any amount).
const MU: (f64, f64) = (-20.0, 45.0);
/// Range of the middle of a prior on `beta`.
const BETA: (f64, f64) = (-5.0, 5.0);
/// Range of a prior's standard deviation; the highest is as good as flat.
const SD: (f64, f64) = (0.001, 1000.0);
/// Points along a parameter.
const POINTS: (usize, usize) = (9, 401);
/// Spread from which and to which `sigma` may be looked for at all, as logarithms of 0.001 and 30.
pub(crate) const LN_SIGMA_LIMITS: (f64, f64) = (-6.907_755_278_982_137, 3.401_197_381_662_155_5);

impl Assumptions {
    /// Refuses figures with which nothing could be worked out.
    pub(crate) fn check(&self) -> Result<(), PricingError> {
        within("half-life in days", self.half_life_days, DAYS)?;
        within("offer floor", self.offer_floor, (0.0, 1.0))?;
        within("mean days at the median", self.mean_days_at_median, DAYS)?;
        let GradeOffsets { a, b, c, d, e } = self.grades;
        for offset in [a, b, c, d, e] {
            within("grade offset", offset, OFFSET)?;
        }
        let prior = &self.prior;
        if let Some(mean) = prior.mu_mean {
            within("prior middle of mu", mean, MU)?;
        }
        within("prior sd of mu", prior.mu_sd, SD)?;
        within("prior middle of beta", prior.beta_mean, BETA)?;
        within("prior sd of beta", prior.beta_sd, SD)?;
        within("prior middle of ln sigma", prior.ln_sigma_mean, LN_SIGMA_LIMITS)?;
        within("prior sd of ln sigma", prior.ln_sigma_sd, SD)?;
        for points in [self.grid.level, self.grid.beta, self.grid.ln_sigma] {
            if !(POINTS.0..=POINTS.1).contains(&points) {
                let right = format!("{} to {}", POINTS.0, POINTS.1);
                return Err(wrong("grid points", points.to_string(), right));
            }
        }
        let (least, most) = self.unstated_shipping;
        if least < Money::ZERO || least > most || most > measure::LARGEST_MONEY {
            let found = format!("{} to {}", least.write(), most.write());
            return Err(wrong("unstated shipping", found, String::from("from 0.00 upward, the lower first")));
        }
        self.check_law()
    }

    fn check_law(&self) -> Result<(), PricingError> {
        let found = match self.error_law {
            ErrorLaw::Normal | ErrorLaw::StudentT4 | ErrorLaw::Logistic => return Ok(()),
            ErrorLaw::StudentT { degrees } if degrees >= 1.0 => return Ok(()),
            ErrorLaw::StudentT { degrees } => format!("Student's t with {degrees} degrees of freedom"),
            ErrorLaw::SmallestExtreme | ErrorLaw::LargestExtreme => String::from("a lopsided law"),
        };
        let right = "the normal law, Student's t with 1 degree of freedom or more, or the logistic law";
        Err(wrong("error law", found, String::from(right)))
    }
}

fn within(what: &'static str, found: f64, (least, most): (f64, f64)) -> Result<(), PricingError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(wrong(what, found.to_string(), format!("{least} to {most}")))
}

fn wrong(what: &'static str, found: String, right: String) -> PricingError {
    PricingError::Assumption { what, found, right }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_are_accepted() {
        assert_eq!(Assumptions::default().check(), Ok(()));
        assert!((Prior::default().ln_sigma_mean - 0.35_f64.ln()).abs() < 1e-15);
        assert!((LN_SIGMA_LIMITS.0 - 0.001_f64.ln()).abs() < 1e-15);
        assert!((LN_SIGMA_LIMITS.1 - 30.0_f64.ln()).abs() < 1e-15);
    }

    #[test]
    fn every_figure_that_is_no_number_is_refused_by_name() {
        let usual = Assumptions::default();
        let prior = |change: fn(&mut Prior)| {
            let mut changed = usual;
            change(&mut changed.prior);
            changed
        };
        let refused = [
            (Assumptions { half_life_days: f64::NAN, ..usual }, "half-life"),
            (Assumptions { half_life_days: 0.0, ..usual }, "half-life"),
            (Assumptions { offer_floor: 1.5, ..usual }, "offer floor"),
            (Assumptions { mean_days_at_median: -1.0, ..usual }, "mean days"),
            (Assumptions { grades: GradeOffsets { d: f64::INFINITY, ..usual.grades }, ..usual }, "grade"),
            (Assumptions { grid: GridSize { beta: 3, ..usual.grid }, ..usual }, "grid points"),
            (Assumptions { error_law: ErrorLaw::LargestExtreme, ..usual }, "error law"),
            (Assumptions { error_law: ErrorLaw::StudentT { degrees: f64::NAN }, ..usual }, "error law"),
            (Assumptions { unstated_shipping: (Money::from_cents(9), Money::ZERO), ..usual }, "shipping"),
            (prior(|p| p.mu_mean = Some(f64::NAN)), "middle of mu"),
            (prior(|p| p.mu_sd = 0.0), "sd of mu"),
            (prior(|p| p.beta_mean = 1e9), "middle of beta"),
            (prior(|p| p.beta_sd = f64::NAN), "sd of beta"),
            (prior(|p| p.ln_sigma_mean = 9.0), "middle of ln sigma"),
            (prior(|p| p.ln_sigma_sd = -0.5), "sd of ln sigma"),
        ];
        for (assumptions, word) in refused {
            let error = assumptions.check().expect_err(word).to_string();
            assert!(error.contains(word) && error.contains("right would be"), "{error}");
        }
    }
}
