//! The convex outline of points seen from above, and how far a point lies outside it.

/// A convex polygon, counter-clockwise; one or two points make a spot or a line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outline {
    corners: Vec<[f64; 2]>,
}

impl Outline {
    /// The hull of points (monotone chain).
    pub(crate) fn around(mut points: Vec<[f64; 2]>) -> Self {
        points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        points.dedup();
        if points.len() < 3 {
            return Self { corners: points };
        }
        let mut corners = chain(points.iter().copied());
        let upper = chain(points.iter().rev().copied());
        // Each chain ends where the other begins.
        corners.pop();
        corners.extend(upper);
        corners.pop();
        Self { corners }
    }

    /// The same outline with every side moved outwards by `by_mm`; spots and lines stay what they are.
    pub(crate) fn grown(&self, by_mm: f64) -> Self {
        let n = self.corners.len();
        if n < 3 {
            return self.clone();
        }
        let at = |k: usize| self.corners[k % n];
        let outward = |a: [f64; 2], b: [f64; 2]| {
            let length = (b[0] - a[0]).hypot(b[1] - a[1]).max(f64::MIN_POSITIVE);
            [(b[1] - a[1]) / length, (a[0] - b[0]) / length]
        };
        let corner = |k: usize| {
            let (before, here, after) = (at(k + n - 1), at(k), at(k + 1));
            let (u, v) = (outward(before, here), outward(here, after));
            // Both sides move by the same distance, so the corner moves along the sum of their normals.
            let scale = by_mm / (1.0 + u[0] * v[0] + u[1] * v[1]).max(0.1);
            [here[0] + scale * (u[0] + v[0]), here[1] + scale * (u[1] + v[1])]
        };
        Self { corners: (0..n).map(corner).collect() }
    }

    /// Area, mm2; 0 for a spot or a line.
    pub(crate) fn area_mm2(&self) -> f64 {
        let next = self.corners.iter().cycle().skip(1);
        0.5 * self.corners.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>().abs()
    }

    /// What is left of this outline when `cover` is taken away: convex pieces that do not overlap.
    pub(crate) fn without(&self, cover: &Self) -> Vec<Self> {
        if cover.corners.len() < 3 {
            return vec![self.clone()];
        }
        let mut left = Vec::new();
        let mut inside = self.corners.clone();
        let next = cover.corners.iter().cycle().skip(1);
        for (a, b) in cover.corners.iter().zip(next) {
            let (within, beyond) = (cut(&inside, *a, *b), cut(&inside, *b, *a));
            if beyond.len() >= 3 {
                left.push(Self { corners: beyond });
            }
            inside = within;
        }
        left
    }

    /// Distance of a point outside, mm: 0 inside, infinite when there is no outline.
    pub(crate) fn outside_mm(&self, point: [f64; 2]) -> f64 {
        let next = self.corners.iter().cycle().skip(1);
        let edges = || self.corners.iter().copied().zip(next.clone().copied());
        if self.corners.len() >= 3 && edges().all(|(a, b)| turn(a, b, point) >= 0.0) {
            return 0.0;
        }
        edges().map(|(a, b)| to_segment(point, a, b)).fold(f64::INFINITY, f64::min)
    }
}

/// The part of a convex polygon on the left of the line from `a` to `b`.
fn cut(corners: &[[f64; 2]], a: [f64; 2], b: [f64; 2]) -> Vec<[f64; 2]> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    let next = corners.iter().cycle().skip(1);
    for (p, q) in corners.iter().zip(next) {
        let (here, there) = (turn(a, b, *p), turn(a, b, *q));
        if here >= 0.0 {
            kept.push(*p);
        }
        if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
            let share = here / (here - there);
            kept.push([p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])]);
        }
    }
    kept
}

/// Twice the area of a triangle, positive when it turns left.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn chain(points: impl Iterator<Item = [f64; 2]>) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::new();
    for point in points {
        while let [.., a, b] = kept.as_slice()
            && turn(*a, *b, point) <= 0.0
        {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

fn to_segment(point: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (along, from) = ([b[0] - a[0], b[1] - a[1]], [point[0] - a[0], point[1] - a[1]]);
    let length2 = along[0] * along[0] + along[1] * along[1];
    let share = if length2 > 0.0 {
        ((from[0] * along[0] + from[1] * along[1]) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (from[0] - share * along[0]).hypot(from[1] - share * along[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_inside_a_square_is_not_outside_and_one_off_its_corner_is_the_diagonal_away() {
        let square = Outline::around(vec![[0.0, 0.0], [2.0, 0.0], [1.0, 1.0], [2.0, 2.0], [0.0, 2.0]]);
        assert_eq!(square.corners.len(), 4);
        assert_eq!(square.outside_mm([1.0, 0.5]), 0.0);
        assert!((square.outside_mm([3.0, 3.0]) - 2f64.sqrt()).abs() < 1e-12);
        assert!((square.outside_mm([1.0, -4.0]) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_left_of_a_square_is_what_its_covers_leave_open() {
        let rectangle = |x: [f64; 2], y: [f64; 2]| {
            Outline::around(vec![[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]])
        };
        let base = rectangle([0.0, 10.0], [0.0, 10.0]);
        let open = |covers: &[Outline]| {
            let mut left = vec![base.clone()];
            for cover in covers {
                left = left.iter().flat_map(|piece| piece.without(cover)).collect();
            }
            left.iter().map(Outline::area_mm2).sum::<f64>()
        };
        assert_eq!(open(&[]), 100.0);
        assert!(open(&[rectangle([-1.0, 6.0], [-1.0, 11.0])]) - 40.0 < 1e-9);
        assert!((open(&[rectangle([0.0, 6.0], [0.0, 10.0])]) - 40.0).abs() < 1e-9);
        assert!(open(&[rectangle([0.0, 6.0], [0.0, 10.0]), rectangle([5.0, 10.0], [0.0, 10.0])]) < 1e-9);
        assert!((open(&[rectangle([4.0, 6.0], [4.0, 6.0])]) - 96.0).abs() < 1e-9);
        assert!((open(&[rectangle([20.0, 26.0], [0.0, 10.0])]) - 100.0).abs() < 1e-9);
        // A square turned by an eighth with a half diagonal of 5 leaves half.
        let turned = Outline::around(vec![[5.0, 0.0], [10.0, 5.0], [5.0, 10.0], [0.0, 5.0]]);
        assert!((open(&[turned]) - 50.0).abs() < 1e-9);
        assert!((base.grown(1.5).area_mm2() - 169.0).abs() < 1e-9);
    }

    #[test]
    fn a_line_a_spot_and_nothing_carry_only_what_stands_on_them() {
        assert_eq!(Outline::around(vec![[0.0, 0.0], [2.0, 0.0]]).outside_mm([1.0, 0.0]), 0.0);
        assert_eq!(Outline::around(vec![[0.0, 0.0], [2.0, 0.0]]).outside_mm([1.0, 3.0]), 3.0);
        assert_eq!(Outline::around(vec![[1.0, 1.0]]).outside_mm([1.0, 3.0]), 2.0);
        assert_eq!(Outline::around(Vec::new()).outside_mm([1.0, 3.0]), f64::INFINITY);
        let flat = Outline::around(vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]);
        assert_eq!(flat.outside_mm([1.0, 1.0]), 1.0);
    }
}
