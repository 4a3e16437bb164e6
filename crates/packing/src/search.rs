//! The search for a layer's smallest rectangle: basin hopping on the overlap at a size that is just
//! too small.
//!
//! Imamichi, Yagiura and Nagamochi (2009) separate all pieces at once by penetration depth and L-BFGS;
//! Grosso, Jamali, Locatelli and Schoen (2010) hop between the basins of equal circles. Here one descent
//! at a size a little below the best says both how good a basin is and which size it leads to.

mod polish;

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::{Layout, MARGIN_MM};
use crate::minimise::{COARSE, Descent, Manner, Work, descend};
use crate::nest::{Effort, Nest};
use crate::rng::Rng;
use crate::templates::templates;
use crate::watch::Watch;

/// How far below the best size the search works, as a share of it.
const BELOW: f64 = 0.02;
/// Failed kicks after which a start is left, for each piece and beside them.
const PATIENCE_EACH: usize = 2;
const PATIENCE: usize = 6;
/// Share of the area that is taken to be filled where nothing is known yet (judgement).
const FILLED: f64 = 0.8;
const SEARCHING: Manner = Manner { margin: MARGIN_MM, iterations: 160, gain: COARSE };
/// Least gain for which a basin is followed, mm.
const LEAST_GAIN_MM: f64 = 1e-4;
/// Steps toward the size that a basin leads to.
const REALISE: usize = 8;
/// Margins of the last tightening, mm: what is left of the last is far below what any tape shows.
const TIGHTENING_MM: [f64; 4] = [1e-3, 1e-4, 1e-5, 1e-6];
/// Share of the side by which the first of them starts below.
const TIGHTENING_FROM: f64 = 1e-3;
const TIGHTENING_STEPS: usize = 12;
/// What a margin may have cost a side, in margins: where the next, smaller one starts below.
const STEP_MARGINS: f64 = 30.0;
/// Starts at random of which the best is hopped from, where turns matter (judgement).
const STARTS: usize = 12;
/// After how many starts the basins next to the best are looked at.
const NEAR_EVERY: usize = 4;
/// How far they are looked for: the shake, in radii, and the share of the side by which the search then
/// works below the best. Two basins that differ by a millionth are one from two per cent below.
const NEAR: [(f64, f64); 8] =
    [(0.5, 1e-2), (0.2, 1e-3), (0.05, 1e-4), (0.5, 1e-3), (0.2, 5e-3), (0.1, 1e-4), (0.5, 1e-2), (0.2, 1e-3)];
const NEARBY: Manner = Manner { margin: MARGIN_MM, iterations: 400, gain: 1e-5 };
/// What such a descent counts for beyond one of the search.
const NEARBY_DESCENTS: usize = 2;
/// Share of the side within which a basin may prove as good as the best once it is polished.
const TIE: f64 = 3e-4;
/// What a polish counts for in descents.
const POLISH_DESCENTS: usize = 2;
/// Starts from the bodies alone.
const BODY_STARTS: usize = 3;
/// Part of the budget that the bodies alone get.
const BODY_SHARE: usize = 5;
const BODY_DESCENTS: usize = 40;
/// Closeness to the proved bound at which the search ends, mm.
const AT_FLOOR_MM: f64 = 0.05;

pub(crate) struct Search<'a, 'b> {
    pub(crate) layout: &'a Layout<'b>,
    difference: f64,
    floor: f64,
    enough: f64,
    best: f64,
    best_x: Vec<f64>,
    /// The best with the search's margin, which is what a basin must beat, mm.
    bar: f64,
    /// Whether `best` is an answer of the search, not only a size that is surely enough.
    found: bool,
    /// Radius of a circle of each body's area, mm.
    pub(crate) body: Vec<f64>,
    pub(crate) work: Work,
    pub(crate) rng: Rng,
    polish: polish::Polish,
    left: usize,
    budget: usize,
    seed: u64,
    watch: Watch,
}

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

impl<'a, 'b> Search<'a, 'b> {
    pub(crate) fn new(
        layout: &'a Layout<'b>,
        difference: f64,
        floor: f64,
        effort: Effort,
        watch: Watch,
    ) -> Self {
        let (best, best_x) = roomy(layout);
        let mut search = Self {
            layout,
            difference,
            floor,
            enough: effort.enough_mm,
            best,
            best_x: best_x.clone(),
            bar: f64::INFINITY,
            found: false,
            body: layout.items.iter().map(|item| (item.area / std::f64::consts::PI).sqrt()).collect(),
            work: Work::new(layout),
            rng: Rng::new(0x10_7A9 + layout.items.len() as u64 + effort.seed.wrapping_mul(0x9E37_79B9)),
            polish: polish::Polish::default(),
            left: effort.descents,
            budget: effort.descents,
            seed: effort.seed,
            watch,
        };
        search.keep(&best_x, MARGIN_MM);
        search.found = false;
        search
    }

    pub(crate) fn nest(&self) -> Nest {
        let at = |i: usize| [self.best_x[3 * i], self.best_x[3 * i + 1], self.layout.angle(&self.best_x, i)];
        Nest { short_mm: self.best, places: (0..self.layout.items.len()).map(at).collect() }
    }

