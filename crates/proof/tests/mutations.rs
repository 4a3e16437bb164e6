//! A right plan is proved; the same plan with one rule broken is refused for that rule and no other.

mod parcels;

use parcels::{kinds, order, restate, shift, two_layers};
use plan::{Pad, PairClearance, Parcel, Rest};
use shape::{Company, Solid};

#[test]
fn a_right_plan_of_two_layers_is_proved() {
    let parcel = two_layers();
    assert_eq!(proof::check(&parcel, &order(&parcel)), vec![]);
}

fn heighten(parcel: &mut Parcel, index: usize, by_mm: f64) {
    let part = &mut parcel.bundles[index].parts[0];
    match &mut part.bare {
        Solid::Cylinder { height_mm, .. } | Solid::Frustum { height_mm, .. } => *height_mm += by_mm,
        Solid::Block { z_mm, .. } => *z_mm += by_mm,
    }
    part.placement.at_mm[2] += 0.5 * by_mm;
}

fn top_pad(parcel: &mut Parcel, bottom_mm: f64, thickness_mm: f64, above_layer: u32) {
    parcel.pads.push(Pad { number: 2, bottom_mm, thickness_mm, above_layer });
}

/// What is done to the right plan, how, and the one kind of violation that must come of it.
type Mutation = (&'static str, fn(&mut Parcel), &'static str);

