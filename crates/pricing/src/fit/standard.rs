//! Observations brought to middle 0 and spread 1, so that the search knows what is far and what is small, and the
//! way back to their units.

use super::cholesky::{Cholesky, dot};
use super::climb::{Hill, Term, Top};
use super::{Fit, Observation, Scale};
use crate::error::{NoFit, PricingError};
use crate::law::ErrorLaw;
use crate::likelihood::Bounds;

/// A standardised problem with a place to start from.
pub(crate) struct Standard<const K: usize> {
    pub(crate) hill: Hill,
    pub(crate) start: Vec<f64>,
    middle: f64,
    spread: f64,
    centres: [f64; K],
    widths: [f64; K],
    scale: Scale,
}

/// Least part of a diagonal element that a pivot must keep for two effects to be told apart.
const LEAST_PIVOT: f64 = 1e-10;

/// The spread is at least this part of the widest distance from the middle, whatever the weights.
const LEAST_SPREAD: f64 = 1e-3;

/// The scale to start from is the largest distance from the line over this, and so rather too large: the hill is
/// gentle on that side.
const START_DISTANCE: f64 = 2.5;

/// Least scale to start from, in spreads.
const LEAST_START: f64 = 0.1;

impl<const K: usize> Standard<K> {
    pub(crate) fn of(
        law: ErrorLaw,
        observations: &[Observation<K>],
        scale: Scale,
    ) -> Result<Self, PricingError> {
        check(law, observations, scale)?;
        let used: Vec<&Observation<K>> = observations.iter().filter(|o| o.weight > 0.0).collect();
        if used.is_empty() {
            return Err(PricingError::NoFit(NoFit::NothingObserved));
        }
        if used.iter().all(|o| ends(o.bounds)[0].is_none())
            || used.iter().all(|o| ends(o.bounds)[1].is_none())
        {
            return Err(PricingError::NoFit(NoFit::OneSided));
        }
        let fixed = match scale {
            Scale::Free => None,
            Scale::Fixed(scale) => Some(scale),
        };
        let (middle, spread) = middle_and_spread(&used, |o| rough(o.bounds));
        let distances = used.iter().flat_map(|o| ends(o.bounds)).flatten().map(|end| (end - middle).abs());
        let spread = spread.max(LEAST_SPREAD * distances.fold(0.0, f64::max));
        let spread = if spread > 0.0 { spread } else { fixed.unwrap_or(1.0) };
        if !spread.is_finite() {
            return Err(figure("the observations", "the spread of the values", spread, "a finite number"));
        }

        let mut centres = [0.0; K];
        let mut widths = [1.0; K];
        for (k, (centre, width)) in centres.iter_mut().zip(&mut widths).enumerate() {
            (*centre, *width) =
                middle_and_spread(&used, |o| o.covariates.get(k).copied().unwrap_or_default());
            // A covariate that does not vary can't be told from the intercept.
            let varies = *width > LEAST_PIVOT * centre.abs() && width.is_finite();
            if !varies {
                return Err(PricingError::NoFit(NoFit::Collinear));
            }
        }
        let to_standard = |value: f64| (value - middle) / spread;
        let terms: Vec<Term> = used
            .iter()
            .map(|o| Term {
                bounds: match o.bounds {
                    Bounds::Exact(value) => Bounds::Exact(to_standard(value)),
                    Bounds::Between(low, high) => Bounds::Between(to_standard(low), to_standard(high)),
                    Bounds::Below(high) => Bounds::Below(to_standard(high)),
                    Bounds::Above(low) => Bounds::Above(to_standard(low)),
                },
                row: std::iter::once(1.0)
                    .chain(
                        o.covariates.iter().zip(centres.iter().zip(&widths)).map(|(x, (c, w))| (x - c) / w),
                    )
                    .collect(),
                weight: o.weight,
            })
            .collect();
        let start = least_squares(law, &terms, K + 1, fixed.map(|s| (s / spread).ln()))
            .ok_or(PricingError::NoFit(NoFit::Collinear))?;
        let hill = Hill { law, terms, scale_is_fixed: fixed.is_some() };
        Ok(Self { hill, start, middle, spread, centres, widths, scale })
    }

