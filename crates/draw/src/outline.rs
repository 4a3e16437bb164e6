//! What a placed solid looks like from one side: circles, rectangles, and hulls of tilted things.

use std::f64::consts::TAU;

use plan::{PlacedBundle, PlacedPart};
use shape::{PartKind, Placement, Solid};

/// From where the parcel is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// From above: x to the right, y away from the front.
    Above,
    /// From the front: x to the right, z up.
    Front,
}

impl Side {
    /// The outer axes that run right and up on the paper, and the one looked along.
    const fn axes(self) -> [usize; 3] {
        match self {
            Self::Above => [0, 1, 2],
            Self::Front => [0, 2, 1],
        }
    }

    /// The part of a point in space that is seen, mm.
    pub(crate) fn seen(self, point: [f64; 3]) -> [f64; 2] {
        let [right, up, _] = self.axes();
        [point[right], point[up]]
    }

    fn depth(self, direction: [f64; 3]) -> f64 {
        direction[self.axes()[2]]
    }
}

/// A direction's share along the line of sight above which a round thing is seen as a circle, and
/// below whose complement it is seen square on.
const SQUARE_ON: f64 = 1e-6;
/// Corners by which a circle is followed.
const CORNERS: u32 = 48;
/// Least difference between the end radii of a frustum that is drawn, mm.
const SEEN_TAPER_MM: f64 = 0.5;

/// An outline, mm, on the plane of the paper.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outline {
    /// A circle; a frustum shows its smaller end inside.
    Circle {
        /// Its middle.
        centre: [f64; 2],
        /// Its radius.
        radius: f64,
        /// Radius of the smaller end, when it tapers.
        inner: Option<f64>,
    },
    /// A convex polygon, counter-clockwise.
    Polygon {
        /// Its corners.
        corners: Vec<[f64; 2]>,
        /// Ends of the axis of a round thing seen square on.
        axis: Option<[[f64; 2]; 2]>,
    },
}

fn ring(radius: f64) -> impl Iterator<Item = [f64; 2]> {
    (0..CORNERS).map(move |step| {
        let angle = f64::from(step) * TAU / f64::from(CORNERS);
        [radius * angle.cos(), radius * angle.sin()]
    })
}

