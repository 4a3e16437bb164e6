//! Two finds of mugs, and what is made of them: what the tests here begin with.

#![allow(dead_code, reason = "not every test file uses every part")]

use books::{FindId, FlawedCarry, OrderId, Purse, Quantity, SplitRule, SupplyId};
use jiff::Timestamp;
use jiff::civil::{Date, date};
use keeping::Stop;
use measure::{Length, Mass, Money};
use shop::{
    FindText, HaulIn, ListingIn, ListingPart, Measured, Measurement, MoneyMoved, Movement, NewFind, OrderIn,
    OrderLine, Payment, Shop, Stamp, Supply, Which,
};

/// The moment of every write.
pub fn now() -> Timestamp {
    "2026-11-20T09:00:00Z".parse().expect("a moment")
}

pub fn stamp() -> Stamp {
    Stamp::at(now())
}

pub const DAY: Date = date(2026, 11, 20);

/// A shop with two finds of mugs: so many sound ones, so many flawed ones.
pub fn shop(finds: [(u32, u32); 2]) -> Shop {
    let mut shop = Shop::in_memory().expect("a shop");
    bring_in(&mut shop, finds);
    shop
}

/// The same in a shop that is there.
pub fn bring_in(shop: &mut Shop, finds: [(u32, u32); 2]) {
    let new = |(sound, flawed): (u32, u32)| NewFind {
        text: FindText { form: "diner_mug".into(), description: "diner mugs".into(), shelf: String::new() },
        sound,
        flawed,
        value: Money::from_cents(5000),
    };
    let haul = HaulIn {
        place: None,
        date: DAY,
        paid: Money::from_cents(
            i64::from(finds.iter().map(|(sound, flawed)| sound + flawed).sum::<u32>()) * 200,
        ),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::PerPiece,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: finds.map(new).to_vec(),
    };
    shop.buy(&stamp(), &haul).expect("a haul");
}

pub fn part(find: u64, pieces: u32, which: Which) -> ListingPart {
    ListingPart { find: FindId(find), pieces, which }
}

pub fn listing(lots: u32, parts: Vec<ListingPart>) -> ListingIn {
    ListingIn {
        venue: None,
        title: String::from("mugs"),
        lots,
        price: Money::from_cents(2400),
        floor: None,
        listed_on: DAY,
        ended: false,
        card: serde_json::json!({}),
        parts,
    }
}

/// Measures of the mugs of find 1, so that they can be packed.
pub fn measure(shop: &mut Shop) {
    let measures = [
        ("diameter", Measured::Length(Length::from_inches(3.5))),
        ("height", Measured::Length(Length::from_inches(3.75))),
        ("weight", Measured::Mass(Mass::from_ounces(15.0))),
    ];
    for (name, figure) in measures {
        let one = Measurement { find: FindId(1), piece: None, name: name.into(), figure, estimated: false };
        shop.note(&stamp(), &one).expect("measured");
    }
}

/// A kind of supply, and so many bought of it for 9.00.
pub fn supply(shop: &mut Shop, name: &str, kind: &str, units: u32) -> SupplyId {
    let detail = match kind {
        "fill" => serde_json::json!({ "material": "eps_fill", "holds": 3.5 }),
        _ => serde_json::json!({}),
    };
    let one = Supply {
        name: name.into(),
        kind: kind.into(),
        unit: kind.into(),
        detail,
        lead_days: 7,
        safety_days: 3,
    };
    let supply = SupplyId(shop.note(&stamp(), &one).expect("a supply"));
    if units > 0 {
        let movement = Movement::SuppliesBought {
            supply,
            quantity: Quantity::whole(units),
            cost: Money::from_cents(900),
        };
        moved(shop, movement);
    }
    supply
}

pub fn moved(shop: &mut Shop, movement: Movement) {
    let moved = MoneyMoved { date: DAY, purse: Purse::Cash, movement, note: String::new() };
    shop.move_money(&stamp(), &moved).expect("it moves");
}

/// An order of so many lots of two sound mugs of find 1, paid.
pub fn order(shop: &mut Shop, lots: u32) -> OrderId {
    let listing = shop.list(&stamp(), &listing(lots, vec![part(1, 2, Which::Sound)])).expect("listed");
    let order = OrderIn {
        venue: None,
        ordered_on: DAY,
        promise_by: None,
        destination: "606".into(),
        lines: vec![OrderLine { listing, lots, item: Money::from_cents(2400) * i64::from(lots) }],
        shipping: Money::from_cents(950),
        tax: books::BuyerTax::ByVenue(Money::from_cents(200)),
        paid: Some(Payment { date: DAY, into: Purse::Platform }),
        note: String::new(),
    };
    shop.take_order(&stamp(), &order).expect("taken")
}

/// Why something was refused; it must be about the input.
pub fn refused<T: std::fmt::Debug>(done: Result<T, Stop>) -> String {
    match done {
        Err(Stop::Input(why)) => why,
        other => panic!("not refused: {other:?}"),
    }
}
