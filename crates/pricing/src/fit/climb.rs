//! The way up to the greatest likelihood: Newton's steps, damped where the hill is not a parabola.

use super::cholesky::{Cholesky, dot};
use crate::error::NoFit;
use crate::law::ErrorLaw;
use crate::likelihood::{Bounds, ln_likelihood, slopes};

/// A weighted log-likelihood as a function of a place: the coefficients, then the logarithm of the scale.
pub(crate) struct Hill {
    pub(crate) law: ErrorLaw,
    pub(crate) terms: Vec<Term>,
    /// Whether the logarithm of the scale stays where it is.
    pub(crate) scale_is_fixed: bool,
}

/// One observation with a weight above 0.
pub(crate) struct Term {
    pub(crate) bounds: Bounds,
    /// 1 for the intercept, then the covariates.
    pub(crate) row: Vec<f64>,
    pub(crate) weight: f64,
}

/// The top of the hill.
pub(crate) struct Top {
    pub(crate) place: Vec<f64>,
    pub(crate) height: f64,
    /// The bend of the hill there, taken as positive: the observed information.
    pub(crate) information: Vec<Vec<f64>>,
}

/// Steps after which the search gives up; a top is found in 5 to 30. Where there is none, it may take hundreds to
/// see that the scale goes to nothing.
const MOST_STEPS: usize = 1000;

/// Steps smaller than this, in scales, end the search: Newton's next one would be about the square of it.
const SMALL_STEP: f64 = 1e-9;

/// The logarithm of the scale changes by at most this in a step, as the hill is far from a parabola there.
const MOST_SCALE_STEP: f64 = 1.5;

/// A logarithm of the scale this far below the spread of the values means that they fit without scatter, and
/// this far above it that nothing bounds the scale.
const FAR_SCALE: f64 = 30.0;

/// A coefficient this many spreads or scales away from the values means that nothing bounds it.
const FAR_LOCATION: f64 = 1e6;

/// Part of the height, and of the weight, that may be lost to rounding in a good step near the top: the height is a
/// sum whose terms may cancel.
const ROUNDING: f64 = 1e-13;

/// Damping to begin with, as a part of the bend; then ten times more or less as steps fail or succeed.
const FIRST_DAMPING: f64 = 1e-3;

/// Damping beyond which no step is a climb.
const MOST_DAMPING: f64 = 1e12;

/// Least part of a diagonal element that a pivot must keep for a step to be taken without damping.
const LEAST_PIVOT: f64 = 1e-14;

/// A log-likelihood per unit of weight this close to 0 is certainty.
const CERTAIN: f64 = 1e-6;

/// The top, starting from a place; every value is taken to be of the order of 1.
pub(crate) fn climb(hill: &Hill, start: Vec<f64>) -> Result<Top, NoFit> {
    let mut place = start;
    let mut height = hill.height(&place);
    let weight = hill.weight();
    let mut damping = 0.0;
    for _ in 0..MOST_STEPS {
        let (gradient, information) = hill.slope_and_bend(&place);
        let units = units_at(&place);
        let Some(step) = damped_step(&gradient, &information, &units, damping) else { break };
        let next: Vec<f64> = place.iter().zip(&step.by).map(|(x, d)| x + d).collect();
        if step.is_whole && step.by.iter().zip(&units).all(|(d, unit)| d.abs() < SMALL_STEP * unit) {
            let information = hill.slope_and_bend(&next).1;
            return Ok(Top { height: hill.height(&next), place: next, information });
        }
        let next_height = hill.height(&next);
        if next_height >= height - ROUNDING * (height.abs() + weight) {
            place = next;
            height = next_height;
            damping = if damping <= FIRST_DAMPING { 0.0 } else { damping / 10.0 };
            hill.has_room_at(&place)?;
        } else {
            damping = if damping == 0.0 { FIRST_DAMPING } else { damping * 10.0 };
        }
    }
    Err(hill.why_no_top(height))
}

impl Hill {
    /// Where all bounds can be met with certainty, the hill flattens out at chance 1.
    fn why_no_top(&self, height: f64) -> NoFit {
        let only_bounds = self.terms.iter().all(|t| !matches!(t.bounds, Bounds::Exact(_)));
        if only_bounds && height > -CERTAIN * self.weight() { NoFit::NoScatter } else { NoFit::Unbounded }
    }

    fn weight(&self) -> f64 {
        self.terms.iter().map(|term| term.weight).sum()
    }

    fn height(&self, place: &[f64]) -> f64 {
        let Some((&ln_scale, coefficients)) = place.split_last() else { return f64::NAN };
        self.terms
            .iter()
            .map(|t| t.weight * ln_likelihood(self.law, t.bounds, dot(coefficients, &t.row), ln_scale))
            .sum()
    }

