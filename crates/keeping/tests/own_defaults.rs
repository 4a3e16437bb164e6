//! Promises about the person's own defaults: settings, cost flow, own rate cards, and what parcels taught.

mod desk;

use books::{CostFlow, FindId};
use desk::{DAY, order, refused, shop, stamp};
use jiff::civil::date;
use keeping::{
    CardTexts, Desk, OwnCards, USUAL_BREAKAGE, apply_tuning, card_of, demo_of, fitted, flow_words, is_own,
    literal, overall_breakage, put_card, put_cost_flow, put_setting, put_settings, set, setting,
    take_back_tuning, tuning_of,
};
use proptest::prelude::*;
use shop::{FromShelf, Leaving, RateCardText, Setting, Shop, Tuned};
use toml::{Table, Value};

fn empty() -> Shop {
    Shop::in_memory().expect("a shop")
}

#[test]
fn a_setting_that_is_entered_anew_is_one_setting_with_the_later_value() {
    let mut shop = empty();
    assert_eq!(setting(&shop, "packing.wage").expect("read"), None);
    for value in ["15.00", "18.00"] {
        put_setting(&mut shop, &stamp(), "packing.wage", value, "mine").expect("it is put");
    }
    assert_eq!(setting(&shop, "packing.wage").expect("read").as_deref(), Some("18.00"));
    assert_eq!(shop.noted::<Setting>().expect("read").len(), 1);
    assert_eq!(demo_of(&shop).expect("read"), None);
    put_setting(&mut shop, &stamp(), "demo", "a made-up year", "").expect("it is put");
    assert_eq!(demo_of(&shop).expect("read").as_deref(), Some("a made-up year"));
}

#[test]
fn a_job_sheet_gets_the_person_s_settings_and_none_that_the_program_keeps_for_itself() {
    let mut shop = empty();
    let own = ["demo", "read.orders.market", "tuned.weight.diner_mug.single", "books.cost_flow"];
    for name in own {
        assert!(is_own(name), "{name}");
        let value = if name == "books.cost_flow" { "fifo from 2027-01-01" } else { "1" };
        put_setting(&mut shop, &stamp(), name, value, "").expect("it is put");
    }
    for (name, value) in [("packing.wage", "\"18.00\""), ("post.from", "\"45300\"")] {
        assert!(!is_own(name), "{name}");
        put_setting(&mut shop, &stamp(), name, value, "").expect("it is put");
    }
    let mut sheet: Table = "[packing]\nwage = \"15.00\"\nfill = \"newsprint\"".parse().expect("a table");
    put_settings(&shop, &mut sheet).expect("they fit");
    let told = toml::to_string(&sheet).expect("written");
    let wanted: Table = "[packing]\nwage = \"18.00\"\nfill = \"newsprint\"\n[post]\nfrom = \"45300\""
        .parse()
        .expect("a table");
    assert_eq!(sheet, wanted, "{told}");
}

#[test]
fn a_setting_is_kept_only_as_a_job_sheet_can_read_it() {
    let (mut shop, desk) = (empty(), Desk::published());
    let fit = |shop: &Shop, name: &str, value: &str| fitted(shop, &desk, name, value, DAY);
    // A ZIP Code looks like a number and is a text.
    assert_eq!(fit(&shop, "post.from", "45300").expect("it fits"), "\"45300\"");
    assert_eq!(fit(&shop, "post.to", "[\"100\", \"606\"]").expect("it fits"), "[\"100\", \"606\"]");
    assert_eq!(fit(&shop, "market.damage", "2 %").expect("it fits"), "2 %");
    for (name, value) in [
        ("packing.wage", "much"),
        ("post.from", "nowhere"),
        ("no.such.key", "1"),
        ("packing.wage.more", "1"),
        ("packing.fill", "feathers of a swan"),
        ("post.card", "a card of nobody"),
        ("", "1"),
    ] {
        let why = refused(fit(&shop, name, value));
        assert!(!why.is_empty(), "{name}");
    }
    // What is there already counts too: a broken one would break every later one.
    put_setting(&mut shop, &stamp(), "packing.wage", "\"much\"", "").expect("it is put");
    refused(fit(&shop, "post.from", "45300"));
}

