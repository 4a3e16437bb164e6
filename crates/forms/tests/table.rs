//! Promises of the forms table that comes with the program.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use forms::{BodyKind, Catalogue, Field, Flag, Measures, Value};
use shape::{Company, Part, PartKind, Solid};

/// Recipes that a form may name.
const RECIPES: &[&str] = &[
    "baker",
    "book",
    "bowl",
    "cake_stand",
    "casserole",
    "clock",
    "cookie_jar",
    "covered_dish",
    "creamer",
    "cup",
    "cut_glass",
    "disc",
    "espresso_cup",
    "figurine",
    "flatware",
    "frame",
    "iron",
    "jar",
    "lamp",
    "media_case",
    "mug",
    "nesting_set",
    "pair",
    "pitcher",
    "plate",
    "platter",
    "small_plate",
    "stemware",
    "teapot",
    "toy",
    "tray",
    "tumbler",
    "vase",
];

#[test]
fn the_table_holds_at_least_75_forms() {
    assert!(Catalogue::published().len() >= 75);
}

#[test]
fn every_form_builds_from_its_defaults_and_calls_nothing_measured() {
    for form in Catalogue::published().forms() {
        let built = form.piece(&Measures::default()).unwrap_or_else(|error| panic!("{error}"));
        assert!(!built.piece.parts.is_empty(), "{}", form.id);
        assert!(built.used.iter().all(|used| !used.measured && used.flag != Flag::Measured), "{}", form.id);
        // Defaults are consistent, so none has to be fitted: each is used as the table states it.
        for used in &built.used {
            if let Some(fact) = form.fact(used.field) {
                assert_eq!((used.value, used.flag), (fact.value, fact.flag), "{} {}", form.id, used.name);
            }
        }
    }
}

#[test]
fn every_default_of_the_table_is_used_by_its_piece() {
    for form in Catalogue::published().forms() {
        let built = form.piece(&Measures::default()).unwrap();
        let used: BTreeSet<Field> = built.used.iter().map(|used| used.field).collect();
        let facts: BTreeSet<Field> = form.figures().iter().map(|figure| figure.field).collect();
        assert!(facts.is_subset(&used), "{}: {:?} not used", form.id, facts.difference(&used));
    }
}

#[test]
fn every_form_names_a_known_recipe_and_every_recipe_is_named() {
    let named: BTreeSet<String> = Catalogue::published().forms().map(|form| form.recipe.clone()).collect();
    let known: BTreeSet<String> = RECIPES.iter().map(|&name| name.to_owned()).collect();
    assert_eq!(named, known);
}

#[test]
fn every_figure_has_a_source_and_a_typical_value_inside_its_range() {
    for form in Catalogue::published().forms() {
        assert!(!form.source.is_empty(), "{}", form.id);
        assert!(!form.figures().is_empty(), "{}", form.id);
        for figure in form.figures() {
            assert!(figure.flag != Flag::Measured, "{} {}", form.id, figure.name);
            if let (Some(Value::Mass(low)), Value::Mass(value), Some(Value::Mass(high))) =
                (figure.low, figure.value, figure.high)
            {
                assert!(low <= value && value <= high && low < high, "{} {}", form.id, figure.name);
            }
        }
    }
}

#[test]
fn all_wraps_are_nothing_yet() {
    for form in Catalogue::published().forms() {
        let piece = form.piece(&Measures::default()).unwrap().piece;
        assert!(piece.parts.iter().chain(piece.apart.iter().flatten()).all(|part| part.wrap_mm == 0.0));
    }
}

#[test]
fn every_piece_stands_on_the_table_and_so_does_every_lid() {
    for form in Catalogue::published().forms() {
        let piece = form.piece(&Measures::default()).unwrap().piece;
        for parts in std::iter::once(&piece.parts).chain(&piece.apart) {
            let lowest = parts.iter().map(|part| part.placement.extent_mm(part.solid, 2).0);
            let lowest = lowest.fold(f64::INFINITY, f64::min);
            assert!(lowest.abs() < 1e-9, "{} stands at {lowest}", form.id);
        }
    }
}

#[test]
fn lids_travel_apart_with_their_share_of_the_weight() {
    let catalogue = Catalogue::published();
    for name in ["teapot", "casserole", "sugar bowl", "cookie jar", "dutch oven", "butter dish", "decanter"] {
        let piece = catalogue.find(name).unwrap().piece(&Measures::default()).unwrap().piece;
        assert_eq!(piece.apart.len(), 1, "{name}");
        assert_eq!(piece.apart[0][0].kind, PartKind::Lid, "{name}");
        assert_eq!(piece.apart_mass_share.len(), 1, "{name}");
        assert!(piece.apart_mass_share[0] > 0.0 && piece.apart_mass_share[0] < 0.6, "{name}");
    }
    let casserole = catalogue.find("casserole").unwrap().piece(&Measures::default()).unwrap().piece;
    assert!((casserole.apart_mass_share[0] - 20.0 / 64.0).abs() < 1e-12);
}