fn turned_left(o: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

/// The convex hull of some points, counter-clockwise (monotone chain, Andrew 1979).
pub(crate) fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while let [.., o, a] = chain[..] {
                if turned_left(o, a, point) > 1e-9 {
                    break;
                }
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut around = half(&mut points.iter().copied());
    around.extend(half(&mut points.iter().rev().copied()));
    around
}

impl Outline {
    /// The outline of a solid as placed, seen from a side.
    pub(crate) fn of(solid: Solid, placement: Placement, side: Side) -> Self {
        match solid {
            Solid::Cylinder { radius_mm, height_mm } => {
                Self::of_round(radius_mm, radius_mm, height_mm, placement, side)
            }
            Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
                Self::of_round(bottom_radius_mm, top_radius_mm, height_mm, placement, side)
            }
            Solid::Block { x_mm, y_mm, z_mm } => {
                let ends = [-0.5, 0.5];
                let corners = ends.into_iter().flat_map(|x| {
                    ends.into_iter().flat_map(move |y| ends.map(|z| [x * x_mm, y * y_mm, z * z_mm]))
                });
                let seen = corners.map(|corner| side.seen(placement.point(corner))).collect();
                Self::Polygon { corners: hull(seen), axis: None }
            }
        }
    }

    fn of_round(bottom: f64, top: f64, height: f64, placement: Placement, side: Side) -> Self {
        let axis = placement.direction([0.0, 0.0, 1.0]);
        let ends = [-0.5, 0.5].map(|end| side.seen(placement.point([0.0, 0.0, end * height])));
        let along_sight = side.depth(axis).abs();
        if along_sight > 1.0 - SQUARE_ON {
            let (radius, smaller) = (bottom.max(top), bottom.min(top));
            let inner = (radius - smaller > SEEN_TAPER_MM).then_some(smaller);
            return Self::Circle { centre: ends[0], radius, inner };
        }
        if along_sight < SQUARE_ON {
            let [x, y] = side.seen(axis);
            let rims = [(ends[0], bottom), (ends[1], top)];
            let corners = rims
                .into_iter()
                .flat_map(|([u, v], r)| [1.0, -1.0].map(|way| [u - way * y * r, v + way * x * r]));
            return Self::Polygon { corners: hull(corners.collect()), axis: Some(ends) };
        }
        let rims = [(-0.5 * height, bottom), (0.5 * height, top)];
        let points = rims
            .into_iter()
            .flat_map(|(z, radius)| ring(radius).map(move |[x, y]| side.seen(placement.point([x, y, z]))));
        Self::Polygon { corners: hull(points.collect()), axis: None }
    }

    /// Corners that follow the outline.
    pub(crate) fn corners(&self) -> Vec<[f64; 2]> {
        match self {
            Self::Circle { centre, radius, .. } => {
                ring(*radius).map(|[x, y]| [centre[0] + x, centre[1] + y]).collect()
            }
            Self::Polygon { corners, .. } => corners.clone(),
        }
    }

    /// The farthest point in a direction; the middle of an edge that is equally far all along.
    pub(crate) fn farthest(&self, [dx, dy]: [f64; 2]) -> [f64; 2] {
        let reach = |point: &[f64; 2]| point[0] * dx + point[1] * dy;
        let corners = self.corners();
        let most = corners.iter().map(reach).fold(f64::NEG_INFINITY, f64::max);
        let there: Vec<_> = corners.iter().filter(|corner| reach(corner) > most - 1e-6).collect();
        let count = there.len().max(1) as f64;
        let sum = there.iter().fold([0.0, 0.0], |[x, y], corner| [x + corner[0], y + corner[1]]);
        sum.map(|total| total / count)
    }

    /// The two nearest points of two outlines, and how far apart they are, mm.
    pub(crate) fn nearest(&self, other: &Self) -> ([f64; 2], [f64; 2], f64) {
        let (a, b) = (self.corners(), other.corners());
        let mut best = ([0.0; 2], [0.0; 2], f64::INFINITY);
        for (corner, edges, swapped) in [(&a, &b, false), (&b, &a, true)] {
            for &point in corner {
                for (from, to) in edges.iter().zip(edges.iter().cycle().skip(1)) {
                    let foot = foot_on(point, *from, *to);
                    let apart = (foot[0] - point[0]).hypot(foot[1] - point[1]);
                    if apart < best.2 {
                        best = if swapped { (foot, point, apart) } else { (point, foot, apart) };
                    }
                }
            }
        }
        best
    }
}

/// The point of a segment that is nearest to a point.
fn foot_on(point: [f64; 2], from: [f64; 2], to: [f64; 2]) -> [f64; 2] {
    let way = [to[0] - from[0], to[1] - from[1]];
    let length2 = way[0] * way[0] + way[1] * way[1];
    if length2 <= 0.0 {
        return from;
    }
    let share = ((point[0] - from[0]) * way[0] + (point[1] - from[1]) * way[1]) / length2;
    let share = share.clamp(0.0, 1.0);
    [from[0] + share * way[0], from[1] + share * way[1]]
}

/// The parts that make a bundle's main mass; all parts when none is called a body.
pub(crate) fn main_parts(bundle: &PlacedBundle) -> Vec<&PlacedPart> {
    let bodies: Vec<_> = bundle.parts.iter().filter(|part| part.kind == PartKind::Body).collect();
    if bodies.is_empty() { bundle.parts.iter().collect() } else { bodies }
}

/// The hull of a bundle's main mass, bare, mm.
pub(crate) fn body_hull(bundle: &PlacedBundle, side: Side) -> Vec<[f64; 2]> {
    let parts = main_parts(bundle);
    hull(parts.iter().flat_map(|part| Outline::of(part.bare, part.placement, side).corners()).collect())
}

/// The middle of a bundle's main mass, mm: the middle of the box around it.
pub(crate) fn body_centre(bundle: &PlacedBundle, side: Side) -> [f64; 2] {
    middle_of(&main_parts(bundle), bundle, side)
}

/// The middle of all that does not stick out of a bundle, mm: what a packer measures to.
///
/// For a goblet lying down that is the middle of bowl, stem and foot together.
pub(crate) fn measured_centre(bundle: &PlacedBundle, side: Side) -> [f64; 2] {
    let sticks_out = |kind| matches!(kind, PartKind::Handle | PartKind::Spout | PartKind::Knob);
    let rest: Vec<_> = bundle.parts.iter().filter(|part| !sticks_out(part.kind)).collect();
    if rest.is_empty() { body_centre(bundle, side) } else { middle_of(&rest, bundle, side) }
}