    /// The fit in the units of the observations.
    pub(crate) fn in_units(&self, top: &Top) -> Result<Fit<K>, NoFit> {
        let covariance = Cholesky::of(&top.information, LEAST_PIVOT).ok_or(NoFit::Unbounded)?.inverse();
        let error = |i: usize| covariance.get(i).and_then(|row| row.get(i)).map_or(f64::NAN, |v| v.sqrt());
        let Some((&ln_scale, coefficients)) = top.place.split_last() else {
            return Err(NoFit::NothingObserved);
        };

        // The intercept is the location at covariates 0: that at their centres less what the slopes make up to there.
        let back: Vec<f64> =
            std::iter::once(1.0).chain(self.centres.iter().zip(&self.widths).map(|(c, w)| -c / w)).collect();
        let intercept_variance: f64 = covariance.iter().zip(&back).map(|(row, b)| b * dot(row, &back)).sum();
        let mut slopes = [0.0; K];
        let mut slope_errors = [0.0; K];
        for (k, width) in self.widths.iter().enumerate() {
            let per_width = self.spread / width;
            if let (Some(slope), Some(own)) = (slopes.get_mut(k), coefficients.get(k + 1)) {
                *slope = own * per_width;
            }
            if let Some(slope_error) = slope_errors.get_mut(k) {
                *slope_error = error(k + 1) * per_width;
            }
        }
        // The density of an exact value is per unit of the value.
        let exact_weight: f64 = self
            .hill
            .terms
            .iter()
            .map(|term| match term.bounds {
                Bounds::Exact(_) => term.weight,
                Bounds::Between(..) | Bounds::Below(_) | Bounds::Above(_) => 0.0,
            })
            .sum();
        let (scale, ln_scale_error) = match self.scale {
            Scale::Free => (self.spread * ln_scale.exp(), error(K + 1)),
            Scale::Fixed(scale) => (scale, 0.0),
        };
        Ok(Fit {
            law: self.hill.law,
            intercept: self.middle + self.spread * dot(coefficients, &back),
            slopes,
            scale,
            ln_likelihood: top.height - exact_weight * self.spread.ln(),
            intercept_error: self.spread * intercept_variance.max(0.0).sqrt(),
            slope_errors,
            ln_scale_error,
        })
    }
}

/// The lower and the upper bound, where there is one.
fn ends(bounds: Bounds) -> [Option<f64>; 2] {
    match bounds {
        Bounds::Exact(value) => [Some(value), Some(value)],
        Bounds::Between(low, high) => [Some(low), Some(high)].map(|end| end.filter(|e| e.is_finite())),
        Bounds::Below(high) => [None, Some(high)],
        Bounds::Above(low) => [Some(low), None],
    }
}

/// A value to start from.
fn rough(bounds: Bounds) -> f64 {
    match ends(bounds) {
        [Some(low), Some(high)] => low + 0.5 * (high - low),
        [Some(end), None] | [None, Some(end)] => end,
        [None, None] => 0.0,
    }
}

/// Weighted mean and standard deviation.
fn middle_and_spread<const K: usize>(
    used: &[&Observation<K>],
    of: impl Fn(&Observation<K>) -> f64,
) -> (f64, f64) {
    let total: f64 = used.iter().map(|o| o.weight).sum();
    let middle = used.iter().map(|o| o.weight / total * of(o)).sum::<f64>();
    let square: f64 = used.iter().map(|o| o.weight / total * (of(o) - middle) * (of(o) - middle)).sum();
    (middle, square.sqrt())
}

