//! The next sale of a lot: what it brings, and where the market's median lies.

use crate::ErrorLaw;
use crate::axis::{Axis, STENCIL, STENCIL_BEFORE, stencil};
use crate::posterior::Posterior;
use crate::slice::Slice;

/// A median that the market for a lot may have, and how likely that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightedMedian {
    /// Median of the delivered price of the lot, in currency units.
    pub delivered: f64,
    /// Its share of the posterior; all shares together are 1.
    pub weight: f64,
}

/// The logarithmic medians per piece at one spread, evenly spaced.
#[derive(Debug, Clone, PartialEq)]
struct Medians {
    axis: Axis,
    weights: Vec<f64>,
}

/// How much of the posterior has its logarithmic median per piece below a value, at one spread.
#[derive(Debug, Clone, PartialEq)]
struct Rise {
    medians: Medians,
    /// Weight below each point, by the trapezoidal rule with its end correction.
    below: Vec<f64>,
    whole: f64,
}

/// One lot size's market under the posterior: a mixture over medians and spreads.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Predictive {
    law: ErrorLaw,
    /// `ln(pieces)`.
    ln_pieces: f64,
    rises: Vec<Rise>,
    /// Logarithmic median per piece, one over sigma, weight.
    parts: Vec<(f64, f64, f64)>,
}

/// Points across all medians of a slice, at least, however far the lot size lies from the comps'.
const POINTS_ACROSS: f64 = 64.0;
/// Points per sigma where medians are gathered.
const POINTS_PER_SIGMA: f64 = 2.0;
/// Steps along the level that rows of the grid may lie apart before more are put between them.
const ROWS_APART: f64 = 2.0;
/// Rows put in place of one at most.
const MOST_ROWS_BETWEEN: f64 = 32.0;
/// Finest division of the grid's step where sigma is smaller than that.
const FINEST_DIVISION: f64 = 8.0;
/// Division of that step where the median's own distribution is followed.
const RISE_DIVISION: usize = 4;
/// Weights below this are left out of the mixture.
const LEAST_WEIGHT: f64 = 1e-12;
/// Steps of a search for a quantile.
const MOST_STEPS: usize = 200;
/// A Newton's step shorter than this, in the logarithm of the price, leaves an error of about its square.
const LAST_STEP: f64 = 1e-6;

impl Medians {
    fn of(slice: &Slice, offset: f64) -> Self {
        let sigma = slice.ln_sigma.exp();
        let shifts = (slice.beta.start * offset, slice.beta.end() * offset);
        let low = slice.level.start + shifts.0.min(shifts.1);
        let width = slice.level.width() + (shifts.1 - shifts.0).abs();
        // A whole multiple of the grid's step, else the two beat against each other.
        let widest = (width / POINTS_ACROSS).min(sigma / POINTS_PER_SIGMA);
        let step = slice.level.step * (widest / slice.level.step).floor().max(1.0);
        let start = low - (STENCIL_BEFORE + 1) as f64 * step;
        let count = (width / step).ceil() as usize + STENCIL + 2;
        let mut weights = vec![0.0; count];
        // Far from the comps' lot sizes the rows of the grid come to lie apart; more are put between them.
        let apart = slice.beta.step * offset.abs() / (ROWS_APART * slice.level.step);
        let division = apart.ceil().clamp(1.0, MOST_ROWS_BETWEEN) as usize;
        let mut row = vec![0.0; slice.level.count];
        for j in 0..=(slice.beta.count - 1) * division {
            let (whole, part) = (j / division, (j % division) as f64 / division as f64);
            slice.row_between(whole, part, &mut row);
            let shift = (slice.beta.at(whole) + slice.beta.step * part) * offset;
            // Each cell is spread over the six points around it so that any smooth function of the median
            // keeps its mean.
            for (i, share) in row.iter().enumerate() {
                let place = (slice.level.at(i) + shift - start) / step;
                let first = (place.floor() as usize).saturating_sub(STENCIL_BEFORE).min(count - STENCIL);
                let near = stencil(place - (first + STENCIL_BEFORE) as f64);
                for (weight, part) in weights[first..].iter_mut().zip(near) {
                    *weight += share / division as f64 * part;
                }
            }
        }
        let axis = Axis { start, step, count };
        Self { axis, weights }
    }

