//! Distances with a certificate.
//!
//! The collision library finds the nearest points of two convex bodies by iteration. Those points
//! lie in the bodies, so their distance can only be too large. The plane across the line between
//! them gives a second figure that can only be too small: how far apart the bodies' supports lie
//! along it. A rule is judged by the second, so a stalled iteration can refuse a good plan but never
//! pass a bad one.

use parry3d_f64::glamx::{DPose3, DVec3};
use parry3d_f64::query::gjk::{self, CsoPoint, GJKResult, VoronoiSimplex};
use parry3d_f64::shape::SupportMap;

/// Width at which the two figures are close enough to stop, mm.
const CLOSE_MM: f64 = 1e-5;

/// The distance of two bodies, enclosed, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gap {
    /// No less than this, by a separating plane; 0 when none was found.
    pub(crate) least: f64,
    /// No more than this, by two points.
    pub(crate) most: f64,
}

/// Encloses the distance of two convex bodies given in one frame.
pub(crate) fn gap<A: SupportMap, B: SupportMap>(a: &A, b: &B) -> Gap {
    let mut found = Gap { least: 0.0, most: f64::INFINITY };
    let mut touching = false;
    // Further starts matter only where the first stalls.
    let starts = [
        DVec3::new(1.0, 0.0, 0.0),
        DVec3::new(-0.6, 0.48, 0.64),
        DVec3::new(0.36, -0.8, 0.48),
        DVec3::new(0.48, 0.6, -0.64),
        DVec3::new(0.0, 0.0, 1.0),
        DVec3::new(0.0, 1.0, 0.0),
    ];
    for start in starts {
        let mut simplex = VoronoiSimplex::new();
        simplex.reset(CsoPoint::from_shapes(&DPose3::IDENTITY, a, b, start));
        let result = gjk::closest_points(&DPose3::IDENTITY, a, b, f64::MAX, true, &mut simplex);
        match result {
            GJKResult::ClosestPoints(on_a, on_b, along) => {
                found.most = found.most.min(on_a.distance(on_b));
                for direction in [on_b - on_a, along] {
                    found.least = found.least.max(apart(a, b, direction));
                }
            }
            GJKResult::Intersection => touching = true,
            GJKResult::Proximity(along) | GJKResult::NoIntersection(along) => {
                found.least = found.least.max(apart(a, b, along));
            }
        }
        if found.most - found.least <= CLOSE_MM {
            return found;
        }
    }
    if touching && found.least <= 0.0 {
        found.most = 0.0;
    }
    found.most = found.most.max(found.least);
    found
}

/// How far b's nearest support lies beyond a's farthest along a direction, mm; 0 for no direction.
fn apart<A: SupportMap, B: SupportMap>(a: &A, b: &B, direction: DVec3) -> f64 {
    direction
        .try_normalize()
        .map_or(0.0, |unit| unit.dot(b.local_support_point(-unit)) - unit.dot(a.local_support_point(unit)))
}

#[cfg(test)]
mod tests {
    use parry3d_f64::math::Rotation;
    use parry3d_f64::query;
    use parry3d_f64::shape::{Cone, Cuboid, Cylinder, Shape};
    use proptest::prelude::*;
    use shape::{Placement, Solid, WayUp};

    use super::*;
    use crate::body::Body;

    fn cylinder(radius_mm: f64, height_mm: f64) -> Solid {
        Solid::Cylinder { radius_mm, height_mm }
    }

    fn block(x_mm: f64, y_mm: f64, z_mm: f64) -> Solid {
        Solid::Block { x_mm, y_mm, z_mm }
    }

    fn assert_gap(a: Body, b: Body, expected_mm: f64) {
        for found in [gap(&a, &b), gap(&b, &a)] {
            assert!(
                (found.least - expected_mm).abs() < 1e-4 && (found.most - expected_mm).abs() < 1e-4,
                "{found:?}, expected {expected_mm}"
            );
        }
    }

