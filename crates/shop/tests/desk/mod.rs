//! A closing guest house's dining room, bought from a parish hall: what the tests here begin with.

#![allow(dead_code, reason = "not every test file uses every part")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use books::*;
use jiff::Timestamp;
use jiff::civil::{Date, date};
use measure::{Length, Mass, Money};
use serde_json::json;
use shop::*;

pub const BOUGHT: Date = date(2026, 3, 7);

pub const fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

pub fn now() -> Timestamp {
    "2026-03-07T10:00:00Z".parse().unwrap()
}

pub fn at() -> Stamp {
    Stamp::at(now())
}

pub fn find(form: &str, shelf: &str, sound: u32, flawed: u32, value: i64) -> NewFind {
    let text =
        FindText { form: form.to_owned(), description: format!("{form}, plain"), shelf: shelf.to_owned() };
    NewFind { text, sound, flawed, value: cents(value) }
}

/// 7.00 and 0.51 of tax for 13 sound cups, one with a hairline, and 11 saucers.
pub fn haul() -> HaulIn {
    HaulIn {
        place: None,
        date: BOUGHT,
        paid: cents(700),
        tax: Some(cents(51)),
        freight: cents(100),
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Nothing,
        purse: Purse::Cash,
        freight_purse: Purse::Card,
        miles_hundredths: 1250,
        note: "one tray".to_owned(),
        finds: vec![find("cup", "B2", 13, 1, 6000), find("saucer", "A1", 11, 0, 1500)],
    }
}

/// Lots of four cups and four saucers.
pub fn listing(bought: &BoughtHaul, lots: u32) -> ListingIn {
    let part = |&find| ListingPart { find, pieces: 4, which: Which::Sound };
    ListingIn {
        venue: None,
        title: "4 cups with saucers".to_owned(),
        lots,
        price: cents(4000),
        floor: Some(cents(3200)),
        listed_on: date(2026, 3, 10),
        ended: false,
        card: json!({ "text": "four of each" }),
        parts: bought.finds.iter().map(part).collect(),
    }
}

pub fn order(listing: LotId, lots: u32) -> OrderIn {
    OrderIn {
        venue: None,
        ordered_on: date(2026, 4, 1),
        promise_by: Some(date(2026, 4, 4)),
        destination: "606".to_owned(),
        lines: vec![OrderLine { listing, lots, item: cents(4000) * i64::from(lots) }],
        shipping: cents(800),
        tax: BuyerTax::ByVenue(cents(336)),
        paid: Some(Payment { date: date(2026, 4, 1), into: Purse::Platform }),
        note: String::new(),
    }
}

pub fn moved(date: Date, purse: Purse, movement: Movement) -> MoneyMoved {
    MoneyMoved { date, purse, movement, note: String::new() }
}

pub fn need(supply: SupplyId, units: f64) -> PlannedSupply {
    PlannedSupply { supply, quantity: Quantity::units(units).unwrap(), instead_of: None }
}

pub fn plan(supplies: Vec<PlannedSupply>) -> ParcelPlan {
    ParcelPlan {
        form: "cup".to_owned(),
        recipe: "wrapped".to_owned(),
        plan: json!({ "layers": 2 }),
        mass: Some(Mass::from_ounces(80.0)),
        size: Some(size(12.0)),
        minutes: Some(25),
        postage: Some(cents(1200)),
        supplies,
    }
}

pub fn size(inches: f64) -> OutsideSize {
    let side = Length::from_inches(inches);
    OutsideSize { length: side, width: side, height: Length::from_inches(8.0) }
}

pub fn actual(supplies: Vec<PlannedSupply>) -> ParcelActual {
    ParcelActual {
        mass: Some(Mass::from_ounces(83.5)),
        size: Some(size(12.25)),
        minutes: Some(31),
        postage: Some(cents(1265)),
        tracking: "T1".to_owned(),
        supplies,
    }
}

pub fn shipped(order: OrderId, parcels: Vec<ParcelActual>) -> Shipped {
    Shipped { order, date: date(2026, 4, 3), postage_from: Purse::Platform, parcels }
}

