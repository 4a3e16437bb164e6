//! Random starts and kicks: how the search leaves a basin.

use std::f64::consts::TAU;

use crate::search::Search;

/// Turns that are tried for a piece.
const TURNS: usize = 16;
/// Places that are tried for a piece that is moved.
const PLACES: usize = 24;
/// How far a shake moves a piece at most, in its radii, and how far it turns it, radians.
const SHAKE: f64 = 0.8;
const SHAKE_TURN: f64 = 1.0;
/// Where a row of a start lies between one end (0) and the other (1).
const PUSHED: [f64; 5] = [0.0, 0.0, 0.5, 1.0, 1.0];

impl Search<'_, '_> {
    /// Places and turns at random.
    pub(crate) fn scattered(&mut self, size: [f64; 2]) -> Vec<f64> {
        let n = self.layout.items.len();
        let mut x = Vec::with_capacity(3 * n);
        for i in 0..n {
            let (u, v) = (self.rng.unit(), self.rng.unit());
            let angle = self.rng.between(0.0, TAU);
            x.extend([u * size[0], v * size[1], self.layout.scaled(i, angle)]);
        }
        x
    }

    /// Rows in a random order of pieces, pushed to one end or the other by turns of chance, each piece then
    /// turned to where there is room.
    pub(crate) fn in_rows(&mut self, size: [f64; 2]) -> Vec<f64> {
        let n = self.layout.items.len();
        let mut order: Vec<usize> = (0..n).collect();
        for k in (1..n).rev() {
            let other = self.rng.below(k + 1);
            order.swap(k, other);
        }
        let wanted = (n as f64 * size[1] / size[0].max(1e-9)).sqrt() + self.rng.between(-0.5, 0.5);
        let rows = (wanted.round().max(1.0) as usize).min(n);
        let mut x = vec![0.0; 3 * n];
        let mut placed = 0;
        for row in 0..rows {
            let count = (n - placed).div_ceil(rows - row);
            let of_row = &order[placed..placed + count];
            let wide: f64 = of_row.iter().map(|&i| 2.0 * self.body[i]).sum();
            let slack = (size[0] - wide).max(0.0);
            let mut at = slack * PUSHED[self.rng.below(PUSHED.len())];
            for &i in of_row {
                x[3 * i] = at + self.body[i];
                x[3 * i + 1] = size[1] * (row as f64 + 0.5) / rows as f64;
                at += 2.0 * self.body[i];
                let angle = self.rng.between(0.0, TAU);
                x[3 * i + 2] = self.layout.scaled(i, angle);
            }
            placed += count;
        }
        for &i in order.iter().chain(&order) {
            self.turn_to_room(&mut x, i, size);
        }
        x
    }

    /// Turns item `i` to where it overlaps least.
    pub(crate) fn turn_to_room(&mut self, x: &mut [f64], i: usize, size: [f64; 2]) {
        if self.layout.items[i].round {
            return;
        }
        self.layout.place(x, &mut self.work.feet);
        let offset = self.rng.unit();
        let mut best = (f64::INFINITY, x[3 * i + 2]);
        for k in 0..TURNS {
            let angle = TAU * (k as f64 + offset) / TURNS as f64;
            let at = [x[3 * i], x[3 * i + 1], self.layout.scaled(i, angle)];
            let energy = self.layout.alone(i, at, x, size, &self.work.feet, best.0);
            if energy < best.0 {
                best = (energy, at[2]);
            }
        }
        x[3 * i + 2] = best.1;
    }

    /// Moves item `i` to the best of some random places.
    fn relocate(&mut self, x: &mut [f64], i: usize, size: [f64; 2]) {
        self.layout.place(x, &mut self.work.feet);
        let mut best = (f64::INFINITY, [x[3 * i], x[3 * i + 1], x[3 * i + 2]]);
        for _ in 0..PLACES {
            let (u, v) = (self.rng.unit(), self.rng.unit());
            let angle = self.rng.between(0.0, TAU);
            let at = [u * size[0], v * size[1], self.layout.scaled(i, angle)];
            let energy = self.layout.alone(i, at, x, size, &self.work.feet, best.0);
            if energy < best.0 {
                best = (energy, at);
            }
        }
        x[3 * i..3 * i + 3].copy_from_slice(&best.1);
    }

    /// Moves and turns every piece by up to `far` of its radii.
    pub(crate) fn shake(&mut self, x: &mut [f64], far: f64) {
        for (item, at) in self.layout.items.iter().zip(x.chunks_exact_mut(3)) {
            let far = far * item.radius;
            at.iter_mut().for_each(|value| *value += self.rng.between(-far, far));
        }
    }

    /// Disturbs a layout that has come to rest: a piece moved to where there is room, turns to where there
    /// is room, or a shake of all, by turns.
    pub(crate) fn kick(&mut self, x: &mut [f64], size: [f64; 2], kick: usize) {
        let n = self.layout.items.len();
        let all_round = self.layout.items.iter().all(|item| item.round);
        match kick % 4 {
            0 => {
                let i = self.rng.below(n);
                self.relocate(x, i, size);
            }
            1 if !all_round => {
                for i in 0..n {
                    if self.rng.unit() < 0.5 {
                        self.turn_to_room(x, i, size);
                    }
                }
            }
            3 if !all_round => {
                for i in 0..n {
                    let turn = self.rng.between(-SHAKE_TURN, SHAKE_TURN);
                    x[3 * i + 2] += self.layout.scaled(i, turn);
                }
            }
            _ => {
                for i in 0..n {
                    let far = SHAKE * self.layout.items[i].radius;
                    x[3 * i] += self.rng.between(-far, far);
                    x[3 * i + 1] += self.rng.between(-far, far);
                }
            }
        }
    }
}
