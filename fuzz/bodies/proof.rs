//! Any record of a parcel in front of the checker: it never panics, says the same twice, and never passes
//! a parcel in which two bundles stand in one another.
//!
//! The bytes are a plan as JSON or, when they are not, figures from which a plan is made.
#![allow(dead_code, reason = "tokens are for the seeded mutations, not for the fuzzer")]

use plan::{Carton, Crush, Fill, Layer, Minutes, Parcel, PlacedBundle, PlacedPart, Rest, WallClearance};
use proof::Violation;
use shape::{Company, Contents, Part, PartKind, Placement, Solid, WayUp};

/// Figures and words of a plan as JSON.
pub const TOKENS: &[&str] = &[
    "1e308",
    "-1e308",
    "5e-324",
    "0.0",
    "-0.0",
    "1e-9",
    "10000.0",
    "-10000.0",
    "0.01",
    "4294967295",
    "0",
    "1",
    "2",
    "[]",
    "{}",
    "null",
    "\"on_edge\"",
    "\"inverted\"",
    "\"breakable\"",
    "\"dense\"",
    "{\"on\":\"bed\"}",
    "{\"on\":\"pad\",\"number\":1}",
    "\"solid\":\"frustum\"",
    "\"solid\":\"block\"",
    ",",
    "true",
    "0.7071067811865476",
];

/// Bundles of a plan made of figures, at most.
const MOST: usize = 6;
/// A hard part with less than this on a side may vanish within the tolerance, mm.
const SOLID_MM: f64 = 1.0;

pub fn run(bytes: &[u8]) {
    let parcel = serde_json::from_slice(bytes).unwrap_or_else(|_| made(&mut Figures { bytes, at: 0 }));
    let expected = parcel.contents();
    let broken = proof::check(&parcel, &expected);
    assert_eq!(format!("{broken:?}"), format!("{:?}", proof::check(&parcel, &expected)));
    for violation in &broken {
        assert!(!violation.to_string().is_empty());
    }
    let whole = proof::check_all(std::slice::from_ref(&parcel), &expected);
    assert_eq!(whole.is_empty(), broken.is_empty(), "{broken:?}");
    if let Some(overlapping) = overlapping(&parcel) {
        let found = proof::check(&overlapping, &expected);
        let named = |violation: &Violation| {
            // Figures that geometry can't be done with are told instead.
            matches!(violation, Violation::TooClose { .. } | Violation::BadFigure { .. })
        };
        assert!(found.iter().any(named), "an overlap is not named: {found:?} in {overlapping:?}");
    }
}

/// The parcel with a part of its last bundle about the middle of a part of its first, both solid enough;
/// every solid has its middle inside it.
fn overlapping(parcel: &Parcel) -> Option<Parcel> {
    let [first, .., _] = parcel.bundles.as_slice() else { return None };
    let one = first.parts.first()?;
    let mut parcel = parcel.clone();
    let at_mm = one.placement.at_mm;
    let stands = solid(one.bare);
    let other = parcel.bundles.last_mut()?.parts.first_mut()?;
    other.placement.at_mm = at_mm;
    (stands && solid(other.bare)).then_some(parcel)
}

fn solid(solid: Solid) -> bool {
    let sides = match solid {
        Solid::Cylinder { radius_mm, height_mm } => [radius_mm, radius_mm, height_mm],
        Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
            [bottom_radius_mm, top_radius_mm, height_mm]
        }
        Solid::Block { x_mm, y_mm, z_mm } => [x_mm, y_mm, z_mm],
    };
    sides.iter().all(|&side| side >= SOLID_MM)
}

