//! What every recipe keeps.

mod pieces;

use pieces::{block, mm, recipe, round, sides, with_arm, with_hollow_and_lid, wrap};
use protection::{Materials, PieceToWrap, Profiles, Recipes, protect};
use shape::{Company, PartKind, WayUp};

const NAMES: [&str; 33] = [
    "mug",
    "cup",
    "espresso_cup",
    "plate",
    "small_plate",
    "platter",
    "bowl",
    "nesting_set",
    "tumbler",
    "stemware",
    "cut_glass",
    "vase",
    "pitcher",
    "teapot",
    "creamer",
    "covered_dish",
    "casserole",
    "iron",
    "figurine",
    "pair",
    "jar",
    "cookie_jar",
    "book",
    "disc",
    "media_case",
    "frame",
    "lamp",
    "clock",
    "flatware",
    "toy",
    "tray",
    "cake_stand",
    "baker",
];

fn of(wrapped: &[protection::WrappedBundle], what: &str) -> u32 {
    let rows = wrapped.iter().flat_map(|one| &one.bundle.contents);
    rows.filter(|row| row.what == what).map(|row| row.count).sum()
}

#[test]
fn every_recipe_is_there_and_works_on_a_round_piece_and_a_block() {
    for name in NAMES {
        let recipe = recipe(name);
        for base in [round(6.0, 3.0, 20.0), block(7.0, 5.0, 2.0, 20.0)] {
            let mut piece = with_hollow_and_lid(with_arm(base, PartKind::Handle, 1.0, 0.0));
            piece.pitch_mm = Some(mm(0.8));
            let wrapped = wrap(&piece, &recipe, 7);
            assert_eq!((of(&wrapped, "piece"), of(&wrapped, "lid of piece")), (7, 7), "{name}");
            for one in &wrapped {
                let bundle = &one.bundle;
                assert!(!bundle.ways_up.is_empty() && bundle.wrapped_volume_mm3 > 0.0, "{name}");
                assert!(bundle.parts.iter().all(|part| part.wrap_mm > 0.0), "{name}");
                assert!(one.uses.iter().all(|used| used.quantity > 0.0 && used.cost_cents >= 0), "{name}");
                let lowest = bundle.parts.iter().map(|part| part.placement.extent_mm(part.solid, 2).0);
                assert!(lowest.fold(f64::INFINITY, f64::min).abs() < 1e-9, "{name}");
            }
        }
    }
}

#[test]
fn a_lid_is_a_bundle_of_its_own_with_its_share_of_the_mass() {
    let piece = with_hollow_and_lid(round(5.0, 5.0, 30.0));
    let wrapped = wrap(&piece, &recipe("teapot"), 2);
    let labels: Vec<&str> = wrapped.iter().map(|one| one.bundle.label.as_str()).collect();
    assert_eq!(labels, ["piece", "piece", "lid of piece", "lid of piece"]);
    let bare: f64 = wrapped
        .iter()
        .map(|one| one.bundle.mass_g - one.uses.iter().map(|used| used.mass_g).sum::<f64>())
        .sum();
    assert!((bare - 2.0 * piece.mass_g).abs() < 1e-6, "no gram of the pieces is lost");
}

#[test]
fn guards_thicken_only_what_stands_out() {
    let piece = with_arm(round(5.0, 5.0, 30.0), PartKind::Spout, 2.0, 0.0);
    let bundle = &wrap(&piece, &recipe("teapot"), 1)[0].bundle;
    let [body, spout] = [bundle.parts[0].wrap_mm, bundle.parts[1].wrap_mm];
    assert!((body - mm(3.0 * 0.170)).abs() < 1e-9);
    assert!((spout - body - mm(0.375)).abs() < 1e-9);
}

#[test]
fn a_heavy_piece_gets_one_more_course() {
    let light = wrap(&round(8.0, 4.0, 40.0), &recipe("casserole"), 1);
    let heavy = wrap(&round(8.0, 4.0, 64.0), &recipe("casserole"), 1);
    let more = heavy[0].bundle.parts[0].wrap_mm - light[0].bundle.parts[0].wrap_mm;
    assert!((more - mm(0.45)).abs() < 1e-9);
}

