//! Orders of the past come in as they ended: paid when, and sent when.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use books::{Account, Fate, FindId, FlawedCarry, Purse, SplitRule};
use jiff::civil::date;
use keeping::{Cells, DateOrder, IntakeOf, Looked, Reading, look, look_and_store};
use measure::Money;
use serde_json::json;
use shop::{FindText, HaulIn, ListingIn, ListingPart, NewFind, OrderState, Shop, Stamp, Which};

const HEAD: &str = "ref,date,listing,lots,items,shipping,tax,fee,zip,paid,sent,postage,weight";

fn at() -> Stamp {
    Stamp::at("2026-03-07T10:00:00Z".parse().unwrap())
}

const fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

/// 20 mugs of 10.00 bought on the 1st of February, in 10 lots of two.
fn shop() -> Shop {
    let mut shop = Shop::in_memory().unwrap();
    let text = FindText { form: "diner_mug".into(), description: "mugs".into(), shelf: "A1".into() };
    let haul = HaulIn {
        place: None,
        date: date(2026, 2, 1),
        paid: cents(1000),
        tax: None,
        freight: cents(0),
        split: SplitRule::PerPiece,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![NewFind { text, sound: 20, flawed: 0, value: cents(0) }],
    };
    let find = shop.buy(&at(), &haul).unwrap().finds[0];
    let listing = ListingIn {
        venue: None,
        title: "two mugs".into(),
        lots: 10,
        price: cents(2000),
        floor: None,
        listed_on: date(2026, 2, 2),
        ended: false,
        card: json!({}),
        parts: vec![ListingPart { find, pieces: 2, which: Which::Sound }],
    };
    shop.list(&at(), &listing).unwrap();
    shop
}

fn table(head: &str, rows: &[&str]) -> String {
    std::iter::once(head).chain(rows.iter().copied()).collect::<Vec<_>>().join("\n")
}

fn read(shop: &mut Shop, table: &str, stores: bool) -> Looked {
    let cells = Cells::read(table.as_bytes(), None).unwrap();
    let map = BTreeMap::new();
    let dates = Some(DateOrder::MonthFirst);
    let reading = Reading { of: IntakeOf::Orders, cells: &cells, map: &map, dates, source: "spring" };
    let found = if stores { look_and_store(shop, &reading, &at()) } else { look(shop, &reading, &at()) };
    found.unwrap()
}

const PAST: [&str; 5] = [
    "1,02/10/2026,1,1,20.00,8.00,1.20,3.00,606,02/12/2026,02/13/2026,6.50,2 lb 3 oz",
    "2,02/10/2026,1,1,20.00,,,1.00,606,Yes,02/10/2026,,",
    "3,02/11/2026,1,1,20.00,,,,606,yes,,,",
    "4,02/11/2026,1,1,20.00,,,,606,no,,,",
    "5,02/11/2026,1,1,20.00,,,,606,,,,",
];

#[test]
fn past_orders_come_in_as_they_ended() {
    let mut shop = shop();
    let before = shop.export_json().unwrap();
    let found = read(&mut shop, &table(HEAD, &PAST), false);
    assert_eq!(found.left_out, []);
    assert!(found.notes[0].contains("the day under paid") && found.notes[0].contains("a day under sent"));
    assert_eq!(shop.export_json().unwrap(), before, "looking stores nothing");
    assert_eq!(shop.confirm(&at(), &found.staged).unwrap(), 5);
    let ended: Vec<_> =
        shop.orders().unwrap().iter().map(|order| (order.state, order.paid_on, order.sent_on)).collect();
    let day = |day| Some(date(2026, 2, day));
    assert_eq!(
        ended,
        [
            (OrderState::Sent, day(12), day(13)),
            (OrderState::Sent, day(10), day(10)),
            (OrderState::Open, day(11), None),
            (OrderState::Open, None, None),
            (OrderState::Open, None, None),
        ]
    );
    assert_eq!(shop.bench().unwrap().len(), 3);
    let weighed = shop.parcels(books::OrderId(1)).unwrap()[0].actual.clone().unwrap().1.mass.unwrap();
    assert!((weighed.grams() - 35.0 * 28.349_523_125).abs() < 1e-3, "{weighed:?}");
    assert_eq!(shop.parcels(books::OrderId(2)).unwrap(), [], "nothing is known of a parcel");
    let books = shop.books().unwrap();
    assert_eq!(books.count(FindId(1), Fate::Sold).unwrap(), 4);
    assert_eq!(books.net(Account::CostOfGoods, |_| true), cents(200));
    assert_eq!(books.net(Account::Sales, |_| true), cents(-6000));
    assert_eq!(books.net(Account::Postage, |day| day == date(2026, 2, 13)), cents(650));
    assert_eq!(
        books.net(Account::Fees, |day| day == date(2026, 2, 12)),
        cents(300),
        "the fee is that of the payment"
    );
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    // Read again, nothing is new.
    let again = read(&mut shop, &table(HEAD, &PAST), true);
    assert_eq!((again.ready, again.known), (0, 5));
}

