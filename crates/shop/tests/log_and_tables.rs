//! The log of events is the whole truth: tables follow from it, and a correction leaves what it corrects.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::date;
use shop::*;

#[test]
fn the_tables_are_what_the_events_add_up_to() {
    let mut shop = Shop::in_memory().unwrap();
    story(&mut shop);
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    assert_eq!(shop.check().unwrap(), Findings::default());
}

#[test]
fn a_table_that_was_tampered_with_differs_from_its_events() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    story(&mut shop);
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute("UPDATE find SET shelf = 'Z9' WHERE id = 1", []).unwrap();
    assert_eq!(shop.rebuild_agrees().unwrap(), ["find"]);
    other.execute("UPDATE supply SET on_hand = on_hand + 1", []).unwrap();
    assert!(matches!(shop.check().unwrap().found[..], [Flawed::Supply { .. }, Flawed::Supply { .. }]));
}

#[test]
fn books_kept_while_writing_are_those_read_from_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    story(&mut shop);
    let kept = shop.books().unwrap().clone();
    drop(shop);
    assert_eq!(Shop::open(&path, now()).unwrap().books().unwrap(), &kept);
}

#[test]
fn the_history_of_a_record_shows_what_was_wrong_and_what_was_put_right() {
    let mut shop = Shop::in_memory().unwrap();
    let place = |name: &str| Place { name: name.to_owned(), note: String::new() };
    let number = shop.note(&at(), &place("parish hal")).unwrap();
    shop.amend(&at(), number, &place("parish hall")).unwrap();
    shop.strike::<Place>(&at(), number).unwrap();
    let history = shop.history(Record::Place, number).unwrap();
    let corrects: Vec<_> = history.iter().map(|row| row.corrects.map(|event| event.0)).collect();
    assert_eq!(corrects, [None, Some(1), Some(2)]);
    let names: Vec<_> = history.iter().map(|row| row.entered["entered"]["name"].clone()).collect();
    assert_eq!(names, ["parish hal".into(), "parish hall".into(), serde_json::Value::Null]);
    assert_eq!(history[0].at, "2026-03-07T10:00:00Z");
    assert!(matches!(shop.noted_one::<Place>(number), Err(ShopError::Missing { .. })));
    assert_eq!(shop.note(&at(), &place("barn")).unwrap(), number + 1, "a number is given out once");
}

#[test]
fn an_entry_taken_back_is_linked_to_what_it_corrects_and_both_stay() {
    let (mut shop, ..) = shop();
    let day = date(2026, 4, 2);
    let put_in = Movement::OwnerPutIn { amount: cents(500) };
    let wrong = shop.move_money(&at(), &moved(day, Purse::Cash, put_in)).unwrap();
    let before = shop.books().unwrap().net(Account::Cash, |_| true);
    let back = shop.take_back(&at(), EntryId(wrong), day, "typed twice").unwrap();
    assert_eq!(shop.books().unwrap().net(Account::Cash, |_| true), before - cents(500));
    assert_eq!(shop.books().unwrap().correction_of(EntryId(wrong)), Some(EntryId(back)));
    let history = shop.history(Record::Entry, wrong).unwrap();
    let [entered, taken] = &history[..] else { panic!("{history:?}") };
    assert_eq!(taken.corrects, Some(entered.event));
    assert!(matches!(shop.take_back(&at(), EntryId(wrong), day, ""), Err(ShopError::Books(_))));
    assert!(matches!(shop.take_back(&at(), EntryId(1), day, ""), Err(ShopError::State { .. })));
}