/// The weighted least-squares line through the rough values and a scale to start from; none where the effects
/// can't be told apart.
fn least_squares(
    law: ErrorLaw,
    terms: &[Term],
    unknowns: usize,
    fixed_ln_scale: Option<f64>,
) -> Option<Vec<f64>> {
    let mut normal = vec![vec![0.0; unknowns]; unknowns];
    let mut right = vec![0.0; unknowns];
    for term in terms {
        for (x, (row, r)) in term.row.iter().zip(normal.iter_mut().zip(&mut right)) {
            *r += term.weight * x * rough(term.bounds);
            for (y, sum) in term.row.iter().zip(row) {
                *sum += term.weight * x * y;
            }
        }
    }
    let mut place = Cholesky::of(&normal, LEAST_PIVOT)?.solve(&right);
    let distances = || {
        let of_term = |t: &Term| ends(t.bounds).map(|end| end.map(|e| e - dot(&place, &t.row)));
        terms.iter().flat_map(of_term).flatten()
    };
    let (lowest, highest) = (distances().fold(0.0, f64::min), distances().fold(0.0, f64::max));
    let Some(ln_scale) = fixed_ln_scale else {
        place.push((highest.max(-lowest) / START_DISTANCE).max(LEAST_START).ln());
        return Some(place);
    };
    // Where the scale can't be chosen, nothing may lie far out in a tail that falls off as a double exponential.
    let shift = match law {
        ErrorLaw::SmallestExtreme => highest,
        ErrorLaw::LargestExtreme => lowest,
        ErrorLaw::Normal | ErrorLaw::StudentT4 | ErrorLaw::StudentT { .. } | ErrorLaw::Logistic => 0.0,
    };
    if let Some(intercept) = place.first_mut() {
        *intercept += shift;
    }
    place.push(ln_scale);
    Some(place)
}

fn figure(place: impl Into<String>, what: &'static str, found: f64, right: &'static str) -> PricingError {
    PricingError::Figure { place: place.into(), what, found, right }
}

fn check<const K: usize>(
    law: ErrorLaw,
    observations: &[Observation<K>],
    scale: Scale,
) -> Result<(), PricingError> {
    if law.ln_density(0.0).is_nan() {
        let degrees = match law {
            ErrorLaw::StudentT { degrees } => degrees,
            ErrorLaw::Normal
            | ErrorLaw::StudentT4
            | ErrorLaw::Logistic
            | ErrorLaw::SmallestExtreme
            | ErrorLaw::LargestExtreme => f64::NAN,
        };
        return Err(figure("the law", "degrees of freedom", degrees, "0.001 or more"));
    }
    if let Scale::Fixed(scale) = scale
        && !(scale > 0.0 && scale.is_finite())
    {
        return Err(figure("the law", "a fixed scale", scale, "a number above 0"));
    }
    for (i, observation) in observations.iter().enumerate() {
        let wrong = |what, found, right| Err(figure(format!("observation {}", i + 1), what, found, right));
        if !(observation.weight >= 0.0 && observation.weight.is_finite()) {
            return wrong("the weight", observation.weight, "0 or more");
        }
        if let Some(x) = observation.covariates.iter().find(|x| !x.is_finite()) {
            return wrong("a covariate", *x, "a finite number");
        }
        match observation.bounds {
            Bounds::Exact(value) | Bounds::Below(value) | Bounds::Above(value) => {
                if !value.is_finite() {
                    return wrong("the value or its bound", value, "a finite number");
                }
            }
            Bounds::Between(low, high) => {
                if low.is_nan() || low == f64::INFINITY {
                    return wrong("the lower bound", low, "a number, or minus infinity for none");
                }
                // A bound that is not a number fails here too.
                let in_order = low < high;
                if !in_order || low.is_infinite() && high.is_infinite() {
                    return wrong(
                        "the upper bound",
                        high,
                        "more than the lower one, and one of the two finite",
                    );
                }
            }
        }
    }
    Ok(())
}
