//! Convex solids and where they stand.

use glam::{DQuat, DVec3};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A convex solid centred at its own origin, its axis along its own z.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "solid", rename_all = "snake_case")]
pub enum Solid {
    /// A right circular cylinder.
    Cylinder {
        /// Radius, mm.
        radius_mm: f64,
        /// Height along the axis, mm.
        height_mm: f64,
    },
    /// A truncated cone: `bottom` at -height/2, `top` at +height/2.
    Frustum {
        /// Radius at the lower end, mm.
        bottom_radius_mm: f64,
        /// Radius at the upper end, mm.
        top_radius_mm: f64,
        /// Height along the axis, mm.
        height_mm: f64,
    },
    /// A rectangular block.
    Block {
        /// Full side along x, mm.
        x_mm: f64,
        /// Full side along y, mm.
        y_mm: f64,
        /// Full side along z, mm.
        z_mm: f64,
    },
}

impl Solid {
    /// The same solid with `by_mm` added on every face (a wrap of that thickness, corners square).
    #[must_use]
    pub fn grown(self, by_mm: f64) -> Self {
        match self {
            Self::Cylinder { radius_mm, height_mm } => {
                Self::Cylinder { radius_mm: radius_mm + by_mm, height_mm: height_mm + 2.0 * by_mm }
            }
            Self::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => Self::Frustum {
                bottom_radius_mm: bottom_radius_mm + by_mm,
                top_radius_mm: top_radius_mm + by_mm,
                height_mm: height_mm + 2.0 * by_mm,
            },
            Self::Block { x_mm, y_mm, z_mm } => {
                Self::Block { x_mm: x_mm + 2.0 * by_mm, y_mm: y_mm + 2.0 * by_mm, z_mm: z_mm + 2.0 * by_mm }
            }
        }
    }

    /// Volume in cubic millimetres.
    #[must_use]
    pub fn volume_mm3(self) -> f64 {
        use std::f64::consts::PI;
        match self {
            Self::Cylinder { radius_mm, height_mm } => PI * radius_mm * radius_mm * height_mm,
            Self::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm } => {
                PI * height_mm * (a * a + a * b + b * b) / 3.0
            }
            Self::Block { x_mm, y_mm, z_mm } => x_mm * y_mm * z_mm,
        }
    }

    /// Greatest distance along the unit vector `direction` (in the solid's own frame), mm.
    fn reach(self, direction: DVec3) -> f64 {
        match self {
            Self::Cylinder { radius_mm, height_mm } => {
                radius_mm * direction.x.hypot(direction.y) + 0.5 * height_mm * direction.z.abs()
            }
            Self::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
                let across = direction.x.hypot(direction.y);
                let top = top_radius_mm * across + 0.5 * height_mm * direction.z;
                let bottom = bottom_radius_mm * across - 0.5 * height_mm * direction.z;
                top.max(bottom)
            }
            Self::Block { x_mm, y_mm, z_mm } => {
                0.5 * (x_mm * direction.x.abs() + y_mm * direction.y.abs() + z_mm * direction.z.abs())
            }
        }
    }
}

/// A rigid placement: turn, then move.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Placement {
    /// Where the solid's origin goes, mm.
    pub at_mm: [f64; 3],
    /// The turn as a unit quaternion `[w, x, y, z]`.
    pub turn: [f64; 4],
}

impl Placement {
    /// No turn, no move.
    pub const IDENTITY: Self = Self { at_mm: [0.0; 3], turn: [1.0, 0.0, 0.0, 0.0] };

    /// A move without a turn.
    #[must_use]
    pub const fn at(x_mm: f64, y_mm: f64, z_mm: f64) -> Self {
        Self { at_mm: [x_mm, y_mm, z_mm], turn: [1.0, 0.0, 0.0, 0.0] }
    }

    /// A turn by `radians` about the unit axis, without a move.
    #[must_use]
    pub fn turned(axis: [f64; 3], radians: f64) -> Self {
        Self::from_parts(DVec3::ZERO, DQuat::from_axis_angle(DVec3::from_array(axis), radians))
    }

    /// A turn by `yaw_rad` about the vertical, then a move.
    #[must_use]
    pub fn yawed(yaw_rad: f64, at_mm: [f64; 3]) -> Self {
        Self { at_mm, ..Self::turned([0.0, 0.0, 1.0], yaw_rad) }
    }

    fn from_parts(at: DVec3, turn: DQuat) -> Self {
        Self { at_mm: at.to_array(), turn: [turn.w, turn.x, turn.y, turn.z] }
    }

    fn quaternion(self) -> DQuat {
        let [w, x, y, z] = self.turn;
        DQuat::from_xyzw(x, y, z, w)
    }

    /// The placement that first does `inner`, then `self`.
    #[must_use]
    pub fn after(self, inner: Self) -> Self {
        let turn = self.quaternion();
        let at = turn * DVec3::from_array(inner.at_mm) + DVec3::from_array(self.at_mm);
        Self::from_parts(at, turn * inner.quaternion())
    }

    /// Where a point of the solid's own frame goes, mm.
    #[must_use]
    pub fn point(self, own_mm: [f64; 3]) -> [f64; 3] {
        (self.quaternion() * DVec3::from_array(own_mm) + DVec3::from_array(self.at_mm)).to_array()
    }

    /// A direction of the solid's own frame, turned into the outer frame.
    #[must_use]
    pub fn direction(self, own: [f64; 3]) -> [f64; 3] {
        (self.quaternion() * DVec3::from_array(own)).to_array()
    }

    /// Lowest and highest coordinate of a placed solid along outer axis 0, 1 or 2, mm.
    #[must_use]
    pub fn extent_mm(self, solid: Solid, axis: usize) -> (f64, f64) {
        let mut unit = [0.0; 3];
        unit[axis] = 1.0;
        let own = self.quaternion().conjugate() * DVec3::from_array(unit);
        (self.at_mm[axis] - solid.reach(-own), self.at_mm[axis] + solid.reach(own))
    }
}