#[test]
fn a_haul_that_cost_something_else_is_taken_back_and_entered_anew() {
    let (mut shop, bought, _) = shop();
    let mut right = haul();
    right.paid = cents(900);
    right.finds.push(find("pitcher", "A2", 1, 0, 900));
    shop.amend_haul(&at(), bought.haul, date(2026, 3, 9), &right).unwrap();
    let books = shop.books().unwrap();
    assert_eq!(books.net(Account::Goods, |_| true), cents(1051));
    assert_eq!(books.entries().len(), 3);
    assert_eq!(shop.finds_of(bought.haul).unwrap().len(), 3);
    let history = shop.history(Record::Haul, bought.haul.0).unwrap();
    assert_eq!(
        history.iter().map(|row| row.kind.as_str()).collect::<Vec<_>>(),
        ["haul_bought", "haul_amended"]
    );
    assert_eq!(history[1].corrects, Some(history[0].event));
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn what_is_noted_is_read_back_as_it_was() {
    let (mut shop, bought, _) = shop();
    let size = measure::Length::from_mm(3.2);
    let flaw = Flaw {
        find: bought.finds[0],
        piece: Some(14),
        kind: "chip".to_owned(),
        position: "foot".to_owned(),
        size: Some(size),
    };
    let number = shop.note(&at(), &flaw).unwrap();
    assert_eq!(shop.noted_one::<Flaw>(number).unwrap(), flaw);
    let figure = Measured::Mass(measure::Mass::from_grams(310.5));
    let name = "weight".to_owned();
    let weight = Measurement { find: bought.finds[0], piece: None, name, figure, estimated: true };
    let number = shop.note(&at(), &weight).unwrap();
    assert_eq!(shop.noted::<Measurement>().unwrap(), [(number, weight)]);
    let split =
        Split { find: bought.finds[0], date: BOUGHT, lots: vec![6, 6], spare: 1, note: "odd".to_owned() };
    let number = shop.note(&at(), &split).unwrap();
    assert_eq!(shop.noted_one::<Split>(number).unwrap(), split);
}

#[test]
fn every_figure_of_a_plan_comes_out_of_the_log_as_it_went_in() {
    let (mut shop, _, listed) = shop();
    let taken = shop.take_order(&at(), &order(listed, 1)).unwrap();
    // Figures with all their digits, as a search gives them: SplitMix64 over some orders of size.
    let mut state = 3_u64;
    let figures = (0..2000).map(|k| {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) as f64 / u64::MAX as f64 * 10_f64.powi(k % 7 - 2)
    });
    let figures: Vec<f64> = figures.collect();
    let planned = ParcelPlan { plan: serde_json::json!({ "figures": figures }), ..plan(Vec::new()) };
    shop.plan_order(&at(), taken, std::slice::from_ref(&planned)).unwrap();
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    assert_eq!(shop.parcels(taken).unwrap()[0].plan.plan, planned.plan);
}

#[test]
fn the_log_page_by_page_is_every_event_once_and_agrees_with_each_history() {
    let mut shop = Shop::in_memory().unwrap();
    story(&mut shop);
    let whole = shop.log(None, None, u32::MAX).unwrap();
    let count = i64::try_from(whole.len()).unwrap();
    assert!(count > 10);
    let numbers: Vec<i64> = whole.iter().map(|row| row.event.0).collect();
    assert_eq!(numbers, (1..=count).rev().collect::<Vec<_>>());
    let (mut paged, mut before) = (Vec::new(), None);
    loop {
        let page = shop.log(None, before, 3).unwrap();
        let Some(last) = page.last() else { break };
        assert!(page.len() <= 3);
        before = Some(last.event);
        paged.extend(page);
        assert!(paged.len() <= whole.len(), "a page repeats what an earlier one had");
    }
    assert_eq!(paged, whole);
    // Each event is in the history of exactly the records that it is about.
    let mut told = std::collections::BTreeMap::<(Record, u64), Vec<LogRow>>::new();
    for row in &whole {
        assert!(!row.about.is_empty(), "{row:?}");
        for about in &row.about {
            told.entry(*about).or_default().push(row.clone());
        }
    }
    for ((record, number), rows) in told {
        let history = shop.history(record, number).unwrap();
        assert_eq!(shop.log(Some((record, number)), None, u32::MAX).unwrap(), rows);
        assert_eq!(history.len(), rows.len());
        for (old, row) in history.iter().rev().zip(&rows) {
            assert_eq!(
                (old.event, &old.at, &old.kind, old.corrects),
                (row.event, &row.at, &row.kind, row.corrects)
            );
            let (again, entered) = shop.logged(row.event).unwrap().unwrap();
            assert_eq!((&again, &entered), (row, &old.entered));
        }
    }
    assert_eq!(shop.logged(EventId(count + 1)).unwrap(), None);
    let place = Place { name: "hall".to_owned(), note: String::new() };
    let number = shop.note(&at(), &place).unwrap();
    shop.strike::<Place>(&at(), number).unwrap();
    let struck: Vec<bool> =
        shop.log(Some((Record::Place, number)), None, 9).unwrap().iter().map(|row| row.struck).collect();
    assert_eq!(struck, [true, false]);
    assert_eq!(shop.log(Some((Record::Haul, 999)), None, 5).unwrap(), []);
    assert_eq!(shop.log(None, Some(EventId(1)), 5).unwrap(), []);
}

#[test]
fn every_flaw_is_told_in_words() {
    let units = |count: i64| count * 1_000_000;
    for (flaw, words) in [
        (Flawed::Pages("page 3: free".into()), "the pages of the file: page 3: free"),
        (
            Flawed::Stock { books: cents(1234), pieces: cents(1200) },
            "stock at cost is 12.34 in the books, and the pieces on hand carry 12.00",
        ),
        (
            Flawed::Supply { supply: SupplyId(2), kept: units(3) / 2, books: units(2) },
            "supply 2: 1.5 are on hand by the file, 2 by the books",
        ),
        (
            Flawed::Piece { find: FindId(4), what: "1 pieces on hand, 2 in the books".into() },
            "the pieces of find 4: 1 pieces on hand, 2 in the books",
        ),
    ] {
        assert_eq!(flaw.to_string(), words);
    }
}
