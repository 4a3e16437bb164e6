//! Exact signed distances between placed outlines, with the direction in which they grow.

use crate::Foot;

/// An outline in the layer's frame, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) enum PlacedFoot {
    Disc { c: [f64; 2], r: f64 },
    Rect { c: [f64; 2], u: [f64; 2], h: [f64; 2] },
}

/// Signed distance from one outline to another (negative inside), the unit normal from the first
/// towards the second, and the contact points on each in the layer's frame.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gap {
    pub distance: f64,
    pub normal: [f64; 2],
    pub on_a: [f64; 2],
    pub on_b: [f64; 2],
}

impl PlacedFoot {
    /// `foot` of an item at `(x, y)` turned by the angle whose cosine and sine are given.
    pub(crate) fn new(foot: Foot, x: f64, y: f64, cos: f64, sin: f64) -> Self {
        let turn = |p: [f64; 2]| [cos * p[0] - sin * p[1], sin * p[0] + cos * p[1]];
        match foot {
            Foot::Disc { at, radius } => {
                let p = turn(at);
                Self::Disc { c: [x + p[0], y + p[1]], r: radius }
            }
            Foot::Rect { at, along, half } => {
                let p = turn(at);
                Self::Rect { c: [x + p[0], y + p[1]], u: turn(along), h: half }
            }
        }
    }

    pub(crate) fn centre(&self) -> [f64; 2] {
        match *self {
            Self::Disc { c, .. } | Self::Rect { c, .. } => c,
        }
    }

    /// The point of the outline furthest along axis 0 or 1 in the direction of `sign`.
    pub(crate) fn furthest(&self, axis: usize, sign: f64) -> [f64; 2] {
        match *self {
            Self::Disc { c, r } => {
                let mut p = c;
                p[axis] += sign * r;
                p
            }
            Self::Rect { c, u, h } => {
                let v = [-u[1], u[0]];
                let s = if u[axis] * sign >= 0.0 { h[0] } else { -h[0] };
                let t = if v[axis] * sign >= 0.0 { h[1] } else { -h[1] };
                [c[0] + s * u[0] + t * v[0], c[1] + s * u[1] + t * v[1]]
            }
        }
    }

    /// The furthest point along axis 0 or 1 in the direction of `sign`, and for a rectangle the next corner.
    pub(crate) fn furthest_two(&self, axis: usize, sign: f64) -> [Option<[f64; 2]>; 2] {
        match *self {
            Self::Disc { .. } => [Some(self.furthest(axis, sign)), None],
            Self::Rect { c, u, h } => {
                let mut corners = corners(c, u, h);
                corners.sort_by(|p, q| (sign * q[axis]).total_cmp(&(sign * p[axis])));
                [Some(corners[0]), Some(corners[1])]
            }
        }
    }
}

/// Signed distance between two outlines.
pub(crate) fn gap(a: &PlacedFoot, b: &PlacedFoot) -> Gap {
    match (*a, *b) {
        (PlacedFoot::Disc { c: ca, r: ra }, PlacedFoot::Disc { c: cb, r: rb }) => disc_disc(ca, ra, cb, rb),
        (PlacedFoot::Disc { c, r }, PlacedFoot::Rect { c: cb, u, h }) => {
            let (distance, normal, on) = point_rect(c, cb, u, h);
            Gap {
                distance: distance - r,
                normal: [-normal[0], -normal[1]],
                on_a: [c[0] - r * normal[0], c[1] - r * normal[1]],
                on_b: on,
            }
        }
        (PlacedFoot::Rect { c: ca, u, h }, PlacedFoot::Disc { c, r }) => {
            let (distance, normal, on) = point_rect(c, ca, u, h);
            Gap {
                distance: distance - r,
                normal,
                on_a: on,
                on_b: [c[0] - r * normal[0], c[1] - r * normal[1]],
            }
        }
        (PlacedFoot::Rect { c: ca, u: ua, h: ha }, PlacedFoot::Rect { c: cb, u: ub, h: hb }) => {
            rect_rect(ca, ua, ha, cb, ub, hb)
        }
    }
}

fn disc_disc(ca: [f64; 2], ra: f64, cb: [f64; 2], rb: f64) -> Gap {
    let d = [cb[0] - ca[0], cb[1] - ca[1]];
    let length = (d[0] * d[0] + d[1] * d[1]).sqrt();
    // Two discs on one centre may part in any direction; x is as good as another.
    let normal = if length > 1e-12 { [d[0] / length, d[1] / length] } else { [1.0, 0.0] };
    Gap {
        distance: length - ra - rb,
        normal,
        on_a: [ca[0] + ra * normal[0], ca[1] + ra * normal[1]],
        on_b: [cb[0] - rb * normal[0], cb[1] - rb * normal[1]],
    }
}

