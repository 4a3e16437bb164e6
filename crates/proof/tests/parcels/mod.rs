//! Hand-made parcels, and the figures a right plan would state about them.
#![allow(dead_code, reason = "each test file uses its own share of this module")]

use plan::{
    Carton, Crush, Fill, Layer, Minutes, Pad, PairClearance, Parcel, PlacedBundle, PlacedPart, Rest,
    WallClearance,
};
use shape::{Company, Contents, Part, PartKind, Placement, Solid, WayUp};

/// Depth of the bed in every parcel made here, mm.
pub const BED_MM: f64 = 20.0;

/// A bundle to be stood somewhere.
pub struct Wish {
    pub label: &'static str,
    pub parts: Vec<Part>,
    pub way_up: WayUp,
    pub yaw_deg: f64,
    pub at_mm: [f64; 2],
    pub layer: u32,
}

pub fn part(kind: PartKind, solid: Solid, at_mm: [f64; 3], wrap_mm: f64) -> Part {
    Part { kind, solid, placement: Placement::at(at_mm[0], at_mm[1], at_mm[2]), wrap_mm }
}

/// An upright cylinder on the frame's floor.
pub fn tumbler(radius_mm: f64, height_mm: f64, wrap_mm: f64) -> Vec<Part> {
    vec![part(PartKind::Body, Solid::Cylinder { radius_mm, height_mm }, [0.0, 0.0, 0.5 * height_mm], wrap_mm)]
}

/// A cylinder with a block from its axis outwards along x.
pub fn mug(radius_mm: f64, reach_mm: f64, width_mm: f64, height_mm: f64, wrap_mm: f64) -> Vec<Part> {
    let long = radius_mm + reach_mm;
    let handle = Solid::Block { x_mm: long, y_mm: width_mm, z_mm: 0.7 * height_mm };
    let mut parts = tumbler(radius_mm, height_mm, wrap_mm);
    parts.push(part(PartKind::Handle, handle, [0.5 * long, 0.0, 0.5 * height_mm], wrap_mm));
    parts
}

pub fn frustum(bottom_radius_mm: f64, top_radius_mm: f64, height_mm: f64, wrap_mm: f64) -> Vec<Part> {
    let solid = Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm };
    vec![part(PartKind::Body, solid, [0.0, 0.0, 0.5 * height_mm], wrap_mm)]
}

pub fn block(x_mm: f64, y_mm: f64, z_mm: f64, wrap_mm: f64) -> Vec<Part> {
    vec![part(PartKind::Body, Solid::Block { x_mm, y_mm, z_mm }, [0.0, 0.0, 0.5 * z_mm], wrap_mm)]
}

pub fn wish(label: &'static str, parts: Vec<Part>, at_mm: [f64; 2], layer: u32) -> Wish {
    Wish { label, parts, way_up: WayUp::Upright, yaw_deg: 0.0, at_mm, layer }
}

/// Stands the wishes layer by layer, a 10 mm pad between layers.
pub fn stand(inside_mm: [f64; 3], wishes: &[Wish]) -> Parcel {
    let mut parcel = empty(inside_mm);
    let mut floor = BED_MM;
    let layers = wishes.iter().map(|wish| wish.layer).max().unwrap_or(0);
    for layer in 1..=layers {
        let mut rests = Rest::Bed;
        if layer > 1 {
            let pad = Pad { number: layer - 1, bottom_mm: floor, thickness_mm: 10.0, above_layer: layer - 1 };
            rests = Rest::Pad(pad.number);
            floor += pad.thickness_mm;
            parcel.pads.push(pad);
        }
        let mut top = floor;
        for wish in wishes.iter().filter(|wish| wish.layer == layer) {
            let number = u32::try_from(parcel.bundles.len()).expect("a handful") + 1;
            let bundle = placed(wish, number, rests.clone(), floor);
            top = bundle.parts.iter().map(|part| extent(part, part.grown, 2).1).fold(top, f64::max);
            parcel.bundles.push(bundle);
        }
        parcel.layers.push(Layer { number: layer, bottom_mm: 0.0, top_mm: 0.0, bundles: Vec::new() });
        floor = top;
    }
    restate(&mut parcel);
    parcel
}

fn placed(wish: &Wish, number: u32, rests: Rest, floor_mm: f64) -> PlacedBundle {
    let turn = Placement::yawed(wish.yaw_deg.to_radians(), [0.0; 3]).after(wish.way_up.tilt());
    let lowest = wish
        .parts
        .iter()
        .map(|part| turn.after(part.placement).extent_mm(part.solid.grown(part.wrap_mm), 2).0)
        .fold(f64::INFINITY, f64::min);
    let placement = Placement { at_mm: [wish.at_mm[0], wish.at_mm[1], floor_mm - lowest], ..turn };
    PlacedBundle {
        number,
        label: wish.label.into(),
        contents: vec![Contents { find: "dining room".into(), what: wish.label.into(), count: 1 }],
        layer: wish.layer,
        way_up: wish.way_up,
        yaw_deg: wish.yaw_deg,
        placement,
        mass_g: 300.0,
        rests,
        walls: WallClearance { required_mm: 10.0, sides_mm: 0.0, floor_mm: 0.0, top_mm: 0.0 },
        separation_mm: 12.0,
        bears_load: wish.layer == 1,
        company: Company::Breakable,
        parts: wish.parts.iter().map(|part| PlacedPart::new(part, placement)).collect(),
    }
}