/// Figures out of bytes; when these end, zeros.
struct Figures<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Figures<'_> {
    fn byte(&mut self) -> u8 {
        let byte = self.bytes.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        byte
    }

    /// Mostly a figure of a parcel's size, now and then any figure there is.
    fn figure(&mut self, low: f64, high: f64) -> f64 {
        let kind = self.byte();
        if kind == 255 {
            return f64::from_bits(u64::from_le_bytes([(); 8].map(|()| self.byte())));
        }
        let share = f64::from(u16::from_le_bytes([kind, self.byte()])) / f64::from(u16::MAX);
        low + (high - low) * share
    }

    fn solid(&mut self) -> Solid {
        let [a, b, c] = [(); 3].map(|()| self.figure(0.0, 120.0));
        match self.byte() % 3 {
            0 => Solid::Cylinder { radius_mm: a, height_mm: b },
            1 => Solid::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm: c },
            _ => Solid::Block { x_mm: a, y_mm: b, z_mm: c },
        }
    }

    fn placement(&mut self) -> Placement {
        let axis = [(); 3].map(|()| self.figure(-1.0, 1.0));
        let angle = self.figure(0.0, 6.3);
        let at_mm = [(); 3].map(|()| self.figure(-50.0, 400.0));
        let length = axis.iter().map(|term| term * term).sum::<f64>().sqrt();
        if length.is_finite() && length > 1e-6 {
            Placement { at_mm, ..Placement::turned(axis.map(|term| term / length), angle) }
        } else {
            Placement::at(at_mm[0], at_mm[1], at_mm[2])
        }
    }
}

/// A parcel of a few bundles; sound in what the bytes don't touch.
fn made(figures: &mut Figures<'_>) -> Parcel {
    let count = 1 + usize::from(figures.byte()) % MOST;
    let bundles: Vec<PlacedBundle> = (1..=count as u32).map(|number| bundle(number, figures)).collect();
    let inside_mm = [(); 3].map(|()| figures.figure(100.0, 500.0));
    let mass: f64 = bundles.iter().map(|bundle| bundle.mass_g).sum();
    Parcel {
        carton: Carton {
            name: String::from("made"),
            inside_mm,
            outside_mm: inside_mm.map(|side| side + 8.0),
            cut_down_from_mm: None,
            tare_g: 250.0,
            max_gross_g: figures.figure(0.0, 50_000.0),
            board: String::from("single wall"),
        },
        crush: Crush { sideways: figures.figure(0.0, 1.0) },
        layers: vec![Layer {
            number: 1,
            bottom_mm: figures.figure(0.0, 50.0),
            top_mm: figures.figure(0.0, 300.0),
            bundles: (1..=count as u32).collect(),
        }],
        pads: Vec::new(),
        bundles,
        clearances: Vec::new(),
        fill: Fill { material: String::from("fill"), volume_mm3: 1e6, mass_g: 20.0, bed_mm: 10.0 },
        materials: Vec::new(),
        minutes: Minutes { wrapping: 1.0, boxing: 1.0 },
        gross_g: mass + 280.0,
        inner: None,
    }
}

fn bundle(number: u32, figures: &mut Figures<'_>) -> PlacedBundle {
    let placement = figures.placement();
    let parts: Vec<PlacedPart> = (0..1 + figures.byte() % 2)
        .map(|_| {
            let own = Placement::at(figures.figure(-50.0, 50.0), 0.0, 0.0);
            let wrap_mm = figures.figure(0.0, 20.0);
            let part = Part { kind: PartKind::Body, solid: figures.solid(), placement: own, wrap_mm };
            PlacedPart::new(&part, placement)
        })
        .collect();
    PlacedBundle {
        number,
        label: String::from("piece"),
        contents: vec![Contents { find: String::from("find"), what: String::from("piece"), count: 1 }],
        layer: 1,
        way_up: WayUp::Upright,
        yaw_deg: figures.figure(0.0, 360.0),
        placement,
        mass_g: figures.figure(0.0, 2_000.0),
        rests: Rest::Bed,
        walls: WallClearance {
            required_mm: figures.figure(0.0, 40.0),
            sides_mm: figures.figure(-10.0, 60.0),
            floor_mm: figures.figure(-10.0, 60.0),
            top_mm: figures.figure(-10.0, 60.0),
        },
        separation_mm: figures.figure(0.0, 20.0),
        bears_load: true,
        company: Company::Breakable,
        parts,
    }
}
