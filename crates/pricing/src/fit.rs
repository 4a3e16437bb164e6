//! The best fit of a line with scattered values: weighted maximum likelihood with values known exactly or within
//! bounds.

mod cholesky;
mod climb;
mod standard;
#[cfg(test)]
mod tests;

use crate::error::PricingError;
use crate::law::ErrorLaw;
use crate::likelihood::Bounds;
use cholesky::dot;
use climb::climb;
use standard::Standard;

/// One observed value beside its `K` covariates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation<const K: usize> {
    /// What is known of the value.
    pub bounds: Bounds,
    /// The covariates.
    pub covariates: [f64; K],
    /// How often it counts: its log-likelihood is multiplied by this. 0 or more.
    pub weight: f64,
}

/// Whether the scale is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// It is sought with the rest.
    Free,
    /// It is known, above 0; an exponential law of times is [`ErrorLaw::SmallestExtreme`] of their logarithms
    /// with scale 1.
    Fixed(f64),
}

/// A best fit: `value = intercept + slopes . covariates + scale * error`.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit<const K: usize> {
    /// The law of the error.
    pub law: ErrorLaw,
    /// Location where all covariates are 0.
    pub intercept: f64,
    /// Change of the location with one of each covariate.
    pub slopes: [f64; K],
    /// Scale of the error.
    pub scale: f64,
    /// The greatest weighted log-likelihood.
    pub ln_likelihood: f64,
    /// Standard error of the intercept, as all of them from the observed information.
    pub intercept_error: f64,
    /// Standard errors of the slopes.
    pub slope_errors: [f64; K],
    /// Standard error of the logarithm of the scale; 0 where the scale was fixed.
    pub ln_scale_error: f64,
}

impl<const K: usize> Fit<K> {
    /// The fitted location at these covariates.
    #[must_use]
    pub fn location(&self, covariates: &[f64; K]) -> f64 {
        self.intercept + dot(&self.slopes, covariates)
    }

    /// The value that is not exceeded with chance `p` at these covariates.
    #[must_use]
    pub fn quantile(&self, p: f64, covariates: &[f64; K]) -> f64 {
        self.location(covariates) + self.scale * self.law.quantile(p)
    }

    /// Chance of a value of at most `value` at these covariates.
    #[must_use]
    pub fn chance_below(&self, value: f64, covariates: &[f64; K]) -> f64 {
        self.law.below((value - self.location(covariates)) / self.scale)
    }

    /// Standard error of the scale; 0 where it was fixed.
    #[must_use]
    pub fn scale_error(&self) -> f64 {
        self.scale * self.ln_scale_error
    }
}

/// The fit of greatest weighted likelihood of a line with `K` covariates and an intercept.
///
/// Normal, logistic and extreme-value laws have one maximum (Burridge 1981, *A note on maximum likelihood
/// estimation for regression models using grouped data*); Student's t may have several, of which the one up the
/// hill from the least-squares line is given.
///
/// ```
/// use pricing::{Bounds, ErrorLaw, Observation, Scale, fit};
///
/// // Times to failure of which the last three machines still ran at 20 hours.
/// let mut seen: Vec<_> = [3.0_f64, 7.0, 11.0, 16.0].map(|t| Bounds::Exact(t.ln())).to_vec();
/// seen.extend([Bounds::Above(20.0_f64.ln()); 3]);
/// let seen: Vec<_> = seen.into_iter().map(|bounds| Observation { bounds, covariates: [], weight: 1.0 }).collect();
/// let exponential = fit(ErrorLaw::SmallestExtreme, &seen, Scale::Fixed(1.0))?;
/// assert!((exponential.intercept.exp() - (3.0 + 7.0 + 11.0 + 16.0 + 60.0) / 4.0).abs() < 1e-9);
/// # Ok::<(), pricing::PricingError>(())
/// ```
///
/// # Errors
///
/// [`PricingError::Figure`] names the observation with a figure that can't be used, [`PricingError::NoFit`] says
/// why there is no finite maximum (all bounds on one side, no scatter, covariates that can't be told apart).
pub fn fit<const K: usize>(
    law: ErrorLaw,
    observations: &[Observation<K>],
    scale: Scale,
) -> Result<Fit<K>, PricingError> {
    let standard = Standard::of(law, observations, scale)?;
    let top = climb(&standard.hill, standard.start.clone()).map_err(PricingError::NoFit)?;
    standard.in_units(&top).map_err(PricingError::NoFit)
}
