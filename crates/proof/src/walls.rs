//! Bundle against carton: four walls, floor and top.

use plan::{Parcel, TOLERANCE_MM};

use crate::body::{Axis, Body};
use crate::named::Wall;
use crate::scene::Standing;
use crate::violation::Violation;

/// Room for the rounding of sums, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Distances of a hard part to the six faces, mm; negative beyond one.
fn distances(body: &Body, inside_mm: [f64; 3]) -> [(Wall, f64); 6] {
    let [length, width, height] = inside_mm;
    let (x, y, z) = (body.extent(Axis::X), body.extent(Axis::Y), body.extent(Axis::Z));
    [
        (Wall::XLow, x.0),
        (Wall::XHigh, length - x.1),
        (Wall::YLow, y.0),
        (Wall::YHigh, width - y.1),
        (Wall::Floor, z.0),
        (Wall::Top, height - z.1),
    ]
}

/// Hard parts keep the larger of the clearance and the pressed wrap; stated distances are not too large.
pub(crate) fn check(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for bundle in scene {
        let walls = bundle.stated.walls;
        let (mut sides, mut floor, mut top) = (f64::INFINITY, f64::INFINITY, f64::INFINITY);
        for part in &bundle.parts {
            let required_mm = parcel.crush.wall_mm(part.stated.wrap_mm, walls.required_mm);
            for (wall, distance_mm) in distances(&part.bare, parcel.carton.inside_mm) {
                match wall {
                    Wall::Floor => floor = floor.min(distance_mm),
                    Wall::Top => top = top.min(distance_mm),
                    Wall::XLow | Wall::XHigh | Wall::YLow | Wall::YHigh => sides = sides.min(distance_mm),
                }
                let named = bundle.named();
                if distance_mm < walls.required_mm - TOLERANCE_MM - ROUNDING_MM {
                    broken.push(Violation::TooNearWall { bundle: named, wall, distance_mm, required_mm });
                } else if distance_mm < required_mm - TOLERANCE_MM - ROUNDING_MM {
                    broken.push(Violation::WrapPressedAtWall {
                        bundle: named,
                        wall,
                        distance_mm,
                        required_mm,
                    });
                }
            }
        }
        for (face, stated_mm, actual_mm) in [
            ("side walls", walls.sides_mm, sides),
            ("floor", walls.floor_mm, floor),
            ("top", walls.top_mm, top),
        ] {
            if stated_mm > actual_mm + TOLERANCE_MM + ROUNDING_MM {
                broken.push(Violation::WallFigure { bundle: bundle.named(), face, stated_mm, actual_mm });
            }
        }
    }
}