    fn slope_and_bend(&self, place: &[f64]) -> (Vec<f64>, Vec<Vec<f64>>) {
        let n = place.len();
        let mut gradient = vec![0.0; n];
        let mut information = vec![vec![0.0; n]; n];
        let Some((&ln_scale, coefficients)) = place.split_last() else { return (gradient, information) };
        for term in &self.terms {
            let s = slopes(self.law, term.bounds, dot(coefficients, &term.row), ln_scale);
            // The row has one entry less than the place: the last unknown is the scale.
            for (i, (slope, bends)) in gradient.iter_mut().zip(&mut information).enumerate() {
                let x = term.row.get(i);
                *slope += term.weight * x.map_or(s.by_ln_scale, |x| x * s.by_location);
                for (j, bend) in bends.iter_mut().enumerate() {
                    *bend -= term.weight
                        * match (x, term.row.get(j)) {
                            (Some(x), Some(y)) => x * y * s.twice_by_location,
                            (Some(x), None) | (None, Some(x)) => x * s.by_both,
                            (None, None) => s.twice_by_ln_scale,
                        };
                }
            }
        }
        if self.scale_is_fixed {
            hold_last(&mut gradient, &mut information);
        }
        (gradient, information)
    }

    fn has_room_at(&self, place: &[f64]) -> Result<(), NoFit> {
        let Some((&ln_scale, coefficients)) = place.split_last() else { return Ok(()) };
        if !self.scale_is_fixed && ln_scale < -FAR_SCALE {
            return Err(NoFit::NoScatter);
        }
        let far = FAR_LOCATION * (1.0 + ln_scale.exp());
        if !self.scale_is_fixed && ln_scale > FAR_SCALE || coefficients.iter().any(|c| c.abs() > far) {
            return Err(NoFit::Unbounded);
        }
        Ok(())
    }
}

/// Makes the last unknown stand still.
fn hold_last(gradient: &mut [f64], information: &mut [Vec<f64>]) {
    if let Some(last) = gradient.last_mut() {
        *last = 0.0;
    }
    let n = information.len();
    for (i, row) in information.iter_mut().enumerate() {
        for (j, bend) in row.iter_mut().enumerate() {
            if i + 1 == n || j + 1 == n {
                *bend = f64::from(u8::from(i == j));
            }
        }
    }
}

/// What counts as one in each direction: a scale for a coefficient, 1 for the logarithm of the scale.
fn units_at(place: &[f64]) -> Vec<f64> {
    let Some((ln_scale, coefficients)) = place.split_last() else { return Vec::new() };
    let mut units = vec![ln_scale.exp(); coefficients.len()];
    units.push(1.0);
    units
}

struct Step {
    by: Vec<f64>,
    /// Neither damped nor shortened.
    is_whole: bool,
}

/// The step that the bend asks for, with as much damping as makes it a climb.
fn damped_step(gradient: &[f64], information: &[Vec<f64>], units: &[f64], damping: f64) -> Option<Step> {
    let slope: Vec<f64> = gradient.iter().zip(units).map(|(g, unit)| g * unit).collect();
    let bend: Vec<Vec<f64>> = information
        .iter()
        .zip(units)
        .map(|(row, unit)| row.iter().zip(units).map(|(bend, other)| bend * unit * other).collect())
        .collect();
    let diagonal: Vec<f64> =
        bend.iter().enumerate().map(|(i, row)| row.get(i).copied().unwrap_or(f64::NAN).abs()).collect();
    let largest = diagonal.iter().copied().fold(0.0, f64::max);
    if !largest.is_finite() || !slope.iter().all(|g| g.is_finite()) {
        return None;
    }
    let mut damping = damping;
    while damping <= MOST_DAMPING {
        let mut damped = bend.clone();
        for (i, (row, own)) in damped.iter_mut().zip(&diagonal).enumerate() {
            if let Some(element) = row.get_mut(i) {
                *element += damping * (own + FIRST_DAMPING * largest);
            }
        }
        if let Some(parts) = Cholesky::of(&damped, LEAST_PIVOT) {
            let mut by = parts.solve(&slope);
            by.iter_mut().zip(units).for_each(|(d, unit)| *d *= unit);
            let mut is_whole = damping == 0.0;
            if let Some(by_scale) = by.last_mut().filter(|d| d.abs() > MOST_SCALE_STEP) {
                *by_scale = by_scale.clamp(-MOST_SCALE_STEP, MOST_SCALE_STEP);
                is_whole = false;
            }
            return Some(Step { by, is_whole });
        }
        damping = if damping == 0.0 { FIRST_DAMPING } else { damping * 10.0 };
    }
    None
}