proptest! {
    #[test]
    fn a_value_put_at_a_path_stands_there_and_nothing_else_changes(
        path in prop::collection::vec("[a-c]{1,2}", 1..4), other in "[d-f]", number in any::<i32>()
    ) {
        let mut table = Table::new();
        table.insert(other.clone(), Value::from("kept"));
        let path_text = path.join(".");
        set(&mut table, &path_text, literal(&number.to_string())).expect("there is nothing in the way");
        let mut at = &Value::Table(table.clone());
        for part in &path {
            at = at.get(part).expect("there");
        }
        prop_assert_eq!(at, &Value::from(i64::from(number)));
        prop_assert_eq!(table.get(&other), Some(&Value::from("kept")));
        let beyond = format!("{path_text}.x");
        let refused = set(&mut table, &beyond, Value::from(1)).expect_err("a figure has no parts").to_string();
        prop_assert!(refused.contains("right would be"), "{}", refused);
    }

    #[test]
    fn any_text_is_some_value_and_comes_back_as_it_was_where_it_is_no_toml(text in "\\PC{0,30}") {
        match literal(&text) {
            Value::String(back) if back == text => {}
            other => {
                let again: Table = format!("value = {text}").parse().expect("it was read as TOML");
                prop_assert_eq!(again.get("value"), Some(&other));
            }
        }
    }

    #[test]
    fn a_weight_is_never_lowered_and_both_factors_stay_within_three(weight in any::<f64>(), minutes in any::<f64>()) {
        let mut shop = empty();
        for (what, factor) in [("weight", weight), ("minutes", minutes)] {
            put_setting(&mut shop, &stamp(), &format!("tuned.{what}.cup.single"), &factor.to_string(), "")
                .expect("it is put");
        }
        let learnt = tuning_of(&shop, "cup", "single").expect("read").learnt();
        prop_assert!((1.0..=3.0).contains(&learnt.weight()), "{:?}", learnt);
        prop_assert!((1.0 / 3.0..=3.0).contains(&learnt.minutes()), "{:?}", learnt);
    }
}

fn given_away(shop: &mut Shop, day: jiff::civil::Date) {
    let left = FromShelf {
        find: FindId(1),
        pieces: vec![1],
        date: day,
        how: Leaving::GivenAway,
        note: String::new(),
    };
    shop.leave_shelf(&stamp(), &left).expect("given away");
}

#[test]
fn a_cost_flow_without_a_day_begins_with_the_first_year_of_which_nothing_has_gone() {
    let mut still = shop([(6, 0), (2, 0)]);
    let flow = put_cost_flow(&mut still, &stamp(), "fifo", "mine", DAY).expect("it is put");
    assert_eq!(flow.on(date(2026, 1, 1)), Some(CostFlow::FirstInFirstOut));
    assert_eq!(flow.on(date(2025, 12, 31)), None);
    let mut gone = shop([(6, 0), (2, 0)]);
    given_away(&mut gone, DAY);
    let flow = put_cost_flow(&mut gone, &stamp(), " \"average\" ", "mine", DAY).expect("it is put");
    assert_eq!(flow.on(date(2026, 12, 31)), None, "what has gone keeps its cost");
    assert_eq!(flow.on(date(2027, 1, 1)), Some(CostFlow::Average));
    let words = flow_words(&gone).expect("read").expect("there is one");
    assert!(words.contains("average from 2027-01-01") && words.contains("preparer"), "{words}");
}

