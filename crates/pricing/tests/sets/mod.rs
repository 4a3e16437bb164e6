//! The sets of comparable sales in `tests/data/comps_train.json`, read as a person would have entered them.
//!
//! Their answers were worked out with NumPy 2.4 and SciPy 1.17; the maximum-likelihood part also with lifelines
//! 0.30 and statsmodels 0.15.

#![allow(dead_code, reason = "each test binary uses its part")]

use measure::Money;
use pricing::{Assumptions, Bids, Comp, ErrorLaw, Evidence, Grade, Prior, Shipping};
use serde_json::Value;

/// All sets with their answers.
pub fn sets() -> Value {
    serde_json::from_str(include_str!("../data/comps_train.json")).expect("the data is JSON")
}

/// The cases of the data.
pub fn cases(data: &Value) -> &Vec<Value> {
    data["cases"].as_array().expect("cases")
}

/// One case by its name.
pub fn case<'a>(data: &'a Value, id: &str) -> &'a Value {
    cases(data).iter().find(|case| case["id"] == id).expect("the case is there")
}

/// A number of the data.
pub fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// Numbers of the data.
pub fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(number).collect()
}

fn money(value: &Value) -> Money {
    Money::from_cents_rounded(number(value) * 100.0)
}

/// The comps of a case.
pub fn comps(case: &Value) -> Vec<Comp> {
    case["comps"].as_array().expect("comps").iter().map(comp).collect()
}

fn comp(row: &Value) -> Comp {
    let price = money(&row["price"]);
    let charged = || Shipping::Charged(money(&row["ship"]));
    let (evidence, shipping) = match row["kind"].as_str().expect("a kind") {
        "sold" => (Evidence::Sold { price }, charged()),
        "offer_accepted" => (Evidence::AcceptedOffer { ask: price }, charged()),
        "unsold" => (Evidence::Unsold { ask: price, days: number(&row["days_listed"]) }, charged()),
        "auction_one_bid" => (Evidence::Auction { price, bids: Bids::One, days: 7.0 }, charged()),
        "ship_unknown" => {
            (Evidence::Sold { price }, Shipping::Between(money(&row["ship_lo"]), money(&row["ship_hi"])))
        }
        other => panic!("kind {other}"),
    };
    let grade = match row["grade"].as_str().expect("a grade") {
        "A" => Grade::A,
        "B" => Grade::B,
        "C" => Grade::C,
        "D" => Grade::D,
        "E" => Grade::E,
        other => panic!("grade {other}"),
    };
    let pieces = u32::try_from(row["pieces"].as_u64().expect("pieces")).expect("few");
    let age_days = number(&row["age_days"]);
    Comp { evidence, shipping, pieces, grade, age_days, days_to_sell: None, likeness: 1.0 }
}

/// The prior under which the answers were worked out.
pub fn assumptions(law: ErrorLaw) -> Assumptions {
    let prior = Prior { mu_mean: Some(2.5), ..Prior::default() };
    Assumptions { error_law: law, prior, ..Assumptions::default() }
}

/// Both laws with the names of their answers.
pub const LAWS: [(ErrorLaw, &str); 2] =
    [(ErrorLaw::Normal, "posterior_normal"), (ErrorLaw::StudentT4, "posterior_t4")];
