//! What the comps and the prior together say about level, slope and spread.

use crate::GridSize;
use crate::assumptions::LN_SIGMA_LIMITS;
use crate::axis::Axis;
use crate::slice::{Counts, Model, Reach, Slice, Window};

/// Mean and standard deviation of one parameter under the posterior.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moments {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// How well the grid held the posterior.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridReport {
    /// Share of the posterior in the outermost cells of the grid; below 1e-5 nothing worth counting lies
    /// outside.
    pub edge_mass: f64,
    /// How often the grid was widened because more than that lay there.
    pub widened: u32,
    /// Whether sigma would go past the range it is looked for in (five prior standard deviations either way).
    /// Happens when many comps agree to the cent: the spread is then held at its least.
    pub sigma_held: bool,
    /// Cells of the grid.
    pub cells: usize,
}

/// The posterior of `mu`, `beta` and `sigma`: shares of cells, in slices of equal spread.
///
/// Nothing is optimised and nothing drawn at random; the same comps give the same bits. Each slice has a
/// window of its own over level and `beta`, found from the slice of the next wider spread, as the posterior
/// narrows with the spread like a funnel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Posterior {
    pub(crate) slices: Vec<Slice>,
    pub(crate) centre: f64,
    pub(crate) mu: Moments,
    pub(crate) beta: Moments,
    pub(crate) sigma: Moments,
    pub(crate) report: GridReport,
}

/// Prior standard deviations of `ln sigma` on either side of its mean that are looked at.
const SIGMA_REACH: f64 = 5.0;
/// How far below the peak, in logarithms, a cell still counts: a millionth.
const REACH: f64 = 13.8;
/// Mass at the edge of the grid from which it is widened.
const MOST_EDGE_MASS: f64 = 1e-5;
/// Weights of the outermost slices at either end of the range of sigma, which may cut the posterior off: the
/// trapezoidal rule with Gregory's end correction (Press et al., *Numerical Recipes*, 4.1.14; from memory).
const END_WEIGHTS: [f64; 3] = [3.0 / 8.0, 7.0 / 6.0, 23.0 / 24.0];
/// Mass of the slice at the end of sigma's range from which sigma counts as held there.
const HELD_MASS: f64 = 0.01;
/// Times the grid is widened at most, and by how much.
const MOST_WIDENINGS: u32 = 3;
const WIDENING: f64 = 1.5;
/// How much finer than asked for a slice's level may become.
const MOST_FINER: usize = 6;
/// Grid for finding the spreads that count.
const ROUGH: GridSize = GridSize { level: 13, beta: 9, ln_sigma: 13 };
/// Rounds of that at most; each narrows the range to about a third while it is far too wide.
const MOST_ROUNDS: usize = 12;
/// Share of the last range from which a new one is no longer worth a further round.
const SETTLED: f64 = 0.6;
/// How far around the comps the first window reaches, in the logarithm of the price.
const FIRST_MARGIN: f64 = 3.0;
/// How many prior standard deviations of `beta` the first window reaches.
const FIRST_BETA_SDS: f64 = 4.0;

impl Posterior {
    /// Works out the posterior; `seen` is the range of the comps' logarithmic prices per piece.
    pub(crate) fn of(model: &Model, seen: (f64, f64), size: GridSize) -> Self {
        Self::widened_from(model, seen, size, REACH)
    }

    fn widened_from(model: &Model, seen: (f64, f64), size: GridSize, mut reach: f64) -> Self {
        let mut posterior = Self::reaching(model, seen, size, reach);
        for widened in 1..=MOST_WIDENINGS {
            if posterior.report.edge_mass < MOST_EDGE_MASS {
                break;
            }
            reach *= WIDENING;
            posterior = Self::reaching(model, seen, size, reach);
            posterior.report.widened = widened;
        }
        posterior
    }

    fn reaching(model: &Model, seen: (f64, f64), size: GridSize, reach: f64) -> Self {
        let prior = &model.prior;
        let limits = (
            (prior.ln_sigma_mean - SIGMA_REACH * prior.ln_sigma_sd).max(LN_SIGMA_LIMITS.0),
            (prior.ln_sigma_mean + SIGMA_REACH * prior.ln_sigma_sd).min(LN_SIGMA_LIMITS.1),
        );
        let middle = model.mu_mean + prior.beta_mean * model.centre;
        let first = Window {
            level: (seen.0.min(middle) - FIRST_MARGIN, seen.1.max(middle) + FIRST_MARGIN),
            beta: (
                prior.beta_mean - FIRST_BETA_SDS * prior.beta_sd,
                prior.beta_mean + FIRST_BETA_SDS * prior.beta_sd,
            ),
        };
        let mut reach = Reach { full: reach, heaviest: None };
        let (range, from) = sigmas_that_count(model, limits, first, &mut reach);
        let counts = Counts { level: size.level, most_level: MOST_FINER * size.level, beta: size.beta };
        let slices = sweep(model, range, size.ln_sigma, from, counts, &reach);
        Self::weighed(slices, model.centre, range, limits)
    }

