//! Tables in: what is ready is stored once, what isn't says why, and half an order never comes in.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use books::{Account, FlawedCarry, Purse, SplitRule};
use jiff::civil::date;
use keeping::{
    Cells, DateOrder, IntakeError, IntakeOf, Looked, Reading, Remembered, look, remember, remembered,
};
use measure::Money;
use proptest::prelude::*;
use serde_json::json;
use shop::{FindText, HaulIn, ListingIn, ListingPart, NewFind, OrderState, Place, Shop, Stamp, Venue, Which};

fn at() -> Stamp {
    Stamp::at("2026-03-07T10:00:00Z".parse().unwrap())
}

const fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

/// 60 mugs in listing 1, "four mugs" (10 lots of 4), listing 2, "two mugs" (5 of 2), at a venue; a listing of the
/// same title that is over.
fn shop() -> Shop {
    let mut shop = Shop::in_memory().unwrap();
    let text = FindText { form: "diner_mug".into(), description: "mugs".into(), shelf: "A1".into() };
    let haul = HaulIn {
        place: None,
        date: date(2026, 2, 1),
        paid: cents(6000),
        tax: None,
        freight: cents(0),
        split: SplitRule::PerPiece,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![NewFind { text, sound: 60, flawed: 0, value: cents(0) }],
    };
    let find = shop.buy(&at(), &haul).unwrap().finds[0];
    let venue = shop.note(&at(), &Venue { name: "Spring market".into(), terms: json!({}) }).unwrap();
    let mut list = |title: &str, lots, pieces, ended| {
        let listing = ListingIn {
            venue: Some(venue),
            title: title.into(),
            lots,
            price: cents(4000),
            floor: None,
            listed_on: date(2026, 2, 2),
            ended,
            card: json!({}),
            parts: vec![ListingPart { find, pieces, which: Which::Sound }],
        };
        shop.list(&at(), &listing).unwrap();
    };
    list("four mugs", 10, 4, false);
    list("two mugs", 5, 2, false);
    list("four mugs", 1, 4, true);
    shop
}

const HEAD: &str = "ref,date,listing,lots,items,shipping,tax,fee,zip,promise,venue";

fn orders(lines: &[&str]) -> String {
    std::iter::once(HEAD).chain(lines.iter().copied()).collect::<Vec<_>>().join("\n")
}

fn looked(shop: &mut Shop, of: IntakeOf, table: &str, dates: Option<DateOrder>) -> Looked {
    let cells = Cells::read(table.as_bytes(), None).unwrap();
    let map = BTreeMap::new();
    look(shop, &Reading { of, cells: &cells, map: &map, dates, source: "spring" }, &at()).unwrap()
}

fn reasons(looked: &Looked) -> Vec<(u64, &str)> {
    looked.left_out.iter().map(|row| (row.line, row.reason.as_str())).collect()
}

