//! A bundle in one way up, seen from above: vertical prisms over discs and rectangles.

use plan::Crush;
use shape::{Bundle, PartKind, Placement, Solid, WayUp};

/// The plan-view outline of a hard part, mm, in the standing bundle's own frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Foot {
    /// A disc.
    Disc {
        /// Centre.
        at: [f64; 2],
        /// Radius.
        radius: f64,
    },
    /// A rectangle.
    Rect {
        /// Centre.
        at: [f64; 2],
        /// Unit vector of its first side.
        along: [f64; 2],
        /// Half of its first and second side.
        half: [f64; 2],
    },
}

/// A hard part as a vertical prism. Cones are taken as the cylinder around them and cylinders on
/// their side as the block around them, so that a layout that keeps its distances here keeps them
/// in truth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlatPart {
    /// Its outline.
    pub foot: Foot,
    /// Lowest hard point above the layer's base, mm.
    pub low: f64,
    /// Highest hard point above the layer's base, mm.
    pub high: f64,
    /// Thickness of its wrap, mm.
    pub wrap: f64,
    /// Least distance to a wall, mm.
    pub wall: f64,
}

/// A bundle standing in one of its ways up, its lowest wrapped point at height 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Which way up.
    pub way_up: WayUp,
    /// From the bundle's upright frame to this one.
    pub base: Placement,
    /// Its parts.
    pub parts: Vec<FlatPart>,
    /// Height of the highest wrapped point, mm.
    pub height: f64,
    /// Radius about the origin that holds all hard parts in plan, mm.
    pub radius: f64,
    /// Whether turning it about the vertical changes nothing.
    pub round: bool,
    /// Least distance to other bundles, mm.
    pub separation: f64,
    /// Plan area of its hard parts' larger outlines with half the wrap, mm2 (for balancing layers).
    pub area: f64,
}

impl Standing {
    /// `bundle` in `way_up`, its wraps pressed no further than `crush`.
    #[must_use]
    pub fn new(bundle: &Bundle, way_up: WayUp, crush: Crush) -> Self {
        let tilt = way_up.tilt();
        let placed: Vec<_> = bundle.parts.iter().map(|part| (part, tilt.after(part.placement))).collect();
        let lowest = placed
            .iter()
            .map(|(part, at)| at.extent_mm(part.solid, 2).0 - part.wrap_mm)
            .fold(f64::INFINITY, f64::min);
        let middle = placed
            .iter()
            .find(|(part, _)| part.kind == PartKind::Body)
            .or(placed.first())
            .map_or([0.0; 3], |(_, at)| at.at_mm);
        let base = Placement::at(-middle[0], -middle[1], -lowest).after(tilt);
        let parts: Vec<FlatPart> = bundle
            .parts
            .iter()
            .map(|part| {
                let at = base.after(part.placement);
                let (low, high) = at.extent_mm(part.solid, 2);
                FlatPart {
                    foot: foot(part.solid, at),
                    low,
                    high,
                    wrap: part.wrap_mm,
                    wall: crush.wall_mm(part.wrap_mm, bundle.wall_clearance_mm),
                }
            })
            .collect();
        let height = parts.iter().map(|part| part.high + part.wrap).fold(0.0, f64::max);
        let radius = parts.iter().map(|part| reach(part.foot)).fold(0.0, f64::max);
        let round =
            parts.iter().all(|part| matches!(part.foot, Foot::Disc { at, .. } if at[0].hypot(at[1]) < 1e-6));
        let area = parts.iter().map(|part| outline_area(part.foot, 0.5 * part.wrap)).fold(0.0, f64::max);
        Self { way_up, base, parts, height, radius, round, separation: bundle.separation_mm, area }
    }

    /// Height that must lie under the base so that every hard part keeps its distance to the floor, mm.
    pub(crate) fn bed(&self) -> f64 {
        self.parts.iter().map(|part| part.wall - part.low).fold(0.0, f64::max)
    }

    /// Height from the base to the closed top that keeps every hard part's distance, mm.
    pub(crate) fn headroom(&self) -> f64 {
        self.parts.iter().map(|part| part.high + part.wall).fold(0.0, f64::max)
    }

    /// Whether two standings take the same room, to a hundredth of a millimetre.
    pub(crate) fn looks_alike(&self, other: &Self) -> bool {
        let near = |x: f64, y: f64| (x - y).abs() < 0.01;
        let outline = |foot: Foot| match foot {
            Foot::Disc { at, radius } => (at, [radius, 0.0]),
            Foot::Rect { at, half, .. } => (at, half),
        };
        self.parts.len() == other.parts.len()
            && self.parts.iter().zip(&other.parts).all(|(p, q)| {
                let ((at, size), (other_at, other_size)) = (outline(p.foot), outline(q.foot));
                let straight = match (p.foot, q.foot) {
                    (Foot::Rect { along: u, .. }, Foot::Rect { along: v, .. }) => {
                        near(u[0] * v[1], u[1] * v[0])
                    }
                    (Foot::Disc { .. }, Foot::Disc { .. }) => true,
                    (Foot::Disc { .. }, Foot::Rect { .. }) | (Foot::Rect { .. }, Foot::Disc { .. }) => false,
                };
                straight
                    && near(at[0], other_at[0])
                    && near(at[1], other_at[1])
                    && near(size[0], other_size[0])
                    && near(size[1], other_size[1])
                    && near(p.low, q.low)
                    && near(p.high, q.high)
                    // Rooms that differ only in wrap are not the same room.
                    && near(p.wrap, q.wrap)
                    && near(p.wall, q.wall)
            })
    }

