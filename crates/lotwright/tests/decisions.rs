//! Worth, split, offer and shelf as a person runs them, on flags alone and on the demo's sheet.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lotwright")).args(args).stdin(Stdio::null()).output().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// One blank between words, so that breaks of lines don't matter.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(args: &[&str]) -> Value {
    let output = run(args);
    assert!(output.status.success(), "{args:?}: {}", stderr(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

const BOWLS: [&str; 12] = [
    "--form",
    "cereal bowl",
    "--count",
    "11",
    "--comp",
    "2 for 31 + 8",
    "--comp",
    "4 @ 56 free ship, 60d ago",
    "--comp",
    "unsold 35 x2 for 90d",
    "--comp",
    "6 for 84 + 12, 20d ago",
];

fn bowls(command: &str, more: &[&str]) -> Vec<String> {
    [command].iter().chain(&BOWLS).chain(more).map(|text| (*text).to_owned()).collect()
}

fn run_bowls(command: &str, more: &[&str]) -> Output {
    let args = bowls(command, more);
    run(&args.iter().map(String::as_str).collect::<Vec<_>>())
}

fn json_bowls(command: &str, more: &[&str]) -> Value {
    let more: Vec<&str> = more.iter().copied().chain(["--json"]).collect();
    let args = bowls(command, &more);
    json(&args.iter().map(String::as_str).collect::<Vec<_>>())
}

#[test]
fn the_shelf_answers_on_flags_alone_and_says_what_it_took_as_usual() {
    let output = run_bowls("shelf", &["--asking", "6"]);
    let text = joined(&stdout(&output));
    assert!(output.status.success(), "{}", stderr(&output));
    for words in ["Not told, taken as usual", "most to pay", "bound by", "chance of a loss", "Not measured"] {
        assert!(text.contains(words), "{words} missing in\n{}", stdout(&output));
    }
    // What was told is no longer among it, and what wasn't is what was reckoned with.
    assert!(text.contains("sent from 453;") && text.contains("15.00 an hour"), "{text}");
    let told =
        joined(&stdout(&run_bowls("shelf", &["--asking", "6", "--from", "606", "--set", "packing.wage=20"])));
    assert!(!told.contains("sent from") && !told.contains("20.00 an hour;"), "{told}");
    assert!(told.contains("after 20.00 an hour"), "{told}");
    let answer = json_bowls("shelf", &["--asking", "6"]);
    let most = answer[0]["most_to_pay_cents"].as_i64().unwrap();
    let verdict = answer[0]["verdict"].as_str().unwrap();
    let wanted = if most >= 600 {
        "buy"
    } else if most > 0 {
        "haggle"
    } else {
        "leave"
    };
    assert_eq!(verdict, wanted, "{most}");
}

#[test]
fn every_comp_is_echoed_as_it_counted() {
    let text = joined(&stdout(&run_bowls("worth", &[])));
    for words in [
        "a lot of 2, sold for 31.00 plus 8.00 shipping (39.00 delivered): counted as worth 39.00",
        "a lot of 4, sold for 56.00 with free shipping, 60 days ago: counted as worth 56.00",
        "a lot of 2, still unsold at 35.00 after 90 days, shipping not stated, taken as 7.00 to 16.00",
        "counted as worth less than 51.00",
    ] {
        assert!(text.contains(words), "{words} missing in\n{text}");
    }
}

#[test]
fn no_answer_is_wider_than_a_terminal() {
    for command in ["worth", "split", "shelf"] {
        for more in [&[][..], &["--explain"], &["--metric"]] {
            let text = stdout(&run_bowls(command, more));
            let widest = text.lines().max_by_key(|line| line.chars().count()).unwrap_or("");
            assert!(widest.chars().count() <= 80, "{command} {more:?}: {widest}");
        }
    }
}

#[test]
fn profits_add_up_to_the_lots_and_pieces_to_the_pile() {
    let answer = json_bowls("split", &[]);
    let plan = &answer[0]["split"];
    let listings = plan["listings"].as_array().unwrap();
    assert!(!listings.is_empty(), "{plan}");
    let sum: f64 = listings.iter().map(|listing| listing["worth"].as_f64().unwrap()).sum();
    assert!((sum - plan["worth"].as_f64().unwrap()).abs() < 1e-9, "{plan}");
    let sold: u64 = listings
        .iter()
        .map(|listing| listing["size"].as_u64().unwrap() * listing["lots"].as_u64().unwrap())
        .sum();
    let left: u64 =
        plan["left_over"].as_array().unwrap().iter().map(|left| left["count"].as_u64().unwrap()).sum();
    assert_eq!(sold + left, 11);
}

#[test]
fn no_lot_size_is_recommended_that_could_not_be_packed() {
    // With one small carton only small lots can be packed.
    let sheet = std::env::temp_dir().join(format!("lotwright-small-{}.toml", std::process::id()));
    std::fs::write(
        &sheet,
        "title = \"Small\"\nunits = \"in\"\n[post]\nfrom = \"453\"\nto = [\"606\"]\n\
         card = \"ground_advantage_commercial\"\ndate = \"2026-11-25\"\n[[carton]]\nsize = \"12 x 12 x 8\"\n\
         [packing]\nprofile = \"snug\"\n[[find]]\nname = \"bowls\"\nform = \"cereal_bowl\"\ncount = 24\n\
         comps = [\"12 for 260 free ship\", \"8 for 180 free ship\"]\n",
    )
    .unwrap();
    let answer = json(&["split", &sheet.display().to_string(), "--json"]);
    std::fs::remove_file(&sheet).unwrap();
    let packed: Vec<u64> = answer[0]["piles"][0]["sizes"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|size| !size["cartons"].as_array().unwrap().is_empty())
        .map(|size| size["pieces"].as_u64().unwrap())
        .collect();
    for listing in answer[0]["split"]["listings"].as_array().unwrap() {
        assert!(packed.contains(&listing["size"].as_u64().unwrap()), "{listing} among {packed:?}");
    }
}

#[test]
fn a_higher_fee_never_raises_the_price_paid_at_the_shop() {
    let folder = std::env::temp_dir().join(format!("lotwright-fees-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut before = i64::MAX;
    for percent in [0, 5, 12, 25, 60] {
        let venues = folder.join("venues.toml");
        std::fs::write(
            &venues,
            format!("[venues.open_market]\nfee_on_item_percent = {percent}.0\nfee_on_shipping_percent = {percent}.0\n"),
        )
        .unwrap();
        let set = format!("market.venues={}", venues.display());
        // Parcels by the rule, so that all of them are judged on one and the same.
        let by_rule = ["--asking", "6", "--set", &set, "--set", "packing.decide=rule"];
        let answer = json_bowls("shelf", &by_rule);
        let most = answer[0]["most_to_pay_cents"].as_i64().unwrap_or(0);
        assert!(most <= before, "{percent} %: {most} over {before}");
        before = most;
    }
    std::fs::remove_dir_all(&folder).unwrap();
    assert_eq!(before, 0, "at 60 % nothing is left");
}

#[test]
fn without_comps_it_says_what_it_still_can() {
    for command in ["worth", "split", "shelf"] {
        let output = run(&[command, "--form", "diner_mug", "--count", "4"]);
        let text = joined(&stdout(&output));
        assert!(output.status.success(), "{command}: {}", stderr(&output));
        assert!(text.contains("there is no comp to go by"), "{command}: {text}");
        assert!(text.contains("break-even"), "{command}: {text}");
    }
}

#[test]
fn one_comp_and_three_hundred_give_an_answer() {
    let one = json(&["worth", "--form", "diner_mug", "--count", "4", "--comp", "2 for 24 + 8", "--json"]);
    let cautions = one[0]["piles"][0]["sizes"][1]["worth"]["cautions"].to_string();
    assert!(cautions.contains("prior-driven"), "{cautions}");
    let mut args = vec!["worth", "--form", "diner_mug", "--count", "4", "--json"];
    for _ in 0..300 {
        args.extend(["--comp", "2 for 24 + 8"]);
    }
    let many = json(&args);
    let width = |answer: &Value| {
        let range = &answer[0]["piles"][0]["sizes"][1]["worth"]["median_range"];
        range[1].as_f64().unwrap() - range[0].as_f64().unwrap()
    };
    assert!(width(&many) < width(&one) / 4.0, "{} {}", width(&many), width(&one));
}

#[test]
fn what_can_not_be_read_is_pointed_at_with_code_2() {
    let cases: [(&str, &[&str], &[&str]); 14] = [
        ("a price of zero", &["--comp", "2 for 0 + 8"], &["--comp, number 5", "^"]),
        ("a negative price", &["--comp", "2 for -5"], &["--comp, number 5", "^"]),
        ("an absurd price", &["--comp", "2 for 1e300"], &["--comp, number 5", "^"]),
        ("an ask below the sale", &["--comp", "sold 30, ask 24"], &["--comp, number 5", "^"]),
        ("a date to come", &["--comp", "2 for 17 on 2999-01-01"], &["--comp, number 5", "^"]),
        ("a misspelt word", &["--comp", "unsol 35 90d"], &["--comp, number 5", "unsold", "^"]),
        ("an unknown grade", &["--grade", "F"], &["--grade", "A (as new)"]),
        ("an unknown venue", &["--venue", "open markte"], &["--venue", "open"]),
        ("more flawed than there are", &["--flawed", "12"], &["--flawed", "11"]),
        ("a measure without a figure", &["--measure", "diameter"], &["--measure", "="]),
        ("a measure of nothing", &["--measure", "diameter=0 in"], &["--measure diameter"]),
        ("a wage that is none", &["--wage", "much"], &["--wage"]),
        ("shares that don't add up", &["--set", "market.takes=[\"80 %\", \"10 %\"]"], &["market.takes", "1"]),
        ("a misspelt key", &["--set", "market.damagee=2 %"], &["market.damagee", "damage"]),
    ];
    for (what, more, words) in cases {
        let output = run_bowls("worth", more);
        let message = stderr(&output);
        assert_eq!(output.status.code(), Some(2), "{what}: {message}");
        assert!(stdout(&output).is_empty(), "{what}");
        for word in words {
            assert!(message.contains(word), "{what}: {word} missing in\n{message}");
        }
    }
}

#[test]
fn an_offer_is_answered_and_the_floor_lies_between_nothing_and_the_ask() {
    let answer = json_bowls("offer", &["--amount", "20", "--size", "4", "--left", "2", "--days", "60"]);
    let floor = answer["floor_cents"].as_i64().unwrap();
    assert!(floor > 0, "{answer}");
    assert!(answer["decline_below_cents"].as_i64().unwrap() <= answer["accept_from_cents"].as_i64().unwrap());
    // A better offer is never answered worse.
    let rank = |amount: &str| {
        let answer = json_bowls("offer", &["--amount", amount, "--size", "4", "--left", "2", "--days", "60"]);
        match answer["reply"].as_str().unwrap() {
            "decline" => 0,
            "counter" => 1,
            "accept" => 2,
            other => panic!("{other}"),
        }
    };
    let ranks: Vec<i32> = ["1", "20", "40", "52", "80"].map(rank).to_vec();
    assert!(ranks.is_sorted(), "{ranks:?}");
    assert_eq!(ranks.last(), Some(&2));
}

#[test]
fn the_demo_is_split_and_its_ladder_is_that_of_the_split() {
    let document = json(&["plan", "--json"]);
    let worth = document["worths"].as_array().unwrap();
    let cups = worth.iter().find(|worth| worth["find"] == "consomme cups").unwrap();
    let listed = cups["split"]["listings"].as_array().unwrap();
    let ladders: Vec<&Value> =
        document["ladders"].as_array().unwrap().iter().filter(|l| l["find"] == "consomme cups").collect();
    assert_eq!(ladders.len(), listed.len());
    for (ladder, listing) in ladders.iter().zip(listed) {
        assert_eq!(ladder["lots"], listing["lots"]);
        assert_eq!(ladder["price_cents"], listing["price_cents"]);
        assert_eq!(ladder["orders"].as_array().unwrap().len() as u64, listing["lots"].as_u64().unwrap());
    }
}

#[test]
fn explained_figures_add_up_to_the_net_they_explain() {
    let answer = json_bowls("split", &[]);
    for size in answer[0]["piles"][0]["sizes"].as_array().unwrap() {
        let money = &size["money"];
        let of = |key: &str| money[key].as_f64().unwrap();
        let net = of("item") + of("shipping")
            - of("fee")
            - of("postage")
            - of("materials")
            - of("labour")
            - of("damage");
        assert!((net - of("net")).abs() < 1e-9, "{money}");
    }
}

#[test]
fn the_card_says_one_count_everywhere_and_keeps_the_floor_to_the_seller() {
    let args = bowls("card", &["--per-lot", "4"]);
    let output = run(&args.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    for words in
        ["4 Cereal Bowls", "You receive 4 cereal bowls", "2 such lots", "Quantity: 2 lots", "exactly 4"]
    {
        assert!(text.contains(words), "{words} missing in\n{text}");
    }
    let (for_buyers, alone) = text.split_once("FOR YOU ALONE").unwrap();
    assert!(alone.contains("Lowest offer to take") && !for_buyers.contains("Lowest offer"), "{text}");
    // Nothing of the bowls was measured, so no figure of theirs is stated as a fact.
    assert!(alone.contains("To measure before listing") && !for_buyers.contains("Dia ("), "{text}");
}

#[test]
fn a_title_of_ones_own_is_held_to_the_count_and_the_limit() {
    let with = |title: &str| {
        let args = bowls("card", &["--per-lot", "4", "--title", title]);
        run(&args.iter().map(String::as_str).collect::<Vec<_>>())
    };
    assert!(with("Set of 4 Cereal Bowls").status.success());
    for (title, word) in [("Six Cereal Bowls", "one lot has 4"), (&"4 Bowls ".repeat(12)[..], "80")] {
        let refused = with(title);
        let message = stderr(&refused);
        assert_eq!(refused.status.code(), Some(2), "{message}");
        assert!(message.starts_with("--title: ") && message.contains(word), "{message}");
    }
}

#[test]
fn damage_is_told_of_the_pieces_that_have_it_and_of_no_others() {
    let sheet = std::env::temp_dir().join(format!("lotwright-flaws-{}.toml", std::process::id()));
    let text = |flawed: u32| {
        format!(
            "title = \"Flaws\"\nunits = \"in\"\n[post]\nfrom = \"453\"\nto = [\"606\"]\n\
             card = \"ground_advantage_commercial\"\ndate = \"2026-11-25\"\n[[find]]\nname = \"mugs\"\n\
             price = 30.00\nform = \"diner_mug\"\ncount = 3\nflawed = {flawed}\nper_lot = 2\n\
             flaws = [\"1 hairline 1 1/2 in rim\"]\n"
        )
    };
    let card = |flawed: u32| {
        std::fs::write(&sheet, text(flawed)).unwrap();
        stdout(&run(&["card", &sheet.display().to_string()]))
    };
    let (set_aside, kept) = (card(1), card(0));
    std::fs::remove_file(&sheet).unwrap();
    assert!(!set_aside.to_lowercase().contains("hairline"), "{set_aside}");
    assert!(kept.contains("1 of 2: hairline, 1 1/2 in"), "{kept}");
    let title = kept.lines().nth(3).unwrap();
    assert!(title.contains("Hairline"), "the title carries the bad news: {title}");
}

#[test]
fn insurance_and_packing_are_weighed_against_what_breaks() {
    // The worked example of the insurance room: 0.98 of benefit for a premium of 1.65, and of three ways to
    // pack a parcel worth 58.00 the second.
    let answer = json(&[
        "insure",
        "--item",
        "52",
        "--shipping",
        "8",
        "--breakage",
        "2 %",
        "--premium",
        "1.65",
        "--cover",
        "100",
        "--claim-cost",
        "5",
        "--level",
        "1.10, 6 %",
        "--level",
        "1.90, 2.5 %",
        "--level",
        "3.40, 0.8 %",
        "--json",
    ]);
    assert_eq!(answer["insure"], false);
    assert_eq!(answer["most_premium_cents"], 98);
    assert_eq!(answer["packing_level"], 2);
    let refused = run(&["insure", "--item", "52", "--breakage", "102 %"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).starts_with("--breakage: "), "{}", stderr(&refused));
}

#[test]
fn a_set_is_packed_without_any_trade_around_it_and_its_bound_lies_below_its_cost() {
    let mugs = ["pack", "--form", "diner mug", "--count", "6"];
    let order = json(&[&mugs[..], &["--json"]].concat());
    let parcels = order["parcels"].as_array().unwrap();
    let mut pieces = 0;
    for parcel in parcels {
        let (cost, bound) = (parcel["cost_cents"].as_i64().unwrap(), parcel["bound_cents"].as_i64().unwrap());
        assert!(0 < bound && bound <= cost, "{bound} {cost}");
        pieces += parcel["plan"]["bundles"].as_array().unwrap().len();
    }
    assert_eq!(pieces, 6);
    let text = stdout(&run(&mugs));
    assert!(text.contains("Shake test") && text.contains("Altogether"), "{text}");
    let refused = run(&[&mugs[..], &["--better", "soon"]].concat());
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).starts_with("--better: "), "{}", stderr(&refused));
}

#[test]
fn looking_for_a_better_packing_never_ends_with_a_dearer_one() {
    let cost = |more: &[&str]| -> i64 {
        let mugs = ["pack", "--form", "diner mug", "--count", "7", "--json"];
        let order = json(&[&mugs[..], more].concat());
        order["parcels"].as_array().unwrap().iter().map(|p| p["cost_cents"].as_i64().unwrap()).sum()
    };
    assert!(cost(&["--better", "1s"]) <= cost(&[]));
}

#[test]
fn the_bound_is_the_cost_only_where_every_cheaper_carton_is_proved_too_small() {
    let sheet = std::env::temp_dir().join(format!("lotwright-bound-{}.toml", std::process::id()));
    let packed = |cartons: &str, count: u32| {
        let text = format!(
            "title = \"Bound\"\nunits = \"in\"\n[post]\nfrom = \"453\"\nto = [\"606\"]\n\
             card = \"ground_advantage_commercial\"\ndate = \"2026-11-25\"\n{cartons}[[find]]\nname = \"mugs\"\n\
             form = \"diner_mug\"\ncount = {count}\nper_lot = 1\n"
        );
        std::fs::write(&sheet, text).unwrap();
        let order = json(&["pack", &sheet.display().to_string(), "--json"]);
        let parcel = &order["parcels"][0];
        (parcel["bound_cents"].as_i64().unwrap(), parcel["cost_cents"].as_i64().unwrap())
    };
    // A mug with two inches on every side goes into no carton seven inches wide or six high: proved.
    for small in ["7 x 7 x 12", "10 x 10 x 6"] {
        let cartons = format!("[[carton]]\nsize = \"{small}\"\n[[carton]]\nsize = \"12 x 12 x 12\"\n");
        let (bound, cost) = packed(&cartons, 1);
        assert_eq!(bound, cost, "{small}");
    }
    // Six mugs would go into a carton of twelve inches by volume, so that none is proved to be too small.
    let (bound, cost) =
        packed("[[carton]]\nsize = \"12 x 12 x 8\"\n[[carton]]\nsize = \"16 x 12 x 12\"\n", 6);
    assert!(bound < cost, "{bound} {cost}");
    std::fs::remove_file(&sheet).unwrap();
}