#[test]
fn a_cost_flow_is_refused_for_days_that_are_over_and_words_that_are_none() {
    let mut shop = shop([(6, 0), (2, 0)]);
    given_away(&mut shop, DAY);
    for text in
        ["lifo", "", "fifo from tomorrow", "fifo from 2026-02-30", "fifo from 2026-11-20", "from 2027-01-01"]
    {
        let why = refused(put_cost_flow(&mut shop, &stamp(), text, "mine", DAY));
        assert!(!why.is_empty(), "{text}");
        assert_eq!(flow_words(&shop).expect("read"), None, "{text}");
    }
    put_cost_flow(&mut shop, &stamp(), "fifo from 2027-01-01", "mine", DAY).expect("it is put");
    // Back to each piece with its own cost: no flow is set at all.
    put_cost_flow(&mut shop, &stamp(), "specific from 2027-01-01", "mine", DAY).expect("it is put");
    assert_eq!(flow_words(&shop).expect("read"), None);
    assert!(shop.noted::<Setting>().expect("read").is_empty());
}

const RULES: &str = include_str!("../../lotwright/tests/records/invented_carrier.toml");
const PRICES: &str = include_str!("../../lotwright/tests/records/invented_carrier.csv");

fn texts(rules: &str, prices: &str, additions: Option<&str>) -> CardTexts {
    CardTexts { rules: rules.into(), prices: prices.into(), additions: additions.map(str::to_owned) }
}

#[test]
fn an_own_card_is_kept_by_its_name_and_read_back_as_it_was() {
    let mut shop = empty();
    let (name, card) = put_card(&mut shop, &stamp(), None, &texts(RULES, PRICES, None)).expect("a card");
    assert_eq!((name.as_str(), card.id()), ("invented_daily", "invented_daily"));
    put_card(&mut shop, &stamp(), Some(" invented_daily "), &texts(RULES, PRICES, None))
        .expect("taken in anew");
    let records = shop.noted::<RateCardText>().expect("read");
    assert_eq!(records.len(), 1, "one card of a name");
    assert_eq!(card_of(&records[0].1).expect("read back").id(), card.id());
    let cards = OwnCards::of(&shop).expect("read");
    let mut sheet: Table = "[post]\ncard = \"invented_daily\"".parse().expect("a table");
    cards.put(&mut sheet).expect("it is named");
    let parts = sheet["post"]["card"].as_table().expect("its parts");
    assert_eq!(parts.keys().collect::<Vec<_>>(), ["prices", "rules"]);
    for (part, text) in [("rules", RULES), ("prices", PRICES)] {
        let file = parts[part].as_str().expect("a name");
        assert_eq!(cards.file(file).as_deref(), Some(text.as_bytes()), "{part}");
    }
    let unnamed: Table = "[post]\ncard = \"another\"".parse().expect("a table");
    let mut sheet = unnamed.clone();
    cards.put(&mut sheet).expect("nothing to do");
    assert_eq!(sheet, unnamed);
    for name in ["", "invented_daily", "invented_daily, additions", "another, rules", ", "] {
        assert_eq!(cards.file(name), None, "{name}");
    }
}

#[test]
fn a_card_that_cannot_be_read_or_has_a_published_name_is_refused_and_nothing_stays() {
    let mut shop = empty();
    let published = postage::RateCard::published().remove(0);
    let why = refused(put_card(&mut shop, &stamp(), Some(published.id()), &texts(RULES, PRICES, None)));
    assert!(why.contains("right would be"), "{why}");
    for (rules, prices, additions) in [
        ("", PRICES, None),
        ("no toml =", PRICES, None),
        (RULES, "", None),
        (RULES, "weight_not_over,unit,z1\n1,lb,cheap", None),
        (RULES, PRICES, Some("nonsense")),
    ] {
        refused(put_card(&mut shop, &stamp(), None, &texts(rules, prices, additions)));
    }
    assert!(shop.noted::<RateCardText>().expect("read").is_empty());
    // One that was spoilt in the file is passed over.
    shop.note(&stamp(), &RateCardText { name: "spoilt".into(), text: "no toml =".into() }).expect("noted");
    assert_eq!(OwnCards::of(&shop).expect("read"), OwnCards::default());
}

