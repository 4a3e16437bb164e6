//! What reports say of a small trade: orders, lots, stock, leftovers, the year.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::{BOUGHT, CUPS, HAUL, SAUCERS, cents, on};
use jiff::civil::{Date, date};
use measure::Money;

const YEAR_END: Date = date(2026, 12, 31);

/// An order of two lots, paid, sent, with fee, postage and packing.
fn traded() -> Books {
    let mut books = desk::books();
    desk::paid(&mut books);
    desk::sent(&mut books);
    let order = OrderId(1);
    let day = date(2026, 4, 3);
    let entry = fee(on(&books, day), Some(order), Charge::Fee(cents(701)), Purse::Platform).unwrap();
    books.post(entry).unwrap();
    let entry = postage_bought(on(&books, day), order, cents(1130), Purse::Platform).unwrap();
    books.post(entry).unwrap();
    let supply = SupplyId(1);
    let entry =
        supplies_bought(on(&books, day), supply, Quantity::whole(10), cents(905), Purse::OwnPocket).unwrap();
    books.post(entry).unwrap();
    let cost = books.supply_cost(supply, Quantity::whole(2)).unwrap();
    let entry = supplies_used(on(&books, day), supply, Quantity::whole(2), cost, Some(order)).unwrap();
    books.post(entry).unwrap();
    books
}

#[test]
fn an_order_shares_its_shipping_fee_and_postage_over_its_lots_by_price() {
    let books = traded();
    let work = [Work {
        date: date(2026, 4, 3),
        minutes: 31,
        order: Some(OrderId(1)),
        part: Part::default(),
        haul: None,
    }];
    let rows = report(&books, &work, By::Lot, BOUGHT, YEAR_END).unwrap();
    let cups = rows[&Key::Lot(LotId(1))];
    let saucers = rows[&Key::Lot(LotId(2))];
    // 30.00 to 10.00: three quarters and one quarter; of 7.01 the cent goes to the larger remainder.
    assert_eq!((cups.items, cups.shipping), (cents(3000), cents(600)));
    assert_eq!((cups.fees, saucers.fees), (cents(526), cents(175)));
    assert_eq!((cups.postage, saucers.postage), (cents(848), cents(282)));
    assert_eq!((cups.materials, saucers.materials), (cents(136), cents(45)));
    assert_eq!((cups.minutes, saucers.minutes), (23, 8));
    assert_eq!((cups.pieces, saucers.pieces), (4, 4));
    // 681 of 851 cents go to the cups, 4 of 13 of that are 209.54.
    assert_eq!(cups.basis, cents(210));
    assert_eq!(cups.net(), cents(3600 - 526 - 848 - 136 - 210));
    assert_eq!(cups.net_per_hour(), Some(cents(4904)), "18.80 in 23 minutes");
    assert_eq!(rows.len(), 2, "nothing is left over");
}

#[test]
fn shops_and_hauls_get_what_their_finds_earned() {
    let mut books = traded();
    let entry =
        expense(on(&books, date(2026, 5, 1)), Expense::Insurance, cents(1200), Purse::Card, "").unwrap();
    books.post(entry).unwrap();
    let by_place = report(&books, &[], By::Place, BOUGHT, YEAR_END).unwrap();
    let hall = by_place[&Key::Place("parish hall".to_owned())];
    let by_haul = report(&books, &[], By::Haul, BOUGHT, YEAR_END).unwrap();
    assert_eq!(hall, by_haul[&Key::Haul(HAUL)]);
    assert_eq!(hall.revenue(), cents(4800));
    assert_eq!(by_place[&Key::Rest].other, cents(1200), "insurance belongs to no shop");
    let by_month = report(&books, &[], By::Month, BOUGHT, YEAR_END).unwrap();
    assert_eq!(by_month[&Key::Month(2026, 4)].revenue(), cents(4800));
    assert_eq!(by_month[&Key::Month(2026, 5)].net(), cents(-1200));
    let later = report(&books, &[], By::Year, date(2026, 5, 1), YEAR_END).unwrap();
    assert_eq!(later[&Key::Year(2026)].net(), cents(-1200), "days outside don't count");
}