fn middle_of(parts: &[&PlacedPart], bundle: &PlacedBundle, side: Side) -> [f64; 2] {
    let [right, up, _] = side.axes();
    let middle = |axis: usize| {
        let spans = parts.iter().map(|part| part.placement.extent_mm(part.bare, axis));
        spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).map(|(low, high)| 0.5 * (low + high))
    };
    let origin = bundle.placement.at_mm;
    [middle(right).unwrap_or(origin[right]), middle(up).unwrap_or(origin[up])]
}

/// Where a level line crosses a convex outline: from left to right, `None` when it misses.
pub(crate) fn chord(corners: &[[f64; 2]], level: f64) -> Option<(f64, f64)> {
    let mut span: Option<(f64, f64)> = None;
    for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let (low, high) = (from[1].min(to[1]), from[1].max(to[1]));
        if level < low || level > high {
            continue;
        }
        let share = if high > low { (level - from[1]) / (to[1] - from[1]) } else { 0.0 };
        let x = from[0] + share * (to[0] - from[0]);
        span = Some(span.map_or((x, x), |(left, right)| (left.min(x), right.max(x))));
    }
    span
}

#[cfg(test)]
mod tests {
    use super::{Outline, Side, chord, hull};
    use shape::{Placement, Solid, WayUp};

    const CUP: Solid = Solid::Cylinder { radius_mm: 50.0, height_mm: 80.0 };

    #[test]
    fn a_standing_cylinder_is_a_circle_from_above_and_a_rectangle_from_the_front() {
        let place = Placement::at(100.0, 70.0, 40.0);
        assert_eq!(
            Outline::of(CUP, place, Side::Above),
            Outline::Circle { centre: [100.0, 70.0], radius: 50.0, inner: None }
        );
        let Outline::Polygon { corners, axis } = Outline::of(CUP, place, Side::Front) else {
            panic!("a rectangle")
        };
        assert_eq!(corners.len(), 4);
        assert!(axis.is_some());
        assert_eq!(chord(&corners, 40.0), Some((50.0, 150.0)));
    }

    #[test]
    fn a_cylinder_on_edge_is_a_rectangle_from_above() {
        let place = Placement::at(100.0, 70.0, 50.0).after(WayUp::OnEdge.tilt());
        let Outline::Polygon { corners, axis } = Outline::of(CUP, place, Side::Above) else {
            panic!("a rectangle")
        };
        let (left, right) = chord(&corners, 70.0).expect("it is there");
        assert!((left - 50.0).abs() < 1e-6 && (right - 150.0).abs() < 1e-6);
        assert_eq!(corners.len(), 4);
        assert!(axis.is_some());
        assert!(matches!(Outline::of(CUP, place, Side::Front), Outline::Circle { .. }));
    }

    #[test]
    fn a_tapering_cup_shows_both_ends() {
        let cup = Solid::Frustum { bottom_radius_mm: 30.0, top_radius_mm: 45.0, height_mm: 80.0 };
        let Outline::Circle { radius, inner, .. } = Outline::of(cup, Placement::IDENTITY, Side::Above) else {
            panic!("circles")
        };
        assert_eq!((radius, inner), (45.0, Some(30.0)));
    }

    #[test]
    fn nearest_points_of_two_cups_lie_between_them() {
        let a = Outline::of(CUP, Placement::at(60.0, 60.0, 0.0), Side::Above);
        let b = Outline::of(CUP, Placement::at(170.0, 60.0, 0.0), Side::Above);
        let (p, q, apart) = a.nearest(&b);
        assert!((apart - 10.0).abs() < 0.2);
        assert!((p[0] - 110.0).abs() < 0.2 && (q[0] - 120.0).abs() < 0.2);
        assert_eq!(a.farthest([1.0, 0.0]), [110.0, 60.0]);
    }

    #[test]
    fn the_hull_drops_inner_points() {
        let square = vec![[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0], [2.0, 2.0], [2.0, 0.0]];
        assert_eq!(hull(square), [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]);
    }
}
