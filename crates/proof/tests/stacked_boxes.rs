//! Boxes that rest on boxes: a right plan is proved, and the same plan with one rule broken is refused
//! for that rule and no other.

mod parcels;

use parcels::{block, kinds, order, restate, shift, stand, wish};
use plan::{Parcel, Rest};
use proptest::prelude::*;
use shape::{Company, Solid};

/// Wrap of every book, mm.
const WRAP_MM: f64 = 7.0;

/// Two books side by side, one across both, and a small one on that.
fn books() -> Parcel {
    let book = |x: f64, y: f64, z: f64| block(x, y, z, WRAP_MM);
    let wishes = [
        wish("left book", book(100.0, 160.0, 30.0), [80.0, 120.0], 1),
        wish("right book", book(100.0, 160.0, 30.0), [194.0, 120.0], 1),
        wish("atlas", book(200.0, 150.0, 20.0), [137.0, 120.0], 1),
        wish("small book", book(90.0, 60.0, 25.0), [120.0, 110.0], 1),
    ];
    let mut parcel = stand([280.0, 240.0, 200.0], &wishes);
    for bundle in &mut parcel.bundles {
        bundle.bears_load = true;
        bundle.company = Company::Neutral;
    }
    let [_, _, atlas, small] = parcel.bundles.as_mut_slice() else { panic!("four books") };
    (atlas.layer, atlas.rests) = (2, Rest::On(vec![1, 2]));
    shift(atlas, [0.0, 0.0, 30.0 + 2.0 * WRAP_MM]);
    (small.layer, small.rests) = (3, Rest::On(vec![3]));
    shift(small, [0.0, 0.0, 50.0 + 4.0 * WRAP_MM]);
    parcel.layers = [1, 2, 3]
        .map(|number| plan::Layer { number, bottom_mm: 0.0, top_mm: 0.0, bundles: Vec::new() })
        .to_vec();
    restate(&mut parcel);
    parcel
}

#[test]
fn a_right_stack_of_books_is_proved() {
    let parcel = books();
    assert_eq!(proof::check(&parcel, &order(&parcel)), vec![]);
}

/// What is done to the right plan, how, and the one kind of violation that must come of it.
type Mutation = (&'static str, fn(&mut Parcel), &'static str);

const MUTATIONS: &[Mutation] = &[
    (
        "an edge that hangs over by 1.2 mm",
        |p| {
            // The right book's wrap ends at x = 251; the base of the atlas reaches 237 and the wrap of the
            // left one covers from 23.
            shift(&mut p.bundles[2], [15.2, 0.0, 0.0]);
            restate(p);
        },
        "Overhang",
    ),
    (
        "a hole in the middle of what carries",
        |p| {
            shift(&mut p.bundles[0], [-5.0, 0.0, 0.0]);
            restate(p);
        },
        "Overhang",
    ),
    ("a rest that forgets one of two", |p| p.bundles[2].rests = Rest::On(vec![1]), "Overhang RestNotNamed"),
    (
        "a rest that forgets one under its edge",
        |p| {
            // The atlas is cut short: all of its base but 0.9 mm lies over the left book's wrap.
            if let Solid::Block { x_mm, .. } = &mut p.bundles[2].parts[0].bare {
                *x_mm = 100.0;
            }
            shift(&mut p.bundles[2], [-49.1, 0.0, 0.0]);
            shift(&mut p.bundles[3], [-40.0, 0.0, 0.0]);
            p.bundles[2].rests = Rest::On(vec![1]);
            restate(p);
        },
        "RestNotNamed",
    ),
    ("a rest on one that lies deeper", |p| p.bundles[3].rests = Rest::On(vec![1, 3]), "NotResting"),
    (
        "a rest on one of the right height that lies beside it",
        |p| {
            // The atlas is cut short, so that it lies on the left book alone.
            if let Solid::Block { x_mm, .. } = &mut p.bundles[2].parts[0].bare {
                *x_mm = 86.0;
            }
            shift(&mut p.bundles[2], [-57.0, 0.0, 0.0]);
            shift(&mut p.bundles[3], [-35.0, 0.0, 0.0]);
            if let Solid::Block { x_mm, .. } = &mut p.bundles[3].parts[0].bare {
                *x_mm = 60.0;
            }
            restate(p);
        },
        "NotBeneath",
    ),
    ("a carrier that may bear no load", |p| p.bundles[1].bears_load = false, "BundleBearsNoLoad"),
    (
        "a carrier that is loaded later",
        |p| {
            for (index, number) in [(0, 1), (1, 3), (2, 2)] {
                p.bundles[index].number = number;
            }
            p.bundles[2].rests = Rest::On(vec![1, 3]);
            p.bundles[3].rests = Rest::On(vec![2]);
            restate(p);
        },
        "LoweringBlocked RestsOnLater",
    ),
    ("a rest on nothing", |p| p.bundles[2].rests = Rest::On(Vec::new()), "WrongRest"),
    ("a rest on one that is not there", |p| p.bundles[2].rests = Rest::On(vec![1, 2, 9]), "WrongRest"),
    ("a rest on itself", |p| p.bundles[3].rests = Rest::On(vec![4]), "WrongRest"),
    ("a carrier named twice", |p| p.bundles[2].rests = Rest::On(vec![1, 1, 2]), "WrongRest"),
    (
        "a rest on one of its own layer",
        |p| {
            p.bundles[3].layer = 2;
            p.layers.pop();
            restate(p);
        },
        "WrongRest",
    ),
    (
        "a book that floats",
        |p| {
            shift(&mut p.bundles[3], [0.0, 0.0, 0.6]);
            restate(p);
        },
        "NotResting",
    ),
    (
        "a book sunk into the one beneath it",
        |p| {
            shift(&mut p.bundles[3], [0.0, 0.0, -0.6]);
            restate(p);
        },
        "NotResting",
    ),
    (
        "a separation wider than the wraps between them",
        |p| {
            for book in [2, 3] {
                p.bundles[book].separation_mm = 2.0 * WRAP_MM + 0.1;
            }
        },
        "TooClose",
    ),
    ("a book said to stand on the bed", |p| p.bundles[2].rests = Rest::Bed, "WrongRest"),
];

