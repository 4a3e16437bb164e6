//! Where a line along an axis of the carton enters and leaves a hard part.

use shape::{Placement, Solid};

/// Below this a slope counts as none.
const LEVEL: f64 = 1e-12;

/// The stretch `[from, to]` of the line through `through_mm` along `axis` (0, 1 or 2) that lies inside the
/// placed solid, as coordinates on that axis, mm; `None` where the line passes it by.
pub(crate) fn chord(
    solid: Solid,
    placement: Placement,
    through_mm: [f64; 3],
    axis: usize,
) -> Option<[f64; 2]> {
    let [w, x, y, z] = placement.turn;
    let back = Placement { at_mm: [0.0; 3], turn: [w, -x, -y, -z] };
    let mut along = [0.0; 3];
    along[axis] = 1.0;
    let mut from = through_mm;
    from[axis] = 0.0;
    let offset = [0, 1, 2].map(|k| from[k] - placement.at_mm[k]);
    let (origin, direction) = (back.direction(offset), back.direction(along));
    let stretch = match solid {
        Solid::Block { x_mm, y_mm, z_mm } => {
            let sides = [x_mm, y_mm, z_mm];
            (0..3).try_fold([f64::NEG_INFINITY, f64::INFINITY], |stretch, k| {
                meet(stretch, slab(origin[k], direction[k], 0.5 * sides[k])?)
            })
        }
        Solid::Cylinder { radius_mm, height_mm } => {
            round(origin, direction, [radius_mm, radius_mm], height_mm)
        }
        Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
            round(origin, direction, [bottom_radius_mm, top_radius_mm], height_mm)
        }
    }?;
    (stretch[0].is_finite() && stretch[1].is_finite()).then_some(stretch)
}

fn meet(a: [f64; 2], b: [f64; 2]) -> Option<[f64; 2]> {
    let both = [a[0].max(b[0]), a[1].min(b[1])];
    (both[0] <= both[1]).then_some(both)
}

/// Where `origin + t direction` keeps within `half` of nothing.
fn slab(origin: f64, direction: f64, half: f64) -> Option<[f64; 2]> {
    if direction.abs() < LEVEL {
        return (origin.abs() <= half).then_some([f64::NEG_INFINITY, f64::INFINITY]);
    }
    let (a, b) = ((-half - origin) / direction, (half - origin) / direction);
    Some([a.min(b), a.max(b)])
}

/// The line within a round solid whose radius goes from `radii[0]` at the bottom to `radii[1]` at the top.
///
/// Inside is x2 + y2 <= (m + k z)2 with |z| <= h/2, where m is the middle radius and k its slope: a quadratic
/// in t. A convex solid holds one stretch of a line, so of two branches only one reaches between its ends.
fn round(origin: [f64; 3], direction: [f64; 3], radii: [f64; 2], height: f64) -> Option<[f64; 2]> {
    let ends = slab(origin[2], direction[2], 0.5 * height)?;
    let slope = (radii[1] - radii[0]) / height.max(LEVEL);
    let middle = 0.5 * (radii[0] + radii[1]) + slope * origin[2];
    let a = direction[0].powi(2) + direction[1].powi(2) - (slope * direction[2]).powi(2);
    let b = origin[0] * direction[0] + origin[1] * direction[1] - middle * slope * direction[2];
    let c = origin[0].powi(2) + origin[1].powi(2) - middle.powi(2);
    if a.abs() < LEVEL {
        if b.abs() < LEVEL {
            return (c <= 0.0).then_some(ends);
        }
        let t = -0.5 * c / b;
        return meet(ends, if b > 0.0 { [f64::NEG_INFINITY, t] } else { [t, f64::INFINITY] });
    }
    let root = (b * b - a * c).sqrt();
    if root.is_nan() {
        // No crossing: all inside where the line runs steeper than the cone, else all outside.
        return (a < 0.0).then_some(ends);
    }
    let (near, far) = ((-b - root) / a, (-b + root) / a);
    if a > 0.0 {
        return meet(ends, [near, far]);
    }
    meet(ends, [f64::NEG_INFINITY, far.min(near)]).or_else(|| meet(ends, [near.max(far), f64::INFINITY]))
}

#[cfg(test)]
mod tests {
    use super::chord;
    use shape::{Placement, Solid};

    fn near(found: Option<[f64; 2]>, wanted: [f64; 2]) {
        let found = found.expect("the line meets the solid");
        assert!((found[0] - wanted[0]).abs() < 1e-9 && (found[1] - wanted[1]).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn a_line_through_a_cylinder_is_as_long_as_its_chord() {
        let cylinder = Solid::Cylinder { radius_mm: 50.0, height_mm: 80.0 };
        let standing = Placement::at(100.0, 60.0, 40.0);
        near(chord(cylinder, standing, [0.0, 60.0, 40.0], 0), [50.0, 150.0]);
        near(chord(cylinder, standing, [0.0, 90.0, 40.0], 0), [60.0, 140.0]);
        near(chord(cylinder, standing, [100.0, 60.0, 0.0], 2), [0.0, 80.0]);
        assert_eq!(chord(cylinder, standing, [0.0, 60.0, 81.0], 0), None);
        assert_eq!(chord(cylinder, standing, [151.0, 60.0, 0.0], 2), None);
    }

    #[test]
    fn a_lying_block_and_a_cone_are_met_where_they_are() {
        let block = Solid::Block { x_mm: 10.0, y_mm: 20.0, z_mm: 60.0 };
        let lying = Placement {
            at_mm: [50.0, 50.0, 5.0],
            ..Placement::turned([0.0, 1.0, 0.0], std::f64::consts::FRAC_PI_2)
        };
        near(chord(block, lying, [0.0, 50.0, 5.0], 0), [20.0, 80.0]);
        near(chord(block, lying, [50.0, 50.0, 0.0], 2), [0.0, 10.0]);
        let cone = Solid::Frustum { bottom_radius_mm: 20.0, top_radius_mm: 40.0, height_mm: 100.0 };
        let standing = Placement::at(0.0, 0.0, 50.0);
        near(chord(cone, standing, [0.0, 0.0, 50.0], 0), [-30.0, 30.0]);
        near(chord(cone, standing, [0.0, 0.0, 100.0], 1), [-40.0, 40.0]);
        // 30 mm off the axis the wall is met half way up.
        near(chord(cone, standing, [30.0, 0.0, 0.0], 2), [50.0, 100.0]);
    }
}