#[test]
fn bundles_are_even_and_named_for_what_they_hold() {
    let mut saucer = round(5.5, 0.9, 5.5);
    saucer.pitch_mm = Some(mm(0.35));
    let wrapped = wrap(&saucer, &recipe("plate"), 11);
    let labels: Vec<&str> = wrapped.iter().map(|one| one.bundle.label.as_str()).collect();
    assert_eq!(labels, ["4 pieces on edge", "4 pieces on edge", "3 pieces on edge"]);
    let single = wrap(&saucer, &recipe("plate"), 1);
    assert_eq!(
        (single[0].bundle.label.as_str(), single[0].bundle.ways_up.as_slice()),
        ("piece", &[WayUp::OnEdge][..])
    );
}

#[test]
fn a_piece_without_a_pitch_is_never_nested() {
    assert_eq!(wrap(&round(6.0, 3.0, 20.0), &recipe("bowl"), 3).len(), 3);
}

#[test]
fn gathered_pieces_with_handles_make_a_block_that_holds_them() {
    let mut baker = with_arm(block(13.0, 9.0, 2.5, 60.0), PartKind::Handle, 1.0, 0.0);
    baker.pitch_mm = Some(mm(1.0));
    let wrapped = wrap(&baker, &recipe("baker"), 2);
    let [x, y, z] = sides(&wrapped[0].bundle);
    let wrap_in = 2.0 * (2.0 * 0.170 + 0.45);
    for (found, bare) in [(x, 14.0), (y, 9.0), (z, 2.5 + 1.0 + 0.25)] {
        assert!((found - bare - wrap_in).abs() < 1e-6, "{x} {y} {z}");
    }
}

#[test]
fn a_profile_sets_the_cushion_and_a_typed_length_goes_before_it() {
    let profiles = Profiles::published();
    let piece = round(4.0, 4.0, 12.0);
    let what =
        PieceToWrap { find: "find", what: "cup", piece: &piece, company: Company::Breakable, count: 1 };
    let clearances = |profile: &protection::Profile, name: &str| {
        let wrapped = protect(&what, &recipe(name), &Materials::published(), profile).expect("protected");
        (wrapped[0].bundle.wall_clearance_mm, wrapped[0].bundle.separation_mm)
    };
    let find = |name: &str| profiles.find(name).expect(name).clone();
    for (name, inches) in [("cup", 2.0), ("stemware", 3.0), ("iron", 1.0), ("book", 0.5)] {
        assert!((clearances(&find("rule_of_two"), name).0 - mm(inches)).abs() < 1e-9, "{name}");
    }
    assert!((clearances(&find("careful"), "cup").0 - mm(3.0)).abs() < 1e-9);
    assert_eq!(clearances(&find("snug"), "stemware"), (0.0, 0.0));
    let typed = find("rule_of_two").with_clearance(measure::Length::from_inches(1.5)).expect("typed");
    assert!((clearances(&typed, "stemware").0 - mm(1.5)).abs() < 1e-9);
    assert!(typed.with_clearance(measure::Length::from_inches(-1.0)).is_err());
    assert!(typed.with_clearance(measure::Length::from_inches(13.0)).is_err());
    let own = Recipes::published().with_overrides("[recipes.cup]\nwall_clearance_in = 2.5\n").expect("own");
    let wrapped =
        protect(&what, own.find("cup").expect("cup"), &Materials::published(), &typed).expect("protected");
    assert!((wrapped[0].bundle.wall_clearance_mm - mm(2.5)).abs() < 1e-9);
}

#[test]
fn pieces_gathered_on_edge_stand_only_on_edge_behind_their_thickest_guard() {
    let mut tray = with_arm(block(14.0, 10.0, 0.75, 34.0), PartKind::Handle, 1.0, 0.0);
    tray.pitch_mm = Some(mm(0.3));
    let one = &wrap(&tray, &recipe("tray"), 1)[0].bundle;
    let two = &wrap(&tray, &recipe("tray"), 2)[0].bundle;
    assert_eq!(one.ways_up, [WayUp::OnEdge, WayUp::Upright]);
    assert_eq!(two.ways_up, [WayUp::OnEdge]);
    assert!((two.parts[0].wrap_mm - one.parts[1].wrap_mm).abs() < 1e-9);
    assert!(two.parts[0].wrap_mm > one.parts[0].wrap_mm);
}
