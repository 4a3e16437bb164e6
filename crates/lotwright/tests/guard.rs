//! `guard` as a person runs it: what it answers, what it writes, and how it refuses.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn run(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lotwright"));
    command.arg("guard").args(args).stdin(Stdio::null()).output().unwrap()
}

fn told(args: &[&str]) -> String {
    let output = run(args);
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// One blank between words, so that breaks of lines don't matter.
fn joined(args: &[&str]) -> String {
    told(args).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(args: &[&str]) -> Value {
    let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
    serde_json::from_str(&told(&args)).unwrap()
}

const MUG: [&str; 6] = ["--form", "stoneware mug", "--weight", "12 oz", "--measure", "diameter=3.57 in"];
/// A bare piece that can be reckoned with.
const PIECE: [&str; 6] = ["--weight", "12 oz", "--area", "10 in2", "--bears", "75"];

fn with<'a>(piece: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    piece.iter().chain(more).copied().collect()
}

#[test]
fn a_mug_is_answered_in_plain_words_first() {
    insta::assert_snapshot!("a_mug", told(&MUG));
}

#[test]
fn a_bare_piece_is_answered_with_its_arithmetic() {
    let more = ["--material", "eps_fill", "--material", "pe_plank", "--thickness", "2 in", "--method"];
    insta::assert_snapshot!("a_bare_piece_with_its_method", told(&with(&PIECE, &more)));
}

#[test]
fn fill_behind_a_wrap_is_answered() {
    let more =
        ["--wrap", "bubble_small x 2", "--material", "eps_fill", "--material", "kraft", "--drop", "light"];
    insta::assert_snapshot!("behind_a_wrap", told(&with(&MUG, &more)));
}

#[test]
fn a_thin_glass_is_answered_in_metric() {
    insta::assert_snapshot!(
        "a_thin_glass_in_metric",
        told(&["--form", "wine glass", "--metric", "--drop", "careful"])
    );
}

#[test]
fn two_inches_are_explained_where_they_are_not_enough_and_praised_where_they_are() {
    let at = |bears: &'static str| {
        joined(&["--weight", "12 oz", "--area", "8 in2", "--material", "eps_fill", "--bears", bears])
    };
    let short = at("75");
    for words in [
        "give 68 G, 12 % too much",
        "Why two inches are not enough",
        "at most 4 (1 is an ideal",
        "has 4.5 at its best load",
    ] {
        assert!(short.contains(words), "{words} missing in {short}");
    }
    assert!(short.contains("Here the computation decides"), "{short}");
    let sturdy = at("110");
    assert!(sturdy.contains("Two inches of it give 68 G: enough, 23 % under"), "{sturdy}");
    assert!(sturdy.contains("so the rule decides: 2 in"), "{sturdy}");
    assert!(!sturdy.contains("Why"), "{sturdy}");
}

#[test]
fn every_source_of_the_fall_is_named() {
    for (more, words) in [
        (&[][..], "From 30 in (ISTA 1A integrity test, under 21 lb)"),
        (&["--gross", "25 lb"], "From 24 in (ISTA 1A integrity test, 21 to under 41 lb)"),
        (&["--drop", "careful"], "From 36 in (careful: "),
        (&["--drop", "light"], "From 18 in (light: "),
        (
            &["--schedule", "ista 3a"],
            "From 36 in (ISTA 3A parcel simulation, under 70 lb, its one high flat drop)",
        ),
        (
            &["--schedule", "d4169_ii", "--gross", "30 lb"],
            "From 26 in (ASTM D4169 handling, assurance level II, over 20 to 40 lb",
        ),
        (&["--height", "1 ft"], "From 12 in (a height of your own)"),
    ] {
        let text = joined(&with(&PIECE, more));
        assert!(text.contains(words), "{words} missing in {text}");
    }
    let whole = joined(&with(&PIECE, &["--gross", "25 lb"]));
    assert!(!whole.contains("Weight of the parcel not told"), "{whole}");
    assert!(joined(&PIECE).contains("Weight of the parcel not told, taken as the piece's own"));
}

