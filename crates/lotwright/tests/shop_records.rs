//! Records that have a command of their own: cost flow, venues, rate cards, splits, tuning, prices put right, parcels
//! that go one by one, and returns that are entered whole.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

mod till;

use std::path::Path;

use till::Till;

fn own(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/records").join(name).display().to_string()
}

#[test]
fn the_cost_flow_begins_where_nothing_has_gone_and_says_what_to_ask() {
    let till = Till::stocked();
    let flow = |value: &str, day: &str| {
        ["setting", "--name", "books.cost_flow", "--value", value, "--date", day].map(str::to_owned)
    };
    let args = flow("fifo", "2026-08-01");
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let said = till.says(&args);
    assert!(said.contains("fifo from 2026-01-01") && said.contains("ask your preparer"), "{said}");
    till.order();
    till.says(&["ship", "1", "--date", "2026-08-03"]);
    let year = till.says(&["year", "2026"]);
    assert!(year.contains("Cost of goods: fifo from 2026-01-01."), "{year}");
    let refused =
        till.refuses(&["setting", "--name", "books.cost_flow", "--value", "average from 2026-08-03"]);
    assert!(refused.contains("goods moved until 2026-08-03") && refused.contains("later day"), "{refused}");
    let said =
        till.says(&["setting", "--name", "books.cost_flow", "--value", "average", "--date", "2026-08-10"]);
    assert!(said.contains("average from 2027-01-01"), "{said}");
    let refused = till.refuses(&["setting", "--name", "books.cost_flow", "--value", "lifo"]);
    assert!(refused.contains("specific, fifo or average"), "{refused}");
    // It is no key of a job sheet, and plans don't stumble over it.
    till.supplied(&[("12 x 12 x 12", "2")]);
    till.order();
    till.says(&["bench", "plan", "2", "--date", "2026-08-12", "--no-steps"]);
}

#[test]
fn venues_are_taken_in_as_the_template_prints_them_and_written_out_again() {
    let till = Till::stocked();
    // Files may be wider than a terminal.
    let file = |args: &[&str]| String::from_utf8(till.run(args).stdout).unwrap();
    let template = file(&["example", "--venues"]);
    let uncommented: String = template
        .lines()
        .filter_map(|line| {
            line.strip_prefix("# ").filter(|rest| rest.contains(" = ") || rest.starts_with('['))
        })
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(till.path("venues.toml"), &uncommented).unwrap();
    till.says(&["venue", "add", &till.at("venues.toml")]);
    let list = till.json(&["venue"]);
    let name = list[0]["name"].as_str().unwrap().to_owned();
    let terms = file(&["venue", "terms", &name]);
    std::fs::write(till.path("again.toml"), &terms).unwrap();
    till.says(&["venue", "add", &till.at("again.toml")]);
    assert_eq!(till.json(&["venue"]), list, "taken in a second time, it is the same venue");
    let at = terms.find("fee_on_item_percent = ").unwrap();
    let end = at + terms[at..].find('\n').unwrap();
    let bad = format!("{}fee_on_item_percent = 900{}", &terms[..at], &terms[end..]);
    std::fs::write(till.path("bad.toml"), bad).unwrap();
    let refused = till.refuses(&["venue", "add", &till.at("bad.toml")]);
    assert!(refused.contains("bad.toml") && refused.contains("900"), "{refused}");
    std::fs::write(till.path("none.toml"), "").unwrap();
    assert!(till.refuses(&["venue", "add", &till.at("none.toml")]).contains("example --venues"));
    till.says(&["venue", "strike", &name]);
    assert_eq!(till.json(&["venue"]), serde_json::json!([]));
    assert!(till.refuses(&["venue", "terms", &name]).contains("lotwright venue"));
}

#[test]
fn a_rate_card_of_ones_own_is_read_kept_and_planned_by() {
    let till = Till::stocked();
    let (rules, prices) = (own("invented_carrier.toml"), own("invented_carrier.csv"));
    let refused = till.refuses(&["setting", "--name", "post.card", "--value", "house card"]);
    assert!(refused.contains("no rate card is called"), "{refused}");
    let refused = till.refuses(&["rate-card", "add", "--rules", &prices, "--prices", &rules]);
    assert!(refused.contains("can't be read"), "{refused}");
    till.says(&["rate-card", "add", "--rules", &rules, "--prices", &prices, "--name", "house card"]);
    let shown = till.says(&["rate-card", "show", "house card"]);
    assert!(shown.contains("Invented Freight") && shown.contains("made up for tests"), "{shown}");
    assert_eq!(till.json(&["rate-card"])[0]["name"], "house card");
    till.supplied(&[("12 x 12 x 12", "2")]);
    till.order();
    let plan = |till: &Till| till.json(&["bench", "plan", "1", "--date", "2026-08-02"])["plan"].to_string();
    let usual = plan(&till);
    till.says(&["setting", "--name", "post.card", "--value", "house card"]);
    let by_own = plan(&till);
    assert_ne!(usual, by_own, "another card, another postage");
    let refused = till.refuses(&["rate-card", "strike", "house card"]);
    assert!(refused.contains("post.card names it"), "{refused}");
    till.says(&["setting", "--name", "post.card", "--strike"]);
    till.says(&["rate-card", "strike", "house card"]);
    assert_eq!(plan(&till), usual);
}

