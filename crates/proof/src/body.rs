//! Placed solids, as this room sees them: exact support points, nothing borrowed from a search.

use std::f64::consts::TAU;

use parry3d_f64::glamx::{DQuat, DVec3};
use parry3d_f64::shape::SupportMap;
use shape::{Placement, Solid};

/// Points taken on each rim of a round solid when its outline is drawn.
const RIM_POINTS: u32 = 96;

/// Cosine beyond which an axis counts as standing upright (within about a third of a degree).
const UPRIGHT_COSINE: f64 = 0.999_98;

/// A solid's own form: a block, or a round solid with a radius at each end of its z axis.
///
/// A cylinder is a frustum whose two radii agree, so one support rule serves both.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Round { bottom_mm: f64, top_mm: f64, half_mm: f64 },
    Block { half: DVec3 },
}

/// A solid where it lies in the carton.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Body {
    form: Form,
    at: DVec3,
    turn: DQuat,
}

impl Body {
    /// A solid at its place. Both must have passed the check of figures (finite, positive, unit turn).
    pub(crate) fn new(solid: Solid, placement: Placement) -> Self {
        let form = match solid {
            Solid::Cylinder { radius_mm, height_mm } => {
                Form::Round { bottom_mm: radius_mm, top_mm: radius_mm, half_mm: 0.5 * height_mm }
            }
            Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
                Form::Round { bottom_mm: bottom_radius_mm, top_mm: top_radius_mm, half_mm: 0.5 * height_mm }
            }
            Solid::Block { x_mm, y_mm, z_mm } => Form::Block { half: 0.5 * DVec3::new(x_mm, y_mm, z_mm) },
        };
        let [w, x, y, z] = placement.turn;
        Self { form, at: DVec3::from_array(placement.at_mm), turn: DQuat::from_xyzw(x, y, z, w).normalize() }
    }

    /// The same body with `by_mm` added on every face; a negative figure takes away, but never past a
    /// tenth of the smallest half side.
    pub(crate) fn grown(self, by_mm: f64) -> Self {
        let size = |half: f64| (half + by_mm).max(0.1 * half);
        let form = match self.form {
            Form::Round { bottom_mm, top_mm, half_mm } => {
                Form::Round { bottom_mm: size(bottom_mm), top_mm: size(top_mm), half_mm: size(half_mm) }
            }
            Form::Block { half } => {
                Form::Block { half: DVec3::new(size(half.x), size(half.y), size(half.z)) }
            }
        };
        Self { form, ..self }
    }

    /// Lowest and highest coordinate along outer axis x, y or z, mm; exact.
    pub(crate) fn extent(&self, axis: Axis) -> (f64, f64) {
        let unit = axis.unit();
        (unit.dot(self.local_support_point(-unit)), unit.dot(self.local_support_point(unit)))
    }

    /// Lowest point, mm above the inside floor.
    pub(crate) fn bottom(&self) -> f64 {
        self.extent(Axis::Z).0
    }

    /// Highest point, mm above the inside floor.
    pub(crate) fn top(&self) -> f64 {
        self.extent(Axis::Z).1
    }

    /// Volume, mm3.
    pub(crate) fn volume(&self) -> f64 {
        match self.form {
            Form::Round { bottom_mm: a, top_mm: b, half_mm } => {
                std::f64::consts::PI * 2.0 * half_mm * (a * a + a * b + b * b) / 3.0
            }
            Form::Block { half } => 8.0 * half.x * half.y * half.z,
        }
    }

    /// Centre of volume in the carton, mm.
    pub(crate) fn centroid(&self) -> DVec3 {
        let own = match self.form {
            Form::Block { .. } => DVec3::ZERO,
            // Height of a frustum's centroid over its lower end is h/4 (a2 + 2ab + 3b2) / (a2 + ab + b2).
            Form::Round { bottom_mm: a, top_mm: b, half_mm } => {
                let share = (a * a + 2.0 * a * b + 3.0 * b * b) / (a * a + a * b + b * b);
                DVec3::Z * (0.5 * half_mm * share - half_mm)
            }
        };
        self.at + self.turn * own
    }

    /// Corners or rim of the level face at one end of the vertical, seen from above; empty when that end is
    /// a point or a line.
    pub(crate) fn level_face(&self, end: End) -> Vec<[f64; 2]> {
        let own: Vec<DVec3> = match self.form {
            Form::Block { half } => {
                // The face whose outward normal is vertical.
                let normals = [DVec3::X, DVec3::Y, DVec3::Z];
                let faces = normals.into_iter().flat_map(|normal| [normal, -normal]);
                let Some(normal) =
                    faces.into_iter().find(|normal| end.sign() * (self.turn * *normal).z > UPRIGHT_COSINE)
                else {
                    return Vec::new();
                };
                let (one, other) =
                    (DVec3::new(normal.y, normal.z, normal.x), DVec3::new(normal.z, normal.x, normal.y));
                // Round the face, so that the corners follow each other.
                [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
                    .into_iter()
                    .map(|(s, t)| half * (normal + s * one.abs() + t * other.abs()))
                    .collect()
            }
            Form::Round { bottom_mm, top_mm, half_mm } => {
                let up = (self.turn * DVec3::Z).z * end.sign();
                let (radius, z) = if up > UPRIGHT_COSINE {
                    (top_mm, half_mm)
                } else if up < -UPRIGHT_COSINE {
                    (bottom_mm, -half_mm)
                } else {
                    return Vec::new();
                };
                (0..RIM_POINTS)
                    .map(|step| {
                        let (sin, cos) = (TAU * f64::from(step) / f64::from(RIM_POINTS)).sin_cos();
                        DVec3::new(radius * cos, radius * sin, z)
                    })
                    .collect()
            }
        };
        own.into_iter().map(|point| self.at + self.turn * point).map(|point| [point.x, point.y]).collect()
    }

    /// Points whose hull, seen from above, is the area on which a pad may lie.
    ///
    /// An upright round solid offers its upper rim only; one that lies or leans offers its whole
    /// outline, because wrap and fill spread the load there.
    pub(crate) fn bearing_outline(&self) -> Vec<DVec3> {
        let own: Vec<DVec3> = match self.form {
            Form::Block { half } => (0..8_u8)
                .map(|corner| {
                    let side = |bit: u8| if corner & bit == 0 { -1.0 } else { 1.0 };
                    half * DVec3::new(side(1), side(2), side(4))
                })
                .collect(),
            Form::Round { bottom_mm, top_mm, half_mm } => {
                let up = (self.turn * DVec3::Z).z;
                let rim = |radius: f64, z: f64| {
                    (0..RIM_POINTS).map(move |step| {
                        let (sin, cos) = (TAU * f64::from(step) / f64::from(RIM_POINTS)).sin_cos();
                        DVec3::new(radius * cos, radius * sin, z)
                    })
                };
                if up > UPRIGHT_COSINE {
                    rim(top_mm, half_mm).collect()
                } else if up < -UPRIGHT_COSINE {
                    rim(bottom_mm, -half_mm).collect()
                } else {
                    rim(top_mm, half_mm).chain(rim(bottom_mm, -half_mm)).collect()
                }
            }
        };
        own.into_iter().map(|point| self.at + self.turn * point).collect()
    }
}