#[test]
fn a_method_outside_its_range_is_marked_and_its_fall_back_named() {
    let text =
        told(&with(&PIECE, &["--material", "pe_plank", "--material", "bubble_small", "--thickness", "2 in"]));
    assert!(
        text.lines().any(|line| line.contains("polyethylene foam plank") && line.contains("~140")),
        "{text}"
    );
    assert!(text.lines().any(|line| line.contains("bubble 3/16 in") && line.contains(" 68 ")), "{text}");
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("~ load or thickness outside the range of the stress-energy method; the cushion factor is taken instead"), "{text}");
    assert!(
        joined.contains("none: too stiff for so light a load however thick: polyethylene foam plank"),
        "{text}"
    );
    let report = json(&with(&PIECE, &["--material", "pe_plank", "--thickness", "2 in"]));
    let shock = &report["materials"][0]["shocks"][0];
    assert_eq!(
        (&shock["is_outside_its_method"], &shock["method"]),
        (&Value::from(true), &Value::from("cushion factor"))
    );
    assert!(shock["because"][0].as_str().unwrap().contains("outside the 0.4 to 1.2 psi"), "{shock}");
}

#[test]
fn a_wrap_lessens_what_is_needed_behind_it() {
    let needed = |more: &[&str]| {
        let report = json(&with(&PIECE, &with(&["--material", "eps_fill"], more)));
        report["materials"][0]["needed"][0]["thickness_mm"].as_f64().unwrap()
    };
    let (bare, two, six) =
        (needed(&[]), needed(&["--wrap", "bubble_small x 2"]), needed(&["--wrap", "bubble small x 6"]));
    assert!(bare > two && two > six, "{bare} {two} {six}");
    assert_eq!(needed(&["--wrap", "bubble_large x 20"]), 0.0);
    let text = joined(&with(&PIECE, &["--material", "eps_fill", "--wrap", "bubble_large x 20"]));
    assert!(
        text.contains("needs nothing behind 20 layers of bubble 1/2 in, which is enough by itself"),
        "{text}"
    );
}

#[test]
fn what_no_carton_has_room_for_is_no_answer() {
    let text = joined(&["--form", "dinner plate", "--material", "kraft"]);
    assert!(text.contains("kraft paper is no answer: it would take"), "{text}");
    assert!(text.contains("a carton of the post leaves room for 12 in at most"), "{text}");
    let never = joined(&["--form", "dinner plate", "--material", "pe_plank"]);
    assert!(never.contains("no thickness of polyethylene foam plank is enough"), "{never}");
}

#[test]
fn a_lid_falls_by_itself() {
    let report = json(&["--form", "teapot", "--material", "eps_fill"]);
    let grams = report["piece"]["weight_g"].as_f64().unwrap();
    assert_eq!(report["piece"]["what"], "teapot without its lid");
    let forms = Command::new(env!("CARGO_BIN_EXE_lotwright")).args(["forms", "teapot"]).output().unwrap();
    let forms = String::from_utf8(forms.stdout).unwrap();
    let ounces = |name: &str| {
        let line = forms.lines().find(|line| line.trim_start().starts_with(name)).unwrap();
        line.split_whitespace().find_map(|word| word.parse::<f64>().ok()).unwrap()
    };
    let (whole, lid) = (ounces("weight"), forms.contains("lid weight").then(|| ounces("lid weight")));
    assert!(grams < 28.35 * whole * 0.9, "{grams} of {whole} oz");
    if let Some(lid) = lid {
        assert!((grams / 28.349_523_125 - (whole - lid)).abs() < 0.01, "{grams} of {whole} less {lid} oz");
    }
}

#[test]
fn another_rule_can_be_taken_and_is_then_held_against_the_computation() {
    let text = joined(&with(&PIECE, &["--material", "eps_fill", "--rule", "rule of three"]));
    assert!(
        text.contains("the rule asks for 3 in (a potters' packing guide), so the rule decides: 3 in."),
        "{text}"
    );
    assert!(text.contains("Three inches of it give"), "{text}");
}