    fn size(&self, short: f64) -> [f64; 2] {
        [short + self.difference, short]
    }

    /// Takes a solved layout as the best if its true extents are smaller, moved to the corner.
    fn keep(&mut self, x: &[f64], margin: f64) -> bool {
        let [(left, right), (front, back)] = self.layout.bounds(x, margin);
        let short = (back - front).max(right - left - self.difference);
        if short >= self.best + 1e-9 {
            return false;
        }
        self.best = short;
        self.found = true;
        self.best_x.copy_from_slice(x);
        let size = self.size(short);
        let shift = [0.5 * (size[0] - (right - left)) - left, 0.5 * (size[1] - (back - front)) - front];
        for at in self.best_x.chunks_exact_mut(3) {
            at[0] += shift[0];
            at[1] += shift[1];
        }
        true
    }

    fn done(&self) -> bool {
        self.left == 0
            || self.watch.is_stopped()
            || self.best <= self.enough
            || self.best <= self.floor + AT_FLOOR_MM
    }

    pub(crate) fn run(&mut self) {
        let n = self.layout.items.len();
        if n == 0 {
            return;
        }
        if n == 1 {
            return self.single();
        }
        self.search();
        if self.watch.is_stopped() {
            return;
        }
        let mut x = self.best_x.clone();
        self.tighten(&x, self.best);
        x.copy_from_slice(&self.best_x);
        self.polish(&mut x, self.best);
    }

    fn search(&mut self) {
        let n = self.layout.items.len();
        self.start_at_bodies();
        let from = self.size(self.target());
        for template in templates(self.layout, from) {
            if self.done() {
                return;
            }
            self.hop(template, from, 0);
        }
        let mut start = 0;
        while !self.done() {
            let size = self.size(self.target());
            let x = self.start(size, start);
            self.hop(x, size, PATIENCE + PATIENCE_EACH * n);
            start += 1;
            if start % NEAR_EVERY == 0 {
                self.hop_near();
            }
        }
    }

    /// A start at random. Where turns matter, starts differ so much that the best of a few is worth more
    /// than kicks: the one that comes to rest with the least overlap.
    fn start(&mut self, size: [f64; 2], number: usize) -> Vec<f64> {
        if self.layout.items.iter().all(|item| item.round) {
            return if number % 2 == 1 { self.in_rows(size) } else { self.scattered(size) };
        }
        let mut least = (f64::INFINITY, self.best_x.clone());
        for k in 0..STARTS {
            if self.done() {
                break;
            }
            let mut x = if k % 2 == 1 { self.in_rows(size) } else { self.scattered(size) };
            let end = self.descend(&mut x, size[1], SEARCHING);
            if end.energy < least.0 {
                least = (end.energy, x);
            }
        }
        least.1
    }

    /// The short side that is worked at: a little below the best.
    fn target(&self) -> f64 {
        if self.found {
            return (self.bar.min(self.best * 1.001) * (1.0 - BELOW)).max(self.floor);
        }
        let area: f64 = self.layout.items.iter().map(|item| item.area).sum::<f64>() / FILLED;
        let guess = 0.5 * ((self.difference.powi(2) + 4.0 * area).sqrt() - self.difference);
        guess.max(self.floor).max(1.0).min(self.best)
    }

    fn descend(&mut self, x: &mut [f64], short: f64, manner: Manner) -> Descent {
        self.left = self.left.saturating_sub(1);
        self.watch.tick();
        let size = self.size(short);
        descend(self.layout, x, size, manner, &mut self.work)
    }

    fn rescale(&self, x: &mut [f64], from: [f64; 2], to: f64) {
        let size = self.size(to);
        for at in x.chunks_exact_mut(3) {
            at[0] *= size[0] / from[0].max(1e-9);
            at[1] *= size[1] / from[1].max(1e-9);
        }
    }

    /// Hops from `x`, which was laid out for the rectangle `from`, until `patience` kicks have failed.
    fn hop(&mut self, mut x: Vec<f64>, from: [f64; 2], patience: usize) {
        let mut short = self.target();
        self.rescale(&mut x, from, short);
        let mut here = self.descend(&mut x, short, SEARCHING);
        self.consider(&x, short, here);
        let mut trial = x.clone();
        let mut failed = 0;
        while failed < patience && !self.done() {
            let now = self.target();
            if now < short {
                let was = self.size(short);
                self.rescale(&mut x, was, now);
                short = now;
                here = self.descend(&mut x, short, SEARCHING);
            }
            trial.copy_from_slice(&x);
            let size = self.size(short);
            self.kick(&mut trial, size, failed);
            let end = self.descend(&mut trial, short, SEARCHING);
            if end.energy < here.energy * 0.999 {
                std::mem::swap(&mut x, &mut trial);
                here = end;
                failed = 0;
                self.consider(&x, short, here);
            } else {
                failed += 1;
            }
        }
    }

