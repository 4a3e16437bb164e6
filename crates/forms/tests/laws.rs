//! Laws that hold for any measures and any text.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use forms::{Catalogue, Field, Measures};
use measure::{Length, Mass};
use proptest::prelude::*;

fn length() -> impl Strategy<Value = Option<Length>> {
    prop_oneof![
        8 => Just(None),
        3 => (0.05..4.0_f64).prop_map(|inches| Some(Length::from_inches(inches))),
        2 => (0.01..70.0_f64).prop_map(|inches| Some(Length::from_inches(inches))),
        1 => any::<f64>().prop_map(|mm| Some(Length::from_mm(mm))),
    ]
}

fn mass() -> impl Strategy<Value = Option<Mass>> {
    prop_oneof![
        4 => Just(None),
        4 => (0.1..3000.0_f64).prop_map(|ounces| Some(Mass::from_ounces(ounces))),
        1 => any::<f64>().prop_map(|grams| Some(Mass::from_grams(grams))),
    ]
}

prop_compose! {
    fn measures()(
        a in prop::array::uniform12(length()),
        b in prop::array::uniform10(length()),
        handles in prop_oneof![3 => Just(None), 2 => (0..12_u32).prop_map(Some), 1 => any::<u32>().prop_map(Some)],
        weight in mass(),
        lid_weight in mass(),
    ) -> Measures {
        Measures {
            diameter: a[0], length: a[1], width: a[2], height: a[3], waist_diameter: a[4],
            handle_reach: a[5], handle_width: a[6], handle_height: a[7], handle_bottom: a[8],
            spout_reach: a[9], spout_width: a[10], spout_height: a[11],
            stem_diameter: b[0], stem_height: b[1], foot_diameter: b[2], foot_height: b[3], wall: b[4],
            lid_diameter: b[5], lid_height: b[6], knob_height: b[7], knob_diameter: b[8], pitch: b[9],
            handles, weight, lid_weight,
        }
    }
}

/// The measures that a form takes; the others would be refused before anything else is tried.
fn only_taken(form: &forms::Form, mut measures: Measures) -> Measures {
    let slots: [(&mut Option<Length>, Field); 22] = [
        (&mut measures.diameter, Field::Diameter),
        (&mut measures.length, Field::Length),
        (&mut measures.width, Field::Width),
        (&mut measures.height, Field::Height),
        (&mut measures.waist_diameter, Field::WaistDiameter),
        (&mut measures.handle_reach, Field::HandleReach),
        (&mut measures.handle_width, Field::HandleWidth),
        (&mut measures.handle_height, Field::HandleHeight),
        (&mut measures.handle_bottom, Field::HandleBottom),
        (&mut measures.spout_reach, Field::SpoutReach),
        (&mut measures.spout_width, Field::SpoutWidth),
        (&mut measures.spout_height, Field::SpoutHeight),
        (&mut measures.stem_diameter, Field::StemDiameter),
        (&mut measures.stem_height, Field::StemHeight),
        (&mut measures.foot_diameter, Field::FootDiameter),
        (&mut measures.foot_height, Field::FootHeight),
        (&mut measures.wall, Field::Wall),
        (&mut measures.lid_diameter, Field::LidDiameter),
        (&mut measures.lid_height, Field::LidHeight),
        (&mut measures.knob_height, Field::KnobHeight),
        (&mut measures.knob_diameter, Field::KnobDiameter),
        (&mut measures.pitch, Field::Pitch),
    ];
    for (slot, field) in slots {
        if !form.takes(field) {
            *slot = None;
        }
    }
    if !form.takes(Field::Handles) {
        measures.handles = None;
    }
    if !form.takes(Field::LidWeight) {
        measures.lid_weight = None;
    }
    measures
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn any_measures_make_a_sound_piece_or_a_named_error(measures in measures()) {
        let catalogue = Catalogue::published();
        for form in catalogue.forms() {
            for measures in [measures, only_taken(form, measures)] {
                match form.piece(&measures) {
                    Err(error) => prop_assert!(error.to_string().contains(&form.id)),
                    Ok(built) => {
                        let piece = &built.piece;
                        prop_assert!(piece.hollow_mm3.is_finite() && piece.hollow_mm3 >= 0.0);
                        prop_assert!(piece.mass_g > 0.0);
                        prop_assert!(piece.apart.len() == piece.apart_mass_share.len());
                        for part in piece.parts.iter().chain(piece.apart.iter().flatten()) {
                            for axis in 0..3 {
                                let (low, high) = part.placement.extent_mm(part.solid, axis);
                                prop_assert!(low.is_finite() && high.is_finite() && low <= high);
                            }
                        }
                        for used in &built.used {
                            prop_assert_eq!(used.measured, measures.get(used.field).is_some());
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_longer_reach_never_makes_a_shorter_piece(a in 0.1..20.0_f64, b in 0.1..20.0_f64) {
        let catalogue = Catalogue::published();
        let mug = catalogue.find("mug").unwrap();
        let end = |reach: f64| {
            let measures = Measures { handle_reach: Some(Length::from_inches(reach)), ..Measures::default() };
            let piece = mug.piece(&measures).unwrap().piece;
            piece.parts.iter().map(|part| part.placement.extent_mm(part.solid, 0).1).fold(0.0, f64::max)
        };
        let (short, long) = (a.min(b), a.max(b));
        prop_assert!(end(short) <= end(long));
    }

    #[test]
    fn any_name_and_any_text_is_answered(name in ".{0,40}", text in ".{0,200}") {
        let catalogue = Catalogue::published();
        let _ = catalogue.find(&name);
        let _ = Catalogue::read(&text);
        let _ = catalogue.with_overrides(&text);
    }
}
