//! Orders that go parcel by parcel, returns that are entered whole or not at all, and returns taken back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::{Date, date};
use shop::*;

fn part(order: OrderId, day: Date, parcel: Option<u64>, pieces: &[(FindId, u32)]) -> PartSent {
    let pieces = pieces.iter().map(|&(find, number)| PieceRef { find, number }).collect();
    let actual = ParcelActual { supplies: vec![], ..actual(vec![]) };
    PartSent { order, date: day, postage_from: Purse::Platform, parcel, pieces, actual }
}

/// An order of one lot with a parcel for its cups and one for its saucers, each with a carton set aside.
fn two_parcels() -> (Shop, BoughtHaul, LotId, OrderId, SupplyId, Vec<u64>) {
    let (mut shop, bought, listed) = shop();
    let carton = supply(&mut shop, "carton 12");
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let plans = [plan(vec![need(carton, 1.0)]), plan(vec![need(carton, 1.0)])];
    let parcels = shop.plan_order(&at(), order, &plans).unwrap();
    (shop, bought, listed, order, carton, parcels)
}

fn sound(shop: &Shop) {
    assert_eq!(shop.check().unwrap().found, vec![]);
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn an_order_is_sent_once_its_last_parcel_has_gone() {
    let (mut shop, bought, listed, order, carton, parcels) = two_parcels();
    let [cups, saucers] = bought.finds[..] else { panic!("two finds") };
    let goods = |shop: &mut Shop| shop.books().unwrap().net(Account::CostOfGoods, |_| true);
    let all = (1..=4).map(|number| (cups, number)).collect::<Vec<_>>();
    let mut first = part(order, date(2026, 4, 3), Some(parcels[0]), &all);
    first.actual.supplies = vec![need(carton, 1.0)];
    shop.ship_part(&at(), &first).unwrap();
    let cost_of_cups = goods(&mut shop);
    assert!(cost_of_cups > cents(0));
    assert_eq!(shop.order(order).unwrap().state, OrderState::Open);
    assert_eq!(shop.listing(listed).unwrap().available(), 1);
    assert_eq!(shop.pull_list(order).unwrap().len(), 1, "the saucers are still to be fetched");
    sound(&shop);
    let cancel = Cancelled { order, date: date(2026, 4, 4), from: Purse::Platform };
    let refused = shop.cancel_order(&at(), &cancel).unwrap_err().to_string();
    assert!(refused.contains("order 1 is sent in part") && refused.contains("send the rest"), "{refused}");
    let again =
        shop.ship_part(&at(), &part(order, date(2026, 4, 4), None, &all[..1])).unwrap_err().to_string();
    assert!(again.contains("without piece 1 of find 1 to send"), "{again}");
    let rest = (1..=4).map(|number| (saucers, number)).collect::<Vec<_>>();
    let gone = shop.ship_part(&at(), &part(order, date(2026, 4, 5), Some(parcels[0]), &rest)).unwrap_err();
    assert!(gone.to_string().contains("without a parcel"), "{gone}");
    shop.ship_part(&at(), &part(order, date(2026, 4, 6), Some(parcels[1]), &rest)).unwrap();
    let standing = shop.order(order).unwrap();
    assert_eq!((standing.state, standing.sent_on), (OrderState::Sent, Some(date(2026, 4, 6))));
    assert!(goods(&mut shop) > cost_of_cups);
    let days: Vec<_> =
        shop.parcels(order).unwrap().iter().map(|one| one.actual.as_ref().unwrap().0).collect();
    assert_eq!(days, [date(2026, 4, 3), date(2026, 4, 6)]);
    sound(&shop);
}

#[test]
fn what_is_left_of_an_order_goes_with_the_usual_shipment() {
    let (mut shop, bought, _, order, carton, parcels) = two_parcels();
    let some = [(bought.finds[0], 1), (bought.finds[1], 2)];
    shop.ship_part(&at(), &part(order, date(2026, 4, 3), None, &some)).unwrap();
    shop.ship_order(
        &at(),
        &Shipped { date: date(2026, 4, 9), ..shipped(order, vec![actual(vec![need(carton, 1.0)])]) },
    )
    .unwrap();
    assert_eq!(shop.order(order).unwrap().state, OrderState::Sent);
    let numbers: Vec<u64> = shop.parcels(order).unwrap().iter().map(|one| one.id).collect();
    assert_eq!(numbers.len(), 2, "the planned parcel that wasn't needed is gone: {numbers:?} of {parcels:?}");
    let sent: u32 =
        shop.books().unwrap().sent_in(order).unwrap().iter().map(|p| p.pieces.numbers().len() as u32).sum();
    assert_eq!(sent, 8);
    sound(&shop);
}

#[test]
fn a_part_of_nothing_of_another_order_or_unpaid_is_refused_and_stores_nothing() {
    let (mut shop, bought, listed, order_1, ..) = two_parcels();
    let other = shop.take_order(&at(), &OrderIn { paid: None, ..order(listed, 1) }).unwrap();
    let before = shop.export_json().unwrap();
    let day = date(2026, 4, 3);
    let cups = bought.finds[0];
    for (bad, words) in [
        (part(order_1, day, None, &[]), "the pieces that are in the parcel"),
        (part(order_1, day, None, &[(cups, 5)]), "without piece 5 of find 1"),
        (part(order_1, day, None, &[(cups, 1), (cups, 1)]), "named once"),
        (part(order_1, day, Some(99), &[(cups, 1)]), "without a parcel 99"),
        (part(other, day, None, &[(cups, 5)]), "is not paid"),
    ] {
        let refused = shop.ship_part(&at(), &bad).unwrap_err().to_string();
        assert!(refused.contains(words), "{refused}");
    }
    assert_eq!(shop.export_json().unwrap(), before);
}

fn sent() -> (Shop, BoughtHaul, LotId, OrderId) {
    let (mut shop, bought, listed) = shop();
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    shop.ship_order(&at(), &shipped(order, vec![actual(vec![])])).unwrap();
    (shop, bought, listed, order)
}

fn coming(order: OrderId, what: CameBack, find: FindId, numbers: &[u32]) -> ComingBack {
    let pieces = numbers.iter().map(|&number| PieceRef { find, number }).collect();
    ComingBack { order, date: date(2026, 4, 10), what, pieces, note: String::new() }
}

fn refund(order: OrderId, amount: i64) -> MoneyMoved {
    let movement =
        Movement::Refund { order, amount: cents(amount), tax: BuyerTax::None, lot: None, find: None };
    moved(date(2026, 4, 10), Purse::Platform, movement)
}

fn claim(order: OrderId) -> Claim {
    Claim {
        order,
        opened_on: date(2026, 4, 10),
        deadline: Some(date(2026, 6, 1)),
        asked: cents(1500),
        state: ClaimState::Open,
        reference: String::new(),
        note: String::new(),
    }
}

#[test]
fn a_return_is_entered_whole_or_not_at_all() {
    let (mut shop, bought, _, order) = sent();
    let [cups, saucers] = bought.finds[..] else { panic!("two finds") };
    let mut back = Back {
        pieces: vec![
            coming(order, CameBack::Returned, cups, &[1, 2]),
            coming(order, CameBack::Broken, saucers, &[1]),
        ],
        refund: Some(refund(order, 999_999)),
        claim: Some(claim(order)),
    };
    let before = shop.export_json().unwrap();
    assert!(shop.bring_back(&at(), &back).is_err());
    assert_eq!(shop.export_json().unwrap(), before, "too much money back: no piece came back either");
    back.refund = Some(refund(order, 950));
    back.claim = Some(Claim { order: OrderId(77), ..claim(order) });
    assert!(shop.bring_back(&at(), &back).is_err());
    assert_eq!(shop.export_json().unwrap(), before);
    back.claim = Some(claim(order));
    let done = shop.bring_back(&at().imported("table", "7"), &back).unwrap();
    assert_eq!((done.returns.len(), done.claim), (2, Some(1)));
    assert!(done.refund.is_some());
    let next = Back { pieces: vec![coming(order, CameBack::Returned, cups, &[3])], ..Back::default() };
    let twice = shop.bring_back(&at().imported("table", "7"), &next);
    assert!(matches!(twice, Err(ShopError::Twice { .. })), "{twice:?}");
    shop.bring_back(&at().imported("table", "8"), &next).unwrap();
    sound(&shop);
}

#[test]
fn a_claim_and_its_money_go_together() {
    let (mut shop, _, listed, order) = sent();
    let other = shop.take_order(&at(), &desk::order(listed, 1)).unwrap();
    let number = shop.note(&at(), &claim(order)).unwrap();
    let paid = |order, amount| {
        moved(date(2026, 5, 1), Purse::Cash, Movement::ClaimPaid { order, amount: cents(amount) })
    };
    let before = shop.export_json().unwrap();
    assert!(shop.pay_claim(&at(), number, &paid(order, 0)).is_err());
    assert!(shop.pay_claim(&at(), number, &refund(order, 100)).is_err());
    assert!(
        shop.pay_claim(&at(), number, &paid(other, 100)).unwrap_err().to_string().contains("its own order")
    );
    assert_eq!(shop.export_json().unwrap(), before);
    shop.pay_claim(&at(), number, &paid(order, 1500)).unwrap();
    assert_eq!(shop.noted_one::<Claim>(number).unwrap().state, ClaimState::Paid);
    let twice = shop.pay_claim(&at(), number, &paid(order, 1500)).unwrap_err().to_string();
    assert!(twice.contains("claim 1 is paid"), "{twice}");
    assert_eq!(shop.books().unwrap().net(Account::ClaimsIncome, |_| true), cents(-1500));
    sound(&shop);
}

fn entry_of(shop: &mut Shop, kind: Kind) -> EntryId {
    shop.books().unwrap().entries().iter().rfind(|entry| entry.kind() == kind).unwrap().id()
}

#[test]
fn a_return_taken_back_puts_the_pieces_with_the_buyer_again() {
    for (what, kind) in [(CameBack::Returned, Kind::Returned), (CameBack::Broken, Kind::Damage)] {
        let (mut shop, bought, listed, order) = sent();
        let cups = bought.finds[0];
        let before = (shop.pieces(cups).unwrap(), shop.books().unwrap().sent_in(order).unwrap());
        let cost = shop.books().unwrap().net(Account::CostOfGoods, |_| true);
        shop.come_back(&at(), &coming(order, what, cups, &[1, 3])).unwrap();
        let entry = entry_of(&mut shop, kind);
        shop.take_back(&at(), entry, date(2026, 4, 12), "wrong order").unwrap();
        assert_eq!((shop.pieces(cups).unwrap(), shop.books().unwrap().sent_in(order).unwrap()), before);
        assert_eq!(shop.books().unwrap().net(Account::CostOfGoods, |_| true), cost);
        assert_eq!(shop.tuned().unwrap()[0].broken_orders, 0, "the breakage is struck out");
        assert!(shop.take_back(&at(), entry, date(2026, 4, 12), "").is_err(), "once");
        // And it can be entered right.
        shop.come_back(&at(), &coming(order, what, cups, &[2])).unwrap();
        assert_eq!(shop.listing(listed).unwrap().available(), 1);
        sound(&shop);
    }
}

#[test]
fn a_return_whose_pieces_went_on_is_not_taken_back() {
    let (mut shop, bought, listed, order_1) = sent();
    let cups = bought.finds[0];
    shop.come_back(&at(), &coming(order_1, CameBack::Returned, cups, &[1])).unwrap();
    let entry = entry_of(&mut shop, Kind::Returned);
    let next = shop.take_order(&at(), &order(listed, 1)).unwrap();
    assert!(shop.pieces(cups).unwrap()[0].promised_to == Some(next));
    let before = shop.export_json().unwrap();
    let refused = shop.take_back(&at(), entry, date(2026, 4, 12), "").unwrap_err().to_string();
    assert!(refused.contains("promised to an order") && refused.contains("swap"), "{refused}");
    assert_eq!(shop.export_json().unwrap(), before);
    shop.ship_order(&at(), &Shipped { date: date(2026, 4, 20), ..shipped(next, vec![actual(vec![])]) })
        .unwrap();
    let mut again = coming(next, CameBack::Returned, cups, &[1]);
    again.date = date(2026, 4, 22);
    shop.come_back(&at(), &again).unwrap();
    // On the shelf again, but not by the first return.
    let refused = shop.take_back(&at(), entry, date(2026, 4, 25), "").unwrap_err().to_string();
    assert!(refused.contains("moved or got another cost since"), "{refused}");
    sound(&shop);
}
