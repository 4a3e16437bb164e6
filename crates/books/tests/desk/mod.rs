//! A closing guest house's dining room, bought from a parish hall: the books that the tests here begin with.

#![allow(dead_code, reason = "not every test file uses every part")]

use books::*;
use jiff::civil::{Date, date};
use measure::Money;

pub const CUPS: FindId = FindId(1);
pub const SAUCERS: FindId = FindId(2);
pub const HAUL: HaulId = HaulId(1);
pub const BOUGHT: Date = date(2026, 3, 7);

pub const fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

/// 7.00 and 0.51 of tax for 13 sound cups, one with a hairline, and 11 saucers.
pub fn record() -> HaulRecord {
    HaulRecord {
        id: HAUL,
        date: BOUGHT,
        place: "parish hall".to_owned(),
        paid: cents(700),
        tax: PurchaseTax::Paid(cents(51)),
        freight_in: cents(100),
        split: SplitRule::ByValue,
        flawed: FlawedCarry::Nothing,
        finds: vec![
            BoughtFind { id: CUPS, sound: 13, flawed: 1, value: cents(6000) },
            BoughtFind { id: SAUCERS, sound: 11, flawed: 0, value: cents(1500) },
        ],
    }
}

pub fn books() -> Books {
    let haul = Haul::new(record()).unwrap();
    let mut books = Books::default();
    let bought = haul_bought(books.next_entry(), &haul, Purse::Cash, Purse::Card).unwrap();
    books.add_haul(haul).unwrap();
    books.post(bought).unwrap();
    books
}

pub fn on(books: &Books, date: Date) -> Voucher {
    Voucher { id: books.next_entry(), date }
}

/// Order 1, paid on 1 April: four cups at 30.00 and four saucers at 10.00, 8.00 for shipping, through the venue.
pub fn paid(books: &mut Books) -> EntryId {
    let money = OrderMoney {
        order: OrderId(1),
        parts: vec![
            SoldPart { lot: LotId(1), find: CUPS, item: cents(3000) },
            SoldPart { lot: LotId(2), find: SAUCERS, item: cents(1000) },
        ],
        shipping: cents(800),
        tax: BuyerTax::ByVenue(cents(336)),
        into: Purse::Platform,
    };
    let entry = order_paid(on(books, date(2026, 4, 1)), &money).unwrap();
    let id = entry.id();
    books.post(entry).unwrap();
    id
}

/// Sent on 3 April.
pub fn sent(books: &mut Books) -> EntryId {
    let part =
        |lot, find| SentPart { lot: Some(lot), pieces: books.pick(find, 4, Soundness::Sound).unwrap() };
    let parts = [part(LotId(1), CUPS), part(LotId(2), SAUCERS)];
    let entry = goods_sent(on(books, date(2026, 4, 3)), OrderId(1), &parts).unwrap();
    let id = entry.id();
    books.post(entry).unwrap();
    id
}
