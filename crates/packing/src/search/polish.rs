//! The last tightening: a row of small linear programs over the contacts.
//!
//! At a layout that nearly fits, every distance is taken as linear in places, turns and the shorter side,
//! and the shorter side is made as small as these allow (for two discs the linear distance is never more
//! than the true one, so that each step keeps them apart). Each program is solved by an interior-point
//! method (Nocedal and Wright, Numerical Optimization, ch. 14 and 16), with a little weight on the length
//! of the step, which leaves loose pieces alone.

use super::Search;
use crate::energy::Row;

/// Distance kept beyond every distance asked for, mm; what is handed out keeps at least half of it.
const MARGIN_MM: f64 = 5e-7;
/// Gaps that are looked at: pieces further apart do not meet within a step, mm.
const WITHIN_MM: f64 = 15.0;
/// Weight of the squared step beside the side, per mm: at first, least, and its change.
const WEIGHT: f64 = 1e-4;
const WEIGHT_LEAST: f64 = 1e-8;
const LIGHTER: f64 = 0.1;
const HEAVIER: f64 = 30.0;
/// Most programs, and most steps inside of one.
const PROGRAMS: usize = 12;
const STEPS: usize = 30;
/// Gain of a program below which the polish ends, mm.
const GAIN_MM: f64 = 1e-6;
/// Complementarity at which a program counts as solved, mm.
const SOLVED_MM: f64 = 1e-9;
/// Share of the remaining complementarity that a step aims at, and of the way to the edge that it goes.
const CENTRED: f64 = 0.1;
const TO_THE_EDGE: f64 = 0.99;

/// Working memory, kept between calls.
#[derive(Default)]
pub(crate) struct Polish {
    rows: Vec<Row>,
    slack: Vec<f64>,
    price: Vec<f64>,
    weight: Vec<f64>,
    slack_step: Vec<f64>,
    price_step: Vec<f64>,
    matrix: Vec<f64>,
    right: Vec<f64>,
    step: Vec<f64>,
}

impl Search<'_, '_> {
    /// Tightens `x`, laid out for the shorter side `short`, and keeps whatever beats the best.
    pub(crate) fn polish(&mut self, x: &mut [f64], mut short: f64) {
        let mut memory = std::mem::take(&mut self.polish);
        let mut weight = WEIGHT;
        for _ in 0..PROGRAMS {
            let size = self.size(short);
            self.layout.rows(x, size, WITHIN_MM, &mut self.work.feet, &mut memory.rows);
            if !memory.solve(x.len() + 1, weight) {
                break;
            }
            let from = short;
            for (at, step) in x.iter_mut().zip(&memory.step) {
                *at += step;
            }
            short += memory.step.last().copied().unwrap_or(0.0);
            let size = self.size(short);
            let short_of = self.layout.deepest(x, size, &mut self.work.feet);
            if short_of <= 0.0 {
                let was = self.best;
                self.keep(x, 0.0);
                let gained = (from - short).abs().max(was - self.best);
                weight = (weight * LIGHTER).max(WEIGHT_LEAST);
                if gained < GAIN_MM && weight <= WEIGHT_LEAST {
                    break;
                }
            } else if short_of > MARGIN_MM {
                weight *= if short_of > 0.5 * (from - short).abs() { HEAVIER } else { 1.0 };
            }
        }
        self.polish = memory;
    }
}

impl Polish {
    /// Solves: least last variable plus `weight` / 2 times the squared step, every linear gap at least the
    /// margin. Whether a finite step was found.
    fn solve(&mut self, n: usize, weight: f64) -> bool {
        let m = self.rows.len();
        if m == 0 {
            return false;
        }
        self.step.clear();
        self.step.resize(n, 0.0);
        self.slack.clear();
        self.slack.extend(self.rows.iter().map(|row| (row.gap - MARGIN_MM).max(1e-2)));
        self.price.clear();
        self.price.resize(m, 1.0 / m as f64);
        for buffer in [&mut self.weight, &mut self.slack_step, &mut self.price_step] {
            buffer.clear();
            buffer.resize(m, 0.0);
        }
        for _ in 0..STEPS {
            let mean = self.slack.iter().zip(&self.price).map(|(s, y)| s * y).sum::<f64>() / m as f64;
            if !mean.is_finite() {
                return false;
            }
            let aim = CENTRED * mean;
            self.matrix.clear();
            self.matrix.resize(n * n, 0.0);
            self.right.clear();
            self.right.extend(self.step.iter().map(|z| -weight * z));
            if let Some(last) = self.right.last_mut() {
                *last -= 1.0;
            }
            let mut worst: f64 = 0.0;
            for (k, row) in self.rows.iter().enumerate() {
                let (slack, price) = (self.slack[k], self.price[k]);
                let off = row.along(&self.step) + row.gap - MARGIN_MM - slack;
                worst = worst.max(off.abs());
                let d = price / slack;
                self.weight[k] = off;
                row.add(&mut self.right, aim / slack - d * off);
                row.add_square(&mut self.matrix, n, d);
            }
            if mean < SOLVED_MM && worst < SOLVED_MM {
                return true;
            }
            for k in 0..n {
                self.matrix[k * n + k] += weight;
            }
            if !cholesky(&mut self.matrix, n, &mut self.right) {
                return false;
            }
            let mut far: f64 = 1.0;
            for (k, row) in self.rows.iter().enumerate() {
                let (slack, price) = (self.slack[k], self.price[k]);
                let ds = row.along(&self.right) + self.weight[k];
                let dy = (aim - slack * price - price * ds) / slack;
                self.slack_step[k] = ds;
                self.price_step[k] = dy;
                if ds < 0.0 {
                    far = far.min(-TO_THE_EDGE * slack / ds);
                }
                if dy < 0.0 {
                    far = far.min(-TO_THE_EDGE * price / dy);
                }
            }
            for (z, dz) in self.step.iter_mut().zip(&self.right) {
                *z += far * dz;
            }
            for k in 0..m {
                self.slack[k] += far * self.slack_step[k];
                self.price[k] += far * self.price_step[k];
            }
        }
        self.step.iter().all(|z| z.is_finite())
    }
}

/// Solves a symmetric positive definite system in place; only the lower triangle is read. Whether it is
/// positive definite.
fn cholesky(matrix: &mut [f64], n: usize, right: &mut [f64]) -> bool {
    for j in 0..n {
        let (above, below) = matrix.split_at_mut((j + 1) * n);
        let own = &mut above[j * n..];
        let pivot = own[j] - own[..j].iter().map(|v| v * v).sum::<f64>();
        if pivot.is_nan() || pivot <= 0.0 {
            return false;
        }
        let pivot = pivot.sqrt();
        own[j] = pivot;
        for row in below.chunks_exact_mut(n) {
            let inner: f64 = row[..j].iter().zip(&own[..j]).map(|(a, b)| a * b).sum();
            row[j] = (row[j] - inner) / pivot;
        }
    }
    for j in 0..n {
        let inner: f64 = matrix[j * n..j * n + j].iter().zip(right.iter()).map(|(a, b)| a * b).sum();
        right[j] = (right[j] - inner) / matrix[j * n + j];
    }
    for j in (0..n).rev() {
        right[j] /= matrix[j * n + j];
        let value = right[j];
        for (k, entry) in right[..j].iter_mut().enumerate() {
            *entry -= value * matrix[j * n + k];
        }
    }
    true
}
