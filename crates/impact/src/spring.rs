//! One link or contact while it works: pressed along its curve, let go along a lower one.
//!
//! After a largest compression at which the curve had taken the energy E, a cushion pressed less than that
//! pushes with the curve's force times g(x), x being the curve's energy at hand over E. With g(1) = 1 and the
//! integral of g from 0 to 1 equal to r, exactly r E comes back, whatever the law. g is the line of slope p
//! through (1, 1), not below 0: p = 2 (1 - r), or 1 / (2 r) where r is under a half, which leaves a set. Pressing
//! again follows the same lower path, so that all loss happens on first pressing (the idea of pseudo-elasticity:
//! Ogden and Roxburgh 1999).

use crate::curve::Knot;

/// A link or contact as the march sees it.
#[derive(Debug, Clone)]
pub(crate) struct Spring {
    /// Coordinate of the low end.
    pub low: usize,
    /// Coordinate of the high end.
    pub high: usize,
    /// Way to go before touch, m.
    pub slack_m: f64,
    /// N s/m.
    pub damping: f64,
    /// First knot of its curve.
    pub first: usize,
    /// How many it has.
    pub knots: usize,
    /// 1 at the wall, 2 between masses: the most that its stiffness counts for one of them.
    pub weight: f64,
}

impl Spring {
    /// Its compression in m, negative before touch, and the speed at which it closes, m/s.
    pub fn pressed(&self, place: &[f64], speed: &[f64]) -> (f64, f64) {
        (place[self.low] - place[self.high] - self.slack_m, speed[self.low] - speed[self.high])
    }
}

/// What a spring has been through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Memory {
    /// Chord it was last on.
    chord: usize,
    /// Chord it was last seen to reach.
    reach: usize,
    /// Largest compression, m.
    pub peak_m: f64,
    /// Energy of the curve there, J.
    peak_energy_j: f64,
    /// What of it is lost, J.
    lost_j: f64,
    /// One over it, 1/J.
    per_j: f64,
    /// Slope p of g.
    fall: f64,
    /// Largest force, N.
    pub peak_n: f64,
    /// Nearest that the ends came, past the slack, m; negative while never touched.
    pub nearest_m: f64,
    /// Largest speed at touch, m/s.
    pub met_m_per_s: Option<f64>,
}

/// A spring at one moment.
pub(crate) struct Push {
    pub force_n: f64,
    /// Power that its damper takes, W.
    pub damped_w: f64,
    pub stored_j: f64,
    /// Bound on its stiffness now and over the way ahead, N/m.
    pub stiffness: f64,
}

/// The chord on which a compression lies, looked for from `chord` on, which is moved there.
fn find<'a>(knots: &'a [Knot], at_m: f64, chord: &mut usize) -> &'a Knot {
    let mut n = *chord;
    while n + 1 < knots.len() && at_m >= knots[n + 1].at_m {
        n += 1;
    }
    while n > 0 && at_m < knots[n].at_m {
        n -= 1;
    }
    *chord = n;
    &knots[n]
}

impl Memory {
    pub fn new(slack_m: f64) -> Memory {
        Memory {
            chord: 0,
            reach: 0,
            peak_m: 0.0,
            peak_energy_j: 0.0,
            lost_j: 0.0,
            per_j: 0.0,
            fall: 0.0,
            peak_n: 0.0,
            nearest_m: -slack_m,
            met_m_per_s: None,
        }
    }

    /// Share of the curve's force that is left at an energy of the curve, and the energy kept there over the
    /// curve's at the largest compression.
    fn let_go(&self, energy_j: f64) -> (f64, f64) {
        let x = energy_j * self.per_j;
        let left = 1.0 - self.fall * (1.0 - x);
        if self.fall <= 1.0 {
            (left, x * (left + 1.0 - self.fall) / 2.0)
        } else if left > 0.0 {
            (left, left * left / (2.0 * self.fall))
        } else {
            (0.0, 0.0)
        }
    }

    /// Force of the cushion alone, N, at a compression above 0.
    fn force(&mut self, knots: &[Knot], at_m: f64) -> f64 {
        let knot = find(knots, at_m, &mut self.chord);
        let along = at_m - knot.at_m;
        let force = knot.force_n + knot.slope * along;
        if at_m >= self.peak_m {
            return force;
        }
        let energy = knot.energy_j + along * (knot.force_n + force) / 2.0;
        force * self.let_go(energy).0
    }

    /// Force in N and the power its damper takes in W.
    pub fn push(&mut self, spring: &Spring, knots: &[Knot], (at_m, speed): (f64, f64)) -> (f64, f64) {
        if at_m < 0.0 || (at_m == 0.0 && speed <= 0.0) {
            return (0.0, 0.0);
        }
        let cushion = self.force(knots, at_m);
        if spring.damping == 0.0 {
            return (cushion, 0.0);
        }
        let force = (cushion + spring.damping * speed).max(0.0);
        (force, (force - cushion) * speed)
    }

