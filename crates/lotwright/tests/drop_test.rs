//! What a drop decides about a parcel, over sheets planned by the program itself.

#![allow(clippy::unwrap_used)] // A document without its fields has failed the test.

mod planned;

use planned::{cartons, head, planned};
use serde_json::Value;

const SIZES: [&str; 8] = [
    "8 x 8 x 8",
    "10 x 10 x 10",
    "12 x 12 x 8",
    "12 x 12 x 12",
    "14 x 14 x 14",
    "16 x 16 x 16",
    "18 x 18 x 18",
    "20 x 20 x 20",
];

/// The first order of two like pieces, packed in one lot.
fn order(packing: &str, piece: &str, sizes: &[&str]) -> Value {
    let sheet = format!(
        "{}{}[[find]]\nname = \"x\"\nprice = 40.00\n[[find.piece]]\nform = \"mug_standard\"\ncount = 2\n\
         per_lot = 2\n{piece}\n",
        head(packing),
        cartons(sizes)
    );
    planned(&sheet)["ladders"][0]["orders"][0].clone()
}

fn parcels(order: &Value) -> &Vec<Value> {
    order["parcels"].as_array().unwrap()
}

fn margin(parcel: &Value) -> f64 {
    parcel["drop"]["margin"].as_f64().unwrap()
}

fn least(order: &Value) -> f64 {
    parcels(order).iter().map(margin).fold(f64::INFINITY, f64::min)
}

#[test]
fn every_parcel_lands_on_six_faces_twelve_edges_and_eight_corners() {
    let one = order("decide = \"rule\"", "", &SIZES);
    let landings = parcels(&one)[0]["drop"]["landings"].as_array().unwrap();
    assert_eq!(landings.len(), 26);
    let worst = landings.iter().map(|one| one["margin"].as_f64().unwrap()).fold(f64::INFINITY, f64::min);
    assert!((worst - margin(&parcels(&one)[0])).abs() < 1e-12);
    for landing in landings {
        let (peak, designed) = (landing["peak_g"].as_f64().unwrap(), landing["designed_g"].as_f64().unwrap());
        assert!(landing["margin"].as_f64().unwrap() <= designed / peak - 1.0 + 1e-9, "{landing}");
    }
}

#[test]
fn the_stricter_leaves_nothing_at_risk_and_is_never_cheaper_than_the_rule() {
    let rule = order("decide = \"rule\"\ndouble_box = \"never\"", "bears_g = 45", &SIZES);
    let stricter = order("decide = \"stricter\"\ndouble_box = \"never\"", "bears_g = 45", &SIZES);
    assert!(least(&rule) < 0.0, "two inches are not enough for a piece that bears 45 G");
    assert!(least(&stricter) >= 0.0, "{}", least(&stricter));
    let cost =
        |order: &Value| parcels(order).iter().map(|one| one["cost_cents"].as_i64().unwrap()).sum::<i64>();
    assert!(cost(&stricter) > cost(&rule));
    let mend = &parcels(&rule)[0]["drop"]["mend"];
    assert!(mend["margin"].as_f64().unwrap() > margin(&parcels(&rule)[0]), "{mend}");
    assert!(mend["cost_cents"].as_i64().unwrap() > 0);
}

#[test]
fn where_no_carton_cushions_it_as_computed_it_goes_by_the_rule_and_is_told_at_risk() {
    let small = order("decide = \"stricter\"\ndouble_box = \"never\"", "bears_g = 30", &SIZES[..4]);
    assert!(least(&small) < 0.0);
}

#[test]
fn a_more_fragile_piece_and_a_higher_drop_have_less_margin_in_the_same_parcel() {
    let by_rule = |packing: &str, piece: &str| {
        let packing = format!("decide = \"rule\"\ndouble_box = \"never\"\n{packing}");
        let order = order(&packing, piece, &SIZES);
        let parcel = &parcels(&order)[0];
        (
            parcel["plan"]["carton"]["name"].clone(),
            margin(parcel),
            parcel["drop"]["chance_of_breakage"].clone(),
        )
    };
    let usual = by_rule("", "");
    let fragile = by_rule("", "fragility = \"thin\"");
    let careful = by_rule("drop = \"careful\"", "");
    let light = by_rule("drop = \"light\"", "");
    let unsafe_ = by_rule("safety = 1", "");
    assert!(usual.0 == fragile.0 && usual.0 == careful.0 && usual.0 == light.0, "the rule alone decides");
    assert!(fragile.1 < usual.1 && careful.1 < usual.1 && usual.1 < light.1 && usual.1 < unsafe_.1);
    assert!(fragile.2.as_f64() > usual.2.as_f64());
}

