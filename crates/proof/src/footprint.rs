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
    fn a_line_a_spot_and_nothing_carry_only_what_stands_on_them() {
        assert_eq!(Outline::around(vec![[0.0, 0.0], [2.0, 0.0]]).outside_mm([1.0, 0.0]), 0.0);
        assert_eq!(Outline::around(vec![[0.0, 0.0], [2.0, 0.0]]).outside_mm([1.0, 3.0]), 3.0);
        assert_eq!(Outline::around(vec![[1.0, 1.0]]).outside_mm([1.0, 3.0]), 2.0);
        assert_eq!(Outline::around(Vec::new()).outside_mm([1.0, 3.0]), f64::INFINITY);
        let flat = Outline::around(vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]);
        assert_eq!(flat.outside_mm([1.0, 1.0]), 1.0);
    }
}
