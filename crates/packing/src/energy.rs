//! The overlap energy of a layer and its gradient.

use crate::Standing;
use crate::distance::{PlacedFoot, gap};

/// Distances asked for beyond the rule, so that what the search calls solved is solved in truth, mm.
pub(crate) const MARGIN_MM: f64 = 0.02;

/// A layer: which standings lie in it, and what distances they ask for of each other.
pub(crate) struct Layout<'a> {
    pub items: Vec<&'a Standing>,
    /// For items i < j, at `pair_index(i, j)`.
    gaps: Vec<Vec<(usize, usize, f64)>>,
    widest: Vec<f64>,
    /// Radius of a circle round each part's outline, about the outline's centre, mm.
    round: Vec<Vec<f64>>,
    /// Scale that makes a turn count like a move, mm.
    scale: Vec<f64>,
    reference: f64,
    /// The rule the distances were made under.
    pub crush: plan::Crush,
}

impl<'a> Layout<'a> {
    pub(crate) fn new(items: Vec<&'a Standing>, crush: plan::Crush) -> Self {
        let mut gaps = Vec::new();
        let mut widest = Vec::new();
        for i in 0..items.len() {
            for j in i + 1..items.len() {
                let between = items[i].gaps(items[j], crush);
                widest.push(between.iter().map(|gap| gap.2).fold(0.0, f64::max));
                gaps.push(between);
            }
        }
        let round = items
            .iter()
            .map(|item| {
                let about = |part: &crate::FlatPart| match part.foot {
                    crate::Foot::Disc { radius, .. } => radius,
                    crate::Foot::Rect { half, .. } => half[0].hypot(half[1]),
                };
                item.parts.iter().map(about).collect()
            })
            .collect();
        let scale = items.iter().map(|item| item.radius.max(1.0)).collect();
        let reference = items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        Self { items, gaps, widest, round, scale, reference, crush }
    }

    /// The largest wall distance in the layer: sizes are counted inside of it, mm.
    pub(crate) fn reference(&self) -> f64 {
        self.reference
    }

    /// Scratch space for [`Layout::energy`].
    pub(crate) fn scratch(&self) -> Vec<Vec<PlacedFoot>> {
        self.items.iter().map(|item| Vec::with_capacity(item.parts.len())).collect()
    }

    fn place(&self, x: &[f64], feet: &mut [Vec<PlacedFoot>]) {
        for (i, item) in self.items.iter().enumerate() {
            let (sin, cos) = if item.round { (0.0, 1.0) } else { (x[3 * i + 2] / self.scale[i]).sin_cos() };
            feet[i].clear();
            feet[i].extend(
                item.parts.iter().map(|part| PlacedFoot::new(part.foot, x[3 * i], x[3 * i + 1], cos, sin)),
            );
        }
    }

    /// Angle of item `i` in radians, from the scaled variable.
    pub(crate) fn angle(&self, x: &[f64], i: usize) -> f64 {
        if self.items[i].round { 0.0 } else { x[3 * i + 2] / self.scale[i] }
    }

    /// The scaled variable for an angle in radians.
    pub(crate) fn scaled(&self, i: usize, radians: f64) -> f64 {
        radians * self.scale[i]
    }

    /// Half the sum of squared penetrations in the rectangle `size`, its gradient, each item's share
    /// and the deepest penetration. Variables are x, y and scaled angle per item.
    pub(crate) fn energy(
        &self,
        x: &[f64],
        size: [f64; 2],
        feet: &mut [Vec<PlacedFoot>],
        gradient: &mut [f64],
        share: &mut [f64],
    ) -> (f64, f64) {
        self.place(x, feet);
        gradient.fill(0.0);
        share.fill(0.0);
        let mut energy = 0.0;
        let mut deepest: f64 = 0.0;
        let n = self.items.len();
        let mut pair = 0;
        for i in 0..n {
            for (part, foot) in self.items[i].parts.iter().zip(&feet[i]) {
                let asked = part.wall - self.reference + MARGIN_MM;
                for axis in 0..2 {
                    for sign in [-1.0, 1.0] {
                        let point = foot.furthest(axis, sign);
                        let pen =
                            if sign < 0.0 { asked - point[axis] } else { asked + point[axis] - size[axis] };
                        if pen > 0.0 {
                            energy += 0.5 * pen * pen;
                            deepest = deepest.max(pen);
                            share[i] += pen * pen;
                            gradient[3 * i + axis] += sign * pen;
                            let arm = [point[0] - x[3 * i], point[1] - x[3 * i + 1]];
                            // d(point)/d(angle) = (-arm_y, arm_x)
                            let turn = if axis == 0 { -arm[1] } else { arm[0] };
                            gradient[3 * i + 2] += sign * pen * turn / self.scale[i];
                        }
                    }
                }
            }
            for j in i + 1..n {
                let reach = self.items[i].radius + self.items[j].radius + self.widest[pair] + MARGIN_MM;
                let (dx, dy) = (x[3 * j] - x[3 * i], x[3 * j + 1] - x[3 * i + 1]);
                if dx * dx + dy * dy < reach * reach {
                    for &(p, q, asked) in &self.gaps[pair] {
                        // Most parts of two neighbours are far from each other; circles round them tell.
                        let (a, b) = (feet[i][p].centre(), feet[j][q].centre());
                        let far = self.round[i][p] + self.round[j][q] + asked + MARGIN_MM;
                        if (b[0] - a[0]).powi(2) + (b[1] - a[1]).powi(2) >= far * far {
                            continue;
                        }
                        let gap = gap(&feet[i][p], &feet[j][q]);
                        let pen = asked + MARGIN_MM - gap.distance;
                        if pen <= 0.0 {
                            continue;
                        }
                        energy += 0.5 * pen * pen;
                        deepest = deepest.max(pen);
                        share[i] += 0.5 * pen * pen;
                        share[j] += 0.5 * pen * pen;
                        let [nx, ny] = gap.normal;
                        gradient[3 * i] += pen * nx;
                        gradient[3 * i + 1] += pen * ny;
                        gradient[3 * j] -= pen * nx;
                        gradient[3 * j + 1] -= pen * ny;
                        let a = [gap.on_a[0] - x[3 * i], gap.on_a[1] - x[3 * i + 1]];
                        let b = [gap.on_b[0] - x[3 * j], gap.on_b[1] - x[3 * j + 1]];
                        gradient[3 * i + 2] += pen * (a[0] * ny - a[1] * nx) / self.scale[i];
                        gradient[3 * j + 2] -= pen * (b[0] * ny - b[1] * nx) / self.scale[j];
                    }
                }
                pair += 1;
            }
            if self.items[i].round {
                gradient[3 * i + 2] = 0.0;
            }
        }
        (energy, deepest)
    }

    /// Lowest and highest coordinates of the hard parts, with each part's wall distance beyond the
    /// reference, along x and y.
    pub(crate) fn bounds(&self, x: &[f64]) -> [(f64, f64); 2] {
        let mut feet = self.scratch();
        self.place(x, &mut feet);
        let mut bounds = [(f64::INFINITY, f64::NEG_INFINITY); 2];
        for (item, feet) in self.items.iter().zip(&feet) {
            for (part, foot) in item.parts.iter().zip(feet) {
                let asked = part.wall - self.reference + MARGIN_MM;
                for (axis, bound) in bounds.iter_mut().enumerate() {
                    bound.0 = bound.0.min(foot.furthest(axis, -1.0)[axis] - asked);
                    bound.1 = bound.1.max(foot.furthest(axis, 1.0)[axis] + asked);
                }
            }
        }
        bounds
    }
}
