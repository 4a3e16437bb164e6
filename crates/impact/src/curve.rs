//! Force of a link over its compression, and the energy it takes, as chords.
//!
//! Layers pressed in series carry one force and share the compression; as each is a chain of chords, so is
//! the whole, exactly. Force and energy agree to the last digit, since the energy is the chords' own.

use crate::{HARD_STIFFNESS_N_PER_M, Layer};

/// The start of one chord.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Knot {
    /// Compression, m.
    pub at_m: f64,
    /// Force, N.
    pub force_n: f64,
    /// Force per further compression, N/m.
    pub slope: f64,
    /// Energy taken up to here, J.
    pub energy_j: f64,
    /// What of it comes back after pressing to here, J.
    pub returned_j: f64,
    /// Share of further energy, along this chord, that comes back.
    pub returned_share: f64,
}

/// A link's force over its compression on first pressing; the last chord has no end.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    pub knots: Vec<Knot>,
    /// Compression at which the first of its layers is pressed solid, m.
    pub bottom_m: f64,
}

/// The least energy that is thought to come back: without it a cushion would let go in no time at all.
pub(crate) const LEAST_RETURNED: f64 = 0.01;

/// One layer: (compression, force) points and the slope beyond the last.
struct Line {
    points: Vec<(f64, f64)>,
    beyond: f64,
    ends: bool,
    returned: f64,
}

impl Line {
    fn of(layer: &Layer) -> Line {
        let per_strain = layer.area_m2 / layer.thickness_m;
        let chords = layer.law.chords(HARD_STIFFNESS_N_PER_M / per_strain);
        let points = chords
            .points
            .iter()
            .map(|&(strain, stress)| (strain * layer.thickness_m, stress * layer.area_m2));
        Line {
            points: points.collect(),
            beyond: chords.beyond_pa * per_strain,
            ends: chords.ends,
            returned: returned(layer.restitution),
        }
    }

    fn last_force(&self) -> f64 {
        self.points.last().map_or(0.0, |last| last.1)
    }

    /// Compression at a force, m. Forces are asked in rising order; `next` is where the last one was found.
    fn compression(&self, force: f64, next: &mut usize) -> f64 {
        while self.points.get(*next).is_some_and(|point| point.1 < force) {
            *next += 1;
        }
        let before = next.checked_sub(1).and_then(|n| self.points.get(n)).copied().unwrap_or((0.0, 0.0));
        match self.points.get(*next) {
            Some(after) if after.1 > before.1 => {
                before.0 + (after.0 - before.0) * (force - before.1) / (after.1 - before.1)
            }
            Some(after) => after.0,
            None => before.0 + (force - before.1) / self.beyond,
        }
    }
}

/// Share of the energy that comes back at a restitution of speed.
pub(crate) fn returned(restitution: f64) -> f64 {
    (restitution * restitution).max(LEAST_RETURNED)
}

impl Curve {
    /// The curve of layers in series, at least one.
    pub fn of(layers: &[Layer]) -> Curve {
        let lines: Vec<Line> = layers.iter().map(Line::of).collect();
        let mut forces: Vec<f64> = lines.iter().flat_map(|line| line.points.iter().map(|p| p.1)).collect();
        forces.sort_by(f64::total_cmp);
        forces.dedup_by(|next, kept| *next <= *kept * (1.0 + 1e-9));
        let solid = lines.iter().filter(|line| line.ends).map(Line::last_force).min_by(f64::total_cmp);

        let mut found = vec![0; lines.len()];
        let mut before = vec![0.0; lines.len()];
        let mut knots: Vec<Knot> = Vec::with_capacity(forces.len());
        let mut bottom_m = f64::INFINITY;
        for &force in &forces {
            let (mut at_m, mut energy, mut back) = (0.0, 0.0, 0.0);
            let mean = knots.last().map_or(0.0, |knot| (knot.force_n + force) / 2.0);
            for ((line, next), old) in lines.iter().zip(&mut found).zip(&mut before) {
                let compression = line.compression(force, next);
                at_m += compression;
                energy += mean * (compression - *old);
                back += line.returned * mean * (compression - *old);
                *old = compression;
            }
            let mut knot = Knot {
                at_m,
                force_n: force,
                slope: 0.0,
                energy_j: energy,
                returned_j: back,
                returned_share: 0.0,
            };
            if let Some(last) = knots.last_mut() {
                last.slope = (force - last.force_n) / (at_m - last.at_m);
                last.returned_share = if energy > 0.0 { back / energy } else { 1.0 };
                knot.energy_j += last.energy_j;
                knot.returned_j += last.returned_j;
            }
            if solid.is_some_and(|solid| force >= solid) {
                bottom_m = bottom_m.min(at_m);
            }
            knots.push(knot);
        }
        let softness: f64 = lines.iter().map(|line| 1.0 / line.beyond).sum();
        let back: f64 = lines.iter().map(|line| line.returned / line.beyond).sum();
        if let Some(last) = knots.last_mut() {
            last.slope = 1.0 / softness;
            last.returned_share = back / softness;
        }
        Curve { knots, bottom_m }
    }

