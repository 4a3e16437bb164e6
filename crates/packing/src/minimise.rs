//! Limited-memory BFGS on the overlap energy (Nocedal and Wright, Numerical Optimization, ch. 7).

use crate::distance::PlacedFoot;
use crate::energy::{Layout, Overlap};

/// Pairs of step and gradient change that are remembered.
const MEMORY: usize = 6;
/// Share of the margin that a penetration may reach and still count as none.
const SOLVED: f64 = 0.75;
/// Smallest gain of a step, as a share of the energy, for which a descent goes on.
pub(crate) const COARSE: f64 = 1e-3;

/// Working memory of the minimiser, kept between calls.
pub(crate) struct Work {
    /// The parts where they were last looked at.
    pub feet: Vec<PlacedFoot>,
    gradient: Vec<f64>,
    trial: Vec<f64>,
    trial_gradient: Vec<f64>,
    direction: Vec<f64>,
    /// Each item's share of the energy at the last point.
    pub share: Vec<f64>,
    steps: Vec<Vec<f64>>,
    changes: Vec<Vec<f64>>,
    curvature: Vec<f64>,
}

impl Work {
    pub(crate) fn new(layout: &Layout) -> Self {
        let n = 3 * layout.items.len();
        Self {
            feet: layout.scratch(),
            gradient: vec![0.0; n],
            trial: vec![0.0; n],
            trial_gradient: vec![0.0; n],
            direction: vec![0.0; n],
            share: vec![0.0; layout.items.len()],
            steps: vec![vec![0.0; n]; MEMORY],
            changes: vec![vec![0.0; n]; MEMORY],
            curvature: vec![0.0; MEMORY],
        }
    }
}

/// Where a descent ended.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Descent {
    pub energy: f64,
    /// How fast the energy would fall if both sides grew, mm.
    pub pressure: f64,
    /// The deepest penetration, mm.
    pub deepest: f64,
    /// Whether every distance is kept.
    pub solved: bool,
}

impl Descent {
    fn at(overlap: Overlap, margin: f64) -> Self {
        let Overlap { energy, deepest, pressure } = overlap;
        Self { energy, pressure, deepest, solved: deepest < SOLVED * margin }
    }

    /// How much both sides must grow until nothing overlaps, mm: near a contact the energy is a parabola
    /// over the side, so that twice the energy over its slope leads to its foot.
    pub(crate) fn missing(&self) -> f64 {
        if self.solved {
            0.0
        } else if self.pressure > 0.0 {
            2.0 * self.energy / self.pressure
        } else {
            f64::INFINITY
        }
    }
}

/// Steps of little gain in a row that end a descent: one alone is often only a bend in the valley.
const SLOW: usize = 3;

/// How a descent goes on and when it ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Manner {
    /// Distance beyond every distance asked for, mm.
    pub margin: f64,
    /// Most steps.
    pub iterations: usize,
    /// Smallest gain of a step, as a share of the energy.
    pub gain: f64,
}

/// Descends from `x` (changed in place) in the rectangle `size`.
pub(crate) fn descend(
    layout: &Layout,
    x: &mut [f64],
    size: [f64; 2],
    manner: Manner,
    work: &mut Work,
) -> Descent {
    let Manner { margin, iterations, gain: least_gain } = manner;
    let longest = 0.5 * layout.items.iter().map(|item| item.radius).fold(f64::INFINITY, f64::min).max(5.0);
    let mut here = layout.energy(x, size, margin, &mut work.feet, &mut work.gradient, &mut work.share);
    let mut kept = 0usize;
    let mut newest = 0usize;
    let mut slow = 0;
    for _ in 0..iterations {
        if here.deepest < SOLVED * margin {
            break;
        }
        // Two-loop recursion.
        work.direction.copy_from_slice(&work.gradient);
        let mut alpha = [0.0; MEMORY];
        for (k, alpha) in alpha.iter_mut().enumerate().take(kept) {
            let at = (newest + MEMORY - k) % MEMORY;
            *alpha = work.curvature[at] * dot(&work.steps[at], &work.direction);
            axpy(&mut work.direction, -*alpha, &work.changes[at]);
        }
        if kept > 0 {
            let yy = dot(&work.changes[newest], &work.changes[newest]);
            let gamma = 1.0 / (work.curvature[newest] * yy);
            work.direction.iter_mut().for_each(|d| *d *= gamma);
        }
        for k in (0..kept).rev() {
            let at = (newest + MEMORY - k) % MEMORY;
            let beta = work.curvature[at] * dot(&work.changes[at], &work.direction);
            axpy(&mut work.direction, alpha[k] - beta, &work.steps[at]);
        }
        let mut slope = -dot(&work.direction, &work.gradient);
        if slope >= 0.0 {
            work.direction.copy_from_slice(&work.gradient);
            slope = -dot(&work.gradient, &work.gradient);
            kept = 0;
        }
        if slope > -1e-30 {
            break;
        }
        // A step longer than half a piece can carry one piece through another.
        let reach = work.direction.iter().fold(0.0f64, |m, d| m.max(d.abs()));
        let mut step = if reach > longest { longest / reach } else { 1.0 };
        let mut found = false;
        let mut next = here;
        for _ in 0..12 {
            for (k, from) in x.iter().enumerate() {
                work.trial[k] = from - step * work.direction[k];
            }
            next = layout.energy(
                &work.trial,
                size,
                margin,
                &mut work.feet,
                &mut work.trial_gradient,
                &mut work.share,
            );
            if next.energy <= here.energy + 1e-4 * step * slope {
                found = true;
                break;
            }
            step *= 0.4;
        }
        if !found {
            if kept == 0 {
                break;
            }
            kept = 0;
            // The share belongs to the failed trial; bring it back to x.
            layout.energy(x, size, margin, &mut work.feet, &mut work.gradient, &mut work.share);
            continue;
        }
        let at = (newest + 1) % MEMORY;
        for (k, from) in x.iter().enumerate() {
            work.steps[at][k] = work.trial[k] - from;
            work.changes[at][k] = work.trial_gradient[k] - work.gradient[k];
        }
        let sy = dot(&work.steps[at], &work.changes[at]);
        if sy > 1e-30 {
            work.curvature[at] = 1.0 / sy;
            newest = at;
            kept = (kept + 1).min(MEMORY);
        }
        let gain = here.energy - next.energy;
        x.copy_from_slice(&work.trial);
        std::mem::swap(&mut work.gradient, &mut work.trial_gradient);
        here = next;
        slow = if gain < least_gain * here.energy { slow + 1 } else { 0 };
        if slow == SLOW {
            break;
        }
    }
    Descent::at(here, margin)
}

/// Four sums side by side, which the compiler may keep in one register; their order is fixed.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (fours_a, fours_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = fours_a.remainder().iter().zip(fours_b.remainder()).map(|(x, y)| x * y).sum();
    let mut sums = [0.0; 4];
    for (x, y) in fours_a.zip(fours_b) {
        for k in 0..4 {
            sums[k] += x[k] * y[k];
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

fn axpy(y: &mut [f64], a: f64, x: &[f64]) {
    y.iter_mut().zip(x).for_each(|(y, x)| *y += a * x);
}
