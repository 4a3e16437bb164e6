//! Limited-memory BFGS on the overlap energy (Nocedal and Wright, Numerical Optimization, ch. 7).

use crate::distance::PlacedFoot;
use crate::energy::Layout;

/// Pairs of step and gradient change that are remembered.
const MEMORY: usize = 6;
/// Deepest penetration that counts as none; the margin added to every distance is larger, mm.
const SOLVED_MM: f64 = 0.015;

/// Working memory of the minimiser, kept between calls.
pub(crate) struct Work {
    feet: Vec<Vec<PlacedFoot>>,
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
pub(crate) struct Descent {
    pub energy: f64,
    /// Whether every distance is kept.
    pub solved: bool,
}

/// Descends from `x` (changed in place) in the rectangle `size` for at most `iterations` steps.
pub(crate) fn descend(
    layout: &Layout,
    x: &mut [f64],
    size: [f64; 2],
    iterations: usize,
    work: &mut Work,
) -> Descent {
    let longest = 0.5 * layout.items.iter().map(|item| item.radius).fold(1.0, f64::min).max(5.0);
    let (mut energy, mut deepest) =
        layout.energy(x, size, &mut work.feet, &mut work.gradient, &mut work.share);
    let mut kept = 0usize;
    let mut newest = 0usize;
    for _ in 0..iterations {
        if deepest < SOLVED_MM {
            return Descent { energy, solved: true };
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
        if slope > -1e-12 {
            break;
        }
        // A step longer than half a piece can carry one piece through another.
        let reach = work.direction.iter().fold(0.0f64, |m, d| m.max(d.abs()));
        let mut step = if reach > longest { longest / reach } else { 1.0 };
        let mut found = false;
        let mut next = (energy, deepest);
        for _ in 0..12 {
            for (k, from) in x.iter().enumerate() {
                work.trial[k] = from - step * work.direction[k];
            }
            next =
                layout.energy(&work.trial, size, &mut work.feet, &mut work.trial_gradient, &mut work.share);
            if next.0 <= energy + 1e-4 * step * slope {
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
            layout.energy(x, size, &mut work.feet, &mut work.gradient, &mut work.share);
            continue;
        }
        let at = (newest + 1) % MEMORY;
        for (k, from) in x.iter().enumerate() {
            work.steps[at][k] = work.trial[k] - from;
            work.changes[at][k] = work.trial_gradient[k] - work.gradient[k];
        }
        let sy = dot(&work.steps[at], &work.changes[at]);
        if sy > 1e-14 {
            work.curvature[at] = 1.0 / sy;
            newest = at;
            kept = (kept + 1).min(MEMORY);
        }
        let gain = energy - next.0;
        x.copy_from_slice(&work.trial);
        std::mem::swap(&mut work.gradient, &mut work.trial_gradient);
        (energy, deepest) = next;
        if gain < 1e-3 * energy {
            break;
        }
    }
    Descent { energy, solved: deepest < SOLVED_MM }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn axpy(y: &mut [f64], a: f64, x: &[f64]) {
    y.iter_mut().zip(x).for_each(|(y, x)| *y += a * x);
}
