//! The posterior at one spread: a grid over level and `beta` that finds its own place.

use crate::axis::{Axis, STENCIL, STENCIL_BEFORE, stencil};
use crate::{Bounds, ErrorLaw, Prior, ln_likelihood};

/// All comps of one lot size.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LotEvidence {
    /// `ln(pieces)` less the model's centre.
    pub(crate) offset: f64,
    /// Bounds on the logarithmic price per piece, with their weights (more than 0).
    pub(crate) comps: Vec<(Bounds, f64)>,
}

/// Evidence and prior, with the level taken at the comps' middle lot size.
///
/// `level = mu + beta * centre`: at the weighted mean of `ln(pieces)` level and `beta` hardly depend on each
/// other, so that a grid along both wastes few points.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Model {
    pub(crate) law: ErrorLaw,
    pub(crate) lots: Vec<LotEvidence>,
    /// Weighted mean of `ln(pieces)`.
    pub(crate) centre: f64,
    pub(crate) mu_mean: f64,
    pub(crate) prior: Prior,
}

/// A rectangle of level and `beta`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Window {
    pub(crate) level: (f64, f64),
    pub(crate) beta: (f64, f64),
}

/// How far below the peak, in logarithms, a cell still counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// In a slice as heavy as any.
    pub(crate) full: f64,
    /// The heaviest slice's `ln_mass`, once that is roughly known.
    pub(crate) heaviest: Option<f64>,
}

impl Reach {
    /// In a slice of this mass: the lighter it is, the less of its tails matters to the whole.
    fn of(&self, ln_mass: f64) -> f64 {
        let lighter = self.heaviest.map_or(0.0, |heaviest| heaviest - ln_mass);
        (self.full - lighter).clamp(LEAST_REACH.min(self.full), self.full)
    }
}

/// Points of a slice along its parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Counts {
    pub(crate) level: usize,
    /// Points along the level where its window is far wider than sigma, at most.
    pub(crate) most_level: usize,
    pub(crate) beta: usize,
}

impl Counts {
    /// Points along a window of the level: more than usual where few comps with heavy tails leave it wide, while
    /// whatever they say of it changes within a sigma.
    fn level_over(&self, window: (f64, f64), sigma: f64) -> usize {
        let resolving = (window.1 - window.0) / (MOST_SIGMAS_PER_STEP * sigma);
        // Saturates far past the most.
        (resolving.ceil() as usize).clamp(self.level, self.most_level.max(self.level))
    }
}

/// The posterior at one spread.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Slice {
    pub(crate) ln_sigma: f64,
    pub(crate) level: Axis,
    pub(crate) beta: Axis,
    /// One per cell, level running fastest: at first the logarithm of the density less its peak, then (once
    /// the posterior is complete) the cell's share of the whole posterior.
    pub(crate) cells: Vec<f64>,
    /// Logarithm of the slice's integral over level and `beta`, but for a constant of all slices.
    pub(crate) ln_mass: f64,
}

/// Longest step along the level, in sigmas, over which the trapezoidal rule still follows Student's t.
const MOST_SIGMAS_PER_STEP: f64 = 0.5;
/// Reach in the lightest of slices: a thousandth of its own peak.
const LEAST_REACH: f64 = 7.0;
/// Finest division of the level's step in a table of the likelihood.
const FINEST_DIVISION: f64 = 8.0;
/// Table steps per sigma that the six-point interpolation needs for about six digits.
const STEPS_PER_SIGMA: f64 = 2.0;
/// Moves of the window until it is taken as it is; a handful is usual.
const MOST_MOVES: usize = 40;
/// A window is right when what counts fills at least this share of it.
const FILLED: f64 = 0.75;

impl Model {
    /// Logarithm of the likelihood of one lot size's comps where their logarithmic median per piece is
    /// `median`.
    fn ln_likelihood(&self, lot: &LotEvidence, median: f64, ln_sigma: f64) -> f64 {
        lot.comps.iter().map(|&(bounds, w)| w * ln_likelihood(self.law, bounds, median, ln_sigma)).sum()
    }

    fn ln_prior_of_sigma(&self, ln_sigma: f64) -> f64 {
        -0.5 * ((ln_sigma - self.prior.ln_sigma_mean) / self.prior.ln_sigma_sd).powi(2)
    }

