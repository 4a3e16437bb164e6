//! The smallest rectangle that takes a layer, with continuous turning about the vertical.
//!
//! Method: overlap minimisation (Imamichi, Yagiura and Nagamochi 2009 separate all pieces at once by
//! penetration depth and L-BFGS), kicks that move the worst piece, and a shrink loop. The rectangle
//! is asked for by the difference of its sides, because a wall clearance takes the same from both:
//! one answer then serves every clearance and every carton with that difference, and a larger
//! clearance can never fit where a smaller does not.

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::Layout;
use crate::minimise::{Work, descend};
use crate::rng::Rng;
use crate::templates::templates;

/// The smallest rectangle found for a layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Nest {
    /// Its shorter side, counted inside the layer's largest wall distance, mm.
    pub short_mm: f64,
    /// x, y (mm, from its corner) and turn (radians) of each item, in the order given.
    pub places: Vec<[f64; 3]>,
}

/// Descents spent on a layer of two pieces or a few; a larger layer, whose descents are longer, gets
/// `DESCENTS_SHARED` over the square of its pieces, but never less than `DESCENTS_LEAST`.
const DESCENTS_MOST: usize = 500;
const DESCENTS_SHARED: usize = 10_000;
const DESCENTS_LEAST: usize = 60;
const ITERATIONS: usize = 160;
/// Starts from the bodies alone, and turns tried for each piece in them.
const BODY_STARTS: usize = 3;
const TURNS: usize = 16;
/// Part of the budget that the bodies alone get.
const BODY_SHARE: usize = 5;
/// Kicks from one start before it is left.
const KICKS: usize = 5;
/// Steps of the last tightening, mm, and the descents it may take.
const POLISH_MM: [f64; 3] = [1.0, 0.3, 0.1];
const POLISH_DESCENTS: usize = 24;
/// Shares of the side that are tried to be saved, coarse to fine.
const SHRINKS: [f64; 3] = [0.965, 0.99, 0.997];

/// A rectangle that surely takes the layer: one cell per item.
fn roomy(layout: &Layout) -> (f64, Vec<f64>) {
    let n = layout.items.len();
    let columns = (n as f64).sqrt().ceil() as usize;
    let radius = layout.items.iter().map(|item| item.radius).fold(0.0, f64::max);
    let apart = layout.items.iter().map(|item| item.separation).fold(0.0, f64::max);
    let wraps = layout.items.iter().flat_map(|item| &item.parts).map(|part| part.wrap).fold(0.0, f64::max);
    let cell = 2.0 * radius + apart.max(2.0 * wraps) + 1.0;
    let mut x = Vec::with_capacity(3 * n);
    for i in 0..n {
        x.extend([cell * ((i % columns) as f64 + 0.5), cell * ((i / columns) as f64 + 0.5), 0.0]);
    }
    (cell * columns as f64, x)
}

/// Finds the smallest rectangle with sides `b` and `b + difference_mm` for `items`, each of which may
/// be moved and turned; a fixed budget of descents, the same for the same input.
#[must_use]
pub fn smallest_rectangle(items: &[&Standing], difference_mm: f64, crush: plan::Crush) -> Nest {
    let layout = Layout::new(items.to_vec(), crush);
    let floor = Bounds::of(&layout, difference_mm).proved;
    let mut search = Search::new(&layout, difference_mm, floor);
    search.run();
    search.nest()
}

struct Search<'a, 'b> {
    layout: &'a Layout<'b>,
    difference: f64,
    floor: f64,
    best: f64,
    layout_x: Vec<f64>,
    work: Work,
    rng: Rng,
    left: usize,
}

impl<'a, 'b> Search<'a, 'b> {
    fn new(layout: &'a Layout<'b>, difference: f64, floor: f64) -> Self {
        let (best, layout_x) = roomy(layout);
        let n = layout.items.len();
        let mut search = Self {
            layout,
            difference,
            floor,
            best,
            layout_x: layout_x.clone(),
            work: Work::new(layout),
            rng: Rng::new(0x10_7A9 + n as u64),
            left: (DESCENTS_SHARED / (n * n).max(1)).clamp(DESCENTS_LEAST, DESCENTS_MOST),
        };
        search.keep(&layout_x);
        search
    }