    /// All there is to say at a moment; `ahead_s` is how far the stiffness is looked for. Not for one that
    /// is far from touch.
    pub fn look(&mut self, spring: &Spring, knots: &[Knot], at_m: f64, speed: f64, ahead_s: f64) -> Push {
        let reach = at_m + speed.max(0.0) * ahead_s;
        let mut push = Push { force_n: 0.0, damped_w: 0.0, stored_j: 0.0, stiffness: 0.0 };
        if reach < 0.0 {
            return push;
        }
        // A curve may soften: the steepest chord on the way counts.
        let last = find(knots, reach, &mut self.reach).slope;
        if at_m < 0.0 || (at_m == 0.0 && speed <= 0.0) {
            push.stiffness = last.max(knots[0].slope);
            return push;
        }
        let knot = find(knots, at_m, &mut self.chord);
        let along = at_m - knot.at_m;
        let force = knot.force_n + knot.slope * along;
        let energy = knot.energy_j + along * (knot.force_n + force) / 2.0;
        push.stiffness = last.max(knot.slope);
        let cushion = if at_m >= self.peak_m {
            push.stored_j = knot.returned_j + knot.returned_share * (energy - knot.energy_j);
            force
        } else {
            let (left, kept) = self.let_go(energy);
            push.stored_j = kept * self.peak_energy_j;
            push.stiffness += force * force * self.fall * self.per_j;
            force * left
        };
        push.force_n = (cushion + spring.damping * speed).max(0.0);
        push.damped_w = (push.force_n - cushion) * speed;
        push
    }

    /// Takes note of a step from one compression and speed to another, within `step_s`. Returns what was lost
    /// in it, J.
    pub fn step(&mut self, knots: &[Knot], from: (f64, f64), to: (f64, f64), step_s: f64) -> f64 {
        let mut most = from.0.max(to.0);
        if from.1 > 0.0 && to.1 < 0.0 {
            // It turned on the way: speed taken as a straight line, from both ends.
            let turn = step_s * from.1 / (from.1 - to.1);
            let turned = (from.0 + from.1 * turn / 2.0 + to.0 - to.1 * (step_s - turn) / 2.0) / 2.0;
            most = most.max(turned);
        }
        self.nearest_m = self.nearest_m.max(most);
        if from.0 <= 0.0 && most > 0.0 {
            let speed = from.1.max(to.1);
            self.met_m_per_s = Some(self.met_m_per_s.map_or(speed, |met| met.max(speed)));
        }
        let before = self.lost_j;
        if most > self.peak_m {
            self.peak_m = most;
            let knot = find(knots, most, &mut self.chord);
            let along = most - knot.at_m;
            let force = knot.force_n + knot.slope * along;
            let further = along * (knot.force_n + force) / 2.0;
            let kept = knot.returned_j + knot.returned_share * further;
            self.peak_energy_j = knot.energy_j + further;
            self.lost_j = (self.peak_energy_j - kept).max(0.0);
            self.peak_n = self.peak_n.max(force);
            // Energies too small to be turned over are none.
            self.per_j = if self.peak_energy_j > 1e-300 { 1.0 / self.peak_energy_j } else { 0.0 };
            let share = if self.per_j > 0.0 { kept * self.per_j } else { 1.0 };
            self.fall = if share >= 0.5 { 2.0 * (1.0 - share) } else { 1.0 / (2.0 * share) };
        }
        self.lost_j - before
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::Curve;
    use crate::{Law, Layer};

    /// Presses to `most` m and lets go; energy put in and energy that came back, J, by fine sums.
    fn there_and_back(law: Law, restitution: f64, most: f64) -> (f64, f64) {
        let curve = Curve::of(&[Layer { law, area_m2: 0.01, thickness_m: 0.05, restitution }]);
        let mut memory = Memory::new(0.0);
        let (n, mut paid, mut back) = (200_000, 0.0, 0.0);
        let width = most / f64::from(n);
        for k in 0..n {
            let at = (f64::from(k) + 0.5) * width;
            paid += memory.force(&curve.knots, at) * width;
            memory.step(&curve.knots, (at, 1.0), (at + width / 2.0, 1.0), width);
        }
        for k in 0..n {
            back += memory.force(&curve.knots, (f64::from(k) + 0.5) * width) * width;
        }
        (paid, back)
    }

    #[test]
    fn the_square_of_the_restitution_comes_back_whatever_the_law() {
        let laws = [
            Law::Spring { modulus_pa: 1e5 },
            Law::Bottoming { modulus_pa: 1e5, strain: 0.5, beyond_pa: 1e6 },
            Law::Tangent { modulus_pa: 1e5, limit_strain: 0.8 },
            Law::StressEnergy { a_pa: 6e4, b_per_pa: 1.66e-5 },
            Law::Plateau { stress_pa: 1e5, cushion_factor: 2.5 },
        ];
        for law in laws {
            for restitution in [0.1, 0.3, 0.6, 0.75, 0.9, 1.0] {
                let (paid, back) = there_and_back(law, restitution, 0.035);
                let found = back / paid / (restitution * restitution);
                assert!((found - 1.0).abs() < 2e-3, "{law:?} {restitution}: {found}");
            }
        }
    }
}
