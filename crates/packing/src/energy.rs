//! The overlap energy of a layer and its gradient.

use crate::distance::{PlacedFoot, gap};
use crate::{Foot, Standing};

/// Distances asked for beyond the rule while searching, so that what is called solved is solved in
/// truth, mm.
pub(crate) const MARGIN_MM: f64 = 0.005;

/// Two parts of two pieces that must keep a distance.
#[derive(Debug, Clone, Copy)]
struct Contact {
    /// Numbers of the parts, counted through the layer.
    a: usize,
    b: usize,
    /// Least distance, mm.
    asked: f64,
    /// Distance of their outlines' centres beyond which nothing needs to be known, mm.
    far: f64,
}

/// Two pieces.
#[derive(Debug, Clone, Copy)]
struct Pair {
    i: usize,
    j: usize,
    /// Distance of their origins beyond which they do not meet, mm.
    reach: f64,
    /// Both are a disc about the origin: `reach` is then the distance asked for of the origins.
    discs: bool,
    contacts: (usize, usize),
}

/// A part in its piece's frame.
#[derive(Debug, Clone, Copy)]
struct Part {
    item: usize,
    foot: Foot,
    /// Distance asked for of the wall beyond the layer's reference, mm.
    wall: f64,
    /// Radius of a circle about its outline's centre that holds it, mm.
    round: f64,
}

/// A layer: which standings lie in it, and what distances they ask for of each other. All of it flat,
/// so that the energy is one walk over a few arrays.
pub(crate) struct Layout<'a> {
    pub items: Vec<&'a Standing>,
    parts: Vec<Part>,
    /// Where each item's parts begin; one more entry than items.
    first: Vec<usize>,
    pairs: Vec<Pair>,
    contacts: Vec<Contact>,
    /// Scale that makes a turn count like a move, mm.
    scale: Vec<f64>,
    reference: f64,
    /// The rule the distances were made under.
    pub crush: plan::Crush,
}

/// The energy at a point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Overlap {
    /// Half the sum of squared penetrations, mm2.
    pub energy: f64,
    /// The deepest penetration, mm.
    pub deepest: f64,
    /// How fast the energy falls as both sides of the rectangle grow, mm.
    pub pressure: f64,
}

/// One distance and how it changes: the distance less what is asked for, its slopes over place and scaled
/// turn of one or two items, and over the rectangle's growth.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    /// Distance less what is asked for, mm.
    pub gap: f64,
    one: (usize, [f64; 3]),
    other: Option<(usize, [f64; 3])>,
    growth: f64,
}

impl Row {
    /// How much the distance changes with `step`, whose last entry is the growth of the rectangle, mm.
    pub(crate) fn along(&self, step: &[f64]) -> f64 {
        let of = |(i, slope): (usize, [f64; 3])| {
            step.get(3 * i..3 * i + 3).map_or(0.0, |s| slope[0] * s[0] + slope[1] * s[1] + slope[2] * s[2])
        };
        let growth = step.last().map_or(0.0, |last| self.growth * last);
        of(self.one) + self.other.map_or(0.0, of) + growth
    }

    /// Adds `by` times the slopes to `sum`.
    pub(crate) fn add(&self, sum: &mut [f64], by: f64) {
        for (i, slope) in [Some(self.one), self.other].into_iter().flatten() {
            for (entry, slope) in sum.iter_mut().skip(3 * i).zip(slope) {
                *entry += by * slope;
            }
        }
        if let Some(last) = sum.last_mut() {
            *last += by * self.growth;
        }
    }

    /// Adds `by` times the slopes' products to the lower triangle of the `n` by `n` matrix `sum`.
    pub(crate) fn add_square(&self, sum: &mut [f64], n: usize, by: f64) {
        // Two items (the first has the lower number) and the growth, which comes last.
        let mut entries = [(0, 0.0); 7];
        let mut count = 0;
        for (i, slope) in [Some(self.one), self.other].into_iter().flatten() {
            for (k, slope) in slope.into_iter().enumerate() {
                entries[count] = (3 * i + k, slope);
                count += 1;
            }
        }
        if self.growth != 0.0 {
            entries[count] = (n - 1, self.growth);
            count += 1;
        }
        for (k, &(row, slope)) in entries[..count].iter().enumerate() {
            for &(column, other) in &entries[..=k] {
                sum[row * n + column] += by * slope * other;
            }
        }
    }
}