/// The support point in the carton's frame (the body carries its own placement).
impl SupportMap for Body {
    fn local_support_point(&self, direction: DVec3) -> DVec3 {
        let own = self.turn.conjugate() * direction;
        let point = match self.form {
            Form::Block { half } => {
                DVec3::new(half.x.copysign(own.x), half.y.copysign(own.y), half.z.copysign(own.z))
            }
            Form::Round { bottom_mm, top_mm, half_mm } => {
                let level = DVec3::new(own.x, own.y, 0.0);
                let across = level.length();
                // The upper rim reaches further when (top - bottom) across + 2 half z > 0.
                let upper = (top_mm - bottom_mm) * across + 2.0 * half_mm * own.z >= 0.0;
                let (radius, z) = if upper { (top_mm, half_mm) } else { (bottom_mm, -half_mm) };
                level.normalize_or_zero() * radius + DVec3::Z * z
            }
        };
        self.at + self.turn * point
    }
}

/// Everything a body passes through when it is lowered to its place from `rise_mm` above.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shaft {
    pub(crate) body: Body,
    pub(crate) rise_mm: f64,
}

impl SupportMap for Shaft {
    fn local_support_point(&self, direction: DVec3) -> DVec3 {
        let point = self.body.local_support_point(direction);
        if direction.z > 0.0 { point + DVec3::Z * self.rise_mm } else { point }
    }
}

/// The upper or the lower end of a body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    Top,
    Bottom,
}

impl End {
    fn sign(self) -> f64 {
        match self {
            Self::Top => 1.0,
            Self::Bottom => -1.0,
        }
    }
}

/// An axis of the carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Axis {
    X,
    Y,
    Z,
}