    fn ln_prior(&self, level: f64, beta: f64) -> f64 {
        let mu = (level - beta * self.centre - self.mu_mean) / self.prior.mu_sd;
        let slope = (beta - self.prior.beta_mean) / self.prior.beta_sd;
        -0.5 * (mu * mu + slope * slope)
    }

    /// Adds the likelihood of a lot size to every cell of the grid.
    ///
    /// It depends on level and `beta` only by the median `level + beta * offset`, so it is tabulated along
    /// the median and interpolated: comps cost by the length of the table, not by the number of cells.
    fn add_lot(
        &self,
        lot: &LotEvidence,
        ln_sigma: f64,
        grid: (&Axis, &Axis),
        cells: &mut [f64],
        table: &mut Vec<f64>,
    ) {
        let (level, beta) = grid;
        let division =
            (STEPS_PER_SIGMA * level.step / ln_sigma.exp()).ceil().clamp(1.0, FINEST_DIVISION) as usize;
        let step = level.step / division as f64;
        let shifts = (beta.start * lot.offset, beta.end() * lot.offset);
        let width = level.width() + (shifts.1 - shifts.0).abs();
        let length = (width / step).ceil() + (STENCIL + 2) as f64;
        let worthwhile = length < cells.len() as f64;
        if !worthwhile {
            // A lot size far from all others would need a longer table than there are cells.
            for (j, row) in cells.chunks_exact_mut(level.count).enumerate() {
                for (i, cell) in row.iter_mut().enumerate() {
                    *cell += self.ln_likelihood(lot, level.at(i) + beta.at(j) * lot.offset, ln_sigma);
                }
            }
            return;
        }
        let margin = (STENCIL_BEFORE + 1) as f64 * step;
        let start = level.start + shifts.0.min(shifts.1) - margin;
        table.clear();
        table
            .extend((0..length as usize).map(|k| self.ln_likelihood(lot, start + step * k as f64, ln_sigma)));
        let run = (level.count - 1) * division + STENCIL;
        for (j, row) in cells.chunks_exact_mut(level.count).enumerate() {
            let place = (level.start + beta.at(j) * lot.offset - start) / step;
            // The margin keeps the place inside the table whatever the rounding.
            let first = (place.floor() as usize).saturating_sub(STENCIL_BEFORE).min(table.len() - run);
            let w = stencil(place - (first + STENCIL_BEFORE) as f64);
            for (cell, near) in row.iter_mut().zip(table[first..].windows(STENCIL).step_by(division)) {
                *cell += w[0] * near[0]
                    + w[1] * near[1]
                    + w[2] * near[2]
                    + w[3] * near[3]
                    + w[4] * near[4]
                    + w[5] * near[5];
            }
        }
    }
}

impl Slice {
    fn over(model: &Model, ln_sigma: f64, grid: (Axis, Axis), table: &mut Vec<f64>) -> Self {
        let (level, beta) = grid;
        let mut cells = Vec::with_capacity(level.count * beta.count);
        for j in 0..beta.count {
            cells.extend((0..level.count).map(|i| model.ln_prior(level.at(i), beta.at(j))));
        }
        for lot in &model.lots {
            model.add_lot(lot, ln_sigma, (&level, &beta), &mut cells, table);
        }
        let peak = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut sum = 0.0;
        for cell in &mut cells {
            *cell -= peak;
            sum += cell.exp();
        }
        let ln_mass = peak + (sum * level.step * beta.step).ln() + model.ln_prior_of_sigma(ln_sigma);
        Self { ln_sigma, level, beta, cells, ln_mass }
    }

    /// The slice on a window that holds all of it that counts, found from `from` by moving, widening and
    /// narrowing.
    pub(crate) fn settled(
        model: &Model,
        ln_sigma: f64,
        from: Window,
        counts: Counts,
        reach: &Reach,
        table: &mut Vec<f64>,
    ) -> Self {
        let mut window = from;
        let mut moves = 0;
        loop {
            let level = counts.level_over(window.level, ln_sigma.exp());
            let grid = (Axis::spanning(window.level, level), Axis::spanning(window.beta, counts.beta));
            let slice = Self::over(model, ln_sigma, grid, table);
            let (next, fits) = slice.next_window(reach.of(slice.ln_mass));
            moves += 1;
            if fits || moves >= MOST_MOVES {
                return slice;
            }
            window = next;
        }
    }