impl<'a> Layout<'a> {
    pub(crate) fn new(items: Vec<&'a Standing>, crush: plan::Crush) -> Self {
        let reference = items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        let mut parts = Vec::new();
        let mut first = vec![0];
        for (number, item) in items.iter().enumerate() {
            parts.extend(item.parts.iter().map(|part| Part {
                item: number,
                foot: part.foot,
                wall: part.wall - reference,
                round: match part.foot {
                    Foot::Disc { radius, .. } => radius,
                    Foot::Rect { half, .. } => half[0].hypot(half[1]),
                },
            }));
            first.push(parts.len());
        }
        let mut pairs = Vec::new();
        let mut contacts = Vec::new();
        for i in 0..items.len() {
            for j in i + 1..items.len() {
                let from = contacts.len();
                let mut widest: f64 = 0.0;
                for (p, q, asked) in items[i].gaps(items[j], crush) {
                    let (a, b) = (first[i] + p, first[j] + q);
                    widest = widest.max(asked);
                    contacts.push(Contact { a, b, asked, far: parts[a].round + parts[b].round + asked });
                }
                let plain = |item: &Standing| item.round && item.parts.len() == 1;
                pairs.push(Pair {
                    i,
                    j,
                    reach: items[i].radius + items[j].radius + widest,
                    discs: plain(items[i]) && plain(items[j]) && contacts.len() == from + 1,
                    contacts: (from, contacts.len()),
                });
            }
        }
        let scale = items.iter().map(|item| item.radius.max(1.0)).collect();
        Self { items, parts, first, pairs, contacts, scale, reference, crush }
    }

    /// The largest wall distance in the layer: sizes are counted inside of it, mm.
    pub(crate) fn reference(&self) -> f64 {
        self.reference
    }

    /// Scratch space for [`Layout::energy`].
    pub(crate) fn scratch(&self) -> Vec<PlacedFoot> {
        vec![PlacedFoot::Disc { c: [0.0; 2], r: 0.0 }; self.parts.len()]
    }