#[test]
fn no_line_is_wider_than_a_terminal() {
    let many: Vec<String> = (1..=12).map(|k| format!("{k} 3/16 in")).collect();
    let many: Vec<&str> = many.iter().flat_map(|text| ["--thickness", text.as_str()]).collect();
    let file = std::env::temp_dir().join(format!("lotwright-guard-wide-{}.svg", std::process::id()));
    let svg = file.display().to_string();
    for form in ["stoneware mug", "dinner plate", "wine glass", "teapot", "skillet_8", "cookbook"] {
        for more in
            [&[][..], &["--metric"], &["--method"], &["--wrap", "bubble_small x 2"], &["--svg", &svg], &many]
        {
            let text = told(&with(&["--form", form], more));
            let widest = text.lines().max_by_key(|line| line.chars().count()).unwrap_or("");
            assert!(widest.chars().count() <= 80, "{form} {more:?}: {widest}");
        }
    }
    std::fs::remove_file(&file).unwrap();
}

#[test]
fn the_json_says_the_same_with_units_in_its_keys() {
    let report = json(&with(&MUG, &["--thickness", "2 in", "--material", "eps_fill"]));
    assert!((report["piece"]["weight_g"].as_f64().unwrap() - 340.19).abs() < 0.01);
    assert_eq!(report["piece"]["form"], "mug_stoneware");
    assert_eq!(report["piece"]["bearings"][1]["way"], "on_its_side");
    assert!(report["piece"]["estimated"].as_array().unwrap().iter().any(|name| name == "height"));
    assert_eq!(report["fragility"]["bears_gravities"], 75.0);
    assert_eq!(report["fragility"]["bears_from"]["flag"], "judgement");
    assert_eq!(report["fragility"]["allowed_gravities"], 60.0);
    assert!((report["drop"]["height_mm"].as_f64().unwrap() - 762.0).abs() < 1e-6);
    assert_eq!(report["drop"]["gross_is_the_piece"], true);
    let fill = &report["materials"][0];
    assert_eq!(fill["key"], "eps_fill");
    let shock = &fill["shocks"][0];
    assert!((shock["peak_gravities"].as_f64().unwrap() - 67.6).abs() < 0.1, "{shock}");
    assert!(
        shock["low_gravities"].as_f64().unwrap() < 67.0 && shock["high_gravities"].as_f64().unwrap() > 68.0
    );
    assert!((fill["needed"][0]["rounded_up_mm"].as_f64().unwrap() - 63.5).abs() < 1e-6);
    assert_eq!(fill["needed"][0]["rule_binds"], false);
    assert!((fill["use_mm"].as_f64().unwrap() - 63.5).abs() < 1e-6);
    assert_eq!(report["rule"]["name"], "carrier");
    assert!((report["why_more"]["factor_allowed"].as_f64().unwrap() - 4.0).abs() < 0.01);
    let all = json(&MUG);
    assert!(all["materials"].as_array().unwrap().len() > 15);
    assert_eq!(all["materials"][0]["shocks"].as_array().unwrap().len(), 4);
    assert_eq!(json(&["--form", "wine glass"])["second_box_because"].as_array().unwrap().len(), 1);
}