#[test]
fn rows_of_one_number_are_one_order_with_its_money_added_up() {
    let mut shop = shop();
    let table = orders(&[
        "A-7,03/06/2026,four mugs,2,\"$1,080.00\",8.50,1.20,3.00,60614-1234,03/09/2026,spring market",
        "A-7,,2,1,20,,0.30,,,,",
        "A-7,,four mugs,1,40,1.50,,0.20,,,",
        "A-8,03/05/2026,two mugs,,20,0,,,606,,",
    ]);
    let found = looked(&mut shop, IntakeOf::Orders, &table, Some(DateOrder::MonthFirst));
    assert_eq!(reasons(&found), []);
    assert_eq!((found.rows, found.ready, found.staged.ready().len()), (4, 4, 2));
    assert!(found.notes[0].contains("added up") && found.notes.len() == 1, "{:?}", found.notes);
    assert_eq!(shop.orders().unwrap(), [], "nothing is stored before it is confirmed");
    shop.confirm(&at(), &found.staged).unwrap();
    let stored = shop.orders().unwrap();
    // The older one first, wherever it stands in the table.
    assert_eq!(stored[0].destination, "606");
    let order = &stored[1];
    assert_eq!((order.ordered_on, order.promise_by), (date(2026, 3, 6), Some(date(2026, 3, 9))));
    assert_eq!((order.destination.as_str(), order.venue, order.state), ("60614", Some(1), OrderState::Open));
    assert_eq!((order.shipping, order.tax), (cents(1000), books::BuyerTax::ByVenue(cents(150))));
    let lines: Vec<(u64, u32, i64)> =
        order.lines.iter().map(|line| (line.listing.0, line.lots, line.item.cents())).collect();
    assert_eq!(lines, [(1, 3, 112_000), (2, 1, 2000)]);
    assert_eq!(stored[0].venue, Some(1), "that of its listing");
    let books = shop.books().unwrap();
    assert_eq!(books.net(Account::Fees, |_| true), cents(320));
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_row_that_cant_be_read_leaves_out_its_whole_order_and_no_other() {
    let mut shop = shop();
    let table = orders(&[
        "1,2026-03-06,1,1,40,,,,60614,,",
        "1,2026-03-06,2,1,(20.00),,,,60614,,",
        "2,2026-03-06,1,1,40,,,,60614,,",
        "3,2026-03-06,1,99,40,,,,60614,,",
        "3,2026-03-06,2,1,40,,,,60614,,",
        "4,2026-03-06,1,1,40,,,,60614,,",
        "4,2026-03-07,1,1,40,,,,60614,,",
    ]);
    let found = looked(&mut shop, IntakeOf::Orders, &table, None);
    let told = reasons(&found);
    assert_eq!(told.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 3, 5, 6, 7, 8]);
    assert_eq!(told[0].1, "order 1 is left out because of line 3");
    assert!(told[1].1.contains("in parentheses"), "{told:?}");
    assert!(told[2].1.contains("lots left"), "{told:?}");
    assert_eq!(told[3].1, "order 3 is left out because of line 5");
    assert!(told[5].1.contains("on line 7 of the same order"), "{told:?}");
    shop.confirm(&at(), &found.staged).unwrap();
    assert_eq!(shop.orders().unwrap().len(), 1);
    // The half-broken file mended: what came in stays as it is, the rest follows.
    let mended = table.replace("(20.00)", "20.00").replace("1,99,", "1,9,").replace("03-07", "03-06");
    let found = looked(&mut shop, IntakeOf::Orders, &mended, None);
    // Orders 1 and 4; the nine lots of order 3 are not there.
    assert_eq!((found.known, found.ready, found.staged.ready().len()), (1, 4, 2), "{:?}", found.left_out);
    assert_eq!(reasons(&found).iter().map(|(line, _)| *line).collect::<Vec<_>>(), [5, 6]);
}

#[test]
fn every_refusal_of_an_order_says_what_would_be_right() {
    for (row, wanted) in [
        (",2026-03-06,1,1,40,,,,606,,", "ref is empty; right would be the number of the order"),
        ("1,,1,1,40,,,,606,,", "date is empty; right would be to fill it on a row of the order"),
        ("1,03/06/2026,1,1,40,,,,606,,", "whether the month or the day comes first"),
        ("1,2026-03-06,,1,40,,,,606,,", "listing is empty; right would be its number here"),
        ("1,2026-03-06,Four Mugs,1,40,,,,606,,", "its title to the letter"),
        ("1,2026-03-06,77,1,40,,,,606,,", "there is no listing \"77\""),
        ("1,2026-03-06,1,0,40,,,,606,,", "lots can't be \"0\"; right would be a whole number from 1"),
        ("1,2026-03-06,1,1,,,,,606,,", "items: "),
        ("1,2026-03-06,1,1,-40,,,,606,,", "items: \"-40\" has a minus"),
        ("1,2026-03-06,1,1,40,(1),,,606,,", "shipping: \"(1)\" is in parentheses"),
        ("1,2026-03-06,1,1,40,,much,,606,,", "tax: "),
        ("1,2026-03-06,1,1,40,,,-1,606,,", "fee: \"-1\" has a minus"),
        ("1,2026-03-06,1,1,40,,,,,,", "zip is empty"),
        ("1,2026-03-06,1,1,40,,,,2139,,", "spreadsheets drop a 0"),
        ("1,2026-03-06,1,1,40,,,,606,soon,", "promise can't be \"soon\""),
        ("1,2026-03-06,1,1,40,,,,606,,fall market", "right would be one of: Spring market"),
    ] {
        let mut shop = shop();
        let found = looked(&mut shop, IntakeOf::Orders, &orders(&[row]), None);
        assert_eq!((found.ready, found.left_out.len()), (0, 1), "{row}");
        assert!(found.left_out[0].reason.contains(wanted), "{row}: {}", found.left_out[0].reason);
    }
}