impl Axis {
    fn unit(self) -> DVec3 {
        match self {
            Self::X => DVec3::X,
            Self::Y => DVec3::Y,
            Self::Z => DVec3::Z,
        }
    }
}

#[cfg(test)]
mod tests {
    use shape::WayUp;

    use super::*;
    use crate::footprint::Outline;

    #[test]
    fn extents_are_those_of_the_shape_room() {
        let frustum = Solid::Frustum { bottom_radius_mm: 20.0, top_radius_mm: 45.0, height_mm: 70.0 };
        let solids = [
            frustum,
            Solid::Cylinder { radius_mm: 33.0, height_mm: 80.0 },
            Solid::Block { x_mm: 10.0, y_mm: 60.0, z_mm: 35.0 },
        ];
        for solid in solids {
            for way_up in [WayUp::Upright, WayUp::Inverted, WayUp::OnEdge, WayUp::OnEnd] {
                for step in 0..12 {
                    let lean = Placement::turned([0.8, 0.0, 0.6], 0.1 * f64::from(step));
                    let placement = Placement { at_mm: [10.0, -20.0, 30.0], ..lean.after(way_up.tilt()) };
                    let body = Body::new(solid, placement);
                    for (index, axis) in [Axis::X, Axis::Y, Axis::Z].into_iter().enumerate() {
                        let (found, stated) = (body.extent(axis), placement.extent_mm(solid, index));
                        assert!((found.0 - stated.0).abs() < 1e-9 && (found.1 - stated.1).abs() < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn a_block_has_a_level_face_on_each_of_its_sides_and_a_lying_round_has_none() {
        let block = Solid::Block { x_mm: 20.0, y_mm: 40.0, z_mm: 60.0 };
        let sides =
            [(WayUp::Upright, [20.0, 40.0]), (WayUp::OnEdge, [20.0, 60.0]), (WayUp::OnEnd, [60.0, 40.0])];
        for (way_up, [x, y]) in sides {
            for end in [End::Top, End::Bottom] {
                let face = Body::new(block, way_up.tilt()).level_face(end);
                assert_eq!(face.len(), 4);
                for corner in &face {
                    assert!(
                        (corner[0].abs() - 0.5 * x).abs() < 1e-9 && (corner[1].abs() - 0.5 * y).abs() < 1e-9
                    );
                }
                assert!((Outline::around(face).area_mm2() - x * y).abs() < 1e-6);
            }
        }
        let leaning = Placement::turned([1.0, 0.0, 0.0], 0.05);
        assert!(Body::new(block, leaning).level_face(End::Top).is_empty());
        let cup = Solid::Frustum { bottom_radius_mm: 20.0, top_radius_mm: 45.0, height_mm: 70.0 };
        assert!(Body::new(cup, WayUp::OnEdge.tilt()).level_face(End::Bottom).is_empty());
        let foot = Body::new(cup, WayUp::Inverted.tilt()).level_face(End::Bottom);
        assert!((foot.iter().map(|point| point[0]).fold(0.0, f64::max) - 45.0).abs() < 1e-9);
    }

    #[test]
    fn a_cones_centroid_is_a_quarter_of_its_height_over_its_base() {
        let cone = Solid::Frustum { bottom_radius_mm: 30.0, top_radius_mm: 0.0, height_mm: 80.0 };
        let centroid = Body::new(cone, Placement::at(5.0, 6.0, 40.0)).centroid();
        assert!(centroid.distance(DVec3::new(5.0, 6.0, 20.0)) < 1e-12);
        let hung =
            Body::new(cone, Placement { at_mm: [5.0, 6.0, 40.0], ..WayUp::Inverted.tilt() }).centroid();
        assert!(hung.distance(DVec3::new(5.0, 6.0, 60.0)) < 1e-9);
    }

    #[test]
    fn an_upright_taper_bears_on_its_upper_rim_and_a_lying_one_on_its_outline() {
        let cup = Solid::Frustum { bottom_radius_mm: 20.0, top_radius_mm: 45.0, height_mm: 70.0 };
        let widest = |way_up: WayUp| {
            let points = Body::new(cup, way_up.tilt()).bearing_outline();
            points.iter().map(|point| point.x).fold(0.0, f64::max)
        };
        assert!((widest(WayUp::Upright) - 45.0).abs() < 1e-9);
        assert!((widest(WayUp::Inverted) - 20.0).abs() < 1e-9);
        assert!((widest(WayUp::OnEdge) - 45.0).abs() < 1e-9);
    }
}
