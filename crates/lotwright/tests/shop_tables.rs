//! Orders and hauls from a table: shown first, stored whole, never twice.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod till;

use till::Till;

#[test]
fn a_venues_table_of_orders_comes_in_under_its_own_names_and_is_remembered_by_its_source() {
    let till = Till::stocked();
    let table = till.at("sold.csv");
    let write = |title: &str| {
        std::fs::write(
            &table,
            format!(
                "Order no.,Sold on,Item,Qty,Item total,Postage,Buyer ZIP\n\
                 71,08/01/2026,{title},1,\"$40.00\",8.50,60614-1234\n\
                 72,08/02/2026,{title},1,(40.00),8.50,60614\n"
            ),
        )
        .unwrap();
    };
    write("1");
    let map = [
        "--map",
        "ref=Order no.",
        "--map",
        "date=Sold on",
        "--map",
        "listing=Item",
        "--map",
        "lots=Qty",
        "--map",
        "items=Item total",
        "--map",
        "shipping=Postage",
        "--map",
        "zip=Buyer ZIP",
    ];
    let base = ["read", table.as_str(), "--rows", "orders", "--source", "spring"];
    let read = |more: &[&str]| till.json(&base.iter().chain(more).copied().collect::<Vec<_>>());
    let unsaid = till.refuses(&base);
    assert!(unsaid.contains("--map \"ref=...\"") && unsaid.contains("Order no."), "{unsaid}");
    let undated = read(&map);
    assert_eq!(undated["ready"], 0);
    assert!(undated["rejected"][0]["reason"].as_str().unwrap().contains("the month or the day"));
    let told: Vec<&str> = map.into_iter().chain(["--dates", "month-first"]).collect();
    let shown = read(&told);
    assert_eq!((&shown["ready"], &shown["stored"]), (&1.into(), &0.into()), "{shown}");
    assert!(shown["rejected"][0]["reason"].as_str().unwrap().contains("in parentheses"));
    let before = till.json(&["order", "list"]).as_array().unwrap().len();
    let stored: Vec<&str> = told.iter().copied().chain(["--store"]).collect();
    assert_eq!(read(&stored)["stored"], 1);
    assert_eq!(till.json(&["order", "list"]).as_array().unwrap().len(), before + 1);
    // Names and days are remembered; read again, nothing changes.
    let again = read(&["--store"]);
    assert_eq!((&again["stored_before"], &again["stored"]), (&1.into(), &0.into()), "{again}");
    let text = till.says(&base);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("2 rows of orders, 0 ready (0 orders), 1 stored before, 1 rejected"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(till.says(&["shop", "check"]).contains("Sound"));
    // Another source has names of its own.
    let other = till.refuses(&["read", &table, "--rows", "orders", "--source", "fall"]);
    assert!(other.contains("no column is ref"), "{other}");
    let unknown = till.refuses(&["read", &table, "--rows", "orders", "--map", "zap=Item"]);
    assert!(unknown.contains("--map: orders have no column \"zap\""), "{unknown}");
}

#[test]
fn hauls_come_in_from_a_table() {
    let till = Till::stocked();
    let table = till.at("hauls.csv");
    std::fs::write(
        &table,
        "ref\tdate\tplace\tpaid\tform\tcount\tworth\n\
         7\t2026-08-01\tbarn\t12\tdiner mug\t6\t40\n\
         7\t\t\t\tdinner plate\t4\t20\n",
    )
    .unwrap();
    let before = till.json(&["haul", "--list"]).as_array().unwrap().len();
    let text = till.says(&["read", &table, "--rows", "hauls", "--store"]);
    assert!(text.contains("2 ready (1 haul)") && text.contains("Stored 1 haul."), "{text}");
    assert_eq!(till.json(&["haul", "--list"]).as_array().unwrap().len(), before + 1);
}