const MUTATIONS: &[Mutation] = &[
    (
        "a separation short by 0.1",
        |p| {
            shift(&mut p.bundles[1], [-8.1, 0.0, 0.0]);
            restate(p);
        },
        "TooClose",
    ),
    (
        "one of two separations wider than the gap",
        |p| {
            p.bundles[1].separation_mm = 20.1;
            restate(p);
        },
        "TooClose",
    ),
    (
        "the far end too near",
        |p| {
            shift(&mut p.bundles[3], [40.1, 0.0, 0.0]);
            restate(p);
        },
        "TooNearWall",
    ),
    (
        "the far side too near",
        |p| {
            shift(&mut p.bundles[3], [0.0, 40.1, 0.0]);
            restate(p);
        },
        "TooNearWall",
    ),
    ("a layer that lists another in place of one", |p| p.layers[0].bundles[0] = 2, "LayerList"),
    ("a turn that stretches", |p| p.bundles[0].placement.turn[0] = 1.001, "BadFigure"),
    (
        "bodies in each other",
        |p| {
            shift(&mut p.bundles[1], [-60.0, 0.0, 0.0]);
            p.bundles[1].separation_mm = 0.0;
            restate(p);
            p.clearances.clear();
        },
        "TooClose",
    ),
    (
        "bodies in each other, nothing required",
        |p| {
            for i in [0, 1] {
                p.bundles[i].separation_mm = 0.0;
                p.bundles[i].parts[0].wrap_mm = 0.0;
                shift(&mut p.bundles[i], [0.0, 0.0, -6.0]);
                heighten(p, i, 12.0);
            }
            shift(&mut p.bundles[1], [-20.1, 0.0, 0.0]);
            restate(p);
            p.clearances.clear();
        },
        "TooClose",
    ),
    (
        "wraps short by 0.1 with no separation asked",
        |p| {
            p.bundles[0].separation_mm = 0.0;
            p.bundles[1].separation_mm = 0.0;
            shift(&mut p.bundles[1], [-11.1, 0.0, 0.0]);
            restate(p);
        },
        "WrapPressed",
    ),
    (
        "a wall nearer by 0.1",
        |p| {
            shift(&mut p.bundles[0], [-20.1, 0.0, 0.0]);
            restate(p);
        },
        "TooNearWall",
    ),
    (
        "a body through the wall",
        |p| {
            shift(&mut p.bundles[0], [-35.0, 0.0, 0.0]);
            restate(p);
        },
        "TooNearWall",
    ),
    (
        "a wrap pressed by 0.1 more at a wall",
        |p| {
            p.bundles[0].walls.required_mm = 0.0;
            shift(&mut p.bundles[0], [0.0, -25.6, 0.0]);
            restate(p);
        },
        "WrapPressedAtWall",
    ),
    (
        "a top too low",
        |p| {
            p.carton.inside_mm[2] = 296.9;
            restate(p);
        },
        "TooNearWall",
    ),
    ("a side figure over by 0.02", |p| p.bundles[3].walls.sides_mm += 0.02, "WallFigure"),
    ("a floor figure over by 0.02", |p| p.bundles[3].walls.floor_mm += 0.02, "WallFigure"),
    ("a top figure over by 0.02", |p| p.bundles[3].walls.top_mm += 0.02, "WallFigure"),
    ("an actual clearance overstated by 0.06", |p| p.clearances[0].actual_mm += 0.06, "ClearanceFigure"),
    ("a required clearance off by 0.06", |p| p.clearances[0].required_mm -= 0.06, "ClearanceFigure"),
    ("a clearance to itself", |p| p.clearances[0].b = 1, "ClearanceOfNone"),
    ("a clearance to nobody", |p| p.clearances[0].b = 77, "ClearanceOfNone"),
    (
        "a clearance across layers",
        |p| p.clearances.push(PairClearance { a: 1, b: 5, required_mm: 12.0, actual_mm: 20.0 }),
        "ClearanceOfNone",
    ),
    (
        "a wrapped solid too thin",
        |p| p.bundles[0].parts[0].grown = p.bundles[0].parts[0].bare.grown(5.9),
        "GrownSolid",
    ),
    (
        "a wrapped solid of another form",
        |p| p.bundles[0].parts[0].grown = Solid::Block { x_mm: 92.0, y_mm: 92.0, z_mm: 112.0 },
        "GrownSolid",
    ),
    ("a stated yaw off by a degree", |p| p.bundles[2].yaw_deg += 1.0, "Turn"),
    ("a stated way up of another bundle", |p| p.bundles[2].way_up = shape::WayUp::OnEnd, "Turn"),
    (
        "a pad with a wrong number",
        |p| {
            p.pads[0].number = 2;
            for i in [4, 5] {
                p.bundles[i].rests = Rest::Pad(2);
            }
        },
        "PadNumber",
    ),
    (
        "a pad of no layer",
        |p| {
            top_pad(p, 300.0, 5.0, 9);
        },
        "PadOfNoLayer",
    ),
    (
        "a pad out at the top",
        |p| {
            p.bundles[4].bears_load = true;
            top_pad(p, 292.0, 20.0, 2);
        },
        "PadOutside",
    ),
    (
        "two pads in each other",
        |p| {
            p.pads[0].thickness_mm = 5.0;
            top_pad(p, 136.8, 5.2, 1);
            for i in [4, 5] {
                p.bundles[i].rests = Rest::Pad(2);
            }
        },
        "PadsOverlap",
    ),
    (
        "a wrap pressed into the pad",
        |p| {
            p.crush.sideways = 0.0;
            shift(&mut p.bundles[5], [0.0, 0.0, -0.4]);
            restate(p);
        },
        "PadPierced",
    ),
    ("an upper bundle said to rest on the bed", |p| p.bundles[5].rests = Rest::Bed, "WrongRest"),
    ("an upper bundle said to rest on no pad", |p| p.bundles[5].rests = Rest::Pad(9), "WrongRest"),
    (
        "a floating bundle",
        |p| {
            shift(&mut p.bundles[5], [0.0, 0.0, 0.6]);
            restate(p);
        },
        "NotResting",
    ),
    (
        "a bundle sunk into the bed",
        |p| {
            shift(&mut p.bundles[0], [0.0, 0.0, -0.6]);
            restate(p);
        },
        "NotResting",
    ),
    (
        "a floating pad",
        |p| {
            p.pads[0].bottom_mm += 0.6;
            for i in [4, 5] {
                shift(&mut p.bundles[i], [0.0, 0.0, 0.6]);
            }
            restate(p);
        },
        "PadNotCarried",
    ),
    (
        "a bundle above the pad over it",
        |p| {
            heighten(p, 0, 0.6);
            restate(p);
        },
        "AbovePad",
    ),
    ("a bearer that may not", |p| p.bundles[0].bears_load = false, "BearsNoLoad"),
    (
        "a load beside its bearers",
        |p| {
            for i in [1, 2, 3] {
                heighten(p, i, -1.0);
            }
            restate(p);
        },
        "LoadOffSupport",
    ),
    (
        "a lower bundle after the pad",
        |p| {
            p.bundles[3].number = 5;
            p.bundles[4].number = 4;
            restate(p);
        },
        "PadBlocked",
    ),
    (
        "a number left out",
        |p| {
            p.bundles[5].number = 7;
            restate(p);
        },
        "Numbering",
    ),
    ("bundles out of order", |p| p.bundles.swap(0, 1), "Numbering"),
    (
        "a layer that forgets one",
        |p| {
            p.layers[0].bundles.pop();
        },
        "LayerList",
    ),
    ("a layer that lists one twice", |p| p.layers[0].bundles.push(4), "LayerList"),
    ("a layer top off by 1", |p| p.layers[1].top_mm += 1.0, "LayerHeight"),
    ("a layer bottom off by 1", |p| p.layers[1].bottom_mm -= 1.0, "LayerHeight"),
    ("a gross mass below its parts", |p| p.gross_g -= 31.0, "GrossTooLow"),
    ("a gross mass far over its parts", |p| p.gross_g *= 1.3, "GrossTooHigh"),
    ("a board too weak", |p| p.carton.max_gross_g = p.gross_g - 1.0, "OverBoard"),
    (
        "an outside no wider than the inside",
        |p| p.carton.outside_mm[1] = p.carton.inside_mm[1],
        "CartonSides",
    ),
    ("cut down to what it was", |p| p.carton.cut_down_from_mm = Some(310.0), "CartonSides"),
    ("iron with glass", |p| p.bundles[5].company = Company::Dense, "Company"),
    ("no turn at all", |p| p.bundles[0].parts[0].placement.turn = [0.0; 4], "BadFigure"),
    ("a bundle of no parts", |p| p.bundles[0].parts.clear(), "BadFigure"),
    ("wrap pressed to more than nothing", |p| p.crush.sideways = 1.5, "BadFigure"),
    (
        "a solid turned inside out",
        |p| p.bundles[0].parts[0].bare = Solid::Cylinder { radius_mm: -40.0, height_mm: 100.0 },
        "BadFigure",
    ),
    ("a figure that is none", |p| p.bundles[5].placement.at_mm[1] = f64::NAN, "BadFigure"),
];

