//! Books made for tests: a year of sales told in a file.

use books::*;
use jiff::civil::{Date, date};
use measure::Money;
use serde_json::Value;

fn money(value: &Value) -> Money {
    Money::from_cents_rounded(value.as_f64().unwrap_or(0.0) * 100.0)
}

fn haul(id: u64, date: Date, values: &[Money]) -> Haul {
    let finds = (1..).zip(values).map(|(at, &value)| BoughtFind {
        id: FindId(id * 100 + at),
        sound: 1,
        flawed: 0,
        value,
    });
    Haul::new(HaulRecord {
        id: HaulId(id),
        date,
        place: "parish hall".to_owned(),
        paid: values.iter().copied().sum(),
        tax: PurchaseTax::Exempt,
        freight_in: Money::ZERO,
        split: SplitRule::ByValue,
        flawed: FlawedCarry::Share,
        finds: finds.collect(),
    })
    .unwrap()
}

fn buy(books: &mut Books, haul: Haul) {
    let entry = haul_bought(books.next_entry(), &haul, Purse::Cash, Purse::Cash).unwrap();
    books.add_haul(haul).unwrap();
    books.post(entry).unwrap();
}

/// The books of a year told in the file: what was there, what was bought, taken, sold, refunded and spent.
pub fn year_of_sales(case: &Value) -> Books {
    let mut books = Books::default();
    let sales = case["sales"].as_array().unwrap();
    let (purchases, personal) = (money(&case["purchases"]), money(&case["personal"]));
    let mut values: Vec<Money> = sales.iter().map(|sale| money(&sale["basis"])).collect();
    values.push(personal);
    let rest = purchases - values.iter().copied().sum();
    values.push(rest);
    buy(&mut books, haul(1, date(2025, 6, 1), &[money(&case["opening_stock"])]));
    buy(&mut books, haul(2, date(2026, 1, 10), &values));
    let on = |books: &Books, date| Voucher { id: books.next_entry(), date };

    let own = books.pick(FindId(201 + sales.len() as u64), 1, Soundness::Any).unwrap();
    let entry = taken_for_oneself(on(&books, date(2026, 1, 20)), &[own]).unwrap();
    books.post(entry).unwrap();

    let (supply, all) = (SupplyId(1), Quantity::whole(10));
    let packing = money(&case["packing"]);
    let entry = supplies_bought(on(&books, date(2026, 1, 5)), supply, all, packing, Purse::Card).unwrap();
    books.post(entry).unwrap();
    let entry = supplies_used(on(&books, date(2026, 11, 5)), supply, all, packing, None).unwrap();
    books.post(entry).unwrap();

    for (at, sale) in (1_u64..).zip(sales) {
        let (order, find, lot) = (OrderId(at), FindId(200 + at), LotId(at));
        let day = date(2026, i8::try_from(at).unwrap() + 1, 3);
        let paid = OrderMoney {
            order,
            parts: vec![SoldPart { lot, find, item: money(&sale["item"]) }],
            shipping: money(&sale["ship"]),
            tax: BuyerTax::ByVenue(money(&sale["tax"])),
            into: Purse::Platform,
        };
        let entry = order_paid(on(&books, day), &paid).unwrap();
        books.post(entry).unwrap();
        let pieces = books.pick(find, 1, Soundness::Any).unwrap();
        assert_eq!(pieces.basis(), money(&sale["basis"]));
        let sent = [SentPart { lot: Some(lot), pieces }];
        let entry = goods_sent(on(&books, day), order, &sent).unwrap();
        books.post(entry).unwrap();
        let entry =
            fee(on(&books, day), Some(order), Charge::Fee(money(&sale["fee"])), Purse::Platform).unwrap();
        books.post(entry).unwrap();
        let entry = postage_bought(on(&books, day), order, money(&sale["label"]), Purse::Platform).unwrap();
        books.post(entry).unwrap();
        if money(&sale["refund"]) > Money::ZERO {
            let back = RefundMoney {
                order,
                amount: money(&sale["refund"]),
                tax: BuyerTax::None,
                part: Part::default(),
                from: Purse::Platform,
            };
            let entry = refund(on(&books, day), &back).unwrap();
            books.post(entry).unwrap();
        }
        if sale["returned_to_stock"] == true {
            let back = books.sent_in(order).unwrap();
            let entry = returned(on(&books, day), order, &back).unwrap();
            books.post(entry).unwrap();
        }
    }
    for trip in case["trips"].as_array().unwrap() {
        let date = trip[0].as_str().unwrap().parse::<Date>().unwrap();
        let trip = Trip {
            date,
            miles: Miles::new(trip[1].as_f64().unwrap()).unwrap(),
            purpose: "buying".to_owned(),
            counts: TripUse::Business,
        };
        let entry = mileage(on(&books, date), trip).unwrap();
        books.post(entry).unwrap();
    }
    let other = money(&case["other"]);
    let entry =
        expense(on(&books, date(2026, 12, 1)), Expense::Other, other, Purse::Cash, "fair table").unwrap();
    books.post(entry).unwrap();
    books
}
