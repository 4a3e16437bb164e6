//! Every table goes out, and nothing comes in before it was looked at.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::*;
use shop::*;

#[test]
fn every_table_is_exported_with_every_row() {
    let mut shop = Shop::in_memory().unwrap();
    story(&mut shop);
    let (csv, json) = (shop.export_csv().unwrap(), shop.export_json().unwrap());
    assert_eq!(csv.len(), 30);
    for (table, text) in &csv {
        let rows = csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).count();
        assert_eq!(rows, json[table].as_array().unwrap().len(), "{table}");
        assert!(rows > 0 || table == "supply_reservation", "{table} is empty in the story");
    }
}

#[test]
fn a_cell_is_never_a_formula_and_a_figure_stays_one() {
    let (mut shop, ..) = shop();
    let name = "=HYPERLINK(\"x\")".to_owned();
    shop.note(&at(), &Place { name: name.clone(), note: "a \"b\",\nc".to_owned() }).unwrap();
    let csv = &shop.export_csv().unwrap()["place"];
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let row = reader.records().next().unwrap().unwrap();
    assert_eq!(row.iter().collect::<Vec<_>>(), ["1", &format!("'{name}"), "a \"b\",\nc"]);
    assert_eq!(shop.export_json().unwrap()["place"][0]["name"], name.as_str());
    let carton = supply(&mut shop, "carton");
    let used = Movement::SuppliesUsed { supply: carton, quantity: books::Quantity::whole(1), order: None };
    shop.move_money(&at(), &moved(BOUGHT, books::Purse::Cash, used)).unwrap();
    assert!(shop.export_csv().unwrap()["supply_move"].contains(",-1000000,"));
}

fn spent(external: &str, line: u64, amount: i64) -> ImportItem {
    let movement = Movement::Expense { what: books::Expense::Other, amount: cents(amount) };
    let content = ImportContent::Money(moved(BOUGHT, books::Purse::Cash, movement));
    ImportItem { external: external.to_owned(), lines: vec![line], content }
}

#[test]
fn an_import_stores_nothing_before_it_is_confirmed_and_nothing_twice() {
    let (mut shop, ..) = shop();
    let before = shop.export_json().unwrap();
    let items = vec![spent("1", 2, 350), spent("4", 3, -200), spent("1", 4, 400), spent("5", 5, 1200)];
    let staged = shop.stage("card list", items.clone(), &at()).unwrap();
    assert_eq!(shop.export_json().unwrap(), before);
    assert_eq!(staged.ready(), [items[0].clone(), items[3].clone()]);
    let told: Vec<(&[u64], bool)> =
        staged.rejected.iter().map(|row| (row.lines.as_slice(), row.known)).collect();
    assert_eq!(told, [(&[3_u64][..], false), (&[4][..], true)], "{:?}", staged.rejected);
    assert!(staged.rejected[1].reason.contains("was stored before"), "{:?}", staged.rejected);
    assert_eq!(shop.confirm(&at(), &staged).unwrap(), 2);
    assert_eq!(shop.books().unwrap().net(books::Account::OtherExpense, |_| true), cents(1550));
    assert!(matches!(shop.confirm(&at(), &staged), Err(ShopError::Twice { .. })));
    let again = shop.stage("card list", items, &at()).unwrap();
    assert!(again.ready().is_empty());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn what_is_ready_is_stored_whole_or_not_at_all() {
    let (mut shop, _, listed) = shop();
    let taken = |external: &str, lots| ImportItem {
        external: external.to_owned(),
        lines: vec![2],
        content: ImportContent::Order(Box::new(ImportedOrder {
            order: order(listed, lots),
            fee: cents(320),
            sent: None,
        })),
    };
    let staged =
        shop.stage("venue", vec![taken("order a", 1), taken("order b", 2), taken("order c", 1)], &at());
    let staged = staged.unwrap();
    assert_eq!(staged.ready().len(), 2, "two lots are there: {:?}", staged.rejected);
    // Someone else is quicker: then neither is stored, and no fee without its order.
    shop.take_order(&at(), &order(listed, 1)).unwrap();
    let before = shop.export_json().unwrap();
    assert!(matches!(shop.confirm(&at(), &staged), Err(ShopError::TooFewLots { .. })));
    assert_eq!(shop.export_json().unwrap(), before);
    let again = shop.stage("venue", vec![taken("order a", 1)], &at()).unwrap();
    assert_eq!(shop.confirm(&at(), &again).unwrap(), 1);
    let fees = shop.books().unwrap().net(books::Account::Fees, |_| true);
    assert_eq!(fees, cents(320));
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn a_haul_that_is_refused_notes_no_place_and_one_that_comes_in_notes_it_once() {
    let (mut shop, ..) = shop();
    let bought = |external: &str, paid: i64, place: &str| ImportItem {
        external: external.to_owned(),
        lines: vec![2],
        content: ImportContent::Haul(Box::new(HaulIn { paid: cents(paid), ..haul() }), place.to_owned()),
    };
    let items =
        vec![bought("haul 1", -1, "barn"), bought("haul 2", 700, "Hall"), bought("haul 3", 1, "hall ")];
    let staged = shop.stage("notebook", items, &at()).unwrap();
    assert_eq!(staged.ready().len(), 2, "{:?}", staged.rejected);
    assert_eq!(shop.noted::<Place>().unwrap(), []);
    shop.confirm(&at(), &staged).unwrap();
    let names: Vec<String> =
        shop.noted::<Place>().unwrap().into_iter().map(|(_, place)| place.name).collect();
    assert_eq!(names, ["Hall"]);
    assert_eq!(
        shop.books().unwrap().hauls().map(|haul| haul.record().place.clone()).next_back().unwrap(),
        "Hall"
    );
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_rehearsal_leaves_the_books_in_memory_as_the_file_has_them() {
    let (mut shop, ..) = shop();
    let before = shop.books().unwrap().clone();
    shop.stage("x", vec![spent("1", 2, 350), spent("2", 3, -1)], &at()).unwrap();
    assert_eq!(shop.books().unwrap(), &before);
    shop.move_money(
        &at(),
        &moved(
            BOUGHT,
            books::Purse::Cash,
            Movement::Expense { what: books::Expense::Other, amount: cents(5) },
        ),
    )
    .unwrap();
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}
