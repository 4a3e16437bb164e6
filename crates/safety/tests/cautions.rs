//! Which cautions a job calls for, and which it does not.

use forms::{Catalogue, Material};
use measure::{Length, Mass, Volume};
use safety::{Caution, Facts, Safety, Situation, Urgency, Ware, WareUse};

fn keys(facts: &Facts) -> Vec<String> {
    Safety::published().cautions(facts).into_iter().map(|one| one.key).collect()
}

fn with(situations: &[Situation]) -> Facts {
    Facts { situations: situations.iter().copied().collect(), ..Facts::default() }
}

fn parcel(pounds: f64, sides: [f64; 3]) -> Facts {
    Facts {
        gross: Some(Mass::from_pounds(pounds)),
        outside: Some(sides.map(Length::from_inches)),
        ..Facts::default()
    }
}

/// A form's cautions by key, as the forms table has them.
fn of_forms(wanted: &[&str]) -> Vec<forms::Caution> {
    let catalogue = Catalogue::published();
    let found: Vec<forms::Caution> =
        wanted.iter().filter_map(|key| catalogue.cautions().find(|one| one.key == *key)).cloned().collect();
    assert_eq!(found.len(), wanted.len(), "{wanted:?}");
    found
}

#[test]
fn a_job_that_calls_for_nothing_gets_nothing() {
    assert!(keys(&Facts::default()).is_empty());
    assert!(keys(&parcel(10.0, [14.0, 12.0, 12.0])).is_empty());
}

#[test]
fn a_parcel_warns_at_thirty_pounds_and_strongly_at_fifty() {
    let sides = [12.0, 10.0, 10.0];
    let said = |pounds| {
        let all = Safety::published().cautions(&parcel(pounds, sides));
        all.into_iter().map(|one| (one.key, one.urgency)).collect::<Vec<_>>()
    };
    assert_eq!(said(29.9), []);
    assert_eq!(said(30.0), [("lift".to_owned(), Urgency::Warn)]);
    assert_eq!(said(49.9), [("lift".to_owned(), Urgency::Warn)]);
    assert_eq!(said(50.0), [("lift_strong".to_owned(), Urgency::Strong)]);
}

#[test]
fn the_weights_are_settings() {
    let own = Safety::published().with("[cautions.lift]\ngross_from_lb = 20\n").expect("read");
    let said = own.cautions(&parcel(21.0, [12.0, 10.0, 10.0]));
    assert_eq!(said.len(), 1);
    assert_eq!(said[0].because, "21.0 lb gross, 20 lb or more");
}

#[test]
fn a_wide_parcel_warns_by_its_reach_before_its_weight_does() {
    let facts = parcel(25.0, [28.0, 26.0, 10.0]);
    let said = Safety::published().cautions(&facts);
    assert_eq!(said.iter().map(|one| one.key.as_str()).collect::<Vec<_>>(), ["lift_reach"]);
    let detail = said[0].detail.as_ref().expect("figures");
    assert!(
        detail.contains("at most 22 lb off a table") && detail.contains("25.0 lb, 1.1 times"),
        "{detail}"
    );
    assert_eq!(keys(&parcel(31.0, [28.0, 26.0, 10.0])), ["lift"], "said once");
    assert_eq!(keys(&parcel(1.0, [40.0, 36.0, 10.0])), ["lift_reach"], "hands over 25 in out");
}

#[test]
fn a_form_that_may_be_heavy_is_answered_by_the_scale() {
    let heavy = Facts { form_cautions: of_forms(&["heavy_lift", "brittle_iron"]), ..Facts::default() };
    assert_eq!(keys(&heavy), ["heavy_lift", "brittle_iron"], "not weighed: the form's own words");
    let light = Facts { gross: Some(Mass::from_pounds(8.0)), ..heavy.clone() };
    assert_eq!(keys(&light), ["brittle_iron"]);
    let weighed = Facts { gross: Some(Mass::from_pounds(36.0)), ..heavy };
    assert_eq!(keys(&weighed), ["lift", "brittle_iron"]);
}

