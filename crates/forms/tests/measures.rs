//! A person's measures against a form's defaults: what wins, what is refused, and in which words.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use forms::{Catalogue, Field, Flag, FormsError, Measures, UsedFigure};
use measure::{Length, Mass};
use shape::{PartKind, Solid};

fn inches(inches: f64) -> Option<Length> {
    Some(Length::from_inches(inches))
}

fn refused(form: &str, measures: Measures) -> FormsError {
    Catalogue::published().find(form).unwrap().piece(&measures).unwrap_err()
}

fn used(form: &str, measures: Measures) -> Vec<UsedFigure> {
    Catalogue::published().find(form).unwrap().piece(&measures).unwrap().used
}

#[track_caller]
fn says(error: &FormsError, words: &[&str]) {
    let text = error.to_string();
    for word in words {
        assert!(text.contains(word), "\"{word}\" is not in: {text}");
    }
}

#[test]
fn measured_parts_win_one_by_one_and_the_rest_stay_estimates() {
    let measures = Measures { diameter: inches(3.4), handle_reach: inches(1.3), ..Measures::default() };
    let built = Catalogue::published().find("diner mug").unwrap().piece(&measures).unwrap();
    let figure = |field| built.used.iter().find(|used| used.field == field).unwrap();
    for field in [Field::Diameter, Field::HandleReach] {
        assert!(figure(field).measured && figure(field).flag == Flag::Measured);
    }
    assert_eq!(figure(Field::Diameter).value.text(), "3.4 in");
    assert!(!figure(Field::Height).measured && figure(Field::Height).flag == Flag::FromMemory);
    assert_eq!(figure(Field::Weight).value.text(), "15.5 oz");
    let handle = built.piece.parts.iter().find(|part| part.kind == PartKind::Handle).unwrap();
    let tip = handle.placement.extent_mm(handle.solid, 0).1;
    assert!((tip / 25.4 - (1.7 + 1.3)).abs() < 1e-9);
}

#[test]
fn a_measured_weight_is_the_pieces_weight_and_its_lid_keeps_its_share() {
    let measures = Measures { weight: Some(Mass::from_ounces(80.0)), ..Measures::default() };
    let built = Catalogue::published().find("casserole").unwrap().piece(&measures).unwrap();
    assert!((built.piece.mass_g - Mass::from_ounces(80.0).grams()).abs() < 1e-9);
    assert!((built.piece.apart_mass_share[0] - 20.0 / 64.0).abs() < 1e-12);
    let lid = built.used.iter().find(|used| used.field == Field::LidWeight).unwrap();
    assert!(!lid.measured && lid.flag == Flag::Judgement && lid.value.text() == "25 oz");
}

#[test]
fn a_small_measured_body_cuts_estimated_parts_down_to_fit() {
    let built = used("diner mug", Measures { height: inches(2.0), ..Measures::default() });
    let handle = built.iter().find(|used| used.field == Field::HandleHeight).unwrap();
    assert_eq!((handle.value.text().as_str(), handle.flag), ("2 in", Flag::Judgement));
    let stem = used("goblet", Measures { height: inches(12.5), ..Measures::default() });
    let stem = stem.iter().find(|used| used.field == Field::StemHeight).unwrap();
    assert_eq!((stem.value.text().as_str(), stem.flag), ("4 in", Flag::Judgement));
    // The foot is from memory; fitted to a wider bowl it is only judged.
    let foot = used("goblet", Measures { diameter: inches(6.5), ..Measures::default() });
    let foot = foot.iter().find(|used| used.field == Field::FootDiameter).unwrap();
    assert_eq!((foot.value.text().as_str(), foot.flag), ("6 in", Flag::Judgement));
    let lid = used("casserole", Measures { diameter: inches(17.0), ..Measures::default() });
    let lid = lid.iter().find(|used| used.field == Field::LidDiameter).unwrap();
    assert_eq!(lid.value.text(), "16.5 in");
}

#[test]
fn handles_can_be_counted_added_and_taken_away() {
    let count = |form: &str, measures: Measures| {
        let piece = Catalogue::published().find(form).unwrap().piece(&measures).unwrap().piece;
        piece.parts.iter().filter(|part| part.kind == PartKind::Handle).count()
    };
    assert_eq!(count("mug", Measures { handles: Some(0), ..Measures::default() }), 0);
    assert_eq!(count("mug", Measures { handles: Some(3), ..Measures::default() }), 3);
    assert_eq!(count("vase", Measures::default()), 0);
    let two = Measures { handles: Some(2), handle_reach: inches(1.0), ..Measures::default() };
    assert_eq!(count("vase", two), 2);
    assert_eq!(count("figurine", two), 2);
}

#[test]
fn the_longer_side_lies_along_x_whichever_way_it_was_read() {
    let measures = Measures { length: inches(6.0), width: inches(9.0), ..Measures::default() };
    let piece = Catalogue::published().find("book").unwrap().piece(&measures).unwrap().piece;
    let Solid::Block { x_mm, y_mm, .. } = piece.parts[0].solid else { panic!("a book is a block") };
    assert!(x_mm > y_mm);
}

#[test]
fn a_waist_makes_two_cones_within_the_outline() {
    let measures = Measures { waist_diameter: inches(2.0), ..Measures::default() };
    let vase = Catalogue::published().find("vase").unwrap().piece(&measures).unwrap().piece;
    let plain = Catalogue::published().find("vase").unwrap().piece(&Measures::default()).unwrap().piece;
    assert!(vase.parts.iter().all(|part| matches!(part.solid, Solid::Frustum { .. })));
    assert_eq!(vase.parts.len(), 2);
    assert!(vase.hollow_mm3 < plain.hollow_mm3 && vase.hollow_mm3 > 0.0);
    says(
        &refused("vase", Measures { waist_diameter: inches(6.0), ..Measures::default() }),
        &["vase_medium", "waist_diameter of 6 in", "at most 5 in"],
    );
}

