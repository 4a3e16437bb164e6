//! A shop with a measured haul, a listing, cartons and fill, as a visitor's own.

#![allow(dead_code, reason = "not every test file uses every part")]

use books::{FlawedCarry, Purse, Quantity, SplitRule, SupplyId};
use jiff::civil::{Date, date};
use measure::{Length, Mass, Money};
use serde_json::json;
use shop::{
    FindText, HaulIn, ListingIn, ListingPart, Measured, Measurement, MoneyMoved, Movement, NewFind, Shop,
    Stamp, Supply, Which,
};

use crate::visitor::{Answer, Visitor};

/// The moment of everything here.
pub fn at() -> Stamp {
    Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"))
}

/// One find bought for so many cents, tax and miles left out.
pub fn haul(day: Date, cents: i64, find: NewFind) -> HaulIn {
    HaulIn {
        place: None,
        date: day,
        paid: Money::from_cents(cents),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![find],
    }
}

/// So many of a supply for 9.00; cartons are called by their size.
pub fn supply(shop: &mut Shop, name: &str, kind: &str, units: u32) -> SupplyId {
    let detail = match kind {
        "fill" => json!({ "material": "eps_fill", "holds": 3.5 }),
        _ => json!({}),
    };
    let unit = if kind == "fill" { "bag" } else { "carton" };
    let one = Supply {
        name: name.to_owned(),
        kind: kind.to_owned(),
        unit: unit.to_owned(),
        detail,
        lead_days: 7,
        safety_days: 3,
    };
    let supply = SupplyId(shop.note(&at(), &one).expect("a supply"));
    if units > 0 {
        let quantity = Quantity::whole(units);
        let movement = Movement::SuppliesBought { supply, quantity, cost: Money::from_cents(900) };
        let moved = MoneyMoved { date: date(2026, 11, 1), purse: Purse::Cash, movement, note: String::new() };
        shop.move_money(&at(), &moved).expect("bought");
    }
    supply
}

/// Six mugs on B2, two lots of two listed at 34.00, and these cartons with fill.
pub async fn stocked(cartons: &[(&str, u32)]) -> Visitor {
    let visitor = Visitor::begun().await;
    let mut shop = visitor.shop();
    let text = FindText {
        form: "diner_mug".to_owned(),
        description: "white <mugs> & more".to_owned(),
        shelf: "B2".to_owned(),
    };
    let find = NewFind { text, sound: 6, flawed: 0, value: Money::from_cents(6000) };
    let bought = shop.buy(&at(), &haul(date(2026, 11, 10), 600, find)).expect("a haul");
    let find = *bought.finds.first().expect("one find");
    let measures = [
        ("diameter", Measured::Length(Length::from_inches(3.5))),
        ("weight", Measured::Mass(Mass::from_ounces(15.0))),
    ];
    for (name, figure) in measures {
        let one = Measurement { find, piece: None, name: name.to_owned(), figure, estimated: false };
        shop.note(&at(), &one).expect("measured");
    }
    let listing = ListingIn {
        venue: None,
        title: "Two <white> mugs".to_owned(),
        lots: 2,
        price: Money::from_cents(3400),
        floor: None,
        listed_on: date(2026, 11, 12),
        ended: false,
        card: json!({}),
        parts: vec![ListingPart { find, pieces: 2, which: Which::Sound }],
    };
    shop.list(&at(), &listing).expect("listed");
    for (size, count) in cartons {
        supply(&mut shop, size, "carton", *count);
    }
    if !cartons.is_empty() {
        supply(&mut shop, "loose fill", "fill", 3);
    }
    visitor
}

/// The fields of a right order of one lot.
pub const ORDER: [(&str, &str); 7] = [
    ("listing-1", "1"),
    ("lots-1", "1"),
    ("to", "606"),
    ("promise", "2026-11-28"),
    ("shipping", "9.50"),
    ("paid", "yes"),
    ("fee", "5.65"),
];

/// The same with another value for a field.
pub fn with<'a>(form: &[(&'a str, &'a str)], name: &'a str, value: &'a str) -> Vec<(&'a str, &'a str)> {
    let others = form.iter().copied().filter(|(known, _)| *known != name);
    others.chain([(name, value)]).collect()
}

/// Follows to the page that a form led to.
pub async fn led(visitor: &Visitor, answer: &Answer) -> Answer {
    assert_eq!(answer.status.as_u16(), 303, "{}", answer.text);
    visitor.get(answer.header("location")).await
}