    /// Follows a basin to the size it leads to, if that is below the best.
    fn consider(&mut self, x: &[f64], mut short: f64, mut end: Descent) {
        let mut y = x.to_vec();
        for _ in 0..REALISE {
            if end.solved {
                self.realised(&y);
                return;
            }
            let leads = short + end.missing();
            if leads >= self.bar - LEAST_GAIN_MM {
                return;
            }
            let was = self.size(short);
            self.rescale(&mut y, was, leads);
            short = leads;
            end = self.descend(&mut y, short, SEARCHING);
        }
        if end.solved {
            self.realised(&y);
        }
    }

    /// Takes up a layout that is solved with the search's margin; tightens it at once where that may be
    /// good enough.
    fn realised(&mut self, x: &[f64]) {
        let short = self.extent(x, MARGIN_MM);
        if short >= self.bar {
            return;
        }
        self.bar = short;
        self.keep(x, MARGIN_MM);
        if self.best > self.enough && short * (1.0 - TIGHTENING_FROM) < self.enough {
            self.tighten(x, short);
        }
    }

    /// Looks at the basins next to the best, too alike to be told apart from far below.
    fn hop_near(&mut self) {
        for (far, below) in NEAR {
            if self.done() {
                return;
            }
            let mut x = self.best_x.clone();
            self.shake(&mut x, far);
            let short = self.best * (1.0 - below);
            let was = self.size(self.best);
            self.rescale(&mut x, was, short);
            // One handle in another gap: the nearest neighbour that a shake does not reach.
            let one = self.rng.below(self.layout.items.len());
            let size = self.size(short);
            self.turn_to_room(&mut x, one, size);
            self.left = self.left.saturating_sub(NEARBY_DESCENTS);
            let end = self.descend(&mut x, short, NEARBY);
            let leads = short + end.missing();
            if leads < self.best * (1.0 + TIE) {
                let was = self.size(short);
                self.rescale(&mut x, was, leads);
                self.left = self.left.saturating_sub(POLISH_DESCENTS);
                self.polish(&mut x, leads);
                self.bar = self.bar.min(self.best);
            }
        }
    }

    /// The short side that a layout takes, mm.
    fn extent(&self, x: &[f64], margin: f64) -> f64 {
        let [(left, right), (front, back)] = self.layout.bounds(x, margin);
        (back - front).max(right - left - self.difference)
    }

    /// Brings a layout down to what its contacts allow, with ever smaller margins: just below that size
    /// one descent tells how much is missing, and a few such steps meet it.
    fn tighten(&mut self, from: &[f64], mut fits: f64) {
        let mut kept = from.to_vec();
        let mut step = TIGHTENING_FROM * fits;
        for margin in TIGHTENING_MM {
            let manner = Manner { margin, iterations: 2000, gain: 1e-7 };
            let mut x = kept.clone();
            let mut short = fits;
            // Down until it no longer fits, then up again to where it just does.
            let mut leads = short - step;
            let mut below = false;
            for _ in 0..TIGHTENING_STEPS {
                if self.watch.is_stopped() {
                    return;
                }
                self.watch.tick();
                let was = self.size(short);
                self.rescale(&mut x, was, leads);
                short = leads;
                let end = descend(self.layout, &mut x, self.size(short), manner, &mut self.work);
                if end.solved {
                    kept.copy_from_slice(&x);
                    fits = short;
                    self.keep(&x, 0.0);
                    if below {
                        step = STEP_MARGINS * margin;
                        break;
                    }
                    leads = short - step;
                    continue;
                }
                below = true;
                let missing = end.missing();
                if !missing.is_finite() {
                    return;
                }
                // Half the margin is left pressed, so that the end is met from below.
                leads = short + missing * (1.0 - (0.5 * margin / end.deepest).min(0.9));
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
        let floor = Bounds::of(&bare, self.difference).proved;
        let effort = Effort {
            descents: (self.budget / BODY_SHARE).min(BODY_DESCENTS),
            enough_mm: 0.0,
            seed: self.seed,
        };
        let mut search = Search::new(&bare, self.difference, floor, effort, self.watch.clone());
        search.search();
        let alone = search.nest();
        let from = self.size(alone.short_mm);
        let mut x: Vec<f64> = alone
            .places
            .iter()
            .enumerate()
            .flat_map(|(i, place)| [place[0], place[1], layout.scaled(i, place[2])])
            .collect();
        for _ in 0..BODY_STARTS {
            for i in (0..n).chain(0..n) {
                self.turn_to_room(&mut x, i, from);
            }
            // As tight as the bodies alone, if the handles allow; else wherever that start leads.
            self.hop(x.clone(), from, PATIENCE);
            if self.done() || self.best <= alone.short_mm + AT_FLOOR_MM {
                return;
            }
        }
    }

    /// A lone piece: its extents as it turns, by a scan and a golden-section refinement.
    fn single(&mut self) {
        let scale = self.layout.scaled(0, 1.0);
        let need = |layout: &Layout, angle: f64, difference: f64| {
            let [(left, right), (front, back)] = layout.bounds(&[0.0, 0.0, angle * scale], 0.0);
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
        self.keep(&[0.0, 0.0, best.1 * scale], 0.0);
    }
}