#[test]
fn a_paid_order_that_is_not_sent_is_income_and_still_in_stock() {
    let mut books = desk::books();
    desk::paid(&mut books);
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.amount(SheetLine::GrossReceipts), cents(4800));
    assert_eq!(sheet.amount(SheetLine::CostOfGoods), Money::ZERO);
    assert_eq!(sheet.amount(SheetLine::ClosingStock), cents(851));
}

#[test]
fn sales_tax_is_never_income_whoever_collects_it() {
    let mut books = desk::books();
    let money = OrderMoney {
        order: OrderId(5),
        parts: vec![SoldPart { lot: LotId(5), find: CUPS, item: cents(1000) }],
        shipping: Money::ZERO,
        tax: BuyerTax::ByMe(cents(72)),
        into: Purse::Cash,
    };
    let entry = order_paid(on(&books, date(2026, 6, 1)), &money).unwrap();
    books.post(entry).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.amount(SheetLine::GrossReceipts), cents(1000));
    assert!(sheet.questions.contains(&OpenQuestion::SalesTaxHeld(cents(72))));
    assert_eq!(sheet.form_gross.gross, Money::ZERO, "cash goes through no venue");
    let entry = tax_remitted(on(&books, date(2026, 7, 1)), cents(72), Purse::Cash).unwrap();
    books.post(entry).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert!(!sheet.questions.iter().any(|asked| matches!(asked, OpenQuestion::SalesTaxHeld(_))));
}

#[test]
fn breakage_on_the_way_moves_from_cost_of_goods_to_damage() {
    let mut books = traded();
    let cost = books.net(Account::CostOfGoods, |_| true);
    let parts = books.sent_in(OrderId(1)).unwrap();
    let entry = broken_on_the_way(on(&books, date(2026, 4, 8)), OrderId(1), &parts[..1]).unwrap();
    books.post(entry).unwrap();
    let entry = claim_paid(on(&books, date(2026, 5, 2)), OrderId(1), cents(3600), Purse::Cash).unwrap();
    books.post(entry).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.of_which_broken, cents(210));
    assert_eq!(sheet.amount(SheetLine::CostOfGoods), cost, "either way it is no longer in stock");
    assert_eq!(sheet.amount(SheetLine::OtherIncome), cents(3600));
    assert!(sheet.questions.contains(&OpenQuestion::Claims(cents(3600))));
    let rows = stock_on(&books, YEAR_END).unwrap();
    assert_eq!((rows[0].sold, rows[0].broken, rows[0].on_hand), (0, 4, 10));
}

#[test]
fn stock_ages_by_bands_and_sell_through_counts_what_is_with_buyers() {
    let books = traded();
    for (day, band) in [
        (date(2026, 6, 5), AgeBand::Fresh),
        (date(2026, 6, 6), AgeBand::Watched),
        (date(2026, 9, 3), AgeBand::Watched),
        (date(2026, 9, 4), AgeBand::Old),
        (date(2027, 3, 7), AgeBand::Old),
        (date(2027, 3, 8), AgeBand::Stale),
    ] {
        let rows = stock_on(&books, day).unwrap();
        assert_eq!(rows[0].band(), band, "{day}");
        assert_eq!(aged_stock(&books, day).unwrap().into_keys().collect::<Vec<_>>(), [band]);
    }
    let before = stock_on(&books, date(2026, 4, 2)).unwrap();
    assert_eq!((before[0].on_hand, before[0].sold), (14, 0), "as it was then");
    assert!(stock_on(&books, date(2026, 3, 6)).unwrap().is_empty());
    let through = sell_through_by_place(&books, YEAR_END).unwrap();
    assert!((through["parish hall"] - 8.0 / 25.0).abs() < 1e-12);
}

#[test]
fn leftovers_are_what_no_listing_offers_and_shortages_are_said() {
    let books = traded();
    let listed = |find, pieces, lots| Listed { lot: LotId(9), find, pieces, lots };
    let rows = leftovers(&books, &[listed(CUPS, 4, 2), listed(SAUCERS, 4, 2)], YEAR_END).unwrap();
    assert_eq!((rows[0].on_hand, rows[0].listed, rows[0].left, rows[0].short), (10, 8, 2, 0));
    assert_eq!((rows[1].on_hand, rows[1].listed, rows[1].left, rows[1].short), (7, 8, 0, 1));
    assert!(leftovers(&books, &[listed(FindId(9), 1, 1)], YEAR_END).is_err());
    let huge = leftovers(&books, &[listed(CUPS, u32::MAX, u32::MAX); 3], YEAR_END).unwrap();
    assert_eq!(huge[0].left, 0);
}

