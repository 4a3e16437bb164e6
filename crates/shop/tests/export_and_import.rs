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

#[test]
fn an_import_stores_nothing_before_it_is_confirmed_and_nothing_twice() {
    let (mut shop, ..) = shop();
    let before = shop.export_json().unwrap();
    let table = "ref,date,amount,note\n\
                 1,2026-04-01,3.50,pens\n\
                 2,1 April,3.50,pens\n\
                 3,2026-04-02,much,pens\n\
                 4,2026-04-03,-2,pens\n\
                 1,2026-04-04,4.00,again\n\
                 ,2026-04-05,4.00,no number\n\
                 5,2026-04-06,12,\"paper, white\"\n";
    let staged = shop.stage(ImportOf::Expenses, "card list", table, &at()).unwrap();
    assert_eq!(shop.export_json().unwrap(), before);
    assert_eq!(staged.ready(), 2);
    let lines: Vec<u64> = staged.rejected.iter().map(|row| row.line).collect();
    assert_eq!(lines, [3, 4, 5, 6, 7], "{:?}", staged.rejected);
    assert!(staged.rejected[0].reason.contains("right would be a day"), "{:?}", staged.rejected[0]);
    assert!(staged.rejected[3].reason.contains("was stored before"), "{:?}", staged.rejected[3]);
    assert_eq!(shop.confirm(&at(), &staged).unwrap(), 2);
    assert_eq!(shop.books().unwrap().net(books::Account::OtherExpense, |_| true), cents(1550));
    assert!(matches!(shop.confirm(&at(), &staged), Err(ShopError::Twice { .. })));
    let again = shop.stage(ImportOf::Expenses, "card list", table, &at()).unwrap();
    assert_eq!(again.ready(), 0);
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn every_kind_of_import_comes_in() {
    let (mut shop, ..) = shop();
    supply(&mut shop, "carton");
    for (of, table) in [
        (ImportOf::Places, "name,ref\nhall,1\n,2\n"),
        (ImportOf::Comps, "ref,find,typed,date\n1,1,2 for 17.50,2026-03-08\n2,99,x,2026-03-08\n"),
        (ImportOf::Trips, "ref,date,miles,purpose\n1,2026-03-08,12.5,to the hall\n2,2026-03-08,-1,x\n"),
        (ImportOf::Supplies, "ref,date,supply,units,cost\n1,2026-03-08,1,2.5,3.00\n2,2026-03-08,9,1,1\n"),
    ] {
        let staged = shop.stage(of, &format!("{of:?}"), table, &at()).unwrap();
        assert_eq!((staged.ready(), staged.rejected.len()), (1, 1), "{of:?}: {:?}", staged.rejected);
        shop.confirm(&at(), &staged).unwrap();
    }
    assert!(matches!(
        shop.stage(ImportOf::Trips, "x", "ref,date\n", &at()),
        Err(ShopError::Unreadable { .. })
    ));
    assert!(shop.stage(ImportOf::Trips, "x", "", &at()).is_err());
    assert!(shop.check().unwrap().is_sound());
}