    /// Puts every part where `x` has it.
    pub(crate) fn place(&self, x: &[f64], feet: &mut [PlacedFoot]) {
        for (i, item) in self.items.iter().enumerate() {
            let (sin, cos) = if item.round { (0.0, 1.0) } else { (x[3 * i + 2] / self.scale[i]).sin_cos() };
            let own = self.first[i]..self.first[i + 1];
            for (part, foot) in self.parts[own.clone()].iter().zip(&mut feet[own]) {
                *foot = PlacedFoot::new(part.foot, x[3 * i], x[3 * i + 1], cos, sin);
            }
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

    /// The overlap in the rectangle `size` with `margin` mm beyond every distance, its gradient and each
    /// item's share. Variables are x, y and scaled angle per item.
    pub(crate) fn energy(
        &self,
        x: &[f64],
        size: [f64; 2],
        margin: f64,
        feet: &mut [PlacedFoot],
        gradient: &mut [f64],
        share: &mut [f64],
    ) -> Overlap {
        self.place(x, feet);
        gradient.fill(0.0);
        share.fill(0.0);
        let mut sum = 0.0;
        let mut deepest: f64 = 0.0;
        let mut pressure = 0.0;
        for (part, foot) in self.parts.iter().zip(feet.iter()) {
            let asked = part.wall + margin;
            let centre = foot.centre();
            let near = asked + part.round;
            for axis in 0..2 {
                for sign in [-1.0, 1.0] {
                    let edge = if sign < 0.0 { centre[axis] } else { size[axis] - centre[axis] };
                    if edge >= near {
                        continue;
                    }
                    let i = part.item;
                    let point = foot.furthest(axis, sign);
                    let pen = if sign < 0.0 { asked - point[axis] } else { asked + point[axis] - size[axis] };
                    if pen > 0.0 {
                        sum += pen * pen;
                        deepest = deepest.max(pen);
                        if sign > 0.0 {
                            pressure += pen;
                        }
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
        for pair in &self.pairs {
            let (i, j) = (pair.i, pair.j);
            let (dx, dy) = (x[3 * j] - x[3 * i], x[3 * j + 1] - x[3 * i + 1]);
            let apart2 = dx * dx + dy * dy;
            let reach = pair.reach + margin;
            if apart2 >= reach * reach {
                continue;
            }
            if pair.discs {
                let apart = apart2.sqrt();
                let pen = reach - apart;
                // Two discs on one centre may part in any direction; x is as good as another.
                let (nx, ny) = if apart > 1e-12 { (dx / apart, dy / apart) } else { (1.0, 0.0) };
                sum += pen * pen;
                deepest = deepest.max(pen);
                share[i] += 0.5 * pen * pen;
                share[j] += 0.5 * pen * pen;
                gradient[3 * i] += pen * nx;
                gradient[3 * i + 1] += pen * ny;
                gradient[3 * j] -= pen * nx;
                gradient[3 * j + 1] -= pen * ny;
                continue;
            }
            for contact in &self.contacts[pair.contacts.0..pair.contacts.1] {
                let (foot_a, foot_b) = (&feet[contact.a], &feet[contact.b]);
                // Most parts of two neighbours are far from each other; circles round them tell.
                let (a, b) = (foot_a.centre(), foot_b.centre());
                let far = contact.far + margin;
                if (b[0] - a[0]).powi(2) + (b[1] - a[1]).powi(2) >= far * far {
                    continue;
                }
                let gap = gap(foot_a, foot_b);
                let pen = contact.asked + margin - gap.distance;
                if pen <= 0.0 {
                    continue;
                }
                sum += pen * pen;
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
        for (i, item) in self.items.iter().enumerate() {
            if item.round {
                gradient[3 * i + 2] = 0.0;
            }
        }
        Overlap { energy: 0.5 * sum, deepest, pressure }
    }

    /// The overlap that item `i` would have at `at` (x, y, scaled angle) among the others, which lie
    /// where `feet` has them; `limit` ends the count early. mm2.
    pub(crate) fn alone(
        &self,
        i: usize,
        at: [f64; 3],
        x: &[f64],
        size: [f64; 2],
        feet: &[PlacedFoot],
        limit: f64,
    ) -> f64 {
        let item = self.items[i];
        let (sin, cos) = if item.round { (0.0, 1.0) } else { (at[2] / self.scale[i]).sin_cos() };
        let own = |part: usize| PlacedFoot::new(self.parts[part].foot, at[0], at[1], cos, sin);
        let mut sum = 0.0;
        for k in self.first[i]..self.first[i + 1] {
            let asked = self.parts[k].wall + MARGIN_MM;
            let foot = own(k);
            for (axis, side) in size.iter().enumerate() {
                let low = asked - foot.furthest(axis, -1.0)[axis];
                let high = asked + foot.furthest(axis, 1.0)[axis] - side;
                sum += low.max(0.0).powi(2) + high.max(0.0).powi(2);
            }
        }
        let n = self.items.len();
        for j in (0..n).filter(|&j| j != i) {
            if 0.5 * sum >= limit {
                break;
            }
            let (low, high) = (i.min(j), i.max(j));
            let Some(pair) = self.pairs.get(low * (2 * n - low - 1) / 2 + high - low - 1) else { continue };
            let reach = pair.reach + MARGIN_MM;
            let (dx, dy) = (x[3 * j] - at[0], x[3 * j + 1] - at[1]);
            if dx * dx + dy * dy >= reach * reach {
                continue;
            }
            for contact in &self.contacts[pair.contacts.0..pair.contacts.1] {
                let (mine, theirs) = if i < j { (contact.a, contact.b) } else { (contact.b, contact.a) };
                let pen = contact.asked + MARGIN_MM - gap(&own(mine), &feet[theirs]).distance;
                sum += pen.max(0.0).powi(2);
            }
        }
        0.5 * sum
    }

    /// Every distance that is less than `within` mm more than asked for, with its slopes.
    pub(crate) fn rows(
        &self,
        x: &[f64],
        size: [f64; 2],
        within: f64,
        feet: &mut [PlacedFoot],
        rows: &mut Vec<Row>,
    ) {
        self.place(x, feet);
        rows.clear();
        let slope = |i: usize, at: [f64; 2], along: [f64; 2]| {
            let arm = [at[0] - x[3 * i], at[1] - x[3 * i + 1]];
            let turn = if self.items[i].round { 0.0 } else { arm[0] * along[1] - arm[1] * along[0] };
            (i, [along[0], along[1], turn / self.scale[i]])
        };
        for (part, foot) in self.parts.iter().zip(feet.iter()) {
            for axis in 0..2 {
                for sign in [-1.0, 1.0] {
                    let mut inward = [0.0; 2];
                    inward[axis] = -sign;
                    for point in foot.furthest_two(axis, sign).into_iter().flatten() {
                        let edge = if sign < 0.0 { point[axis] } else { size[axis] - point[axis] };
                        let gap = edge - part.wall;
                        if gap < within {
                            let growth = if sign < 0.0 { 0.0 } else { 1.0 };
                            rows.push(Row { gap, one: slope(part.item, point, inward), other: None, growth });
                        }
                    }
                }
            }
        }
        for pair in &self.pairs {
            let (i, j) = (pair.i, pair.j);
            let reach = pair.reach + within;
            if (x[3 * j] - x[3 * i]).powi(2) + (x[3 * j + 1] - x[3 * i + 1]).powi(2) >= reach * reach {
                continue;
            }
            for contact in &self.contacts[pair.contacts.0..pair.contacts.1] {
                let found = gap(&feet[contact.a], &feet[contact.b]);
                let gap = found.distance - contact.asked;
                if gap < within {
                    let [nx, ny] = found.normal;
                    let one = slope(i, found.on_a, [-nx, -ny]);
                    let other = Some(slope(j, found.on_b, [nx, ny]));
                    rows.push(Row { gap, one, other, growth: 0.0 });
                }
            }
        }
    }

    /// How much the worst distance falls short, mm; negative where all are kept.
    pub(crate) fn deepest(&self, x: &[f64], size: [f64; 2], feet: &mut [PlacedFoot]) -> f64 {
        self.place(x, feet);
        let mut deepest = f64::NEG_INFINITY;
        for (part, foot) in self.parts.iter().zip(feet.iter()) {
            for (axis, side) in size.iter().enumerate() {
                deepest = deepest
                    .max(part.wall - foot.furthest(axis, -1.0)[axis])
                    .max(part.wall + foot.furthest(axis, 1.0)[axis] - side);
            }
        }
        for pair in &self.pairs {
            for contact in &self.contacts[pair.contacts.0..pair.contacts.1] {
                deepest = deepest.max(contact.asked - gap(&feet[contact.a], &feet[contact.b]).distance);
            }
        }
        deepest
    }

    /// Lowest and highest coordinates of the hard parts, with each part's wall distance beyond the
    /// reference and `margin`, along x and y.
    pub(crate) fn bounds(&self, x: &[f64], margin: f64) -> [(f64, f64); 2] {
        let mut feet = self.scratch();
        self.place(x, &mut feet);
        let mut bounds = [(f64::INFINITY, f64::NEG_INFINITY); 2];
        for (part, foot) in self.parts.iter().zip(&feet) {
            let asked = part.wall + margin;
            for (axis, bound) in bounds.iter_mut().enumerate() {
                bound.0 = bound.0.min(foot.furthest(axis, -1.0)[axis] - asked);
                bound.1 = bound.1.max(foot.furthest(axis, 1.0)[axis] + asked);
            }
        }
        bounds
    }
}