#[test]
fn zero_negative_and_senseless_measures_are_refused() {
    for wrong in [0.0, -3.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let error = refused("mug", Measures { diameter: inches(wrong), ..Measures::default() });
        says(&error, &["mug_standard", "diameter", "more than 0", "for example, 3.2 in"]);
    }
    let weightless = Measures { weight: Some(Mass::ZERO), ..Measures::default() };
    says(&refused("mug", weightless), &["weight", "more than 0", "12 oz"]);
}

#[test]
fn absurd_measures_are_refused() {
    let tall = Measures { height: inches(60.1), ..Measures::default() };
    says(&refused("mug", tall), &["height of 60.1 in", "limit of 60 in", "3.75 in"]);
    let heavy = Measures { weight: Some(Mass::from_pounds(150.1)), ..Measures::default() };
    says(&refused("mug", heavy), &["weight", "limit of 2400 oz", "12 oz"]);
    let many = Measures { handles: Some(9), ..Measures::default() };
    says(&refused("mug", many), &["handles of 9", "limit of 8"]);
    let just = Measures { height: inches(60.0), ..Measures::default() };
    assert!(Catalogue::published().find("mug").unwrap().piece(&just).is_ok());
}

#[test]
fn handles_need_a_reach_and_a_reach_needs_handles() {
    let zero = Measures { handle_reach: inches(0.0), ..Measures::default() };
    says(&refused("mug", zero), &["handle_reach must be more than 0", "handle_reach 1.25 in"]);
    let none = Measures { handles: Some(2), ..Measures::default() };
    says(&refused("vase", none), &["vase_medium", "handle_reach must be more than 0", "handle_reach 1.1 in"]);
    let reach = Measures { handle_reach: inches(1.0), ..Measures::default() };
    says(&refused("vase", reach), &["handle_reach is given but handles is 0", "1 or more"]);
    let off = Measures { handles: Some(0), handle_width: inches(0.5), ..Measures::default() };
    says(&refused("mug", off), &["handle_width is given but handles is 0"]);
}

#[test]
fn a_measure_the_form_does_not_have_is_refused_with_those_it_has() {
    let spout = Measures { spout_reach: inches(1.0), ..Measures::default() };
    let error = refused("dinner plate", spout);
    let FormsError::NoSuchMeasure { has, .. } = &error else { panic!("{error}") };
    assert_eq!(has, &["diameter", "height", "pitch", "weight"]);
    says(&error, &["dinner_plate_porcelain has no spout_reach", "diameter 10.25 in"]);
    let length = Measures { length: inches(5.0), ..Measures::default() };
    says(&refused("mug", length), &["mug_standard has no length", "diameter"]);
    let pitch = Measures { pitch: inches(1.0), ..Measures::default() };
    says(&refused("goblet", pitch), &["pressed_goblet has no pitch"]);
    let lid = Measures { lid_height: inches(1.0), ..Measures::default() };
    says(&refused("mug", lid), &["mug_standard has no lid_height"]);
}

#[test]
fn parts_that_do_not_fit_are_refused_with_their_limit() {
    let cases: [(&str, Measures, &[&str]); 9] = [
        (
            "mug",
            Measures { handle_height: inches(4.0), ..Measures::default() },
            &["handle_height of 4 in", "at most 3.75 in", "height of the body"],
        ),
        (
            "mug",
            Measures { handle_bottom: inches(2.0), handle_height: inches(2.0), ..Measures::default() },
            &["handle_height of 2 in", "at most 1.75 in"],
        ),
        (
            "mug",
            Measures { handle_bottom: inches(4.0), ..Measures::default() },
            &["handle_bottom of 4 in", "less than 3.75 in"],
        ),
        (
            "mug",
            Measures { wall: inches(1.6), ..Measures::default() },
            &["wall of 1.6 in", "less than 1.6 in"],
        ),
        (
            "goblet",
            Measures { stem_height: inches(6.0), ..Measures::default() },
            &["stem_height of 6 in", "less than 5.95 in"],
        ),
        (
            "teapot",
            Measures { knob_height: inches(1.5), ..Measures::default() },
            &["knob_height of 1.5 in", "less than 1.5 in", "height of the lid"],
        ),
        (
            "teapot",
            Measures { lid_weight: Some(Mass::from_ounces(28.0)), ..Measures::default() },
            &["lid_weight of 28 oz", "less than 28 oz", "weight of the whole piece"],
        ),
        (
            "teapot",
            Measures { spout_height: inches(6.5), ..Measures::default() },
            &["spout_height of 6.5 in", "at most 6 in"],
        ),
        (
            "saucer",
            Measures { pitch: inches(1.0), ..Measures::default() },
            &["pitch of 1 in", "at most 0.9 in"],
        ),
    ];
    for (form, measures, words) in cases {
        let error = refused(form, measures);
        assert!(matches!(error, FormsError::DoesNotFit { .. }), "{error}");
        says(&error, words);
        says(&error, &["right would be, for example"]);
    }
}

#[test]
fn a_foot_wider_than_the_bowl_is_fine() {
    let wide = Measures { foot_diameter: inches(7.0), ..Measures::default() };
    assert!(Catalogue::published().find("goblet").unwrap().piece(&wide).is_ok());
}