    #[test]
    fn upright_cylinders_are_apart_by_their_axes_less_their_radii() {
        let a = Body::new(cylinder(40.0, 100.0), Placement::at(100.0, 100.0, 70.0));
        let b = Body::new(cylinder(25.0, 60.0), Placement::at(200.0, 150.0, 50.0));
        assert_gap(a, b, 100f64.hypot(50.0) - 65.0);
        let above = Body::new(cylinder(25.0, 60.0), Placement::at(103.0, 101.0, 155.0));
        assert_gap(a, above, 5.0);
        let aslant = Body::new(cylinder(25.0, 60.0), Placement::at(180.0, 100.0, 162.0));
        assert_gap(a, aslant, 15f64.hypot(12.0));
    }

    #[test]
    fn a_cylinder_is_apart_from_a_corner_by_the_line_to_its_axis() {
        let jar = Body::new(cylinder(40.0, 100.0), Placement::at(0.0, 0.0, 50.0));
        let brick = Body::new(block(60.0, 40.0, 80.0), Placement::at(80.0, 70.0, 40.0));
        assert_gap(jar, brick, 50f64.hypot(50.0) - 40.0);
        let cos = std::f64::consts::FRAC_1_SQRT_2;
        let turned = Placement::yawed(std::f64::consts::FRAC_PI_4, [90.0, 0.0, 40.0]);
        assert_gap(jar, Body::new(block(60.0, 60.0, 80.0), turned), 90.0 - 60.0 * cos - 40.0);
    }

    #[test]
    fn a_lying_cylinder_passes_an_upright_one_at_the_sum_of_radii() {
        let upright = Body::new(cylinder(30.0, 200.0), Placement::at(0.0, 0.0, 100.0));
        let lying = Placement { at_mm: [75.0, 10.0, 90.0], ..WayUp::OnEdge.tilt() };
        assert_gap(upright, Body::new(cylinder(35.0, 120.0), lying), 10.0);
        let across = Placement { at_mm: [110.0, 0.0, 90.0], ..WayUp::OnEnd.tilt() };
        assert_gap(upright, Body::new(cylinder(35.0, 120.0), across), 20.0);
    }

    #[test]
    fn corners_set_off_along_the_diagonal_are_root_two_gaps_apart() {
        let a = Body::new(block(80.0, 80.0, 50.0), Placement::at(0.0, 0.0, 25.0));
        let b = Body::new(block(80.0, 80.0, 50.0), Placement::at(86.0, 86.0, 25.0));
        assert_gap(a, b, 2f64.sqrt() * 6.0);
        let c = Body::new(block(80.0, 80.0, 50.0), Placement::at(86.0, 86.0, 81.0));
        assert_gap(a, c, 3f64.sqrt() * 6.0);
    }

    #[test]
    fn a_frustum_is_apart_from_a_wall_of_its_own_slope_by_the_slant() {
        // Slope 3:4, so the nearest points lie along the whole slant height.
        let cone = Solid::Frustum { bottom_radius_mm: 50.0, top_radius_mm: 20.0, height_mm: 40.0 };
        let a = Body::new(cone, Placement::at(0.0, 0.0, 20.0));
        let far = Body::new(block(10.0, 10.0, 10.0), Placement::at(55.0, 0.0, 45.0));
        // The corner at (50, 40) and the slant 4x + 3z = 200 are (200 + 120 - 200) / 5 = 24 apart.
        assert_gap(a, far, 24.0);
        let over = Body::new(cone, Placement { at_mm: [0.0, 0.0, 67.0], ..WayUp::Inverted.tilt() });
        assert_gap(a, over, 7.0);
    }

