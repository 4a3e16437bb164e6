//! Parcels made by hand for the tests of this room.
#![allow(dead_code)]

use plan::{Carton, Crush, Fill, Minutes, Parcel, PlacedBundle, PlacedPart, Rest, WallClearance};
use shape::{Company, Contents, Part, PartKind, Placement, Solid, WayUp};

/// A parcel with these bundles in one layer.
pub fn parcel(inside_mm: [f64; 3], bundles: Vec<PlacedBundle>) -> Parcel {
    let bundles: Vec<PlacedBundle> = bundles
        .into_iter()
        .enumerate()
        .map(|(index, bundle)| PlacedBundle { number: index as u32 + 1, ..bundle })
        .collect();
    Parcel {
        carton: Carton {
            name: String::from("test"),
            inside_mm,
            outside_mm: inside_mm.map(|side| side + 8.0),
            cut_down_from_mm: None,
            tare_g: 200.0,
            max_gross_g: 13_000.0,
            board: String::from("32 ECT"),
        },
        crush: Crush { sideways: 0.25 },
        layers: vec![],
        pads: vec![],
        clearances: vec![],
        fill: Fill { material: String::from("fill"), volume_mm3: 0.0, mass_g: 0.0, bed_mm: 0.0 },
        materials: vec![],
        minutes: Minutes { wrapping: 0.0, boxing: 0.0 },
        gross_g: bundles.iter().map(|bundle| bundle.mass_g).sum::<f64>() + 200.0,
        bundles,
    }
}

fn placed(solid: Solid, at: [f64; 3], mass_g: f64) -> PlacedBundle {
    let part = Part { kind: PartKind::Body, solid, placement: Placement::at(0.0, 0.0, 0.0), wrap_mm: 0.0 };
    let placement = Placement::at(at[0], at[1], at[2]);
    PlacedBundle {
        number: 1,
        label: String::from("piece"),
        contents: vec![Contents { find: String::from("find"), what: String::from("piece"), count: 1 }],
        layer: 1,
        way_up: WayUp::Upright,
        yaw_deg: 0.0,
        placement,
        mass_g,
        rests: Rest::Bed,
        walls: WallClearance { required_mm: 0.0, sides_mm: 0.0, floor_mm: 0.0, top_mm: 0.0 },
        separation_mm: 0.0,
        bears_load: true,
        company: Company::Breakable,
        parts: vec![PlacedPart::new(&part, placement)],
    }
}

/// A block of these sides with its middle at a place, mm and g.
pub fn block(sides: [f64; 3], at: [f64; 3], mass_g: f64) -> PlacedBundle {
    placed(Solid::Block { x_mm: sides[0], y_mm: sides[1], z_mm: sides[2] }, at, mass_g)
}

/// An upright round piece with its middle at a place, mm and g.
pub fn mug(radius_mm: f64, height_mm: f64, at: [f64; 3], mass_g: f64) -> PlacedBundle {
    placed(Solid::Cylinder { radius_mm, height_mm }, at, mass_g)
}