/// Signed distance of a point to a rectangle, the outward normal there and the nearest outline point.
fn point_rect(p: [f64; 2], c: [f64; 2], u: [f64; 2], h: [f64; 2]) -> (f64, [f64; 2], [f64; 2]) {
    let v = [-u[1], u[0]];
    let d = [p[0] - c[0], p[1] - c[1]];
    let local = [d[0] * u[0] + d[1] * u[1], d[0] * v[0] + d[1] * v[1]];
    let q = [local[0].abs() - h[0], local[1].abs() - h[1]];
    let sign = [if local[0] < 0.0 { -1.0 } else { 1.0 }, if local[1] < 0.0 { -1.0 } else { 1.0 }];
    let (distance, n, on) = if q[0] > 0.0 && q[1] > 0.0 {
        let length = (q[0] * q[0] + q[1] * q[1]).sqrt();
        (length, [sign[0] * q[0] / length, sign[1] * q[1] / length], [sign[0] * h[0], sign[1] * h[1]])
    } else if q[0] > q[1] {
        (q[0], [sign[0], 0.0], [sign[0] * h[0], local[1]])
    } else {
        (q[1], [0.0, sign[1]], [local[0], sign[1] * h[1]])
    };
    let world = |l: [f64; 2]| [l[0] * u[0] + l[1] * v[0], l[0] * u[1] + l[1] * v[1]];
    let on = world(on);
    (distance, world(n), [c[0] + on[0], c[1] + on[1]])
}

fn corners(c: [f64; 2], u: [f64; 2], h: [f64; 2]) -> [[f64; 2]; 4] {
    let v = [-u[1], u[0]];
    [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
        .map(|(s, t)| [c[0] + s * h[0] * u[0] + t * h[1] * v[0], c[1] + s * h[0] * u[1] + t * h[1] * v[1]])
}

fn rect_rect(ca: [f64; 2], ua: [f64; 2], ha: [f64; 2], cb: [f64; 2], ub: [f64; 2], hb: [f64; 2]) -> Gap {
    let d = [cb[0] - ca[0], cb[1] - ca[1]];
    let va = [-ua[1], ua[0]];
    let vb = [-ub[1], ub[0]];
    let mut deepest = (f64::NEG_INFINITY, [1.0, 0.0]);
    for axis in [ua, va, ub, vb] {
        let along = d[0] * axis[0] + d[1] * axis[1];
        let reach_a = ha[0] * dot(axis, ua).abs() + ha[1] * dot(axis, va).abs();
        let reach_b = hb[0] * dot(axis, ub).abs() + hb[1] * dot(axis, vb).abs();
        let apart = along.abs() - reach_a - reach_b;
        if apart > deepest.0 {
            deepest = (apart, if along < 0.0 { [-axis[0], -axis[1]] } else { axis });
        }
    }
    if deepest.0 <= 0.0 {
        // They overlap: the axis of least penetration, contact midway in the overlap along it.
        let n = deepest.1;
        let on_a = support(ca, ua, ha, n);
        let on_b = support(cb, ub, hb, [-n[0], -n[1]]);
        let middle = [0.5 * (on_a[0] + on_b[0]), 0.5 * (on_a[1] + on_b[1])];
        return Gap { distance: deepest.0, normal: n, on_a: middle, on_b: middle };
    }
    // Apart: the least distance is attained at a corner of one of them.
    let mut best = Gap { distance: f64::INFINITY, normal: [1.0, 0.0], on_a: ca, on_b: cb };
    for p in corners(cb, ub, hb) {
        let (distance, n, on) = point_rect(p, ca, ua, ha);
        if distance < best.distance {
            best = Gap { distance, normal: n, on_a: on, on_b: p };
        }
    }
    for p in corners(ca, ua, ha) {
        let (distance, n, on) = point_rect(p, cb, ub, hb);
        if distance < best.distance {
            best = Gap { distance, normal: [-n[0], -n[1]], on_a: p, on_b: on };
        }
    }
    best
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn support(c: [f64; 2], u: [f64; 2], h: [f64; 2], n: [f64; 2]) -> [f64; 2] {
    let v = [-u[1], u[0]];
    let s = if dot(u, n) >= 0.0 { h[0] } else { -h[0] };
    let t = if dot(v, n) >= 0.0 { h[1] } else { -h[1] };
    [c[0] + s * u[0] + t * v[0], c[1] + s * u[1] + t * v[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_rectangles_corner_to_corner_are_the_diagonal_apart() {
        let a = PlacedFoot::Rect { c: [0.0, 0.0], u: [1.0, 0.0], h: [10.0, 10.0] };
        let b = PlacedFoot::Rect { c: [26.0, 26.0], u: [1.0, 0.0], h: [10.0, 10.0] };
        assert!((gap(&a, &b).distance - 6.0 * 2f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn two_discs_are_apart_by_centres_less_radii() {
        let a = PlacedFoot::Disc { c: [0.0, 0.0], r: 50.0 };
        let b = PlacedFoot::Disc { c: [106.0, 0.0], r: 50.0 };
        assert!((gap(&a, &b).distance - 6.0).abs() < 1e-12);
    }
}