#[test]
fn hollow_ware_has_a_hollow_and_flat_or_solid_ware_has_none() {
    let catalogue = Catalogue::published();
    let hollow =
        |name: &str| catalogue.find(name).unwrap().piece(&Measures::default()).unwrap().piece.hollow_mm3;
    for name in ["mug", "bowl", "vase", "pitcher", "wine glass", "iron pot", "nesting set"] {
        assert!(hollow(name) > 0.0, "{name}");
    }
    for name in ["dinner plate", "saucer", "book", "figurine", "skillet", "picture frame"] {
        assert_eq!(hollow(name), 0.0, "{name}");
    }
    // Wall and floor of 0.2 in: radius 1.4, depth 3.55.
    let cubic_inches = std::f64::consts::PI * 1.4 * 1.4 * 3.55;
    assert!((hollow("mug_standard") / 25.4_f64.powi(3) - cubic_inches).abs() < 1e-9);
}

#[test]
fn what_nests_has_a_pitch_and_what_never_does_has_none() {
    let catalogue = Catalogue::published();
    let pitch =
        |name: &str| catalogue.find(name).unwrap().piece(&Measures::default()).unwrap().piece.pitch_mm;
    assert!((pitch("saucer").unwrap() - 0.35 * 25.4).abs() < 1e-9);
    for name in ["mug", "tea cup", "goblet", "nesting bowls", "teapot", "figurine"] {
        assert_eq!(pitch(name), None, "{name}");
    }
}

#[test]
fn iron_never_keeps_company_with_what_breaks() {
    let catalogue = Catalogue::published();
    let skillet = catalogue.find("skillet_8").unwrap();
    assert_eq!(skillet.company, Company::Dense);
    assert!(!skillet.company.may_join(catalogue.find("goblet").unwrap().company));
    assert!(catalogue.find("cookery book").unwrap().company.may_join(skillet.company));
}

#[test]
fn every_caution_is_one_sentence_that_defers_to_local_rules() {
    let catalogue = Catalogue::published();
    for caution in catalogue.cautions() {
        assert!(caution.text.ends_with('.') && caution.text.matches(". ").count() == 0, "{}", caution.key);
        assert!(!caution.publisher.is_empty());
        assert!(caution.full_text().contains("Local rules"));
    }
    let lamp = catalogue.find("lamp").unwrap();
    assert!(lamp.cautions.iter().any(|caution| caution.key == "fuel_residue"));
}

#[test]
fn names_are_found_whatever_their_case_spaces_hyphens_and_accents() {
    let catalogue = Catalogue::published();
    for (typed, id) in [
        ("Diner Mug", "diner_mug"),
        ("juice tumbler", "juice_glass"),
        ("TEA-CUP", "tea_cup"),
        ("Consommé Cup", "consomme_cup"),
        ("no 8 skillet", "skillet_8"),
        ("cookery book", "book_hardback"),
        ("two-quart pitcher", "pitcher_2qt"),
        ("book_hardback", "book_hardback"),
        ("Dutch Oven", "iron_pot_5qt"),
    ] {
        assert_eq!(catalogue.find(typed).unwrap().id, id, "{typed}");
    }
}

#[test]
fn every_form_answers_to_the_plurals_of_its_names_and_a_name_goes_before_a_plural() {
    let catalogue = Catalogue::published();
    for form in catalogue.forms() {
        for name in std::iter::once(&form.name).chain(&form.synonyms) {
            assert_eq!(catalogue.find(name).unwrap().id, form.id, "{name}");
            assert!(catalogue.find(&measure::plural(name)).is_ok(), "{name}");
        }
    }
    for (many, one) in [("soup bowls", "soup bowl"), ("Diner-mugs", "diner mug")] {
        assert_eq!(catalogue.find(many).unwrap().id, catalogue.find(one).unwrap().id, "{many}");
    }
}

#[test]
fn a_misspelt_name_brings_the_right_one() {
    let catalogue = Catalogue::published();
    for (typed, meant) in [
        ("gobblet", "goblet"),
        ("sacuer", "saucer"),
        ("dinner mug", "diner mug"),
        ("tea pot 4", "teapot"),
        ("skilet", "skillet"),
    ] {
        let error = catalogue.find(typed).unwrap_err();
        let forms::FormsError::UnknownForm { name, nearest } = &error else { panic!("{error}") };
        assert_eq!(name, typed);
        assert!(nearest.iter().any(|one| one == meant), "{typed}: {nearest:?}");
        assert!(error.to_string().contains("did you mean"));
    }
    assert!(catalogue.find("xyzzy").unwrap_err().to_string().contains("nearest in shape"));
}