    /// A hard spring, for contact.
    pub fn hard(stiffness: f64, restitution: f64) -> Curve {
        let knot = Knot {
            at_m: 0.0,
            force_n: 0.0,
            slope: stiffness,
            energy_j: 0.0,
            returned_j: 0.0,
            returned_share: returned(restitution),
        };
        Curve { knots: vec![knot], bottom_m: f64::INFINITY }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Law;

    fn layer(law: Law, thickness_m: f64, restitution: f64) -> Layer {
        Layer { law, area_m2: 0.01, thickness_m, restitution }
    }

    #[test]
    fn springs_in_series_add_their_softness() {
        let soft = layer(Law::Spring { modulus_pa: 1e5 }, 0.05, 1.0);
        let hard = layer(Law::Spring { modulus_pa: 4e5 }, 0.02, 0.5);
        let curve = Curve::of(&[soft, hard]);
        let (one, two): (f64, f64) = (1e5 * 0.01 / 0.05, 4e5 * 0.01 / 0.02);
        assert_eq!(curve.knots.len(), 1);
        assert!((curve.knots[0].slope - one * two / (one + two)).abs() < 1e-6);
        // The softer takes more of the energy, so more of it comes back.
        assert!((curve.knots[0].returned_share - (two + 0.25 * one) / (one + two)).abs() < 1e-12);
    }

    #[test]
    fn layers_in_series_share_force_and_sum_compression_and_energy() {
        let foam = layer(Law::StressEnergy { a_pa: 63.7e3, b_per_pa: 1.66e-5 }, 0.05, 0.6);
        let board = layer(Law::Plateau { stress_pa: 1.5e5, cushion_factor: 2.0 }, 0.01, 0.1);
        let (whole, a, b) = (Curve::of(&[foam, board]), Curve::of(&[foam]), Curve::of(&[board]));
        let at = |curve: &Curve, force: f64| {
            let n = curve.knots.partition_point(|knot| knot.force_n <= force).saturating_sub(1);
            let knot = curve.knots[n];
            let along = (force - knot.force_n) / knot.slope;
            (knot.at_m + along, knot.energy_j + along * (knot.force_n + force) / 2.0)
        };
        for force in [10.0, 640.0, 700.0, 1490.0, 1499.0, 1501.0, 3000.0, 1e5] {
            let (sum, both) = ((at(&a, force), at(&b, force)), at(&whole, force));
            assert!((sum.0.0 + sum.1.0 - both.0).abs() < 1e-9, "{force}");
            assert!((sum.0.1 + sum.1.1 - both.1).abs() < 1e-6, "{force}");
        }
        assert!(whole.bottom_m < 0.06);
    }

    #[test]
    fn a_layer_under_itself_is_a_layer_twice_as_thick() {
        let law = Law::Tangent { modulus_pa: 2e5, limit_strain: 0.7 };
        let (one, two) = (layer(law, 0.02, 0.5), layer(law, 0.04, 0.5));
        let (twice, thick) = (Curve::of(&[one, one]), Curve::of(&[two]));
        let at = |curve: &Curve, force: f64| {
            let n = curve.knots.partition_point(|knot| knot.force_n <= force).saturating_sub(1);
            curve.knots[n].at_m + (force - curve.knots[n].force_n) / curve.knots[n].slope
        };
        for force in [1.0, 100.0, 1e3, 3e3] {
            // The chords lie elsewhere, and two hard ends in series are softer than one.
            assert!((at(&twice, force) / at(&thick, force) - 1.0).abs() < 2e-3, "{force}");
        }
    }
}