    fn nest(&self) -> Nest {
        let at =
            |i: usize| [self.layout_x[3 * i], self.layout_x[3 * i + 1], self.layout.angle(&self.layout_x, i)];
        Nest { short_mm: self.best, places: (0..self.layout.items.len()).map(at).collect() }
    }

    fn size(&self, short: f64) -> [f64; 2] {
        [short + self.difference, short]
    }

    /// Takes a solved layout as the best if its true extents are smaller, moved to the corner.
    fn keep(&mut self, x: &[f64]) {
        let [(left, right), (front, back)] = self.layout.bounds(x);
        let short = (back - front).max(right - left - self.difference);
        if short < self.best + 1e-9 {
            self.best = short;
            self.layout_x.copy_from_slice(x);
            let size = self.size(short);
            let shift = [0.5 * (size[0] - (right - left)) - left, 0.5 * (size[1] - (back - front)) - front];
            for at in self.layout_x.chunks_exact_mut(3) {
                at[0] += shift[0];
                at[1] += shift[1];
            }
        }
    }

    fn at_floor(&self) -> bool {
        self.best <= self.floor + 0.05
    }

    fn run(&mut self) {
        if self.layout.items.len() == 1 {
            return self.single();
        }
        self.start_at_bodies();
        // Drawn in a nominal rectangle and brought to the size that is tried.
        let from = self.size((0.8 * self.best).max(1.0));
        for template in templates(self.layout, from) {
            self.shrink_from(template, from, 1);
            if self.left == 0 || self.at_floor() {
                break;
            }
        }
        while self.left > 0 && !self.at_floor() {
            let size = self.size(self.best);
            let mut x = Vec::with_capacity(3 * self.layout.items.len());
            for i in 0..self.layout.items.len() {
                let (u, v) = (self.rng.unit(), self.rng.unit());
                let angle = self.rng.between(0.0, std::f64::consts::TAU);
                x.extend([u * size[0], v * size[1], self.layout.scaled(i, angle)]);
            }
            self.shrink_from(x, size, KICKS);
        }
        self.left = POLISH_DESCENTS;
        for step in POLISH_MM {
            while self.left > 0 && !self.at_floor() {
                let before = self.best;
                let target = (self.best - step).max(self.floor);
                let x = self.layout_x.clone();
                let now = self.size(self.best);
                if !self.attempt(x, now, target, 0) || self.best > before - 0.5 * step {
                    break;
                }
            }
        }
    }

    /// Starts from the smallest rectangle of the bodies alone, handles then turned to where there is room:
    /// where the gaps between bodies are wide enough, that is the best there is.
    fn start_at_bodies(&mut self) {
        let layout = self.layout;
        let n = layout.items.len();
        if n < 3 || layout.items.iter().all(|item| item.parts.len() == 1) {
            return;
        }
        let bodies: Vec<Standing> = layout.items.iter().map(|item| item.body_alone()).collect();
        let bare = Layout::new(bodies.iter().collect(), layout.crush);
        let mut search = Search::new(&bare, self.difference, Bounds::of(&bare, self.difference).proved);
        search.left /= BODY_SHARE;
        search.run();
        let alone = search.nest();
        let from = self.size(alone.short_mm);
        let mut x: Vec<f64> = alone
            .places
            .iter()
            .enumerate()
            .flat_map(|(i, place)| [place[0], place[1], layout.scaled(i, place[2])])
            .collect();
        let mut gradient = vec![0.0; x.len()];
        let mut share = vec![0.0; n];
        let mut feet = layout.scratch();
        for _ in 0..BODY_STARTS {
            for _ in 0..2 {
                for i in 0..n {
                    let offset = self.rng.unit();
                    let mut best = (f64::INFINITY, x[3 * i + 2]);
                    for k in 0..TURNS {
                        let angle = std::f64::consts::TAU * (k as f64 + offset) / TURNS as f64;
                        x[3 * i + 2] = layout.scaled(i, angle);
                        let energy = layout.energy(&x, from, &mut feet, &mut gradient, &mut share).0;
                        if energy < best.0 {
                            best = (energy, x[3 * i + 2]);
                        }
                    }
                    x[3 * i + 2] = best.1;
                }
            }
            // As tight as the bodies alone, if the handles allow; else wherever that start leads.
            let tight = alone.short_mm.max(self.floor) + 0.05;
            if tight < self.best && self.attempt(x.clone(), from, tight, KICKS) {
                return;
            }
            self.shrink_from(x.clone(), from, KICKS);
        }
    }