#[test]
fn a_card_of_the_program_keeps_its_name() {
    let till = Till::stocked();
    let (rules, prices) = (own("invented_carrier.toml"), own("invented_carrier.csv"));
    let name = postage::RateCard::published()[0].id().to_owned();
    let refused =
        till.refuses(&["rate-card", "add", "--rules", &rules, "--prices", &prices, "--name", &name]);
    assert!(refused.contains("comes with the program") && refused.contains("my-card"), "{refused}");
    assert_eq!(till.json(&["rate-card"]), serde_json::json!([]));
}

#[test]
fn splits_and_comps_of_another_day_are_noted_on_a_find() {
    let till = Till::stocked();
    till.says(&[
        "find",
        "1",
        "--comp",
        "2 for 17.50 + 8.25",
        "--seen",
        "2026-05-02",
        "--split",
        "4,4,4",
        "--spare",
        "1",
    ]);
    let find = till.json(&["find", "1"]);
    assert_eq!(find["comps"][0]["date"], "2026-05-02");
    assert_eq!(find["splits"][0]["lots"], serde_json::json!([4, 4, 4]));
    let text = till.says(&["find", "1"]);
    assert!(text.contains("3 lots of 4, 1 spare"), "{text}");
    let refused = till.refuses(&["find", "1", "--split", "8,8"]);
    assert!(refused.contains("takes 16 pieces and the find has 14"), "{refused}");
    assert!(till.refuses(&["find", "1", "--split", "4,none"]).contains("--split \"4,4,3\""));
    assert!(till.refuses(&["find", "1", "--comp", "2 for 17", "--seen", "May"]).contains("--seen"));
}

#[test]
fn a_split_that_was_worked_out_is_kept_as_the_decision_on_a_find() {
    let till = Till::stocked();
    let asked = [
        "split",
        "--count",
        "13",
        "--form",
        "consomme_cup",
        "--comp",
        "2 for 17.50 + 8.25",
        "--comp",
        "4 for 30 + 9",
        "--comp",
        "6 for 41 + 11",
    ];
    let keep: Vec<&str> = asked.into_iter().chain(["--keep", "1"]).collect();
    let said = till.says(&keep);
    assert!(said.contains("Kept for find 1"), "{said}");
    let kept = &till.json(&["find", "1"])["splits"][0];
    let pieces: u64 = kept["lots"].as_array().unwrap().iter().map(|lot| lot.as_u64().unwrap()).sum();
    assert!((1..=13).contains(&pieces), "{kept}");
    let missing: Vec<&str> = asked.into_iter().chain(["--keep", "9"]).collect();
    assert!(till.refuses(&missing).contains("there is no find 9"));
}

#[test]
fn what_parcels_taught_is_counted_once_and_taken_back() {
    let till = Till::stocked();
    till.supplied(&[("12 x 12 x 12", "9")]);
    let plan = |till: &Till, order: u64| {
        till.order();
        till.json(&["bench", "plan", &order.to_string(), "--date", "2026-08-02"])["plan"].clone()
    };
    let predicted = |till: &Till, order: u64| {
        till.json(&["order", "show", &order.to_string()])["parcels"][0]["predicted"].clone()
    };
    let first = plan(&till, 1);
    let mut args = vec!["ship", "1", "--date", "2026-08-03"];
    for _ in first["parcels"].as_array().unwrap() {
        args.extend(["--weight", "12 lb", "--minutes", "90"]);
    }
    till.says(&args);
    till.says(&["tune", "--apply"]);
    let applied = till.json(&["tune"])["by_form"][0]["applied"].clone();
    let (weight, minutes) = (applied["weight"].as_f64().unwrap(), applied["minutes"].as_f64().unwrap());
    assert!(weight > 1.1 && minutes > 1.1, "{applied}");
    let second = plan(&till, 2);
    let of = |plan: &serde_json::Value| {
        (plan["minutes"].as_f64().unwrap(), plan["parcels"][0]["gross_g"].as_f64().unwrap())
    };
    let ((first_minutes, first_gross), (second_minutes, second_gross)) = (of(&first), of(&second));
    assert!((second_minutes / first_minutes - minutes).abs() < 0.01, "{first_minutes} {second_minutes}");
    assert!((second_gross / first_gross - weight).abs() < 0.01, "{first_gross} {second_gross}");
    // What is stored as predicted is the plan's own, so the lesson stays the same however often it is applied.
    assert_eq!(predicted(&till, 2)["gross_g"], predicted(&till, 1)["gross_g"]);
    assert_eq!(predicted(&till, 2)["minutes"], predicted(&till, 1)["minutes"]);
    till.says(&["tune", "--apply"]);
    assert_eq!(till.json(&["tune"])["by_form"][0]["applied"], applied);
    let text = till.says(&["bench", "plan", "2", "--date", "2026-08-02", "--no-steps"]);
    assert!(text.contains("by what was applied"), "{text}");
    let said = till.says(&["tune", "--take-back"]);
    assert!(said.contains("Taken back: 3 settings"), "{said}");
    let own = till.json(&["bench", "plan", "2", "--date", "2026-08-02"])["plan"].clone();
    assert_eq!(own["parcels"], first["parcels"]);
    assert_eq!(till.json(&["tune"])["market_damage"], serde_json::Value::Null);
}

