//! Laws: the verdict agrees with closed forms, and no record, however broken, stops the checker.

mod parcels;

use parcels::{names, order, part, restate, stand, tumbler, two_layers, wish};
use plan::{Parcel, TOLERANCE_MM};
use proptest::prelude::*;
use shape::{PartKind, Placement, Solid};

/// A way to one figure of a parcel.
type Figure = fn(&mut Parcel) -> &mut f64;

const FIGURES: &[Figure] = &[
    |p| &mut p.carton.inside_mm[0],
    |p| &mut p.carton.inside_mm[2],
    |p| &mut p.carton.outside_mm[1],
    |p| &mut p.carton.tare_g,
    |p| &mut p.carton.max_gross_g,
    |p| &mut p.crush.sideways,
    |p| &mut p.gross_g,
    |p| &mut p.fill.bed_mm,
    |p| &mut p.fill.mass_g,
    |p| &mut p.fill.volume_mm3,
    |p| &mut p.minutes.boxing,
    |p| &mut p.layers[0].top_mm,
    |p| &mut p.layers[1].bottom_mm,
    |p| &mut p.pads[0].bottom_mm,
    |p| &mut p.pads[0].thickness_mm,
    |p| &mut p.clearances[0].actual_mm,
    |p| &mut p.clearances[0].required_mm,
    |p| &mut p.bundles[0].mass_g,
    |p| &mut p.bundles[1].separation_mm,
    |p| &mut p.bundles[2].yaw_deg,
    |p| &mut p.bundles[2].placement.at_mm[0],
    |p| &mut p.bundles[2].placement.turn[0],
    |p| &mut p.bundles[3].walls.required_mm,
    |p| &mut p.bundles[3].walls.sides_mm,
    |p| &mut p.bundles[4].walls.floor_mm,
    |p| &mut p.bundles[4].walls.top_mm,
    |p| &mut p.bundles[4].parts[0].wrap_mm,
    |p| &mut p.bundles[4].parts[0].placement.at_mm[2],
    |p| &mut p.bundles[4].parts[0].placement.turn[1],
    |p| first_side(&mut p.bundles[0].parts[0].bare),
    |p| first_side(&mut p.bundles[3].parts[0].bare),
    |p| first_side(&mut p.bundles[5].parts[0].bare),
    |p| first_side(&mut p.bundles[5].parts[0].grown),
];

fn first_side(solid: &mut Solid) -> &mut f64 {
    match solid {
        Solid::Cylinder { radius_mm, .. } => radius_mm,
        Solid::Frustum { bottom_radius_mm, .. } => bottom_radius_mm,
        Solid::Block { x_mm, .. } => x_mm,
    }
}

#[test]
fn a_figure_that_is_not_finite_is_named_wherever_it_stands() {
    for (index, figure) in FIGURES.iter().enumerate() {
        for broken in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut parcel = two_layers();
            let expected = order(&parcel);
            *figure(&mut parcel) = broken;
            assert_eq!(names(&proof::check(&parcel, &expected)), ["BadFigure"], "figure {index} = {broken}");
        }
    }
}

fn odd_figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(0.0),
        Just(-0.0),
        Just(-1.0),
        Just(1e308),
        Just(-1e308),
        Just(f64::MIN_POSITIVE),
        Just(1e-9),
        Just(0.01),
        Just(9_999.0),
        -400.0..400.0,
        any::<f64>(),
    ]
}

fn solid() -> impl Strategy<Value = Solid> {
    let side = || prop_oneof![4 => 5.0..150.0_f64, 1 => 0.01..1.0_f64, 1 => 1000.0..2_000.0_f64];
    prop_oneof![
        (side(), side()).prop_map(|(radius_mm, height_mm)| Solid::Cylinder { radius_mm, height_mm }),
        (prop_oneof![Just(0.0), side()], side(), side()).prop_map(
            |(bottom_radius_mm, top_radius_mm, height_mm)| {
                Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm }
            }
        ),
        (side(), side(), side()).prop_map(|(x_mm, y_mm, z_mm)| Solid::Block { x_mm, y_mm, z_mm }),
    ]
}

