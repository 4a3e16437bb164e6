//! The demo shop: the same by its seed, sound, and never in the place of a real one.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

mod till;

use till::Till;

const LAST: [&str; 3] = ["--demo", "--date", "2025-12-31"];

fn with<'a>(args: &[&'a str]) -> Vec<&'a str> {
    args.iter().copied().chain(LAST).collect()
}

#[test]
fn the_same_seed_makes_the_same_shop_and_another_makes_another() {
    let all = |seed: &str| {
        let till = Till::empty();
        till.says(&["demo", "--seed", seed]);
        till.json(&["export", "--to-json", "-", "--demo"])
    };
    let one = all("7");
    assert!(one == all("7"), "two runs of one seed differ");
    assert!(one != all("8"), "another seed makes the same shop");
}

#[test]
fn demo_shops_of_many_seeds_are_sound() {
    for seed in ["1", "2", "18446744073709551615"] {
        let till = Till::empty();
        till.says(&["demo", "--seed", seed]);
        assert!(till.says(&["shop", "check", "--demo"]).contains("Sound"));
        let orders = till.json(&["order", "list", "--demo"]);
        assert!(orders.as_array().unwrap().len() > 20, "seed {seed} sells next to nothing");
    }
}

#[test]
fn a_real_shop_is_never_made_or_erased_as_a_demo() {
    let till = Till::stocked();
    let path = till.at("lotwright/shop.lotwright");
    let before = std::fs::read(&path).unwrap();
    for args in [["demo", "--shop", &path].as_slice(), ["demo", "--erase", "--shop", &path].as_slice()] {
        let refused = till.refuses(args);
        assert!(refused.contains("no demo"), "{refused}");
    }
    till.says(&["demo"]);
    assert_eq!(std::fs::read(&path).unwrap(), before, "the real shop changed");
    till.says(&["demo", "--erase"]);
    let refused = till.refuses(&["demo", "--erase"]);
    assert!(refused.contains("nothing was erased"), "{refused}");
    assert_eq!(std::fs::read(&path).unwrap(), before, "the real shop changed");
}

#[test]
fn every_answer_of_a_demo_says_that_it_is_one() {
    let till = Till::empty();
    till.says(&["demo"]);
    for args in [
        ["bench"].as_slice(),
        &["stock"],
        &["aged"],
        &["next"],
        &["books"],
        &["year", "2025"],
        &["supply"],
        &["claim"],
        &["tune"],
        &["order", "list"],
        &["order", "show", "1"],
        &["list-up", "--list"],
        &["haul", "--list"],
        &["find", "11"],
        &["bench", "pull"],
        &["setting"],
        &["shop", "check"],
    ] {
        let text = till.says(&with(args));
        assert!(text.contains("Demo shop, made up"), "{args:?}:\n{text}");
    }
}

#[test]
fn a_report_by_haul_names_its_day_and_place() {
    let till = Till::empty();
    till.says(&["demo"]);
    let text = till.says(&with(&["books", "--by", "haul"]));
    let listed = till.says(&with(&["haul", "--list"]));
    let first = listed.lines().rfind(|line| line.trim_start().starts_with("1  ")).unwrap();
    let (day, place) = (first.split_whitespace().nth(1).unwrap(), first.split("  ").last().unwrap());
    let place = place.split(',').next().unwrap().trim();
    assert!(text.contains(&format!("\n  1: {day}, {place}\n")), "{text}\n{listed}");
}

#[test]
fn what_is_worked_out_of_the_demo_is_kept_in_the_demo() {
    let till = Till::stocked();
    till.says(&["demo"]);
    till.says(&["split", "--demo", "--of", "11", "--with", "1 of 12", "--keep", "11"]);
    till.says(&["split", "--demo", "--of", "11", "--keep", "11"]);
    for (find, kept) in [("11", 2), ("12", 1)] {
        let splits = till.json(&["find", find, "--demo"])["splits"].as_array().unwrap().len();
        assert_eq!(splits, kept, "find {find}");
    }
    assert_eq!(till.json(&["find", "1"])["splits"], serde_json::json!([]));
}

#[test]
fn main_texts_stay_as_they_were_reviewed() {
    let till = Till::empty();
    insta::assert_snapshot!("demo", till.says(&["demo"]));
    insta::assert_snapshot!("bench", till.says(&with(&["bench"])));
    insta::assert_snapshot!("pull", till.says(&with(&["bench", "pull"])));
    insta::assert_snapshot!("stock", till.says(&with(&["stock"])));
    insta::assert_snapshot!("aged", till.says(&with(&["aged"])));
    insta::assert_snapshot!("next", till.says(&with(&["next"])));
    insta::assert_snapshot!("supply", till.says(&with(&["supply"])));
    insta::assert_snapshot!("books", till.says(&with(&["books", "--explain"])));
    insta::assert_snapshot!("year", till.says(&with(&["year"])));
    insta::assert_snapshot!("tune", till.says(&with(&["tune"])));
    insta::assert_snapshot!("order", till.says(&with(&["order", "show", "2"])));
    insta::assert_snapshot!("find", till.says(&with(&["find", "11"])));
}