#[test]
fn other_things_predicted_are_noted_by_hand() {
    let till = Till::stocked();
    till.says(&["tune", "--note", "minutes to clean, min of consomme_cup: 4 was 6", "--date", "2026-08-01"]);
    let noted = &till.json(&["tune"])["noted"][0];
    assert_eq!((noted["predicted"].as_f64(), noted["actual"].as_f64()), (Some(4.0), Some(6.0)));
    assert!(till.says(&["tune"]).contains("4 min predicted, was 6"));
    for bad in [
        "minutes to clean",
        "x of consomme_cup: 4 was 6",
        "x, min of teapotlike: 4 was 6",
        "x, min of consomme_cup: 4 was -6",
    ] {
        assert!(till.refuses(&["tune", "--note", bad]).contains("right would be: --note"), "{bad}");
    }
    assert_eq!(till.json(&["tune"])["noted"].as_array().unwrap().len(), 1);
}

#[test]
fn an_order_is_priced_anew() {
    let till = Till::stocked();
    till.order();
    till.says(&["order", "reprice", "1", "--price", "30", "--date", "2026-08-02"]);
    let order = till.json(&["order", "show", "1"]);
    assert_eq!(order["items_cents"], 3000);
    let earned = till.json(&["books", "--by", "order", "--date", "2026-08-31"]);
    assert_eq!(earned["rows"][0]["items_cents"], 3000);
    assert!(till.refuses(&["order", "reprice", "1"]).contains("--price 38.00"));
    let refused = till.refuses(&["order", "reprice", "1", "--price", "30", "--price", "4"]);
    assert!(refused.contains("2 are given for 1 line"), "{refused}");
    assert!(till.refuses(&["order", "reprice", "9", "--shipping", "4"]).contains("there is no order 9"));
}

#[test]
fn parcels_of_an_order_go_one_by_one() {
    let till = Till::stocked();
    till.order();
    let first = till.says(&["ship", "1", "--part", "1:1,2", "--weight", "2 lb", "--date", "2026-08-03"]);
    assert!(first.contains("to pack") && first.contains("fetch from"), "{first}");
    assert!(till.says(&["shop", "check"]).contains("Sound"));
    let refused = till.refuses(&["order", "cancel", "1"]);
    assert!(refused.contains("sent in part"), "{refused}");
    let refused = till.refuses(&["ship", "1", "--part", "1:1", "--date", "2026-08-04"]);
    assert!(refused.contains("without piece 1 of find 1 to send"), "{refused}");
    let last = till.says(&["ship", "1", "--part", "2:1,2", "--weight", "3 lb", "--date", "2026-08-05"]);
    assert!(last.contains("sent 2026-08-05") && last.contains("parcel 2 was"), "{last}");
    assert!(till.says(&["shop", "check"]).contains("Sound"));
}

#[test]
fn a_return_with_its_refund_and_claim_is_entered_whole_or_not_at_all_and_taken_back() {
    let till = Till::stocked();
    till.order();
    till.says(&["ship", "1", "--date", "2026-08-03"]);
    let before = till.json(&["find", "1"]);
    let refused = till.refuses(&[
        "back",
        "1",
        "--returned",
        "1:1",
        "--refund",
        "9999",
        "--claim",
        "10",
        "--date",
        "2026-08-09",
    ]);
    assert!(refused.contains("right") || refused.contains("refund"), "{refused}");
    assert_eq!(till.json(&["find", "1"]), before);
    assert_eq!(till.json(&["claim"]), serde_json::json!([]));
    let done = till.json(&[
        "back",
        "1",
        "--broken",
        "1:1",
        "--refund",
        "9.50",
        "--claim",
        "17",
        "--deadline",
        "2026-10-01",
        "--date",
        "2026-08-09",
    ]);
    assert_eq!((&done["claim"], done["returns"].as_array().unwrap().len()), (&1.into(), 1));
    till.says(&["claim", "paid", "1", "--date", "2026-08-20"]);
    assert!(till.refuses(&["claim", "paid", "1", "--date", "2026-08-20"]).contains("decided"));
    let entry = (done["refund_entry"].as_u64().unwrap() - 1).to_string();
    till.says(&["take-back", &entry, "--why", "the wrong order", "--date", "2026-08-21"]);
    assert_eq!(till.json(&["find", "1"]), before, "the piece is with the buyer again");
    assert!(till.says(&["shop", "check"]).contains("Sound"));
}