#[test]
fn shock_is_not_what_harms_a_skillet() {
    let sheet = format!(
        "{}{}[[find]]\nname = \"x\"\nform = \"skillet_5\"\ncount = 1\nper_lot = 1\n",
        head("decide = \"stricter\""),
        cartons(&SIZES)
    );
    let document = planned(&sheet);
    let parcel = &document["ladders"][0]["orders"][0]["parcels"][0];
    assert!(parcel["drop"]["margin"].is_null(), "{}", parcel["drop"]["margin"]);
    assert_eq!(parcel["drop"]["expected_breakage_cents"], 0);
}

#[test]
fn a_box_in_a_box_keeps_its_gap_and_softens_the_blow() {
    let one = order("decide = \"rule\"\ndouble_box = \"never\"", "bears_g = 40", &SIZES);
    let two = order("double_box = \"always\"", "bears_g = 40", &SIZES);
    let plan = &parcels(&two)[0]["plan"];
    let side = |of: &Value, key: &str, axis: usize| of["carton"][key][axis].as_f64().unwrap();
    for axis in 0..3 {
        let gap = side(plan, "inside_mm", axis) - side(&plan["inner"], "outside_mm", axis);
        // A carrier's rule: outer box 6 in larger per dimension (published, see docs/board.md).
        assert!(gap >= 6.0 * 25.4 - 0.01, "axis {axis}: {gap} mm");
    }
    assert!(least(&two) > least(&one), "{} against {}", least(&two), least(&one));
    assert!(parcels(&one)[0]["plan"]["inner"].is_null());
}

#[test]
fn worth_buys_more_cushion_for_what_is_worth_more() {
    let priced = |price: &str| {
        let sheet = format!(
            "{}{}[[find]]\nname = \"x\"\nprice = {price}\n[[find.piece]]\nform = \"mug_standard\"\ncount = 2\n\
             per_lot = 2\nbears_g = 40\n",
            head("double_box = \"never\""),
            cartons(&SIZES)
        );
        let document = planned(&sheet);
        let order = &document["ladders"][0]["orders"][0];
        let chance = |one: &Value| one["drop"]["chance_of_breakage"].as_f64().unwrap();
        parcels(order).iter().map(chance).sum::<f64>()
    };
    assert!(priced("4000.00") < priced("4.00"));
}

#[test]
fn a_spoiled_box_in_a_box_is_refused_by_the_checker() {
    let two = order("double_box = \"always\"", "bears_g = 40", &SIZES);
    let plan: plan::Parcel = serde_json::from_value(parcels(&two)[0]["plan"].clone()).unwrap();
    let contents = plan.contents();
    assert_eq!(proof::check(&plan, &contents), []);
    let spoiled = |spoil: &dyn Fn(&mut plan::Parcel), name: &str| {
        let mut plan = plan.clone();
        spoil(&mut plan);
        let expected = plan.contents();
        let told = proof::check(&plan, &expected);
        assert!(told.iter().any(|one| format!("{one:?}").starts_with(name)), "{name}: {told:?}");
    };
    let inner = |plan: &mut plan::Parcel| plan.inner.take().unwrap();
    spoiled(&|plan| plan.bundles[0].contents[0].count += 1, "InnerContents");
    spoiled(&|plan| plan.bundles[0].mass_g += 100.0, "InnerMass");
    spoiled(
        &|plan| {
            let mut own = inner(plan);
            own.carton.outside_mm[0] += 1.0;
            plan.inner = Some(own);
        },
        "InnerSize",
    );
    spoiled(
        &|plan| {
            let mut own = inner(plan);
            own.bundles[0].walls.required_mm += 500.0;
            plan.inner = Some(own);
        },
        "InInner",
    );
    spoiled(
        &|plan| {
            let own = inner(plan);
            let twice = plan::Parcel { inner: Some(own.clone()), ..*own };
            plan.inner = Some(Box::new(twice));
        },
        "InnerTooDeep",
    );
}

#[test]
fn a_carton_used_before_bears_less_and_says_so() {
    let told = |reused: &str| {
        let sheet = format!(
            "{}[[carton]]\nsize = \"11 x 11 x 11\"\n{reused}[[find]]\nname = \"x\"\nform = \"book_hardback\"\n\
             count = 14\nper_lot = 14\n",
            head("decide = \"rule\"\ndouble_box = \"never\"")
        );
        planned::text(&sheet)
    };
    let (new, used) = (told(""), told("reused = true\n"));
    let limit =
        |text: &str| text.split("nearest limit of the carton:").nth(1).unwrap().trim()[..40].to_owned();
    assert_ne!(limit(&new), limit(&used));
    assert!(used.contains("used before") && !new.contains("used before"), "{used}");
}