#[test]
fn an_amount_that_stands_on_each_row_is_pointed_at() {
    let mut shop = shop();
    let table = orders(&[
        "1,2026-03-06,1,1,40,8,,,606,,",
        "1,2026-03-06,2,1,40,8,,,606,,",
        "2,2026-03-06,1,1,40,8,,,606,,",
    ]);
    let found = looked(&mut shop, IntakeOf::Orders, &table, None);
    assert!(found.notes[1].starts_with("1 order has the same shipping, tax or fee on each row"));
}

#[test]
fn two_open_listings_of_one_title_are_not_guessed_between() {
    let mut shop = shop();
    let again = shop.listing(books::LotId(2)).unwrap().entered;
    shop.list(&at(), &ListingIn { lots: 1, ..again }).unwrap();
    let found = looked(&mut shop, IntakeOf::Orders, &orders(&["1,2026-03-06,two mugs,1,40,,,,606,,"]), None);
    assert!(reasons(&found)[0].1.contains("right would be the number of one: 2, 4"), "{:?}", found.left_out);
}

const HAULS: &str = "ref,date,place,paid,tax,freight,form,description,count,flawed,worth,shelf\n\
    1,2026-03-01,Parish hall,7.00,0.51,,diner mug,\"=2+3, brown\",14,1,60,B2\n\
    1,,,,,1.00,dinner plate,,4,,20,A1\n\
    2,2026-03-02,barn,5,,,diner mug,,6,,,\n\
    3,2026-03-02,barn,5,,,diner mug,,2,3,,\n\
    3,2026-03-02,barn,,,,nonsense,,2,,,\n\
    4,2026-03-02,,5,,,diner mug,,2,,,\n\
    5,2026-03-02,barn,,,,diner mug,,2,,,\n";

