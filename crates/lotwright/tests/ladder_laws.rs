//! Laws of the order ladder over sheets drawn by a fixed rule.

#![allow(clippy::unwrap_used)] // A document without its fields has failed the test.

mod planned;

use planned::{cartons, head, planned};
use serde_json::Value;

const SIZES: [&str; 9] = [
    "8 x 8 x 8",
    "10 x 10 x 10",
    "12 x 12 x 8",
    "12 x 12 x 12",
    "16 x 12 x 12",
    "14 x 14 x 14",
    "18 x 18 x 12",
    "16 x 16 x 16",
    "20 x 20 x 20",
];
/// Forms and pieces per lot.
const FINDS: [&[(&str, u32)]; 6] = [
    &[("mug_standard", 1)],
    &[("tea_cup", 2), ("tea_saucer", 2)],
    &[("book_hardback", 2)],
    &[("skillet_5", 1)],
    &[("pressed_goblet", 1)],
    &[("creamer", 1), ("sugar_bowl", 1)],
];

fn document(find: &[(&str, u32)], lots: u32, clearance: &str) -> Value {
    let pieces: String = find
        .iter()
        .map(|(form, per_lot)| {
            format!("[[find.piece]]\nform = \"{form}\"\ncount = {}\nper_lot = {per_lot}\n", lots * per_lot)
        })
        .collect();
    let packing = head(&format!("clearance = \"{clearance}\"\nwage = 15.00\ndecide = \"rule\""));
    planned(&format!("{packing}{}[[find]]\nname = \"x\"\n{pieces}", cartons(&SIZES)))
}

/// Expected postage, materials and working time of an order, cents; and the fill in it.
fn cost(order: &Value) -> Option<(f64, f64)> {
    if order["refused"].is_string() {
        return None;
    }
    let of = |key: &str| order[key].as_f64().unwrap();
    let fill = order["parcels"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|parcel| {
            let plan = &parcel["plan"];
            plan["materials"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|used| used["material"] == plan["fill"]["material"])
                .map(|used| used["cost_cents"].as_f64().unwrap())
        })
        .sum();
    Some((of("expected_postage_cents") + of("materials_cents") + of("minutes") * 25.0, fill))
}

/// In the same carton a piece fewer takes a little more fill: that fill aside, the law is strict.
#[test]
fn a_larger_order_never_costs_less_but_for_the_fill_it_displaces() {
    for find in FINDS {
        let document = document(find, 4, "1 in");
        let orders = document["ladders"][0]["orders"].as_array().unwrap();
        for pair in orders.windows(2) {
            if let Some((larger, larger_fill)) = cost(&pair[1]) {
                let (smaller, smaller_fill) = cost(&pair[0]).expect("a plan for more is a plan for fewer");
                assert!(
                    larger - larger_fill >= smaller - smaller_fill - 1.0,
                    "{find:?}: {} costs {larger} less than {smaller}",
                    pair[1]["name"]
                );
            }
        }
    }
}

#[test]
fn a_larger_clearance_never_costs_less() {
    for find in FINDS {
        let mut before: Vec<Option<f64>> = vec![Some(0.0); 3];
        for clearance in ["0.5 in", "1 in", "2 in"] {
            let document = document(find, 3, clearance);
            let orders = document["ladders"][0]["orders"].as_array().unwrap();
            for (order, before) in orders.iter().zip(&mut before) {
                let now = cost(order).map(|cost| cost.0);
                if let Some(now) = now {
                    let least = before.expect("what fits with more clearance fits with less");
                    assert!(
                        now >= least - 1.0,
                        "{find:?} {}: {clearance} costs {now}, less {least}",
                        order["name"]
                    );
                }
                *before = now;
            }
        }
    }
}