#[test]
fn the_chart_is_written_well_formed_and_shown_in_letters_too() {
    let file = std::env::temp_dir().join(format!("lotwright-guard-{}.svg", std::process::id()));
    let svg = file.display().to_string();
    let text = told(&with(&MUG, &["--svg", &svg, "--material", "eps_fill", "--material", "kraft"]));
    let chart = std::fs::read_to_string(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    let document = roxmltree::Document::parse(&chart).unwrap();
    let words = |name: &str| {
        let node = document.root_element().children().find(|node| node.tag_name().name() == name);
        node.and_then(|node| node.text()).unwrap().to_owned()
    };
    assert_eq!(words("title"), "12 oz stoneware mug: shock behind 2 in of cushion");
    let described = words("desc");
    for part in ["60 G are allowed.", "EPS loose fill: 68 G, too much.", "kraft paper: 127 G, too much."] {
        assert!(described.contains(part), "{part} missing in {described}");
    }
    for part in
        ["12 oz stoneware mug: shock behind 2 in of cushion", "= allowed, 60 G", "A EPS loose fill (68 G)"]
    {
        assert!(text.contains(part), "{part} missing in\n{text}");
    }
    // A single thickness is the one that is drawn.
    told(&with(&MUG, &["--svg", &svg, "--thickness", "3 in"]));
    let chart = std::fs::read_to_string(&file).unwrap();
    std::fs::remove_file(&file).unwrap();
    assert!(chart.contains("shock behind 3 in of cushion"));
    let output = run(&with(&MUG, &["--svg", "/nowhere/at/all.svg"]));
    assert_eq!(output.status.code(), Some(1));
}

/// Arguments, the option that is named, and a part of what would be right.
type Refusal = (&'static [&'static str], &'static str, &'static str);

const REFUSED: &[Refusal] = &[
    (&[], "--weight is missing", "--weight \"12 oz\""),
    (&["--weight", "12 oz", "--bears", "60"], "--area is missing", "--area \"10 in2\""),
    (&["--weight", "12 oz", "--area", "10 in2"], "--fragility is missing", "compact"),
    (
        &["--weight", "12 oz", "--area", "10 in2", "--sides", "2 x 5 in", "--bears", "60"],
        "--sides",
        "one of them",
    ),
    (&["--form", "mug", "--area", "10 in2"], "--area", "--measure"),
    (&["--form", "mug", "--sides", "3 x 3 in"], "--sides", "--measure"),
    (&["--form", "mugg"], "--form", "mug"),
    (&["--form", "mug", "--measure", "diameter=0 in"], "--measure diameter", "diameter"),
    (&["--form", "mug", "--measure", "girth=3 in"], "--measure girth", "diameter"),
    (&["--form", "mug", "--weight", "-3 oz"], "--weight", "12 oz"),
    (&["--weight", "12", "--area", "10 in2", "--bears", "60"], "--weight", "oz"),
    (
        &["--weight", "12 oz", "--measure", "height=3 in", "--area", "10 in2", "--bears", "60"],
        "--measure",
        "--form",
    ),
    (&["--weight", "0 oz", "--area", "10 in2", "--bears", "60"], "--weight", "zero"),
    (&["--weight", "9 t", "--area", "10 in2", "--bears", "60"], "--weight", "oz"),
    (&["--weight", "12 oz", "--area", "0 in2", "--bears", "60"], "--area", "10 in2"),
    (&["--weight", "12 oz", "--area", "-3 in2", "--bears", "60"], "--area", "10 in2"),
    (&["--weight", "12 oz", "--area", "NaN in2", "--bears", "60"], "--area", "10 in2"),
    (&["--weight", "12 oz", "--area", "10 in", "--bears", "60"], "--area", "in2"),
    (&["--weight", "12 oz", "--area", "999999999 in2", "--bears", "60"], "--area", "right would be"),
    (&["--weight", "12 oz", "--sides", "4 in", "--bears", "60"], "--sides", "4 x 2 1/2 in"),
    (&["--form", "mug", "--fragility", "compact", "--bears", "60"], "--bears", "one of them"),
    (&["--form", "mug", "--fragility", "compct"], "--fragility", "compact"),
    (&["--form", "mug", "--bears", "NaN"], "--bears", "--bears 60"),
    (&["--form", "mug", "--bears", "-60"], "--bears", "--bears 60"),
    (&["--form", "mug", "--bears", "0"], "--bears", "--bears 60"),
    (&["--form", "mug", "--bears", "1e30"], "--bears", "10000 G"),
    (&["--form", "mug", "--bears", "inf"], "--bears", "--bears 60"),
    (&["--form", "mug", "--safety", "0.5"], "--safety", "1 to 10"),
    (&["--form", "mug", "--safety", "NaN"], "--safety", "1.25"),
    (&["--form", "mug", "--bears", "60", "--safety", "99"], "--safety", "1 to 10"),
    (&["--form", "mug", "--drop", "usual", "--height", "30 in"], "--height", "one of them"),
    (&["--form", "mug", "--drop", "usual", "--schedule", "ista_1a"], "--schedule", "one of them"),
    (&["--form", "mug", "--schedule", "ista_1a", "--height", "30 in"], "--height", "one of them"),
    (&["--form", "mug", "--drop", "carefull"], "--drop", "careful"),
    (&["--form", "mug", "--schedule", "ista_1b"], "--schedule", "ista_1a"),
    (&["--form", "mug", "--height", "0 in"], "--height", "more than zero"),
    (&["--form", "mug", "--height", "30"], "--height", "in"),
    (&["--form", "mug", "--height", "-30 in"], "--height", "in"),
    (&["--form", "mug", "--height", "900 m"], "--height", "10000 in"),
    (&["--form", "mug", "--height", "30 in", "--gross", "3 lb"], "--gross", "one of them"),
    (&["--form", "mug", "--gross", "3 oz"], "--gross", "at least the piece"),
    (&["--form", "mug", "--gross", "500 lb"], "--gross", "lighter parcels"),
    (&["--form", "mug", "--material", "eps_fil"], "--material", "eps_fill"),
    (&["--form", "mug", "--material", "zzzzzz"], "--material", "eps_fill"),
    (&["--form", "mug", "--thickness", "0 in"], "--thickness", "in"),
    (&["--form", "mug", "--thickness", "-2 in"], "--thickness", "in"),
    (&["--form", "mug", "--thickness", "2"], "--thickness", "in"),
    (&["--form", "mug", "--thickness", "NaN in"], "--thickness", "in"),
    (&["--form", "mug", "--thickness", "900 in"], "--thickness", "100 in"),
    (&["--form", "mug", "--wrap", "bubbl_small x 2"], "--wrap", "bubble_small"),
    (&["--form", "mug", "--wrap", "bubble_small x 0"], "--wrap", "1 to 100"),
    (&["--form", "mug", "--wrap", "bubble_small x -2"], "--wrap", "1 to 100"),
    (&["--form", "mug", "--wrap", "bubble_small x 99999999999"], "--wrap", "1 to 100"),
    (&["--form", "mug", "--wrap", "eps_fill x 2"], "--wrap", "--material eps_fill"),
    (&["--form", "mug", "--wrap", ""], "--wrap", "right would be"),
    (&["--form", "mug", "--rule", "carier"], "--rule", "carrier"),
];