#[test]
fn hauls_come_in_with_their_finds_and_places() {
    let mut shop = shop();
    let found = looked(&mut shop, IntakeOf::Hauls, HAULS, None);
    let told = reasons(&found);
    assert_eq!(told.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [5, 6, 7, 8], "{told:?}");
    assert!(told[0].1.contains("flawed can't be 3 of 2") && told[1].1.starts_with("form: "), "{told:?}");
    assert!(told[2].1.contains("place is empty") && told[3].1.contains("paid is empty"), "{told:?}");
    shop.confirm(&at(), &found.staged).unwrap();
    let books = shop.books().unwrap();
    let haul = books.haul(books::HaulId(2)).unwrap().record().clone();
    assert_eq!(
        (haul.paid, haul.tax, haul.freight_in),
        (cents(700), books::PurchaseTax::Paid(cents(51)), cents(100))
    );
    assert_eq!((haul.split, haul.finds.len()), (SplitRule::ByValue, 2));
    assert_eq!((haul.finds[0].sound, haul.finds[0].flawed), (13, 1));
    let plain = books.haul(books::HaulId(3)).unwrap().record().clone();
    assert_eq!((plain.split, plain.tax), (SplitRule::PerPiece, books::PurchaseTax::Exempt));
    let text = shop.find_text(haul.finds[0].id).unwrap();
    assert_eq!((text.form.as_str(), text.description.as_str()), ("diner_mug", "=2+3, brown"));
    assert_eq!(shop.noted::<Place>().unwrap().len(), 2);
    // A cell that begins like a formula is kept as it is and harmless where it goes out.
    assert!(shop.export_csv().unwrap()["find"].contains("\"'=2+3, brown\""));
    let again = looked(&mut shop, IntakeOf::Hauls, HAULS, None);
    assert_eq!((again.ready, again.known, again.left_out.len()), (0, 3, 4));
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn rows_that_stand_for_themselves_come_in_and_say_what_is_wrong() {
    let mut shop = shop();
    for (of, table, wanted) in [
        (IntakeOf::Places, "name,ref\nhall,1\n,2\nbarn,\n", ["must not be empty", "ref is empty"]),
        (
            IntakeOf::Comps,
            "ref,find,typed,date\nc1,1,2 for 17.50,2026-03-08\nc2,99,x,2026-03-08\nc3,a,x,2026-03-08\n",
            ["isn't there", "find can't be \"a\""],
        ),
        (
            IntakeOf::Expenses,
            "ref,date,amount,note\ne1,2026-04-01,3.50,pens\ne2,1 April,3,pens\ne3,2026-04-01,(3),pens\n",
            ["date can't be \"1 April\"", "in parentheses"],
        ),
        (
            IntakeOf::Trips,
            "ref,date,miles,purpose\nt1,2026-03-08,12.5,to the hall\nt2,2026-03-08,-1,x\nt3,2026-03-08,NaN,x\n",
            ["miles", "miles can't be \"NaN\""],
        ),
        (
            IntakeOf::Supplies,
            "ref,date,supply,units,cost\ns1,2026-03-08,9,1,1\ns2,2026-03-08,1,x,1\n",
            ["supply 9", "units can't be \"x\""],
        ),
    ] {
        let found = looked(&mut shop, of, table, None);
        assert_eq!(found.ready, usize::from(of != IntakeOf::Supplies), "{of:?}: {:?}", found.left_out);
        for (row, wanted) in found.left_out.iter().zip(wanted) {
            assert!(row.reason.contains(wanted), "{of:?}: {}", row.reason);
        }
        assert_eq!(found.left_out.len(), 2, "{of:?}");
        shop.confirm(&at(), &found.staged).unwrap();
        let again = looked(&mut shop, of, table, None);
        assert_eq!(again.ready, 0, "{of:?}");
    }
}

#[test]
fn a_number_of_an_order_is_no_number_of_an_expense_of_the_same_source() {
    let mut shop = shop();
    let expenses = "ref,date,amount,note\n1,2026-03-06,2,ads\n";
    let found = looked(&mut shop, IntakeOf::Expenses, expenses, None);
    shop.confirm(&at(), &found.staged).unwrap();
    let found = looked(&mut shop, IntakeOf::Orders, &orders(&["1,2026-03-06,1,1,40,,,,606,,"]), None);
    assert_eq!((found.ready, found.known), (1, 0), "{:?}", found.left_out);
}

#[test]
fn columns_of_another_name_are_told_and_remembered_for_their_kind_and_source() {
    let mut shop = shop();
    let cells = Cells::read(b"Day,Total (USD),For\n3/6/2026,1.50,pens\n", None).unwrap();
    let told = |pairs: &[(&str, &str)]| -> BTreeMap<String, String> {
        pairs.iter().map(|(column, name)| ((*column).to_owned(), (*name).to_owned())).collect()
    };
    let mut read = |map: &BTreeMap<String, String>, dates| {
        let of = IntakeOf::Expenses;
        look(&mut shop, &Reading { of, cells: &cells, map, dates, source: "card" }, &at())
    };
    let missing = read(&told(&[]), None).unwrap_err();
    assert!(
        missing.to_string().contains("its columns are: Day")
            || missing.to_string().contains("columns are: Day")
    );
    let unknown = read(&told(&[("date", "Datum")]), None).unwrap_err();
    assert!(matches!(unknown, IntakeError::NoSuchName { column: "date", .. }), "{unknown}");
    let other = read(&told(&[("zip", "Day")]), None).unwrap_err();
    assert!(other.to_string().contains("right would be one of: date, amount, note, ref"), "{other}");
    let map = told(&[("date", "day"), ("amount", "Total (USD)"), ("note", "For")]);
    assert_eq!(read(&map, Some(DateOrder::MonthFirst)).unwrap().ready, 1);
    let how = Remembered { map, dates: Some(DateOrder::MonthFirst) };
    remember(&mut shop, &at(), IntakeOf::Expenses, "card", &how).unwrap();
    assert_eq!(remembered(&shop, IntakeOf::Expenses, "card").unwrap(), how);
    assert_eq!(remembered(&shop, IntakeOf::Expenses, "other card").unwrap(), Remembered::default());
    assert_eq!(remembered(&shop, IntakeOf::Trips, "card").unwrap(), Remembered::default());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Rows of orders in any order give the same orders, and read twice they change nothing.
    #[test]
    fn shuffled_rows_are_the_same_orders_and_read_twice_change_nothing(
        rows in Just(vec![
            "1,2026-03-06,1,1,40,3,,,60614,,", "1,,2,1,20,,,1.10,,2026-03-09,", "1,,1,2,75,,0.5,,,,",
            "2,2026-03-05,1,3,110,,,,606,,", "2,2026-03-05,2,2,40,8,,,606,,", "3,2026-03-06,4,1,4,,,,606,,",
            "4,2026-03-04,1,9,4,,,,606,,",
        ]).prop_shuffle(),
    ) {
        let stored = |rows: &[&str]| {
            let mut shop = shop();
            let found = looked(&mut shop, IntakeOf::Orders, &orders(rows), None);
            shop.confirm(&at(), &found.staged).unwrap();
            (shop, found.left_out.len())
        };
        let mut sorted = rows.clone();
        sorted.sort_unstable();
        let (mut shop, left_out) = stored(&rows);
        let (other, left_out_sorted) = stored(&sorted);
        prop_assert_eq!(left_out, left_out_sorted);
        prop_assert_eq!(shop.orders().unwrap(), other.orders().unwrap());
        prop_assert!(!shop.orders().unwrap().is_empty());
        let before = shop.export_json().unwrap();
        let again = looked(&mut shop, IntakeOf::Orders, &orders(&rows), None);
        prop_assert_eq!(again.ready, 0);
        prop_assert_eq!(shop.confirm(&at(), &again.staged).unwrap(), 0);
        prop_assert_eq!(shop.export_json().unwrap(), before);
    }

    /// Whatever bytes come in, they are read or refused, and nothing is stored by looking.
    #[test]
    fn no_table_breaks_the_reading(
        head in Just(HEAD.split(',').collect::<Vec<_>>()).prop_shuffle(),
        rows in proptest::collection::vec(proptest::collection::vec("[-0-9a-z/.,$()\"'=\u{e9} ]{0,12}", 0..12), 0..8),
    ) {
        let mut table = head.join(",");
        for row in rows {
            table.push('\n');
            table.push_str(&row.join(","));
        }
        if let Ok(cells) = Cells::read(table.as_bytes(), None) {
            let mut shop = Shop::in_memory().unwrap();
            let map = BTreeMap::new();
            for of in IntakeOf::ALL {
                let reading = Reading { of, cells: &cells, map: &map, dates: Some(DateOrder::DayFirst), source: "x" };
                if let Ok(found) = look(&mut shop, &reading, &at()) {
                    prop_assert_eq!(found.rows, found.ready + found.known + found.left_out.len());
                }
            }
        }
    }
}