    /// The same on a finer axis.
    fn divided(&self, division: usize) -> Self {
        let parts = division as f64;
        let places = self.weights.len().saturating_sub(STENCIL);
        let mut weights = Vec::with_capacity(places * division);
        for near in self.weights.windows(STENCIL) {
            for part in 0..division {
                let value: f64 = stencil(part as f64 / parts).iter().zip(near).map(|(a, b)| a * b).sum();
                weights.push(value / parts);
            }
        }
        let axis =
            Axis { start: self.axis.at(STENCIL_BEFORE), step: self.axis.step / parts, count: weights.len() };
        Self { axis, weights }
    }
}

impl Rise {
    fn of(medians: Medians) -> Self {
        let at = |k: usize| medians.weights.get(k).copied().unwrap_or(0.0);
        let mut whole = 0.0;
        let below = medians
            .weights
            .iter()
            .enumerate()
            .map(|(k, &weight)| {
                // Euler and Maclaurin's first correction of the trapezoidal rule, with a central difference.
                let before = if k == 0 { 0.0 } else { at(k - 1) };
                let area = whole + 0.5 * weight - (at(k + 1) - before) / 24.0;
                whole += weight;
                area
            })
            .collect();
        Self { medians, below, whole }
    }

    /// Weight of the medians below `median`, a cubic between the points.
    fn weight_below(&self, median: f64) -> f64 {
        let Medians { axis, weights } = &self.medians;
        let place = (median - axis.start) / axis.step;
        if place <= 0.0 {
            return 0.0;
        }
        let k = place.floor();
        let t = place - k;
        // Saturates far past the end, where nothing is found.
        let k = k as usize;
        let pair = |values: &[f64]| Some((*values.get(k)?, *values.get(k.checked_add(1)?)?));
        let (Some((low, high)), Some((slope, next_slope))) = (pair(&self.below), pair(weights)) else {
            return self.whole;
        };
        let (square, cube) = (t * t, t * t * t);
        low + (high - low) * (3.0 * square - 2.0 * cube)
            + slope * (t - 2.0 * square + cube)
            + next_slope * (cube - square)
    }
}

impl Predictive {
    pub(crate) fn new(posterior: &Posterior, law: ErrorLaw, pieces: u32) -> Self {
        let ln_pieces = f64::from(pieces).ln();
        let offset = ln_pieces - posterior.centre;
        let mut rises = Vec::with_capacity(posterior.slices.len());
        let mut parts = Vec::new();
        let mut whole = 0.0;
        for slice in &posterior.slices {
            let sigma = slice.ln_sigma.exp();
            let medians = Medians::of(slice, offset);
            rises.push(Rise::of(medians.divided(RISE_DIVISION)));
            let division = (medians.axis.step / sigma).ceil().clamp(1.0, FINEST_DIVISION) as usize;
            let medians = if division > 1 { medians.divided(division) } else { medians };
            for (k, &weight) in medians.weights.iter().enumerate() {
                if weight.abs() > LEAST_WEIGHT {
                    parts.push((medians.axis.at(k), sigma.recip(), weight));
                    whole += weight;
                }
            }
        }
        for part in &mut parts {
            part.2 /= whole;
        }
        Self { law, ln_pieces, rises, parts }
    }

    fn below(&self, ln_per_piece: f64) -> f64 {
        self.parts.iter().map(|&(m, per_sigma, w)| w * self.law.below((ln_per_piece - m) * per_sigma)).sum()
    }

    fn above(&self, ln_per_piece: f64) -> f64 {
        self.parts.iter().map(|&(m, per_sigma, w)| w * self.law.below((m - ln_per_piece) * per_sigma)).sum()
    }

