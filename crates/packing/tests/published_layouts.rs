//! Smallest squares for a disc with a handle, and equal circles in rectangles.
//!
//! Sources: closed forms (N = 1, 2 and 7: for N = 2 and 7 the handles vanish in the gaps, so the
//! bound of equal circles in a square is attained; radii in the table kept by E. Specht, Packomania).

use packing::{Standing, smallest_rectangle};
use plan::Crush;
use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

const NO_WRAP: Crush = Crush { sideways: 0.0 };

/// A bare disc of radius 54 mm with a handle 35 mm wide that reaches 38 mm beyond it.
fn handled() -> Standing {
    let body = Part {
        kind: PartKind::Body,
        solid: Solid::Cylinder { radius_mm: 54.0, height_mm: 90.0 },
        placement: Placement::at(0.0, 0.0, 45.0),
        wrap_mm: 0.0,
    };
    let handle = Part {
        kind: PartKind::Handle,
        solid: Solid::Block { x_mm: 92.0, y_mm: 35.0, z_mm: 60.0 },
        placement: Placement::at(46.0, 0.0, 45.0),
        wrap_mm: 0.0,
    };
    Standing::new(&bundle(vec![body, handle]), WayUp::Upright, NO_WRAP)
}

fn bundle(parts: Vec<Part>) -> Bundle {
    Bundle {
        label: String::from("piece"),
        contents: Vec::new(),
        parts,
        mass_g: 400.0,
        ways_up: vec![WayUp::Upright],
        wall_clearance_mm: 0.0,
        separation_mm: 0.0,
        bears_load: true,
        company: Company::Breakable,
        wrapped_volume_mm3: 1.0,
    }
}

fn square(n: usize) -> f64 {
    let piece = handled();
    smallest_rectangle(&vec![&piece; n], 0.0, NO_WRAP).short_mm
}

#[test]
fn no_layout_is_ever_found_below_the_closed_forms() {
    for (n, closed) in [(1, 131.428_19), (2, 184.367_53), (7, 309.530_70)] {
        let found = square(n);
        assert!(found > closed - 0.01, "{n} pieces in {found}, below the proven {closed}");
        assert!(found < closed * 1.005, "{n} pieces need {found}, the proven optimum is {closed}");
    }
}

#[test]
fn three_to_six_handled_discs_come_near_the_best_known_squares() {
    for (n, best) in [(3, 212.809_0), (4, 234.526_8), (5, 262.621_8), (6, 289.477_5)] {
        let found = square(n);
        assert!(found > best - 0.01, "{n} pieces in {found} would beat the best known {best}");
        assert!(found <= best * 1.005, "{n} pieces need {found}, best known {best}");
    }
}

#[test]
fn equal_circles_in_rectangles_meet_the_exact_grids() {
    // Radius over the long side: 3:4 with 12 is 1/8, 1:2 with 8 is 1/8, 2:3 with 6 is 1/6 (exact grids).
    for (n, ratio, radius) in [(12, 0.75, 0.125), (8, 0.5, 0.125), (6, 2.0 / 3.0, 1.0 / 6.0)] {
        let disc = Part {
            kind: PartKind::Body,
            solid: Solid::Cylinder { radius_mm: 50.0, height_mm: 80.0 },
            placement: Placement::at(0.0, 0.0, 40.0),
            wrap_mm: 0.0,
        };
        let piece = Standing::new(&bundle(vec![disc]), WayUp::Upright, NO_WRAP);
        let long = 50.0 / radius;
        let short = long * ratio;
        let found = smallest_rectangle(&vec![&piece; n], long - short, NO_WRAP).short_mm;
        assert!(found >= short - 0.01, "{n} circles in {found}, below the exact {short}");
        assert!(found <= short * 1.002, "{n} circles need {found}, exact {short}");
    }
}

#[test]
fn separation_is_a_distance_between_the_discs() {
    let disc = |separation_mm| {
        let part = Part {
            kind: PartKind::Body,
            solid: Solid::Cylinder { radius_mm: 50.0, height_mm: 80.0 },
            placement: Placement::at(0.0, 0.0, 40.0),
            wrap_mm: 0.0,
        };
        Standing::new(&Bundle { separation_mm, ..bundle(vec![part]) }, WayUp::Upright, NO_WRAP)
    };
    let piece = disc(6.0);
    // Two discs in a row: width 100, length 206.
    let found = smallest_rectangle(&[&piece, &piece], 106.0, NO_WRAP).short_mm;
    assert!((found - 100.0).abs() < 0.3, "{found}");
}

/// Closed form: equal discs in one row need a width of one diameter, however many they are.
#[test]
fn five_discs_go_into_a_row_one_diameter_wide() {
    let disc = Part {
        kind: PartKind::Body,
        solid: Solid::Cylinder { radius_mm: 50.0, height_mm: 80.0 },
        placement: Placement::at(0.0, 0.0, 40.0),
        wrap_mm: 0.0,
    };
    let piece = Standing::new(&bundle(vec![disc]), WayUp::Upright, NO_WRAP);
    let found = smallest_rectangle(&[&piece; 5], 400.0, NO_WRAP).short_mm;
    assert!((found - 100.0).abs() < 0.5, "{found}");
}

/// A 305 mm base with cushions: six go with 7.5 mm a side (290.0), not with 8 mm (289.0); seven never.
#[test]
fn a_twelve_inch_base_takes_six_handled_discs_and_never_seven() {
    let six = square(6);
    assert!(six <= 290.0, "{six}");
    assert!(six > 289.0, "{six} would beat the best known 289.4775");
    assert!(square(7) > 305.0);
}
