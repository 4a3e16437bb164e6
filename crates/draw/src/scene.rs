//! A parcel as convex bodies in space, for a view that can be turned.

use std::f64::consts::TAU;

use plan::Parcel;
use shape::{PartKind, Placement, Solid};

/// Corners by which a round rim is followed.
const RIM: u32 = 20;

/// One convex body of a parcel.
#[derive(Debug, Clone, PartialEq)]
pub struct SceneBody {
    /// Number of the bundle it belongs to.
    pub bundle: u32,
    /// The layer it lies in, from 1 at the bottom.
    pub layer: u32,
    /// What it is.
    pub kind: PartKind,
    /// Points whose hull it is, mm, in the carton's own axes; never empty.
    pub corners_mm: Vec<[f64; 3]>,
}

/// The bare hard parts of a parcel where they lie, bundle by bundle.
///
/// Round rims are followed by 20 corners, so a body lies within the true one and short of it by 1.3 % of its radius
/// at most; nothing is to be measured on it.
#[must_use]
pub fn scene(parcel: &Parcel) -> Vec<SceneBody> {
    let bodies = parcel.bundles.iter().flat_map(|bundle| {
        bundle.parts.iter().map(|part| SceneBody {
            bundle: bundle.number,
            layer: bundle.layer,
            kind: part.kind,
            corners_mm: corners(part.bare, part.placement),
        })
    });
    bodies.filter(|body| body.corners_mm.iter().flatten().all(|figure| figure.is_finite())).collect()
}

fn corners(solid: Solid, placement: Placement) -> Vec<[f64; 3]> {
    let rims = |bottom: f64, top: f64, height: f64| {
        let ring = |radius: f64, z: f64| {
            (0..RIM).map(move |k| {
                let (sin, cos) = (TAU * f64::from(k) / f64::from(RIM)).sin_cos();
                [radius * cos, radius * sin, z]
            })
        };
        ring(bottom, -0.5 * height).chain(ring(top, 0.5 * height)).collect::<Vec<_>>()
    };
    let own = match solid {
        Solid::Cylinder { radius_mm, height_mm } => rims(radius_mm, radius_mm, height_mm),
        Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
            rims(bottom_radius_mm, top_radius_mm, height_mm)
        }
        Solid::Block { x_mm, y_mm, z_mm } => {
            let signs = [-0.5, 0.5];
            let mut points = Vec::with_capacity(8);
            for x in signs {
                for y in signs {
                    points.extend(signs.map(|z| [x * x_mm, y * y_mm, z * z_mm]));
                }
            }
            points
        }
    };
    own.into_iter().map(|point| placement.point(point)).collect()
}