#[test]
fn each_broken_rule_is_named_and_no_other() {
    let wrong: Vec<String> = MUTATIONS
        .iter()
        .filter_map(|(what, mutate, kind)| {
            let mut parcel = two_layers();
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

/// Just inside each tolerance the plan still holds, so the table above tests the rule and not a nervous checker.
#[test]
fn what_is_within_tolerance_is_proved() {
    let kept: &[Change] = &[
        ("a separation short by 0.009", |p| {
            shift(&mut p.bundles[1], [-8.009, 0.0, 0.0]);
            restate(p);
        }),
        ("wraps at their limit", |p| {
            p.bundles[0].separation_mm = 0.0;
            p.bundles[1].separation_mm = 0.0;
            shift(&mut p.bundles[1], [-11.0, 0.0, 0.0]);
            restate(p);
        }),
        ("a wall at its limit", |p| {
            shift(&mut p.bundles[0], [-20.0, 0.0, 0.0]);
            restate(p);
        }),
        ("bare bodies that touch", |p| {
            for i in [0, 1] {
                p.bundles[i].separation_mm = 0.0;
                p.bundles[i].parts[0].wrap_mm = 0.0;
                shift(&mut p.bundles[i], [0.0, 0.0, -6.0]);
                heighten(p, i, 12.0);
            }
            shift(&mut p.bundles[1], [-20.0, 0.0, 0.0]);
            restate(p);
        }),
        ("a float of 0.4", |p| {
            shift(&mut p.bundles[5], [0.0, 0.0, 0.4]);
            restate(p);
        }),
        ("a wall figure understated", |p| p.bundles[0].walls.sides_mm -= 5.0),
        ("two pads, one on the other", |p| {
            p.pads[0].thickness_mm = 5.0;
            top_pad(p, 137.0, 5.0, 1);
            for i in [4, 5] {
                p.bundles[i].rests = Rest::Pad(2);
            }
        }),
    ];
    for (what, mutate) in kept {
        let mut parcel = two_layers();
        mutate(&mut parcel);
        assert_eq!(proof::check(&parcel, &order(&parcel)), vec![], "{what}");
    }
}