    #[test]
    fn bodies_that_share_space_are_no_distance_apart() {
        let a = Body::new(cylinder(40.0, 100.0), Placement::at(0.0, 0.0, 50.0));
        for x in [0.0, 1.0, 50.0, 79.0, 79.99] {
            let b = Body::new(cylinder(40.0, 100.0), Placement::at(x, 0.0, 50.0));
            let found = gap(&a, &b);
            assert!(found.least <= 0.0 && found.most < 1e-6, "{x}: {found:?}");
        }
    }

    /// The same solid as the library's own shape, with the turn from its y axis to ours.
    fn own_shape(solid: Solid, placement: Placement) -> (DPose3, Box<dyn Shape>) {
        let [w, x, y, z] = placement.turn;
        let turn = Rotation::from_xyzw(x, y, z, w);
        let stood = Rotation::from_rotation_x(std::f64::consts::FRAC_PI_2);
        let at = DVec3::from_array(placement.at_mm);
        match solid {
            Solid::Cylinder { radius_mm, height_mm } => {
                (DPose3::from_parts(at, turn * stood), Box::new(Cylinder::new(0.5 * height_mm, radius_mm)))
            }
            Solid::Frustum { bottom_radius_mm, height_mm, .. } => {
                (DPose3::from_parts(at, turn * stood), Box::new(Cone::new(0.5 * height_mm, bottom_radius_mm)))
            }
            Solid::Block { x_mm, y_mm, z_mm } => {
                (DPose3::from_parts(at, turn), Box::new(Cuboid::new(0.5 * DVec3::new(x_mm, y_mm, z_mm))))
            }
        }
    }

    fn solid() -> impl Strategy<Value = Solid> {
        let side = || 5.0..150.0_f64;
        prop_oneof![
            (side(), side()).prop_map(|(radius, height)| cylinder(radius, height)),
            (side(), side()).prop_map(|(bottom_radius_mm, height_mm)| Solid::Frustum {
                bottom_radius_mm,
                top_radius_mm: 0.0,
                height_mm
            }),
            (side(), side(), side()).prop_map(|(x, y, z)| block(x, y, z)),
        ]
    }

    fn placement() -> impl Strategy<Value = Placement> {
        let tilt =
            prop_oneof![Just(WayUp::Upright), Just(WayUp::Inverted), Just(WayUp::OnEdge), Just(WayUp::OnEnd)];
        (tilt, 0.0..6.3_f64, prop::array::uniform3(0.0..300.0_f64), -0.5..0.5_f64).prop_map(
            |(way_up, yaw, at, lean)| {
                let leaning = Placement::turned([0.6, 0.8, 0.0], lean).after(way_up.tilt());
                Placement::yawed(yaw, at).after(leaning)
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(3000) })]

        #[test]
        fn the_two_figures_enclose_the_distance_to_a_hundredth_of_the_tolerance(
            (a, at) in (solid(), placement()), (b, to) in (solid(), placement())
        ) {
            let found = gap(&Body::new(a, at), &Body::new(b, to));
            prop_assert!(found.most - found.least < 1e-4, "{found:?}");
        }

        #[test]
        fn the_librarys_own_shapes_agree(
            (a, at) in (solid(), placement()), (b, to) in (solid(), placement())
        ) {
            let found = gap(&Body::new(a, at), &Body::new(b, to));
            let ((from, one), (there, other)) = (own_shape(a, at), own_shape(b, to));
            let theirs = query::distance(&from, &*one, &there, &*other).unwrap().distance;
            prop_assert!(theirs > found.least - 1e-3 && theirs < found.most + 1e-3, "{theirs} {found:?}");
        }

        #[test]
        fn no_direction_separates_what_is_called_touching(
            (a, at) in (solid(), placement()), (b, to) in (solid(), placement()),
            ways in prop::collection::vec(prop::array::uniform3(-1.0..1.0_f64), 60)
        ) {
            let (a, b) = (Body::new(a, at), Body::new(b, to));
            let found = gap(&a, &b);
            for way in ways {
                prop_assert!(apart(&a, &b, DVec3::from_array(way)) <= found.most + 1e-6);
            }
        }
    }
}