#[test]
fn each_broken_rule_of_resting_is_named_and_no_other() {
    let wrong: Vec<String> = MUTATIONS
        .iter()
        .filter_map(|(what, mutate, kind)| {
            let mut parcel = books();
            mutate(&mut parcel);
            let found = kinds(&parcel).join(" ");
            (found != *kind).then(|| {
                format!(
                    "{what}: wanted {kind}, found [{found}]: {:#?}",
                    proof::check(&parcel, &order(&parcel))
                )
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is done to the right plan, and how.
type Change = (&'static str, fn(&mut Parcel));

/// Just inside each tolerance the plan still holds.
#[test]
fn what_hangs_over_by_less_than_a_millimetre_is_proved() {
    let kept: &[Change] = &[
        ("an edge that hangs over by 0.8", |p| {
            shift(&mut p.bundles[2], [14.8, 0.0, 0.0]);
            restate(p);
        }),
        ("a gap of 1.8 between carriers", |p| {
            shift(&mut p.bundles[0], [-1.8, 0.0, 0.0]);
            restate(p);
        }),
        ("a float of 0.4", |p| {
            shift(&mut p.bundles[3], [0.0, 0.0, 0.4]);
            restate(p);
        }),
    ];
    for (what, mutate) in kept {
        let mut parcel = books();
        mutate(&mut parcel);
        assert_eq!(proof::check(&parcel, &order(&parcel)), vec![], "{what}");
    }
}

#[test]
fn a_stack_on_the_rim_of_a_tumbler_hangs_over() {
    let mut parcel = books();
    // The small book on an upright jar: its rim carries less than the book's base.
    let jar = parcels::tumbler(30.0, 20.0, WRAP_MM);
    parcel.bundles[2].parts =
        jar.iter().map(|part| plan::PlacedPart::new(part, parcel.bundles[2].placement)).collect();
    restate(&mut parcel);
    assert!(kinds(&parcel).contains(&"Overhang".to_owned()));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn any_list_of_carriers_ends_in_a_sentence(
        lists in prop::collection::vec(prop::collection::vec(prop_oneof![0..6_u32, Just(u32::MAX)], 0..4), 4),
        layers in prop::array::uniform4(0..5_u32),
        turn in prop::array::uniform4(-1.0..1.0_f64),
        at in prop::array::uniform3(-50.0..250.0_f64),
    ) {
        let mut parcel = books();
        for ((bundle, list), layer) in parcel.bundles.iter_mut().zip(lists).zip(layers) {
            bundle.rests = Rest::On(list);
            bundle.layer = layer;
        }
        let length = turn.iter().map(|term| term * term).sum::<f64>().sqrt();
        prop_assume!(length > 0.1);
        parcel.bundles[2].parts[0].placement.turn = turn.map(|term| term / length);
        parcel.bundles[1].parts[0].placement.at_mm = at;
        let broken = proof::check(&parcel, &order(&parcel));
        prop_assert!(!broken.is_empty());
        prop_assert!(broken.iter().all(|violation| !violation.to_string().is_empty()));
    }

    /// A sheet on a field of tiles, by the closed form: carried exactly when no edge of it lies beyond them.
    #[test]
    fn an_axis_aligned_base_is_carried_exactly_when_it_stays_over_its_carriers(
        dx in -40.0..40.0_f64, dy in -40.0..40.0_f64,
    ) {
        let mut parcel = books();
        parcel.carton.inside_mm = [500.0, 500.0, 200.0];
        parcel.carton.outside_mm = [510.0, 510.0, 210.0];
        for bundle in &mut parcel.bundles {
            shift(bundle, [100.0, 100.0, 0.0]);
        }
        parcel.bundles.pop();
        parcel.layers.pop();
        shift(&mut parcel.bundles[2], [dx, dy, 0.0]);
        restate(&mut parcel);
        // Wrapped tops together span 228 by 174 mm; the base is 200 by 150.
        let beyond = (dx.abs() - 14.0).max(dy.abs() - 12.0);
        prop_assume!((beyond - 1.0).abs() > 0.02);
        let hangs = kinds(&parcel).contains(&"Overhang".to_owned());
        prop_assert_eq!(hangs, beyond > 1.0);
    }
}