fn empty(inside_mm: [f64; 3]) -> Parcel {
    Parcel {
        carton: Carton {
            name: "hand-made".into(),
            inside_mm,
            outside_mm: inside_mm.map(|side| side + 10.0),
            cut_down_from_mm: None,
            tare_g: 250.0,
            max_gross_g: 20_000.0,
            board: "single wall".into(),
        },
        crush: Crush { sideways: 0.25 },
        layers: Vec::new(),
        pads: Vec::new(),
        bundles: Vec::new(),
        clearances: Vec::new(),
        fill: Fill { material: "loose fill".into(), volume_mm3: 1e7, mass_g: 50.0, bed_mm: BED_MM },
        materials: Vec::new(),
        minutes: Minutes { wrapping: 10.0, boxing: 5.0 },
        gross_g: 0.0,
        inner: None,
    }
}

fn extent(part: &PlacedPart, solid: Solid, axis: usize) -> (f64, f64) {
    part.placement.extent_mm(solid, axis)
}

/// States again what a right plan would state: order, layer lists and heights, wall figures, wrapped
/// solids, gross mass, and the clearance of bundles 1 and 2 where both are lone upright cylinders.
pub fn restate(parcel: &mut Parcel) {
    parcel.bundles.sort_by_key(|bundle| bundle.number);
    let inside = parcel.carton.inside_mm;
    for bundle in &mut parcel.bundles {
        for part in &mut bundle.parts {
            part.grown = part.bare.grown(part.wrap_mm);
        }
        let over = |axis: usize| bundle.parts.iter().map(move |part| extent(part, part.bare, axis));
        let low = |axis| over(axis).map(|(low, _)| low).fold(f64::INFINITY, f64::min);
        let high = |axis| over(axis).map(|(_, high)| inside[axis] - high).fold(f64::INFINITY, f64::min);
        let walls = WallClearance {
            required_mm: bundle.walls.required_mm,
            sides_mm: low(0).min(high(0)).min(low(1)).min(high(1)),
            floor_mm: low(2),
            top_mm: high(2),
        };
        bundle.walls = walls;
    }
    for layer in &mut parcel.layers {
        let lying = || parcel.bundles.iter().filter(|bundle| bundle.layer == layer.number);
        let heights = || lying().flat_map(|bundle| &bundle.parts).map(|part| extent(part, part.grown, 2));
        layer.bundles = lying().map(|bundle| bundle.number).collect();
        layer.bottom_mm = heights().map(|(low, _)| low).fold(f64::INFINITY, f64::min);
        layer.top_mm = heights().map(|(_, high)| high).fold(f64::NEG_INFINITY, f64::max);
    }
    parcel.gross_g = 30.0
        + parcel.carton.tare_g
        + parcel.fill.mass_g
        + parcel.bundles.iter().map(|bundle| bundle.mass_g).sum::<f64>();
    parcel.clearances.clear();
    let [a, b, ..] = parcel.bundles.as_slice() else { return };
    let ([p], [q]) = (a.parts.as_slice(), b.parts.as_slice()) else { return };
    let (Solid::Cylinder { radius_mm: r, .. }, Solid::Cylinder { radius_mm: s, .. }) = (p.bare, q.bare)
    else {
        return;
    };
    let separation = a.separation_mm.max(b.separation_mm);
    let ([x, y, _], [u, v, _]) = (p.placement.at_mm, q.placement.at_mm);
    parcel.clearances.push(PairClearance {
        a: a.number,
        b: b.number,
        required_mm: parcel.crush.pair_mm(p.wrap_mm, q.wrap_mm, separation),
        actual_mm: ((x - u).hypot(y - v) - r - s).max(0.0),
    });
}

/// Moves a bundle and its parts.
pub fn shift(bundle: &mut PlacedBundle, by_mm: [f64; 3]) {
    let moved = |placement: &mut Placement| {
        for (at, by) in placement.at_mm.iter_mut().zip(by_mm) {
            *at += by;
        }
    };
    moved(&mut bundle.placement);
    bundle.parts.iter_mut().for_each(|part| moved(&mut part.placement));
}

/// Two tumblers, a turned mug and a goblet rim down; over a pad, plates on edge and a book.
pub fn two_layers() -> Parcel {
    let mut wishes = vec![
        wish("tumbler", tumbler(40.0, 100.0, 6.0), [70.0, 70.0], 1),
        wish("second tumbler", tumbler(40.0, 100.0, 6.0), [170.0, 70.0], 1),
        wish("mug", mug(45.0, 30.0, 20.0, 100.0, 6.0), [80.0, 220.0], 1),
        wish("goblet", frustum(20.0, 40.0, 100.0, 6.0), [230.0, 230.0], 1),
        wish("4 plates", tumbler(70.0, 40.0, 5.0), [110.0, 140.0], 2),
        wish("book", block(100.0, 60.0, 80.0, 4.0), [245.0, 160.0], 2),
    ];
    wishes[2].yaw_deg = 30.0;
    wishes[3].way_up = WayUp::Inverted;
    wishes[4].way_up = WayUp::OnEdge;
    let mut parcel = stand([320.0, 320.0, 310.0], &wishes);
    parcel.bundles[5].company = Company::Neutral;
    parcel
}

/// The contents of a parcel as an order would list them.
pub fn order(parcel: &Parcel) -> Vec<Contents> {
    parcel.contents()
}

/// The kinds of violation found, each once, by name.
pub fn kinds(parcel: &Parcel) -> Vec<String> {
    names(&proof::check(parcel, &order(parcel)))
}

/// The kinds in a list of violations, each once, by name.
pub fn names(broken: &[proof::Violation]) -> Vec<String> {
    let mut names: Vec<String> = broken
        .iter()
        .map(|violation| {
            format!("{violation:?}")
                .split(|c: char| !c.is_alphanumeric())
                .next()
                .unwrap_or_default()
                .to_owned()
        })
        .collect();
    names.sort();
    names.dedup();
    names
}