    pub(crate) fn window(&self) -> Window {
        Window { level: (self.level.start, self.level.end()), beta: (self.beta.start, self.beta.end()) }
    }

    /// The window that what counts asks for, and whether the present one is near enough to it.
    fn next_window(&self, reach: f64) -> (Window, bool) {
        let mut level = (self.level.count, 0);
        let mut beta = (self.beta.count, 0);
        for (j, row) in self.cells.chunks_exact(self.level.count).enumerate() {
            for (i, &cell) in row.iter().enumerate() {
                if cell >= -reach {
                    level = (level.0.min(i), level.1.max(i));
                    beta = (beta.0.min(j), beta.1.max(j));
                }
            }
        }
        let window = Window {
            level: self.level.range_holding(level.0, level.1),
            beta: self.beta.range_holding(beta.0, beta.1),
        };
        let fits = |axis: &Axis, (first, last): (usize, usize), (low, high): (f64, f64)| {
            first > 0 && last + 1 < axis.count && high - low >= FILLED * axis.width()
        };
        let fits = fits(&self.level, level, window.level) && fits(&self.beta, beta, window.beta);
        (window, fits)
    }

    /// The cells at a `beta` that lies `part` (0 to 1) of a step past that of row `j`, by interpolation.
    pub(crate) fn row_between(&self, j: usize, part: f64, row: &mut [f64]) {
        let rows = |k: usize| self.cells.chunks_exact(self.level.count).nth(k);
        row.fill(0.0);
        if part == 0.0 {
            for (value, cell) in row.iter_mut().zip(rows(j).unwrap_or(&[])) {
                *value = *cell;
            }
            return;
        }
        for (k, weight) in stencil(part).into_iter().enumerate() {
            // Outside of the grid there is nothing.
            let near = (j + k).checked_sub(STENCIL_BEFORE).and_then(rows);
            for (value, cell) in row.iter_mut().zip(near.unwrap_or(&[])) {
                *value += weight * cell;
            }
        }
    }

    /// Share of the slice's own mass that lies in the outermost cells of its window.
    pub(crate) fn edge_mass(&self) -> f64 {
        let mut sum = 0.0;
        for (j, row) in self.cells.chunks_exact(self.level.count).enumerate() {
            let outer = j == 0 || j + 1 == self.beta.count;
            for (i, cell) in row.iter().enumerate() {
                if outer || i == 0 || i + 1 == self.level.count {
                    sum += cell;
                }
            }
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Narrow ranges of prices in two lot sizes, on a grid several sigmas coarse.
    #[test]
    fn the_table_gives_every_cell_what_adding_up_gives() {
        let comps =
            vec![(Bounds::Between(2.9, 3.0), 1.0), (Bounds::Below(3.1), 0.7), (Bounds::Exact(2.8), 0.5)];
        let lots = [-0.6, 0.5].map(|offset| LotEvidence { offset, comps: comps.clone() }).to_vec();
        for law in [ErrorLaw::Normal, ErrorLaw::StudentT4] {
            let model = Model { law, lots: lots.clone(), centre: 0.0, mu_mean: 3.0, prior: Prior::default() };
            let grid = (Axis::spanning((1.0, 5.0), 14), Axis::spanning((-0.9, 0.5), 61));
            let ln_sigma = 0.08_f64.ln();
            let slice = Slice::over(&model, ln_sigma, grid, &mut Vec::new());
            let direct = |k: usize| {
                let (level, beta) = (grid.0.at(k % 14), grid.1.at(k / 14));
                let add = |lot| model.ln_likelihood(lot, level + beta * lot.offset, ln_sigma);
                model.lots.iter().map(add).sum::<f64>() + model.ln_prior(level, beta)
            };
            let peak = (0..slice.cells.len()).map(direct).fold(f64::NEG_INFINITY, f64::max);
            for (k, cell) in slice.cells.iter().enumerate().filter(|(_, cell)| **cell > -30.0) {
                assert!((cell - (direct(k) - peak)).abs() < 0.01, "{law:?} {k}: {cell} {}", direct(k) - peak);
            }
        }
    }
}