#[test]
fn each_situation_brings_its_caution() {
    for (situation, expected) in [
        (Situation::CutDown, vec!["knife"]),
        (Situation::Cutting, vec!["knife", "foam_blade"]),
        (Situation::HotWire, vec!["hot_wire"]),
        (Situation::ReusedCarton, vec!["reused_carton"]),
        (Situation::MarksShowing, vec!["hazard_marks"]),
        (Situation::LooseFill, vec!["loose_fill"]),
        (Situation::Bags, vec!["bags"]),
        (Situation::BrokenWare, vec!["broken_ware"]),
        (Situation::IronWithGlass, vec!["iron_with_glass"]),
        (Situation::Vintage, vec![]),
        (Situation::ForFood, vec![]),
        (Situation::ForSale, vec![]),
        (Situation::RecallChecked, vec![]),
        (Situation::ForChildren, vec![]),
    ] {
        assert_eq!(keys(&with(&[situation])), expected, "{situation:?}");
    }
}

#[test]
fn old_ware_is_told_apart_by_year_material_and_word() {
    let ware = |made_in, situations: &[Situation], material| Facts {
        made_in,
        materials: [material].into(),
        ..with(situations)
    };
    let old = vec!["old_ware".to_owned()];
    assert_eq!(keys(&ware(Some(1993), &[], Material::Stoneware)), old);
    assert_eq!(keys(&ware(None, &[Situation::Vintage], Material::Glass)), old);
    assert!(
        keys(&ware(Some(1994), &[Situation::Vintage], Material::Stoneware)).is_empty(),
        "the year goes first"
    );
    assert!(keys(&ware(Some(1950), &[], Material::Iron)).is_empty());
    assert!(keys(&ware(None, &[], Material::Stoneware)).is_empty());
}

#[test]
fn leach_limits_go_with_the_ware_and_never_clear_it() {
    let mug =
        Ware { used_as: WareUse::CupOrMug, depth: Length::from_mm(90.0), volume: Volume::from_mm3(3e5) };
    let facts =
        Facts { ware: Some(mug), materials: [Material::Stoneware].into(), ..with(&[Situation::ForFood]) };
    let said = Safety::published().cautions(&facts);
    assert!(said[0].detail.as_ref().is_some_and(|detail| detail.contains("lead 0.5 mg/L")), "{said:?}");
    for one in Safety::published().rules() {
        let text = one.text.to_lowercase();
        for claim in ["lead free", "lead-free", "food safe", "food-safe", "is safe"] {
            assert!(!text.contains(claim), "{} claims {claim}", one.key);
        }
    }
}

#[test]
fn recall_lists_are_asked_for_until_they_were_searched() {
    let listed = |situations: &[Situation]| Facts {
        form_cautions: of_forms(&["recall_check", "children"]),
        ..with(situations)
    };
    assert_eq!(keys(&listed(&[])), ["recall_check", "children"], "nothing said: the form's own words");
    assert_eq!(keys(&listed(&[Situation::ForSale])), ["recall", "children"]);
    assert_eq!(keys(&listed(&[Situation::ForSale, Situation::RecallChecked])), ["children"]);
}

#[test]
fn the_mail_limits_what_the_title_names() {
    let safety = Safety::published();
    let named = |text: &str| -> Vec<String> {
        safety.hazards.in_text(text).into_iter().map(|hazard| hazard.key.clone()).collect()
    };
    assert_eq!(named("Clock, takes two BATTERIES"), ["battery"]);
    assert_eq!(named("Lamp with lamp-oil and a box of matches"), ["fuel", "matches"]);
    assert_eq!(named("Mercury glass candle holders"), Vec::<String>::new());
    assert_eq!(named("Refueled in spirit"), Vec::<String>::new(), "whole words");
    let hazards =
        safety.hazards.in_text("clock with mercury pendulum, battery").into_iter().cloned().collect();
    let facts = Facts { hazards, form_cautions: of_forms(&["mercury", "battery"]), ..Facts::default() };
    let said: Vec<(String, Urgency)> =
        safety.cautions(&facts).into_iter().map(|one| (one.key, one.urgency)).collect();
    let expected = [("mail_mercury".to_owned(), Urgency::Strong), ("mail_battery".to_owned(), Urgency::Warn)];
    assert_eq!(said, expected, "said once, the forbidden first");
}