/// A supply and 10 units of it for 12.00.
pub fn supply(shop: &mut Shop, name: &str) -> SupplyId {
    let kind = Supply {
        name: name.to_owned(),
        kind: "carton".to_owned(),
        unit: "carton".to_owned(),
        detail: json!({ "inside": [12, 12, 8] }),
        lead_days: 10,
        safety_days: 4,
    };
    let supply = SupplyId(shop.note(&at(), &kind).unwrap());
    let movement = Movement::SuppliesBought { supply, quantity: Quantity::whole(10), cost: cents(1200) };
    shop.move_money(&at(), &moved(BOUGHT, Purse::Cash, movement)).unwrap();
    supply
}

/// The shop with its haul, and one listing of two lots.
pub fn shop() -> (Shop, BoughtHaul, LotId) {
    let mut shop = Shop::in_memory().unwrap();
    let (bought, listed) = stock_up(&mut shop);
    (shop, bought, listed)
}

pub fn stock_up(shop: &mut Shop) -> (BoughtHaul, LotId) {
    let bought = shop.buy(&at(), &haul()).unwrap();
    let listed = shop.list(&at(), &listing(&bought, 2)).unwrap();
    (bought, listed)
}

/// Everything that can happen, once: with corrections, a swap, a cancelled order, a return and a claim.
pub fn story(shop: &mut Shop) {
    let place = Place { name: "parish hall".to_owned(), note: String::new() };
    let place_number = shop.note(&at(), &place).unwrap();
    let told = HaulIn { place: Some(place_number), ..haul() };
    let bought = shop.buy(&at(), &told).unwrap();
    let [cups, saucers] = bought.finds[..] else { panic!("two finds") };
    // The count on the tag was wrong, and the price too.
    let mut right = told.clone();
    right.paid = cents(650);
    right.finds[1].sound = 12;
    shop.amend_haul(&at(), bought.haul, date(2026, 3, 8), &right).unwrap();
    shop.amend(&at(), place_number, &Place { name: "the parish hall".to_owned(), ..place }).unwrap();
    let height = Measured::Length(Length::from_inches(3.25));
    let measured =
        Measurement { find: cups, piece: None, name: "height".to_owned(), figure: height, estimated: true };
    let number = shop.note(&at(), &measured).unwrap();
    shop.amend(&at(), number, &Measurement { estimated: false, ..measured }).unwrap();
    let weight = Measured::Mass(Mass::from_grams(310.5));
    let name = "weight".to_owned();
    shop.note(&at(), &Measurement { find: cups, piece: Some(1), name, figure: weight, estimated: false })
        .unwrap();
    let size = Some(Length::from_mm(12.0));
    let (kind, position) = ("hairline".to_owned(), "inside the rim".to_owned());
    shop.note(&at(), &Flaw { find: cups, piece: Some(14), kind, position, size }).unwrap();
    let comp = Comp { find: cups, typed: "2 for 17.50 + 8 ship".to_owned(), date: BOUGHT };
    let struck = shop.note(&at(), &comp).unwrap();
    shop.strike::<Comp>(&at(), struck).unwrap();
    shop.note(&at(), &Comp { typed: "offer <24".to_owned(), ..comp }).unwrap();
    shop.note(&at(), &Split { find: cups, date: BOUGHT, lots: vec![4, 4, 4], spare: 1, note: String::new() })
        .unwrap();
    shop.note(&at(), &Venue { name: "market".to_owned(), terms: json!({ "fee": 0.13 }) }).unwrap();
    shop.note(&at(), &RateCardText { name: "own card".to_owned(), text: "id = \"own\"".to_owned() }).unwrap();
    let (name, value) = ("wage".to_owned(), "18.00".to_owned());
    shop.note(&at(), &Setting { name, value, source: "mine".to_owned() }).unwrap();
    let receipt = Attachment {
        record: Record::Haul,
        number: bought.haul.0,
        piece: None,
        role: AttachmentRole::Receipt,
        name: "receipts/2026-03-07.jpg".to_owned(),
        sha256: "0f".repeat(32),
    };
    shop.note(&at(), &receipt).unwrap();
    let listed = shop.list(&at(), &listing(&bought, 2)).unwrap();
    let dearer = ListingIn { price: cents(4200), ..listing(&bought, 3) };
    shop.relist(&at(), listed, &dearer).unwrap();
    let carton = supply(shop, "carton 12");
    let other = supply(shop, "carton 14");
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let second = shop.take_order(&at(), &OrderIn { paid: None, ..order(listed, 1) }).unwrap();
    shop.plan_order(&at(), first, &[plan(vec![need(carton, 2.0)])]).unwrap();
    shop.plan_order(&at(), first, &[plan(vec![need(carton, 1.0)])]).unwrap();
    shop.plan_order(&at(), second, &[plan(vec![need(carton, 1.0)])]).unwrap();
    let [out, r#in] = [1, 13].map(|number| PieceRef { find: cups, number });
    shop.swap_piece(&at(), &Swap { out, r#in, why: "better glaze".to_owned() }).unwrap();
    let substituted = PlannedSupply { instead_of: Some(carton), ..need(other, 1.0) };
    shop.ship_order(&at(), &shipped(first, vec![actual(vec![substituted])])).unwrap();
    let repriced = OrderRepriced {
        order: first,
        items: vec![cents(3800).into()],
        shipping: cents(800),
        tax: BuyerTax::ByVenue(cents(320)),
        payment: Payment { date: date(2026, 4, 5), into: Purse::Platform },
    };
    shop.reprice_order(&at(), &repriced).unwrap();
    shop.pay_order(&at(), second, Payment { date: date(2026, 4, 2), into: Purse::Platform }).unwrap();
    shop.cancel_order(&at(), &Cancelled { order: second, date: date(2026, 4, 6), from: Purse::Platform })
        .unwrap();
    let back = |what, number| ComingBack {
        order: first,
        date: date(2026, 4, 12),
        what,
        pieces: vec![PieceRef { find: cups, number }],
        note: String::new(),
    };
    shop.come_back(&at(), &back(CameBack::Returned, 13)).unwrap();
    shop.come_back(&at(), &back(CameBack::Broken, 2)).unwrap();
    let claim = Claim {
        order: first,
        opened_on: date(2026, 4, 13),
        deadline: Some(date(2026, 6, 1)),
        asked: cents(950),
        state: ClaimState::Open,
        reference: String::new(),
        note: String::new(),
    };
    let number = shop.note(&at(), &claim).unwrap();
    shop.amend(&at(), number, &Claim { state: ClaimState::Paid, ..claim }).unwrap();
    let day = date(2026, 4, 20);
    let refund = Movement::Refund {
        order: first,
        amount: cents(950),
        tax: BuyerTax::ByVenue(cents(80)),
        lot: Some(listed),
        find: Some(cups),
    };
    for movement in [
        Movement::Fee { order: Some(first), amount: cents(520), advertising: false },
        Movement::FeeReturned { order: Some(first), amount: cents(20), advertising: false },
        refund,
        Movement::PostageAdjusted { order: first, amount: cents(110), back: false },
        Movement::ClaimPaid { order: first, amount: cents(950) },
        Movement::SuppliesUsed { supply: carton, quantity: Quantity::units(0.5).unwrap(), order: None },
        Movement::HaulAdjusted { haul: bought.haul, amount: cents(25), back: true },
        Movement::Expense { what: Expense::Office, amount: cents(300) },
        Movement::OtherIncome { amount: cents(100) },
        Movement::Transfer { to: Purse::Card, amount: cents(100) },
        Movement::OwnerPutIn { amount: cents(5000) },
        Movement::OwnerTookOut { amount: cents(200) },
        Movement::TaxRemitted { amount: cents(10) },
        Movement::Trip { hundredths: 1250, purpose: "to the hall".to_owned(), counts: TripUse::Business },
    ] {
        shop.move_money(&at(), &moved(day, Purse::Cash, movement)).unwrap();
    }
    let payout = Movement::Payout { amount: cents(1000) };
    let wrong = shop.move_money(&at(), &moved(day, Purse::Cash, payout)).unwrap();
    shop.take_back(&at(), EntryId(wrong), day, "typed twice").unwrap();
    for (how, number) in [(Leaving::Broken, 12), (Leaving::GivenAway, 11), (Leaving::ForOneself, 10)] {
        let left = FromShelf { find: saucers, pieces: vec![number], date: day, how, note: String::new() };
        shop.leave_shelf(&at(), &left).unwrap();
    }
    let text =
        FindText { form: "cup".to_owned(), description: "stoneware".to_owned(), shelf: "C3".to_owned() };
    shop.describe_find(&at(), cups, &text).unwrap();
    let tuning = Tuning {
        form: "cup".to_owned(),
        recipe: "wrapped".to_owned(),
        what: "minutes to clean".to_owned(),
        unit: "min".to_owned(),
        predicted: 2.0,
        actual: 3.5,
        date: day,
    };
    shop.note(&at(), &tuning).unwrap();
}