#[test]
fn a_goblet_is_a_bowl_on_a_stem_on_a_foot() {
    let catalogue = Catalogue::published();
    let piece = catalogue.find("goblet").unwrap().piece(&Measures::default()).unwrap().piece;
    let kinds: Vec<PartKind> = piece.parts.iter().map(|part| part.kind).collect();
    assert_eq!(kinds, [PartKind::Body, PartKind::Stem, PartKind::Foot]);
    let (bottom, top) = piece.parts[0].placement.extent_mm(piece.parts[0].solid, 2);
    assert!((bottom / 25.4 - 2.3).abs() < 1e-9 && (top / 25.4 - 6.25).abs() < 1e-9);
    assert!(piece.parts[1].placement.extent_mm(piece.parts[1].solid, 2).1 > bottom, "stem enters the bowl");
}

#[test]
fn two_handles_stand_opposite_and_a_handle_stands_behind_its_spout() {
    let catalogue = Catalogue::published();
    let cup = catalogue.find("consomme_cup").unwrap().piece(&Measures::default()).unwrap().piece;
    let handles: Vec<_> = cup.parts.iter().filter(|part| part.kind == PartKind::Handle).collect();
    let (x0, x1) = (handles[0].placement.at_mm[0], handles[1].placement.at_mm[0]);
    assert!(x0 > 0.0 && (x0 + x1).abs() < 1e-9);
    let teapot = catalogue.find("teapot").unwrap().piece(&Measures::default()).unwrap().piece;
    let at = |kind| teapot.parts.iter().find(|part| part.kind == kind).unwrap().placement.at_mm[0];
    assert!(at(PartKind::Spout) > 0.0 && at(PartKind::Handle) < 0.0);
}

#[test]
fn handles_and_spouts_begin_inside_the_body() {
    for form in Catalogue::published().forms().filter(|form| form.body == BodyKind::Cylinder) {
        let piece = form.piece(&Measures::default()).unwrap().piece;
        let Solid::Cylinder { radius_mm, .. } = piece.parts[0].solid else { panic!("{}", form.id) };
        for part in piece.parts.iter().filter(|part| matches!(part.kind, PartKind::Handle | PartKind::Spout))
        {
            let Solid::Block { x_mm, .. } = part.solid else { panic!("{}", form.id) };
            let [x, y, _] = part.placement.at_mm;
            let root = x.hypot(y) - x_mm / 2.0;
            assert!((root - 0.6 * radius_mm).abs() < 1e-9, "{}", form.id);
        }
    }
}

/// Lowest and highest point of the first part of a kind, in.
fn heights_in(parts: &[Part], kind: PartKind) -> (f64, f64) {
    let part = parts.iter().find(|part| part.kind == kind).unwrap();
    let (low, high) = part.placement.extent_mm(part.solid, 2);
    (low / 25.4, high / 25.4)
}

#[track_caller]
fn spans(found: (f64, f64), low: f64, high: f64) {
    assert!((found.0 - low).abs() < 1e-9 && (found.1 - high).abs() < 1e-9, "{found:?}");
}

#[test]
fn a_handle_is_centred_unless_its_height_is_known_and_a_spout_ends_at_the_rim() {
    let catalogue = Catalogue::published();
    let piece = |name: &str| catalogue.find(name).unwrap().piece(&Measures::default()).unwrap().piece;
    spans(heights_in(&piece("diner mug").parts, PartKind::Handle), 0.5, 3.0);
    spans(heights_in(&piece("no. 8 skillet").parts, PartKind::Handle), 1.2, 2.0);
    spans(heights_in(&piece("teapot").parts, PartKind::Spout), 2.5, 6.0);
}

#[test]
fn a_lid_rests_rim_down_with_its_knob_inside_its_height() {
    let catalogue = Catalogue::published();
    let lid = &catalogue.find("teapot").unwrap().piece(&Measures::default()).unwrap().piece.apart[0];
    spans(heights_in(lid, PartKind::Lid), 0.0, 0.75);
    spans(heights_in(lid, PartKind::Knob), 0.375, 1.5);
}

#[test]
fn a_rectangular_hollow_is_the_block_within_its_walls() {
    let catalogue = Catalogue::published();
    let dish = catalogue.find("refrigerator dish").unwrap().piece(&Measures::default()).unwrap().piece;
    let cubic_inches = (6.75 - 0.4) * (4.25 - 0.4) * (2.4 - 0.2);
    assert!((dish.hollow_mm3 / 25.4_f64.powi(3) - cubic_inches).abs() < 1e-9);
}
