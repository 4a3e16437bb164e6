//! The commands as a person runs them: what they answer, and how they refuse.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lotwright")).args(args).stdin(Stdio::null()).output().unwrap()
}

/// Plans a sheet given on standard input.
fn plan(sheet: &[u8], more: &[&str]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lotwright"))
        .args(["plan", "-"])
        .args(more)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    // A sheet that is too large is refused before it is read to the end.
    let _ = stdin.write_all(sheet);
    drop(stdin);
    child.wait_with_output().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

const MUGS: &str = r#"
title = "Mugs"
units = "in"
[post]
from = "453"
to = ["100", "981"]
card = "ground_advantage_commercial"
date = "2026-11-25"
[[carton]]
size = "8 x 8 x 6"
[[carton]]
size = "12 x 12 x 8"
[[carton]]
size = "16 x 12 x 12"
[[find]]
name = "mugs"
form = "diner_mug"
count = 2
per_lot = 1
"#;

#[test]
fn a_sheet_of_two_mugs_is_planned() {
    let output = plan(MUGS.as_bytes(), &[]);
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    for words in ["2 lots of 1", "bills as", "postage", "remains", "Check against the official list"] {
        let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(words), "{words} missing in\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "a line is wider than 80 columns");
}

#[test]
fn the_same_sheet_gives_the_same_bytes_with_one_thread_and_two() {
    let with = |threads: &str| {
        let mut child = Command::new(env!("CARGO_BIN_EXE_lotwright"))
            .args(["plan", "-", "--json"])
            .env("RAYON_NUM_THREADS", threads)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(MUGS.as_bytes()).unwrap();
        child.wait_with_output().unwrap().stdout
    };
    let one = with("1");
    assert!(!one.is_empty());
    assert_eq!(one, with("2"));
}

#[test]
fn the_json_keeps_to_the_published_schema() {
    let schema: serde_json::Value = serde_json::from_str(&stdout(&run(&["schema"]))).unwrap();
    let kept = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/plan.schema.json");
    let published: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(kept).unwrap()).unwrap();
    // Not assert_eq: two whole schemas would drown the message.
    assert!(schema == published, "docs/plan.schema.json is out of date; see CONTRIBUTING.md");
    let output = plan(MUGS.as_bytes(), &["--json"]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let validator = jsonschema::validator_for(&published).unwrap();
    assert!(validator.is_valid(&document), "{:?}", validator.iter_errors(&document).next());
    // The check can fail.
    let mut broken = document.clone();
    broken["ladders"][0]["orders"][0]["parcels"][0]["gross_g"] = serde_json::json!("heavy");
    assert!(!validator.is_valid(&broken));
}

#[test]
fn every_plan_in_the_json_passes_the_checker_when_read_back() {
    let output = plan(MUGS.as_bytes(), &["--json"]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let orders = document["ladders"][0]["orders"].as_array().unwrap();
    for (k, order) in orders.iter().enumerate() {
        let parcels: Vec<plan::Parcel> = order["parcels"]
            .as_array()
            .unwrap()
            .iter()
            .map(|parcel| serde_json::from_value(parcel["plan"].clone()).unwrap())
            .collect();
        let expected = vec![shape::Contents {
            find: String::from("mugs"),
            what: parcels[0].bundles[0].contents[0].what.clone(),
            count: k as u32 + 1,
        }];
        let broken = proof::check_all(&parcels, &expected);
        assert!(broken.is_empty(), "{broken:?}");
    }
}

#[test]
fn mistakes_are_refused_with_code_2_and_one_clear_message() {
    let change = |from: &str, to: &str| {
        assert!(MUGS.contains(from), "{from}");
        MUGS.replace(from, to).into_bytes()
    };
    let cases: Vec<(&str, Vec<u8>, &[&str])> = vec![
        ("empty sheet", Vec::new(), &["example"]),
        ("zero measure", change("count = 2", "count = 2\nheight = \"0 in\""), &["height"]),
        ("negative measure", change("count = 2", "count = 2\ndiameter = \"-3 in\""), &["diameter"]),
        (
            "handle without reach",
            change("count = 2", "count = 2\nhandle_reach = \"0 in\""),
            &["handle_reach"],
        ),
        ("unknown form", change("diner_mug", "diner_mugg"), &["diner_mug"]),
        ("zip of no position", change("\"981\"", "\"099\""), &["099"]),
        ("a million pieces", change("count = 2", "count = 1000000"), &["count", "1000"]),
        ("a misspelt key", change("per_lot = 1", "per_lott = 1"), &["per_lot"]),
        ("broken UTF-8", [MUGS.as_bytes(), &[0xff, 0xfe]].concat(), &["UTF-8"]),
        ("over 1 MB", vec![b'#'; 1_100_000], &["1 MB"]),
    ];
    for (what, sheet, words) in cases {
        let output = plan(&sheet, &[]);
        let message = stderr(&output);
        assert_eq!(output.status.code(), Some(2), "{what}: {message}");
        assert!(stdout(&output).is_empty(), "{what}");
        assert!(!message.contains("panicked"), "{what}: {message}");
        for word in words {
            assert!(message.contains(word), "{what}: \"{word}\" missing in\n{message}");
        }
    }
}

#[test]
fn a_piece_larger_than_every_carton_is_refused_on_its_rung_with_the_size_it_needs() {
    let sheet = MUGS
        .replace("count = 2", "count = 1\ndiameter = \"30 in\"\nheight = \"20 in\"\nhandle_reach = \"1 in\"");
    let output = plan(sheet.as_bytes(), &[]);
    let text = stdout(&output);
    assert!(output.status.success(), "{}", stderr(&output));
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("no plan") && joined.contains("list a larger carton"), "{text}");
}

#[test]
fn a_parcel_over_the_limit_is_refused_never_clamped() {
    let output =
        run(&["postage", "--weight", "70.1 lb", "--size", "12 x 12 x 12 in", "--from", "453", "--to", "981"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("70"), "{}", stderr(&output));
}

#[test]
fn zones_say_how_far_the_edge_is() {
    let output = run(&["zones", "45300", "--to", "100,303,981"]);
    assert!(output.status.success());
    assert_eq!(stdout(&output).matches(": zone").count(), 3, "{}", stdout(&output));
}

#[test]
fn forms_list_and_suggest() {
    assert!(stdout(&run(&["forms"])).lines().count() > 70);
    let refused = run(&["forms", "gobblet"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("goblet"));
}

#[test]
fn the_manual_and_the_completions_are_written() {
    assert!(stdout(&run(&["man"])).contains("lotwright"));
    assert!(stdout(&run(&["completions", "bash"])).contains("lotwright"));
}

#[test]
fn drawings_are_written_for_every_order() {
    let folder = std::env::temp_dir().join(format!("lotwright-drawings-{}", std::process::id()));
    let output = plan(MUGS.as_bytes(), &["--svg", &folder.display().to_string()]);
    assert!(output.status.success(), "{}", stderr(&output));
    let drawings = std::fs::read_dir(&folder).unwrap().count();
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(drawings >= 2, "{drawings}");
}

#[test]
fn an_order_that_takes_more_cartons_than_there_are_says_so() {
    let sheet = MUGS.replace("[[carton]]\nsize = \"8 x 8 x 6\"\n[[carton]]\nsize = \"12 x 12 x 8\"\n[[carton]]\nsize = \"16 x 12 x 12\"", "[[carton]]\nsize = \"8 x 8 x 8\"\non_hand = 1");
    let text = stdout(&plan(sheet.as_bytes(), &[]));
    assert!(text.contains("takes 2 cartons 8 x 8 x 8, and 1 on hand"), "{text}");
}