fn tuned(form: &str, parcels: u32, weight: (i64, i64), minutes: (i64, i64), broken: u32) -> Tuned {
    Tuned {
        form: form.into(),
        recipe: "single".into(),
        parcels,
        weighed: parcels,
        predicted_milligrams: weight.0,
        actual_milligrams: weight.1,
        timed: if minutes.0 > 0 { parcels } else { 0 },
        predicted_minutes: minutes.0,
        actual_minutes: minutes.1,
        posted: 0,
        predicted_cents: 0,
        actual_cents: 0,
        broken_orders: broken,
    }
}

#[test]
fn what_parcels_taught_counts_for_their_form_alone_and_is_taken_back_whole() {
    let mut shop = empty();
    let rows = [
        tuned("cup", 5, (100_000, 120_000), (0, 0), 1),
        tuned("bowl", 5, (100_000, 80_000), (100, 150), 0),
        tuned("", 9, (100_000, 900_000), (10, 90), 0),
    ];
    apply_tuning(&mut shop, &stamp(), &rows, 0.03).expect("applied");
    let applied = |form: &str| {
        let found = tuning_of(&shop, form, "single").expect("read");
        (found.weight, found.minutes)
    };
    // (5 x 1.2 + 5) / 10, and no minutes were taken.
    assert_eq!(applied("cup"), (1.1, 1.0));
    assert_eq!(applied("bowl"), (0.9, 1.25));
    assert_eq!((applied(""), applied("plate")), ((1.0, 1.0), (1.0, 1.0)));
    assert_eq!(tuning_of(&shop, "cup", "double").expect("read").weight, 1.0, "another recipe");
    assert_eq!(setting(&shop, "market.damage").expect("read").as_deref(), Some("\"3.00 %\""));
    assert_eq!(take_back_tuning(&mut shop, &stamp()).expect("taken back"), 4);
    assert!(shop.noted::<Setting>().expect("read").is_empty());
    assert_eq!(take_back_tuning(&mut shop, &stamp()).expect("nothing is there"), 0);
    put_setting(&mut shop, &stamp(), "market.damage", "5 %", "mine").expect("it is put");
    assert_eq!(take_back_tuning(&mut shop, &stamp()).expect("nothing is there"), 0);
    assert_eq!(setting(&shop, "market.damage").expect("read").as_deref(), Some("5 %"), "set by hand");
}

#[test]
fn breakage_over_all_forms_is_drawn_towards_the_usual_one() {
    assert!((overall_breakage(&[]) - USUAL_BREAKAGE).abs() < 1e-12);
    let rows = [tuned("cup", 60, (1, 1), (0, 0), 3), tuned("bowl", 40, (1, 1), (0, 0), 1)];
    // (4 + 100 x 0.015) / (100 + 100)
    assert!((overall_breakage(&rows) - 0.0275).abs() < 1e-12);
    let most = ["cup", "bowl"].map(|form| tuned(form, u32::MAX, (1, 1), (0, 0), u32::MAX));
    assert!((0.0..=1.0).contains(&overall_breakage(&most)));
}

#[test]
fn a_setting_that_breaks_the_sheet_is_told_by_the_plan_that_needs_it() {
    let mut shop = shop([(6, 0), (2, 0)]);
    desk::measure(&mut shop);
    let order = order(&mut shop, 1);
    put_setting(&mut shop, &stamp(), "packing", "1", "").expect("it is put");
    let question = keeping::BenchQuestion::read(
        &mut shop,
        &Desk::published(),
        order,
        keeping::BenchAsked::default(),
        DAY,
    );
    let planned = question.and_then(|question| question.plan(&Desk::published()));
    assert!(!refused(planned.map(|_| ())).is_empty());
}
