//! The five charging policies, and the weight to state.

#![allow(clippy::unwrap_used)] // A document without its fields has failed the test.

mod planned;

use planned::{cartons, head, planned};
use serde_json::Value;

fn document(charge: &str) -> Value {
    let find = "[[find]]\nname = \"cups\"\nform = \"diner_mug\"\nprice = 20.00\ncount = 8\nper_lot = 2\n";
    let sizes = cartons(&["8 x 8 x 8", "10 x 10 x 10", "12 x 12 x 8", "14 x 14 x 14"]);
    planned(&format!("{}\n[charge]\n{charge}\n{sizes}{find}", head("profile = \"rule_of_two\"")))
}

/// Postage, charge and remainder in cents, per order and destination, with the order's materials.
fn settled(document: &Value) -> Vec<Vec<(i64, i64, i64, i64)>> {
    document["ladders"][0]["orders"]
        .as_array()
        .unwrap()
        .iter()
        .map(|order| {
            let of = |row: &Value, key: &str| row[key].as_i64().unwrap();
            let materials = order["materials_cents"].as_i64().unwrap();
            order["settled"]
                .as_array()
                .unwrap()
                .iter()
                .map(|row| {
                    (of(row, "postage_cents"), of(row, "charged_cents"), of(row, "remains_cents"), materials)
                })
                .collect()
        })
        .collect()
}

#[test]
fn each_policy_charges_what_it_says_and_the_rest_adds_up() {
    type Charge = fn(i64, i64) -> i64;
    let policies: [(&str, Charge); 4] = [
        ("policy = \"flat\"\namount = 9.50", |_, _| 950),
        ("policy = \"flat plus\"\nfirst = 9.50\nfurther = 4.00", |lots, _| 950 + 400 * (lots - 1)),
        ("policy = \"combined\"", |_, postage| postage),
        ("policy = \"included\"", |_, _| 0),
    ];
    for (policy, charge) in policies {
        let ladder = settled(&document(policy));
        assert_eq!(ladder.len(), 4);
        for (lots, order) in (1..).zip(&ladder) {
            for &(postage, charged, remains, materials) in order {
                assert!(postage > 0 && materials > 0);
                assert_eq!(charged, charge(lots, postage), "{policy}, {lots} lots");
                assert_eq!(remains, 2000 * lots + charged - postage - materials, "{policy}, {lots} lots");
            }
        }
    }
}

#[test]
fn the_smallest_stated_weight_never_loses_and_a_pound_less_does() {
    let document = document("policy = \"stated per lot\"");
    let over = |ladder: &[Vec<(i64, i64, i64, i64)>]| {
        ladder.iter().flatten().map(|row| row.1 - row.0).collect::<Vec<i64>>()
    };
    let overcharges = over(&settled(&document));
    assert!(overcharges.iter().all(|&over| over >= 0), "{overcharges:?}");
    let stated = &document["ladders"][0]["stated"];
    assert_eq!(stated["most_over_cents"].as_i64().unwrap(), overcharges.iter().copied().max().unwrap());
    let pounds = stated["weight_g"].as_f64().unwrap() / 453.592_37;
    let lot = document["ladders"][0]["orders"][0]["parcels"][0]["gross_g"].as_f64().unwrap() / 453.592_37;
    assert!(pounds >= lot, "{pounds} lb stated for a lot of {lot} lb");
    let size = stated["size_mm"].as_array().unwrap();
    let inches: Vec<String> =
        size.iter().map(|side| format!("{:.0}", side.as_f64().unwrap() / 25.4)).collect();
    let less = self::document(&format!(
        "policy = \"stated per lot\"\nweight = \"{:.0} lb\"\nsize = \"{} in\"",
        pounds - 1.0,
        inches.join(" x ")
    ));
    // A pound less either loses somewhere or is less than the lot weighs.
    assert!(over(&settled(&less)).iter().any(|&over| over < 0) || pounds - 1.0 < lot);
}