#[test]
fn stored_at_once_is_what_looking_and_confirming_come_to() {
    let rows =
        [&PAST[..], &["6,02/11/2026,1,9,20.00,,,,606,,,,", "7,02/11/2026,1,1,20.00,,,,606,,02/12/2026,,"]]
            .concat();
    let mut looked = shop();
    let found = read(&mut looked, &table(HEAD, &rows), false);
    looked.confirm(&at(), &found.staged).unwrap();
    let mut stored = shop();
    let at_once = read(&mut stored, &table(HEAD, &rows), true);
    assert_eq!(
        (at_once.ready, &at_once.left_out, &at_once.notes),
        (found.ready, &found.left_out, &found.notes)
    );
    assert_eq!(found.left_out.len(), 2);
    assert_eq!(stored.export_json().unwrap(), looked.export_json().unwrap());
}

#[test]
fn without_the_columns_all_are_paid_on_their_day_and_wait() {
    let mut shop = shop();
    let found = read(&mut shop, &table("ref,date,listing,items,zip", &["1,02/10/2026,1,20,606"]), true);
    assert!(found.notes[0].contains("taken as paid") && found.notes[0].contains("add a column sent"));
    let order = shop.order(books::OrderId(1)).unwrap();
    assert_eq!((order.state, order.paid_on), (OrderState::Open, Some(date(2026, 2, 10))));
}

#[test]
fn a_name_told_for_one_column_is_not_taken_for_another_and_postage_alone_says_nothing() {
    let mut shop = shop();
    let text = table("ref,date,listing,items,Postage,zip", &["1,02/10/2026,1,20,8.50,606"]);
    let cells = Cells::read(text.as_bytes(), None).unwrap();
    for (map, shipping) in
        [(BTreeMap::from([("shipping".to_owned(), "Postage".to_owned())]), 850), (BTreeMap::new(), 0)]
    {
        let dates = Some(DateOrder::MonthFirst);
        let reading = Reading { of: IntakeOf::Orders, cells: &cells, map: &map, dates, source: "spring" };
        let found = look(&mut shop, &reading, &at()).unwrap();
        let [item] = found.staged.ready() else { panic!("{:?}", found.left_out) };
        let shop::ImportContent::Order(told) = &item.content else { panic!("{item:?}") };
        assert_eq!((told.order.shipping, told.sent), (cents(shipping), None));
    }
}

#[test]
fn what_cannot_have_been_is_refused_and_says_what_would_be_right() {
    for (row, wanted) in [
        ("1,02/10/2026,1,1,20,,,,606,yes,02/09/2026,,", "sent is 2026-02-09, before the order of 2026-02-10"),
        ("1,02/10/2026,1,1,20,,,,606,02/09/2026,,,", "paid is 2026-02-09, before the order of 2026-02-10"),
        (
            "1,02/10/2026,1,1,20,,,,606,,02/11/2026,,",
            "the order isn't paid; right would be the day it was paid",
        ),
        ("1,02/10/2026,1,1,20,,,,606,no,02/11/2026,,", "the order isn't paid"),
        ("1,01/10/2026,1,1,20,,,,606,yes,01/11/2026,,", "2026-02-01"),
        ("1,02/10/2026,1,1,20,,,,606,maybe,,,", "paid can't be \"maybe\""),
        ("1,02/10/2026,1,1,20,,,,606,24.00,,,", "or yes for the day of the order, or no"),
        ("1,02/10/2026,1,1,20,,,,606,yes,yes,,", "sent can't be \"yes\""),
        ("1,02/10/2026,1,1,20,,,,606,yes,02/11/2026,-3,", "postage: \"-3\" has a minus"),
        ("1,02/10/2026,1,1,20,,,,606,yes,02/11/2026,,heavy", "weight: "),
        ("1,02/10/2026,1,1,20,,,,606,yes,02/11/2026,,0", "weight: "),
        ("1,02/10/2026,1,1,20,,,,606,yes,,6.50,", "postage is that of an order that was sent"),
        ("1,02/10/2026,1,1,20,,,,606,yes,,,2 lb", "weight is that of an order that was sent"),
    ] {
        let mut shop = shop();
        let before = shop.export_json().unwrap();
        let found = read(&mut shop, &table(HEAD, &[row]), true);
        assert_eq!((found.ready, found.left_out.len()), (0, 1), "{row}");
        assert!(found.left_out[0].reason.contains(wanted), "{row}: {}", found.left_out[0].reason);
        assert_eq!(shop.export_json().unwrap(), before, "{row}: nothing half written");
    }
}

#[test]
fn rows_of_one_order_say_once_when_it_was_sent_and_add_up_its_postage() {
    let mut shop = shop();
    let rows = [
        "1,02/10/2026,1,1,20,,,,606,yes,02/11/2026,4,",
        "1,,1,1,20,,,,,,,2.50,30",
        "2,02/10/2026,1,1,20,,,,606,yes,02/11/2026,4,",
        "2,,1,1,20,,,,,,02/12/2026,,",
    ];
    let found = read(&mut shop, &table(HEAD, &rows), true);
    assert_eq!(found.left_out.len(), 2);
    assert!(found.left_out[1].reason.contains("of the same order"), "{:?}", found.left_out);
    assert_eq!(shop.books().unwrap().net(Account::Postage, |_| true), cents(650));
}