#[test]
fn every_thing_on_the_reference_list_is_found_by_one_of_its_own_words() {
    let safety = Safety::published();
    let expected = [
        "aerosol",
        "alcohol",
        "battery",
        "bleach",
        "dry_ice",
        "fireworks",
        "fuel",
        "glue",
        "lithium",
        "matches",
        "mercury",
        "nail_polish",
        "paint",
        "perfume",
        "pool_chemical",
    ];
    assert_eq!(safety.hazards.iter().map(|one| one.key.as_str()).collect::<Vec<_>>(), expected);
    for hazard in safety.hazards.iter() {
        for word in &hazard.words {
            let found = safety.hazards.in_text(&format!("a {word}, old"));
            assert!(found.contains(&hazard), "{word}");
        }
    }
}

#[test]
fn every_key_of_a_form_caution_that_is_named_exists() {
    let catalogue = Catalogue::published();
    let known: Vec<&str> = catalogue.cautions().map(|one| one.key.as_str()).collect();
    let safety = Safety::published();
    let named = safety.rules().flat_map(|rule| rule.answers_for.iter().chain(&rule.form_cautions));
    for key in named.chain(safety.hazards.iter().flat_map(|one| &one.answers_for)) {
        assert!(known.contains(&key.as_str()), "no form has the caution {key}");
    }
}

#[test]
fn two_pieces_with_one_caution_get_it_once() {
    let form_cautions = of_forms(&["sharp_chips", "lead_crystal", "sharp_chips"]);
    assert_eq!(keys(&Facts { form_cautions, ..Facts::default() }), ["sharp_chips", "lead_crystal"]);
    let battery = Safety::published().hazards.in_text("battery").into_iter().next().cloned().expect("listed");
    assert_eq!(
        keys(&Facts { hazards: vec![battery.clone(), battery], ..Facts::default() }),
        ["mail_battery"]
    );
}

#[test]
fn no_sentence_of_the_forms_is_said_again() {
    let catalogue = Catalogue::published();
    for caution in catalogue.cautions() {
        assert!(Safety::published().rules().all(|rule| rule.text != caution.text), "{}", caution.key);
    }
}

#[test]
fn every_caution_defers_to_local_rules_and_names_its_publisher() {
    let facts = Facts { form_cautions: of_forms(&["lead_glaze"]), ..with(Situation::ALL) };
    let said = Safety::published().cautions(&facts);
    assert!(said.len() > 8);
    for one in said {
        let text = one.full_text();
        assert!(text.ends_with(Caution::LOCAL_RULES) && text.contains(&one.publisher), "{text}");
        assert!(!one.because.is_empty());
    }
}

#[test]
fn files_are_read_strictly() {
    let safety = Safety::published();
    let says = |text: &str, part: &str| {
        let message = safety.with(text).expect_err("refused").to_string();
        assert!(message.contains(part), "\"{message}\": \"{part}\"");
    };
    says("[cautions.lift\n", "cautions file");
    says("[cautions.lift]\ngross_form_lb = 20\n", "gross_from_lb");
    says("[cautions.lift]\ngross_from_lb = nan\n", "0 to 1000");
    says("[cautions.lift]\ngross_from_lb = -1\n", "0 to 1000");
    says("[cautions.lift]\nurgency = \"loud\"\n", "strong or warn or notice");
    says("[cautions.lift]\nreplaces = [\"knives\"]\n", "another caution");
    says("[cautions.knife]\nsituations = [\"cut dwn\"]\n", "cut down");
    let row =
        "urgency = \"warn\"\norder = 1\ntext = \"Mind it.\"\npublisher = \"own\"\nflag = \"judgement\"\n";
    says(&format!("[cautions.mine]\n{row}"), "situations is missing");
    says("[cautions.mine]\ntext = \"\"\n", "publisher");
    says("[other]\n", "\"other\" is not known");
    let hazards = safety.hazards.with("[hazards.mine]\nwords = []\n").expect_err("refused").to_string();
    assert!(hazards.contains("words"), "{hazards}");
    let twice = "[limits.mine]\nmetal = \"lead\"\nware = \"flatware\"\nmg_per_l = 1\npublisher = \"own\"\nflag = \"judgement\"\n";
    let leach = safety.leach.with(twice).expect_err("refused").to_string();
    assert!(leach.contains("twice"), "{leach}");
}