fn turn() -> impl Strategy<Value = Placement> {
    // Quarter turns as well as any turn: parallel faces are where iterations stall.
    let any_turn = (prop::array::uniform3(-1.0..1.0_f64), 0.0..6.3_f64).prop_map(|([x, y, z], angle)| {
        let length = (x * x + y * y + z * z).sqrt().max(1e-3);
        let (sin, cos) = (0.5 * angle).sin_cos();
        let turn = [cos, sin * x / length, sin * y / length, sin * z / length];
        let norm = turn.iter().map(|term| term * term).sum::<f64>().sqrt();
        Placement { at_mm: [0.0; 3], turn: turn.map(|term| term / norm) }
    });
    prop_oneof![
        any_turn,
        (0..4_u8).prop_map(|quarter| {
            Placement::turned([1.0, 0.0, 0.0], std::f64::consts::FRAC_PI_2 * f64::from(quarter))
        })
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1500) })]

    #[test]
    fn odd_figures_never_stop_the_checker(changes in prop::collection::vec((0..FIGURES.len(), odd_figure()), 1..4)) {
        let mut parcel = two_layers();
        for (index, figure) in changes {
            *FIGURES[index](&mut parcel) = figure;
        }
        let broken = proof::check(&parcel, &[]);
        prop_assert!(broken.iter().all(|violation| !violation.to_string().is_empty()));
    }

    #[test]
    fn odd_numbers_never_stop_the_checker(numbers in prop::collection::vec(prop_oneof![0..8_u32, Just(u32::MAX)], 12)) {
        let mut parcel = two_layers();
        for (bundle, pair) in parcel.bundles.iter_mut().zip(numbers.chunks(2)) {
            (bundle.number, bundle.layer) = (pair[0], pair[1]);
            bundle.rests = plan::Rest::Pad(pair[1]);
        }
        parcel.pads[0].number = numbers[0];
        parcel.pads[0].above_layer = numbers[1];
        parcel.layers[0].number = numbers[2];
        parcel.clearances[0].a = numbers[3];
        prop_assert!(!proof::check(&parcel, &order(&parcel)).is_empty());
    }

    #[test]
    fn any_solids_anywhere_never_stop_the_checker(
        solids in prop::collection::vec((solid(), turn(), prop::array::uniform2(0.0..300.0_f64)), 2..5)
    ) {
        let wishes: Vec<_> = solids
            .into_iter()
            .map(|(solid, turn, at)| {
                let mut parts = vec![part(PartKind::Body, solid, [0.0; 3], 3.0)];
                parts[0].placement = turn;
                wish("thing", parts, at, 1)
            })
            .collect();
        let parcel = stand([300.0, 300.0, 300.0], &wishes);
        let broken = proof::check(&parcel, &order(&parcel));
        prop_assert!(!names(&broken).contains(&"BadFigure".to_owned()));
    }

    #[test]
    fn upright_cylinders_are_refused_exactly_when_their_axes_are_too_near(
        places in prop::collection::vec((prop::array::uniform2(60.0..340.0_f64), 10.0..50.0_f64, 0.0..12.0_f64), 2..6),
        separation in 0.0..20.0_f64,
    ) {
        let wishes: Vec<_> =
            places.iter().map(|(at, radius, wrap)| wish("jar", tumbler(*radius, 80.0, *wrap), *at, 1)).collect();
        let mut parcel = stand([400.0, 400.0, 200.0], &wishes);
        for bundle in &mut parcel.bundles {
            bundle.separation_mm = separation;
            bundle.walls.required_mm = 0.0;
        }
        restate(&mut parcel);
        parcel.clearances.clear();
        // Slack of each pair by the closed form; the tolerance's own edge is left undecided.
        let mut near = Vec::new();
        for (i, ([x, y], r, w)) in places.iter().enumerate() {
            for ([u, v], s, z) in &places[i + 1..] {
                near.push((x - u).hypot(y - v) - r - s - separation.max(0.75 * (w + z)));
            }
        }
        prop_assume!(near.iter().all(|slack| (slack + TOLERANCE_MM).abs() > 1e-4));
        let too_near = near.iter().filter(|slack| **slack < -TOLERANCE_MM).count();
        let broken = proof::check(&parcel, &order(&parcel));
        prop_assert_eq!(broken.len(), too_near, "{:?}", broken);
    }
}