    /// Its largest part alone.
    pub(crate) fn body_alone(&self) -> Self {
        let area = |part: &FlatPart| outline_area(part.foot, 0.0);
        let main = self.parts.iter().max_by(|a, b| area(a).total_cmp(&area(b)));
        let parts: Vec<FlatPart> = main.into_iter().copied().collect();
        let radius = parts.iter().map(|part| reach(part.foot)).fold(0.0, f64::max);
        let round =
            parts.iter().all(|part| matches!(part.foot, Foot::Disc { at, .. } if at[0].hypot(at[1]) < 1e-6));
        Self { parts, radius, round, ..self.clone() }
    }

    /// The larger of the parts' wall distances, mm.
    pub(crate) fn wall(&self) -> f64 {
        self.parts.iter().map(|part| part.wall).fold(0.0, f64::max)
    }

    /// Least horizontal distances between parts of two bundles standing on one base:
    /// (part of the one, part of the other, mm), leaving out those that pass over each other.
    pub(crate) fn gaps(&self, other: &Self, crush: Crush) -> Vec<(usize, usize, f64)> {
        let separation = self.separation.max(other.separation);
        let mut gaps = Vec::new();
        for (i, a) in self.parts.iter().enumerate() {
            for (j, b) in other.parts.iter().enumerate() {
                let asked = crush.pair_mm(a.wrap, b.wrap, separation);
                let over = (a.low - b.high).max(b.low - a.high).max(0.0);
                // Two vertical prisms are hypot(over, across) apart, so this much is left for across.
                // Parts at one height may not overlap even where no distance is asked for.
                if over < asked || over == 0.0 {
                    gaps.push((i, j, (asked * asked - over * over).max(0.0).sqrt()));
                }
            }
        }
        gaps
    }
}

fn foot(solid: Solid, at: Placement) -> Foot {
    let axis = at.direction([0.0, 0.0, 1.0]);
    let level = |own: [f64; 3]| {
        let d = at.direction(own);
        let length = d[0].hypot(d[1]);
        if length < 1e-9 { [1.0, 0.0] } else { [d[0] / length, d[1] / length] }
    };
    let centre = [at.at_mm[0], at.at_mm[1]];
    let upright = axis[2].abs() > 0.999_999;
    let (radius, height) = match solid {
        Solid::Cylinder { radius_mm, height_mm } => (radius_mm, height_mm),
        Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
            (bottom_radius_mm.max(top_radius_mm), height_mm)
        }
        Solid::Block { x_mm, y_mm, z_mm } => {
            // Which two of its sides lie level depends on the tilt; take the one that stands up away.
            let up: Vec<f64> = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
                .iter()
                .map(|&d| at.direction(d)[2].abs())
                .collect();
            let (along, half) = if up[2] >= up[0] && up[2] >= up[1] {
                (level([1.0, 0.0, 0.0]), [x_mm, y_mm])
            } else if up[1] >= up[0] {
                (level([1.0, 0.0, 0.0]), [x_mm, z_mm])
            } else {
                (level([0.0, 1.0, 0.0]), [y_mm, z_mm])
            };
            return Foot::Rect { at: centre, along, half: [0.5 * half[0], 0.5 * half[1]] };
        }
    };
    if upright {
        Foot::Disc { at: centre, radius }
    } else {
        Foot::Rect { at: centre, along: level([0.0, 0.0, 1.0]), half: [0.5 * height, radius] }
    }
}

fn reach(foot: Foot) -> f64 {
    match foot {
        Foot::Disc { at, radius } => at[0].hypot(at[1]) + radius,
        Foot::Rect { at, along, half } => {
            let across = [-along[1], along[0]];
            let mut far: f64 = 0.0;
            for (s, t) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                let x = at[0] + s * half[0] * along[0] + t * half[1] * across[0];
                let y = at[1] + s * half[0] * along[1] + t * half[1] * across[1];
                far = far.max(x.hypot(y));
            }
            far
        }
    }
}

fn outline_area(foot: Foot, grow: f64) -> f64 {
    match foot {
        Foot::Disc { radius, .. } => std::f64::consts::PI * (radius + grow).powi(2),
        Foot::Rect { half, .. } => 4.0 * (half[0] + grow) * (half[1] + grow),
    }
}