    fn ln_scale_density(&self, ln_per_piece: f64) -> f64 {
        self.parts
            .iter()
            .map(|&(m, per_sigma, w)| {
                w * per_sigma * self.law.ln_density((ln_per_piece - m) * per_sigma).exp()
            })
            .sum()
    }

    fn median_below(&self, ln_per_piece: f64) -> f64 {
        self.rises.iter().map(|rise| rise.weight_below(ln_per_piece)).sum()
    }

    /// Where the search for quantiles begins: mean and standard deviation of the medians.
    fn middle(&self) -> (f64, f64) {
        let mean: f64 = self.parts.iter().map(|&(m, _, w)| w * m).sum();
        let square: f64 = self.parts.iter().map(|&(m, _, w)| w * (m - mean).powi(2)).sum();
        (mean, square.max(0.0).sqrt().max(LAST_STEP))
    }

    /// Delivered price of the lot that the next sale stays below with chance `p` (inside 0 to 1), in currency
    /// units.
    pub(crate) fn quantile(&self, p: f64) -> f64 {
        // The upper half by the upper tail, which keeps its digits there.
        let excess = |y: f64| if p <= 0.5 { self.below(y) - p } else { (1.0 - p) - self.above(y) };
        self.delivered(search(excess, |y| self.ln_scale_density(y), self.middle()))
    }

    /// Delivered price of the lot that the market's median stays below with chance `p` (inside 0 to 1), in
    /// currency units.
    pub(crate) fn median_quantile(&self, p: f64) -> f64 {
        let (mean, sd) = self.middle();
        let slope = |y: f64| {
            let step = 1e-3 * sd;
            (self.median_below(y + step) - self.median_below(y - step)) / (2.0 * step)
        };
        self.delivered(search(|y| self.median_below(y) - p, slope, (mean, sd)))
    }

    fn delivered(&self, ln_per_piece: f64) -> f64 {
        (ln_per_piece + self.ln_pieces).exp()
    }

    /// Chance that the next sale brings at least this delivered price, in currency units above 0.
    pub(crate) fn chance_of_at_least(&self, delivered: f64) -> f64 {
        self.above(delivered.ln() - self.ln_pieces).clamp(0.0, 1.0)
    }

    /// Density of the next sale's delivered price at an amount above 0, per currency unit.
    pub(crate) fn density(&self, delivered: f64) -> f64 {
        (self.ln_scale_density(delivered.ln() - self.ln_pieces) / delivered).max(0.0)
    }

    /// The medians the market may have, with their weights.
    pub(crate) fn weighted_medians(&self) -> Vec<WeightedMedian> {
        let counts: Vec<&(f64, f64, f64)> = self.parts.iter().filter(|part| part.2 > 0.0).collect();
        let whole: f64 = counts.iter().map(|part| part.2).sum();
        counts
            .into_iter()
            .map(|&(m, _, w)| WeightedMedian { delivered: self.delivered(m), weight: w / whole })
            .collect()
    }
}

/// Where a rising function crosses zero: Newton's steps from the middle, held to a bracket as it becomes known.
fn search(excess: impl Fn(f64) -> f64, slope: impl Fn(f64) -> f64, (mean, sd): (f64, f64)) -> f64 {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut longest = 2.0 * sd;
    let mut y = mean;
    for _ in 0..MOST_STEPS {
        let off = excess(y);
        if off == 0.0 {
            return y;
        }
        if off < 0.0 {
            low = y;
        } else {
            high = y;
        }
        let step = -off / slope(y);
        // In a tail the slope is next to nothing (or, by rounding, less) and only the way to go is known.
        let in_tail = !(step.signum() == -off.signum() && step.abs() <= longest);
        if !in_tail && step.abs() < LAST_STEP {
            return y + step;
        }
        let next = y + if in_tail { longest * -off.signum() } else { step };
        if in_tail {
            longest *= 2.0;
        }
        // A step can leave the bracket only where it is closed: away from the side that is known it goes on.
        y = if next > low && next < high { next } else { f64::midpoint(low, high) };
        if high - low < LAST_STEP * LAST_STEP {
            return y;
        }
    }
    y
}