    /// Turns logarithms of density into shares of the whole.
    fn weighed(mut slices: Vec<Slice>, centre: f64, range: (f64, f64), limits: (f64, f64)) -> Self {
        let highest = slices.iter().map(|s| s.ln_mass).fold(f64::NEG_INFINITY, f64::max);
        let last = slices.len().saturating_sub(1);
        let share = |k: usize, slice: &Slice| {
            let from_end = k.min(last - k);
            (slice.ln_mass - highest).exp() * END_WEIGHTS.get(from_end).copied().unwrap_or(1.0)
        };
        let whole: f64 = slices.iter().enumerate().map(|(k, slice)| share(k, slice)).sum();
        let mut edge_mass = 0.0;
        let mut sigma_held = false;
        for (k, slice) in slices.iter_mut().enumerate() {
            let mass = share(k, slice) / whole;
            let sum: f64 = slice.cells.iter().map(|cell| cell.exp()).sum();
            for cell in &mut slice.cells {
                *cell = cell.exp() / sum * mass;
            }
            let at_limit = (k == last && range.0 <= limits.0) || (k == 0 && range.1 >= limits.1);
            if at_limit {
                sigma_held |= mass >= HELD_MASS;
            }
            edge_mass += if (k == 0 || k == last) && !at_limit { mass } else { slice.edge_mass() };
        }
        let report = GridReport {
            edge_mass,
            widened: 0,
            sigma_held,
            cells: slices.iter().map(|slice| slice.cells.len()).sum(),
        };
        let moments = |value: &dyn Fn(&Slice, f64, f64) -> f64| {
            let mean = expectation(&slices, value);
            let square =
                expectation(&slices, &|slice, level, beta| (value(slice, level, beta) - mean).powi(2));
            Moments { mean, sd: square.sqrt() }
        };
        let mu = moments(&|_, level, beta| level - beta * centre);
        let beta = moments(&|_, _, beta| beta);
        let sigma = moments(&|slice, _, _| slice.ln_sigma.exp());
        Self { slices, centre, mu, beta, sigma, report }
    }
}

/// Posterior mean of a function of slice, level and `beta`.
fn expectation(slices: &[Slice], value: &dyn Fn(&Slice, f64, f64) -> f64) -> f64 {
    let mut sum = 0.0;
    for slice in slices {
        for (j, row) in slice.cells.chunks_exact(slice.level.count).enumerate() {
            let beta = slice.beta.at(j);
            for (i, share) in row.iter().enumerate() {
                sum += share * value(slice, slice.level.at(i), beta);
            }
        }
    }
    sum
}

/// One slice for each spread of the range, from the widest to the narrowest, each starting from the window of
/// the one before.
fn sweep(
    model: &Model,
    range: (f64, f64),
    spreads: usize,
    from: Window,
    counts: Counts,
    reach: &Reach,
) -> Vec<Slice> {
    let axis = Axis::spanning(range, spreads);
    let mut window = from;
    let mut table = Vec::new();
    (0..axis.count)
        .rev()
        .map(|k| {
            let slice = Slice::settled(model, axis.at(k), window, counts, reach, &mut table);
            window = slice.window();
            slice
        })
        .collect()
}

/// The range of `ln sigma` that holds the posterior, and a window for the widest spread in it. Notes the
/// heaviest slice in the reach.
fn sigmas_that_count(
    model: &Model,
    limits: (f64, f64),
    first: Window,
    reach: &mut Reach,
) -> ((f64, f64), Window) {
    let (mut range, mut from) = (limits, first);
    let counts = Counts { level: ROUGH.level, most_level: ROUGH.level, beta: ROUGH.beta };
    for _ in 0..MOST_ROUNDS {
        let axis = Axis::spanning(range, ROUGH.ln_sigma);
        let slices = sweep(model, range, ROUGH.ln_sigma, from, counts, reach);
        let highest = slices.iter().map(|s| s.ln_mass).fold(f64::NEG_INFINITY, f64::max);
        reach.heaviest = Some(highest);
        let matters = |slice: &Slice| slice.ln_mass >= highest - reach.full;
        // Slices run from the widest spread down, the axis up.
        let upper = slices.iter().position(matters).unwrap_or(0);
        let lower = slices.iter().rposition(matters).unwrap_or(axis.count - 1);
        let (low, high) = axis.range_holding(axis.count - 1 - lower, axis.count - 1 - upper);
        let next = (low.max(limits.0), high.min(limits.1));
        if let Some(above) = slices.get(upper.saturating_sub(1)) {
            from = above.window();
        }
        let grew = next.0 < range.0 || next.1 > range.1;
        let settled = !grew && next.1 - next.0 >= SETTLED * (range.1 - range.0);
        range = next;
        if settled {
            break;
        }
    }
    (range, from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::slice::LotEvidence;
    use crate::{Bounds, ErrorLaw, Prior};

    fn three_sales() -> Model {
        let comps = [2.9, 3.0, 3.2].map(|value| (Bounds::Exact(value), 1.0)).to_vec();
        let lots = vec![LotEvidence { offset: 0.0, comps }];
        Model { law: ErrorLaw::Normal, lots, centre: 0.0, mu_mean: 3.0, prior: Prior::default() }
    }

    #[test]
    fn a_grid_that_cuts_off_too_much_is_widened_and_says_so() {
        let (model, seen) = (three_sales(), (2.9, 3.2));
        let cut = Posterior::reaching(&model, seen, GridSize::default(), 6.0);
        assert!(cut.report.edge_mass > MOST_EDGE_MASS, "{:?}", cut.report);
        let mended = Posterior::widened_from(&model, seen, GridSize::default(), 6.0);
        assert!(mended.report.widened > 0 && mended.report.edge_mass < MOST_EDGE_MASS);
        let usual = Posterior::of(&model, seen, GridSize::default());
        assert_eq!(usual.report.widened, 0);
        assert!((usual.mu.sd - mended.mu.sd).abs() < 1e-5 && (usual.mu.sd - cut.mu.sd).abs() > 1e-5);
    }

    #[test]
    fn all_shares_together_are_one() {
        let posterior = Posterior::of(&three_sales(), (2.9, 3.2), GridSize::default());
        let whole: f64 = posterior.slices.iter().flat_map(|slice| &slice.cells).sum();
        assert!((whole - 1.0).abs() < 1e-12);
    }
}
