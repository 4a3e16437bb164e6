//! Discs with handles in squares: closed forms that a sound checker cannot be talked past.
//!
//! One disc of radius R whose handle of width w reaches to R + r: the least square has the side
//! R + (R + r + w/2) / sqrt 2. Two: 2R (1 + 1 / sqrt 2). Seven: R over the greatest radius of seven
//! equal circles in the unit square, 0.174457630187 (proven optimal; the handles fit between).

mod parcels;

use parcels::{mug, names, order, restate, stand, wish};
use plan::Parcel;
use proptest::prelude::*;
use serde_json::Value;

const RADIUS_MM: f64 = 54.0;
const REACH_MM: f64 = 38.0;
const WIDTH_MM: f64 = 35.0;

/// Least side for 1, 2 and 7 pieces, mm.
fn closed_form(pieces: usize) -> f64 {
    let root = 2f64.sqrt();
    match pieces {
        1 => RADIUS_MM + (RADIUS_MM + REACH_MM + 0.5 * WIDTH_MM) / root,
        2 => 2.0 * RADIUS_MM * (1.0 + 1.0 / root),
        7 => RADIUS_MM / 0.174_457_630_187,
        _ => unreachable!("no closed form for {pieces}"),
    }
}

/// Layouts `[x, y, yaw]` by number of pieces.
fn layouts() -> Vec<Vec<[f64; 3]>> {
    let data: Value = serde_json::from_str(include_str!("data/handle_layouts.json")).expect("data is JSON");
    let number = |value: &Value| value.as_f64().expect("a number");
    let row = |row: &Value| [number(&row[0]), number(&row[1]), number(&row[2])];
    let cases = data["cases"].as_array().expect("a list");
    cases.iter().map(|case| case["layout"].as_array().expect("a list").iter().map(row).collect()).collect()
}

/// Bare pieces in a square carton, nothing required but that hard parts do not meet.
fn in_square(side_mm: f64, layout: &[[f64; 3]]) -> Parcel {
    let wishes: Vec<_> = layout
        .iter()
        .map(|[x, y, yaw]| {
            let mut wish = wish("mug", mug(RADIUS_MM, REACH_MM, WIDTH_MM, 95.0, 0.0), [*x, *y], 1);
            wish.yaw_deg = yaw.to_degrees().rem_euclid(360.0);
            wish
        })
        .collect();
    let mut parcel = stand([side_mm, side_mm, 200.0], &wishes);
    for bundle in &mut parcel.bundles {
        bundle.separation_mm = 0.0;
        bundle.walls.required_mm = 0.0;
    }
    restate(&mut parcel);
    parcel
}

/// A layout about its square's middle, squeezed and moved to the middle of another.
fn recentred(layout: &[[f64; 3]], from_mm: f64, to_mm: f64, squeeze: f64) -> Vec<[f64; 3]> {
    let place = |at: f64| 0.5 * to_mm + squeeze * (at - 0.5 * from_mm);
    layout.iter().map(|[x, y, yaw]| [place(*x), place(*y), *yaw]).collect()
}

#[test]
fn the_closed_forms_are_the_reference_figures_to_their_last_digit() {
    for (pieces, side) in [(1, 131.4282), (2, 184.3675), (7, 309.5307)] {
        assert!((closed_form(pieces) - side).abs() < 5e-5, "{pieces}: {}", closed_form(pieces));
    }
}

#[test]
fn a_twentieth_of_a_millimetre_over_the_least_side_is_proved() {
    for layout in layouts() {
        let side = closed_form(layout.len());
        let parcel = in_square(side + 0.05, &recentred(&layout, side, side + 0.05, 1.0));
        assert_eq!(proof::check(&parcel, &order(&parcel)), vec![], "{} pieces", layout.len());
    }
}

#[test]
fn a_twentieth_under_the_least_side_is_refused_however_the_layout_is_squeezed() {
    for layout in layouts() {
        let side = closed_form(layout.len());
        let under = side - 0.05;
        // At the last step all walls are kept and the pieces take the whole shortfall.
        let tightest = (under - 2.0 * RADIUS_MM) / (side - 2.0 * RADIUS_MM);
        for step in 0..=20 {
            let squeeze = 1.0 + (tightest - 1.0) * f64::from(step) / 20.0;
            let parcel = in_square(under, &recentred(&layout, side, under, squeeze));
            let kinds = names(&proof::check(&parcel, &order(&parcel)));
            assert!(
                kinds == ["TooClose"] || kinds == ["TooNearWall"] || kinds == ["TooClose", "TooNearWall"],
                "{} pieces, squeeze {squeeze}: {kinds:?}",
                layout.len()
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn no_jitter_makes_an_impossible_square_pass(
        which in 0..3_usize,
        jitter in prop::collection::vec((-0.06..0.06, -0.06..0.06, -0.002..0.002), 7),
        squeeze in 0.9995..1.0_f64,
    ) {
        let layout = &layouts()[which];
        let side = closed_form(layout.len());
        let mut moved = recentred(layout, side, side - 0.05, squeeze);
        for (row, (x, y, yaw)) in moved.iter_mut().zip(jitter) {
            *row = [row[0] + x, row[1] + y, row[2] + yaw];
        }
        let parcel = in_square(side - 0.05, &moved);
        prop_assert!(!proof::check(&parcel, &order(&parcel)).is_empty());
    }
}
