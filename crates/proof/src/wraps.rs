//! What a packer reads of a bundle is what was checked: wrapped solids, way up, yaw.

use parry3d_f64::glamx::{DQuat, DVec3};
use plan::TOLERANCE_MM;
use shape::{Solid, WayUp};

use crate::scene::Standing;
use crate::violation::Violation;

/// How far the stated way up and yaw may be from the placement, degrees (judgement: finer than a hand turns).
const TURN_SLACK_DEG: f64 = 0.1;

/// The stated wrapped solid of every part is its bare solid with the wrap on every face.
pub(crate) fn grown(scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for bundle in scene {
        for part in &bundle.parts {
            if !is_grown(part.stated.bare, part.stated.grown, part.stated.wrap_mm) {
                broken.push(Violation::GrownSolid {
                    bundle: bundle.named(),
                    part: part.stated.kind.word(),
                    wrap_mm: part.stated.wrap_mm,
                });
            }
        }
    }
}

fn is_grown(bare: Solid, grown: Solid, wrap_mm: f64) -> bool {
    let by = |from: f64, to: f64, times: f64| (to - from - times * wrap_mm).abs() <= TOLERANCE_MM;
    match (bare, grown) {
        (
            Solid::Cylinder { radius_mm: r, height_mm: h },
            Solid::Cylinder { radius_mm: grown_r, height_mm: grown_h },
        ) => by(r, grown_r, 1.0) && by(h, grown_h, 2.0),
        (
            Solid::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm: h },
            Solid::Frustum { bottom_radius_mm: grown_a, top_radius_mm: grown_b, height_mm: grown_h },
        ) => by(a, grown_a, 1.0) && by(b, grown_b, 1.0) && by(h, grown_h, 2.0),
        (
            Solid::Block { x_mm: x, y_mm: y, z_mm: z },
            Solid::Block { x_mm: grown_x, y_mm: grown_y, z_mm: grown_z },
        ) => by(x, grown_x, 2.0) && by(y, grown_y, 2.0) && by(z, grown_z, 2.0),
        (Solid::Cylinder { .. } | Solid::Frustum { .. } | Solid::Block { .. }, _) => false,
    }
}

/// The placement turns a bundle by its way up first, then by its yaw.
pub(crate) fn turns(scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for bundle in scene {
        let stated = bundle.stated;
        let [w, x, y, z] = stated.placement.turn;
        let placed = DQuat::from_xyzw(x, y, z, w).normalize();
        let read = DQuat::from_rotation_z(stated.yaw_deg.to_radians()) * tilt(stated.way_up);
        // The angle that leads from one frame to the other; axes are compared because the arc cosine
        // of a quaternion product loses half the digits near zero.
        let off_deg = [DVec3::X, DVec3::Y, DVec3::Z]
            .into_iter()
            .map(|axis| {
                let (one, other) = (placed * axis, read * axis);
                one.cross(other).length().atan2(one.dot(other)).to_degrees()
            })
            .fold(0.0, f64::max);
        if off_deg > TURN_SLACK_DEG {
            broken.push(Violation::Turn {
                bundle: bundle.named(),
                way_up: stated.way_up.words(),
                yaw_deg: stated.yaw_deg,
                off_deg,
            });
        }
    }
}

/// Where a way up takes the upright frame, written from its meaning: rim down turns half about x,
/// on edge lays the upright axis along y, on end stands the x axis up.
fn tilt(way_up: WayUp) -> DQuat {
    use std::f64::consts::{FRAC_PI_2, PI};
    match way_up {
        WayUp::Upright => DQuat::IDENTITY,
        WayUp::Inverted => DQuat::from_rotation_x(PI),
        WayUp::OnEdge => DQuat::from_rotation_x(FRAC_PI_2),
        WayUp::OnEnd => DQuat::from_rotation_y(-FRAC_PI_2),
    }
}