#[test]
fn whatever_is_wrong_is_told_by_its_option_with_what_would_be_right() {
    for (args, option, right) in REFUSED {
        let output = run(args);
        let why = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {why}");
        assert!(why.starts_with(option), "{args:?}: {why}");
        assert!(why.contains(right), "{args:?} lacks {right}: {why}");
        assert!(output.stdout.is_empty() && !why.contains("panicked"), "{args:?}: {why}");
    }
    let many: Vec<String> = (1..=13).map(|k| format!("{k} in")).collect();
    let many: Vec<&str> = many.iter().flat_map(|text| ["--thickness", text.as_str()]).collect();
    let output = run(&with(&["--form", "mug"], &many));
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("at most 12"));
}

#[test]
fn every_form_is_answered_every_way() {
    let forms = Command::new(env!("CARGO_BIN_EXE_lotwright")).arg("forms").output().unwrap();
    let forms = String::from_utf8(forms.stdout).unwrap();
    let keys: Vec<&str> =
        forms.lines().take_while(|line| !line.is_empty()).filter_map(|line| line.split(' ').next()).collect();
    assert!(keys.len() > 50);
    for key in keys {
        let text = joined(&["--form", key, "--material", "eps_fill", "--material", "pad"]);
        assert!(text.contains(" G ("), "{key}: {text}");
    }
}