#[test]
fn first_in_first_out_takes_from_the_oldest_haul() {
    let mut books = desk::books();
    let record = HaulRecord {
        id: HaulId(2),
        date: date(2026, 2, 1),
        finds: vec![BoughtFind { id: FindId(20), sound: 3, flawed: 0, value: cents(900) }],
        ..desk::record()
    };
    let older = Haul::new(record).unwrap();
    let entry = haul_bought(books.next_entry(), &older, Purse::Cash, Purse::Cash).unwrap();
    books.add_haul(older).unwrap();
    books.post(entry).unwrap();
    let picked = books.pick_oldest(&[CUPS, FindId(20)], 5, Soundness::Sound).unwrap();
    let taken: Vec<(FindId, usize)> =
        picked.iter().map(|pieces| (pieces.find(), pieces.numbers().len())).collect();
    assert_eq!(taken, [(FindId(20), 3), (CUPS, 2)]);
    let all = books.pick_oldest(&[CUPS, FindId(20), CUPS], 17, Soundness::Sound);
    assert!(matches!(all, Err(BooksError::TooFewPieces { asked: 17, on_hand: 16, .. })));
    assert!(books.pick_oldest(&[], 1, Soundness::Any).is_err());
}

#[test]
fn a_haul_that_came_free_is_entered_and_carries_nothing() {
    let record =
        HaulRecord { paid: Money::ZERO, tax: PurchaseTax::Exempt, freight_in: Money::ZERO, ..desk::record() };
    let haul = Haul::new(record).unwrap();
    let mut books = Books::default();
    let entry = haul_bought(books.next_entry(), &haul, Purse::Cash, Purse::Cash).unwrap();
    books.add_haul(haul).unwrap();
    books.post(entry).unwrap();
    desk::paid(&mut books);
    desk::sent(&mut books);
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.amount(SheetLine::CostOfGoods), Money::ZERO);
    assert_eq!(books.count(CUPS, Fate::Sold).unwrap(), 4);
}

#[test]
fn what_the_preparer_decides_is_asked_and_equipment_is_on_no_line() {
    let mut books = traded();
    let pieces = [books.pick(SAUCERS, 1, Soundness::Any).unwrap()];
    let basis = pieces[0].basis();
    let entry = given_away(on(&books, date(2026, 8, 1)), &pieces).unwrap();
    books.post(entry).unwrap();
    let entry = expense(on(&books, date(2026, 8, 2)), Expense::Equipment, cents(9900), Purse::Card, "scale");
    books.post(entry.unwrap()).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    for asked in
        [OpenQuestion::PostageLine, OpenQuestion::GivenAway(basis), OpenQuestion::Equipment(cents(9900))]
    {
        assert!(sheet.questions.contains(&asked), "{asked:?}");
    }
    assert_eq!(sheet.amount(SheetLine::TotalExpenses), cents(701 + 1130 + 181));
    assert_eq!(sheet.supplies_on_hand, cents(905 - 181), "unused supplies wait");
}

#[test]
fn a_lot_told_in_two_handfuls_carries_both() {
    let mut books = desk::books();
    desk::paid(&mut books);
    let part =
        |numbers: &[u32]| SentPart { lot: Some(LotId(1)), pieces: books.pieces(CUPS, numbers).unwrap() };
    let parts = [part(&[1, 2]), part(&[5, 14])];
    let entry = goods_sent(on(&books, date(2026, 4, 3)), OrderId(1), &parts).unwrap();
    books.post(entry).unwrap();
    let whole = books.pieces(CUPS, &[1, 2, 5, 14]).unwrap();
    assert_eq!(books.net(Account::CostOfGoods, |_| true), whole.basis());
    assert_eq!(books.sent_in(OrderId(1)).unwrap(), [SentPart { lot: Some(LotId(1)), pieces: whole }]);
}
