//! Figures that geometry can be done with: finite, positive, of a parcel's size.
//!
//! Everything after this check may rely on it, so a broken record ends in a sentence, not a panic.

use plan::{Parcel, PlacedBundle, PlacedPart};
use shape::{Placement, Solid};

use crate::named::Named;
use crate::violation::Violation;

/// Longest side or coordinate that a parcel may speak of, mm (judgement: far past any carton).
const LONGEST_MM: f64 = 10_000.0;

/// Thinnest hard solid, mm (judgement: thinner than any piece's wall).
const THINNEST_MM: f64 = 0.01;

/// Heaviest mass that a parcel may speak of, g (judgement).
const HEAVIEST_G: f64 = 1_000_000.0;

/// How far a quaternion's length may be from 1.
const UNIT_SLACK: f64 = 1e-6;

/// Lists every figure that cannot be right.
pub(crate) fn check(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let mut figures = Figures { broken };
    let carton = &parcel.carton;
    for (axis, name) in ["length", "width", "height"].into_iter().enumerate() {
        figures.side(|| format!("the carton's inside {name}"), carton.inside_mm[axis]);
        figures.side(|| format!("the carton's outside {name}"), carton.outside_mm[axis]);
    }
    if let Some(height) = carton.cut_down_from_mm {
        figures.side(|| "the carton's height before it was cut down".into(), height);
    }
    figures.mass(|| "the carton's tare".into(), carton.tare_g);
    figures.mass(|| "the carton's largest gross mass".into(), carton.max_gross_g);
    figures.mass(|| "the gross mass".into(), parcel.gross_g);
    figures.mass(|| "the mass of the fill".into(), parcel.fill.mass_g);
    figures.thickness(|| "the depth of the bed".into(), parcel.fill.bed_mm);
    figures.within(
        || "the share by which wrap may be pressed".into(),
        parcel.crush.sideways,
        0.0,
        1.0,
        "from 0 to 1",
    );
    for layer in &parcel.layers {
        figures.coordinate(|| format!("the bottom of layer {}", layer.number), layer.bottom_mm);
        figures.coordinate(|| format!("the top of layer {}", layer.number), layer.top_mm);
    }
    for pad in &parcel.pads {
        figures.coordinate(|| format!("the underside of pad {}", pad.number), pad.bottom_mm);
        figures.side(|| format!("the thickness of pad {}", pad.number), pad.thickness_mm);
    }
    for pair in &parcel.clearances {
        let place = |figure: &str| format!("the {figure} distance of bundles {} and {}", pair.a, pair.b);
        figures.thickness(|| place("required"), pair.required_mm);
        figures.thickness(|| place("actual"), pair.actual_mm);
    }
    for row in &parcel.materials {
        figures.mass(|| format!("the mass of {}", row.material), row.mass_g);
        figures.within(
            || format!("the quantity of {}", row.material),
            row.quantity,
            0.0,
            f64::MAX,
            "finite, 0 or more",
        );
    }
    for (work, minutes) in [("wrapping", parcel.minutes.wrapping), ("boxing", parcel.minutes.boxing)] {
        figures.within(|| format!("the time for {work}"), minutes, 0.0, f64::MAX, "finite, 0 or more");
    }
    figures.within(
        || "the volume of the fill".into(),
        parcel.fill.volume_mm3,
        0.0,
        f64::MAX,
        "finite, 0 or more",
    );
    for bundle in &parcel.bundles {
        figures.bundle(bundle);
    }
}

struct Figures<'a> {
    broken: &'a mut Vec<Violation>,
}

impl Figures<'_> {
    fn bundle(&mut self, bundle: &PlacedBundle) {
        let of = |figure: &str| format!("the {figure} of {}", Named::of(bundle));
        self.mass(|| of("mass"), bundle.mass_g);
        self.within(|| of("yaw"), bundle.yaw_deg, 0.0, 360.0, "from 0 to 360 degrees");
        self.thickness(|| of("separation"), bundle.separation_mm);
        self.thickness(|| of("required wall clearance"), bundle.walls.required_mm);
        self.coordinate(|| of("distance to the sides"), bundle.walls.sides_mm);
        self.coordinate(|| of("distance to the floor"), bundle.walls.floor_mm);
        self.coordinate(|| of("distance to the top"), bundle.walls.top_mm);
        self.placement(|| of("placement"), bundle.placement);
        if bundle.parts.is_empty() {
            self.report(of("list of parts"), "empty".into(), "at least one hard part");
        }
        for part in &bundle.parts {
            self.part(
                |figure| format!("the {figure} of the {} of {}", part.kind.word(), Named::of(bundle)),
                part,
            );
        }
    }

    fn part(&mut self, of: impl Fn(&str) -> String, part: &PlacedPart) {
        self.solid(|| of("bare solid"), part.bare);
        self.solid(|| of("wrapped solid"), part.grown);
        self.thickness(|| of("wrap"), part.wrap_mm);
        self.placement(|| of("placement"), part.placement);
    }

    fn solid(&mut self, place: impl Fn() -> String, solid: Solid) {
        let (sides, radii) = match solid {
            Solid::Cylinder { radius_mm, height_mm } => ([radius_mm, height_mm, height_mm], [1.0; 2]),
            Solid::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm } => {
                // One end may be a point, so only the larger radius must be positive.
                ([height_mm, height_mm, a.max(b)], [a, b])
            }
            Solid::Block { x_mm, y_mm, z_mm } => ([x_mm, y_mm, z_mm], [1.0; 2]),
        };
        let radii_hold = radii.into_iter().all(|radius| (0.0..=LONGEST_MM).contains(&radius));
        let sides_hold = sides.into_iter().all(|side| (THINNEST_MM..=LONGEST_MM).contains(&side));
        if !(radii_hold && sides_hold) {
            self.report(place(), format!("{solid:?}"), "0.01 mm to 10 m on every side");
        }
    }

    fn placement(&mut self, place: impl Fn() -> String, placement: Placement) {
        for coordinate in placement.at_mm {
            self.coordinate(&place, coordinate);
        }
        let length = placement.turn.into_iter().map(|term| term * term).sum::<f64>().sqrt();
        self.within(
            || format!("the length of the quaternion in {}", place()),
            length,
            1.0 - UNIT_SLACK,
            1.0 + UNIT_SLACK,
            "1",
        );
    }

    fn side(&mut self, place: impl Fn() -> String, figure: f64) {
        self.within(place, figure, THINNEST_MM, LONGEST_MM, "0.01 mm to 10 m");
    }

    fn thickness(&mut self, place: impl Fn() -> String, figure: f64) {
        self.within(place, figure, 0.0, LONGEST_MM, "0 mm to 10 m");
    }

    fn coordinate(&mut self, place: impl Fn() -> String, figure: f64) {
        self.within(place, figure, -LONGEST_MM, LONGEST_MM, "within 10 m of the carton's corner");
    }

    fn mass(&mut self, place: impl Fn() -> String, figure: f64) {
        self.within(place, figure, 0.0, HEAVIEST_G, "0 g to 1000 kg");
    }

    fn within(
        &mut self,
        place: impl Fn() -> String,
        figure: f64,
        least: f64,
        most: f64,
        wanted: &'static str,
    ) {
        if !(least..=most).contains(&figure) {
            self.report(place(), figure.to_string(), wanted);
        }
    }

    fn report(&mut self, place: String, found: String, wanted: &'static str) {
        self.broken.push(Violation::BadFigure { place, found, wanted });
    }
}