    /// A lone piece: its extents as it turns, by a scan and a golden-section refinement.
    fn single(&mut self) {
        let scale = self.layout.scaled(0, 1.0);
        let need = |layout: &Layout, angle: f64, difference: f64| {
            let [(left, right), (front, back)] = layout.bounds(&[0.0, 0.0, angle * scale]);
            (back - front).max(right - left - difference)
        };
        let mut best = (f64::INFINITY, 0.0);
        for k in 0..72 {
            let angle = k as f64 * 5f64.to_radians();
            let short = need(self.layout, angle, self.difference);
            if short < best.0 - 1e-9 {
                best = (short, angle);
            }
        }
        let (mut low, mut high) = (best.1 - 5f64.to_radians(), best.1 + 5f64.to_radians());
        for _ in 0..40 {
            let (a, b) = (low + 0.382 * (high - low), low + 0.618 * (high - low));
            if need(self.layout, a, self.difference) < need(self.layout, b, self.difference) {
                high = b;
            } else {
                low = a;
            }
        }
        let refined = 0.5 * (low + high);
        if need(self.layout, refined, self.difference) < best.0 - 1e-6 {
            best.1 = refined;
        }
        self.best = f64::INFINITY;
        self.keep(&[0.0, 0.0, best.1 * scale]);
    }

    fn shrink_from(&mut self, mut x: Vec<f64>, mut from: [f64; 2], kicks: usize) {
        let mut level = 0;
        while self.left > 0 && level < SHRINKS.len() {
            let target = (self.best * SHRINKS[level]).max(self.floor);
            if self.attempt(x.clone(), from, target, kicks) {
                x.copy_from_slice(&self.layout_x);
                from = self.size(self.best);
                if self.at_floor() {
                    return;
                }
            } else if level == 0 && kicks == 1 {
                // A template that does not get within reach of the best is dropped at once.
                return;
            } else {
                level += 1;
            }
        }
    }

    /// Tries to solve the layer at `target` from `x`, which was laid out for the rectangle `from`.
    fn attempt(&mut self, mut x: Vec<f64>, from: [f64; 2], target: f64, kicks: usize) -> bool {
        let size = self.size(target);
        for at in x.chunks_exact_mut(3) {
            at[0] *= size[0] / from[0].max(1e-9);
            at[1] *= size[1] / from[1].max(1e-9);
        }
        let mut kept = x.clone();
        let mut kept_energy = f64::INFINITY;
        for kick in 0..=kicks {
            if self.left == 0 {
                return false;
            }
            self.left -= 1;
            let end = descend(self.layout, &mut x, size, ITERATIONS, &mut self.work);
            if end.solved {
                let before = self.best;
                self.keep(&x);
                return self.best < before;
            }
            if end.energy < kept_energy {
                kept_energy = end.energy;
                kept.copy_from_slice(&x);
            } else {
                x.copy_from_slice(&kept);
            }
            if kick < kicks {
                self.kick(&mut x, size, kick);
            }
        }
        false
    }

    fn kick(&mut self, x: &mut [f64], size: [f64; 2], kick: usize) {
        let n = self.layout.items.len();
        if kick % 3 == 2 {
            for i in 0..n {
                if self.rng.unit() < 0.5 {
                    let turn = self.rng.between(-1.0, 1.0);
                    x[3 * i + 2] += self.layout.scaled(i, turn);
                }
            }
            return;
        }
        let worst = (0..n).max_by(|&a, &b| self.work.share[a].total_cmp(&self.work.share[b])).unwrap_or(0);
        let moved = if kick.is_multiple_of(3) { worst } else { self.rng.below(n) };
        x[3 * moved] = self.rng.between(0.0, size[0]);
        x[3 * moved + 1] = self.rng.between(0.0, size[1]);
        let angle = self.rng.between(0.0, std::f64::consts::TAU);
        x[3 * moved + 2] = self.layout.scaled(moved, angle);
    }
}
