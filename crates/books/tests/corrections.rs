//! History is kept: what was wrong is taken back by a new entry, and a basis is frozen once a piece has left.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::{BOUGHT, CUPS, HAUL, cents, on};
use jiff::civil::date;
use measure::Money;

fn everything(_: jiff::civil::Date) -> bool {
    true
}

#[test]
fn a_correction_takes_back_lines_pieces_and_memos_and_keeps_both() {
    let mut books = desk::books();
    desk::paid(&mut books);
    let before: Vec<Money> = Account::ALL.map(|account| books.net(account, everything)).to_vec();
    let id = desk::sent(&mut books);
    let undo = books.entry(id).unwrap().reversed(on(&books, date(2026, 4, 4)), "wrong lot").unwrap();
    let undo_id = undo.id();
    books.post(undo.clone()).unwrap();
    let after: Vec<Money> = Account::ALL.map(|account| books.net(account, everything)).to_vec();
    assert_eq!(after, before);
    assert_eq!(books.count(CUPS, Fate::OnHand).unwrap(), 14);
    assert_eq!(books.correction_of(id), Some(undo_id));
    assert_eq!(books.entry(id).unwrap().kind(), Kind::GoodsSent, "history is kept");
    assert!(matches!(
        undo.reversed(on(&books, date(2026, 4, 5)), ""),
        Err(BooksError::CorrectedAlready { .. })
    ));
    let twice = books.entry(id).unwrap().reversed(on(&books, date(2026, 4, 5)), "").unwrap();
    assert_eq!(books.post(twice), Err(BooksError::CorrectedAlready { id }));
}

#[test]
fn a_correction_is_the_mirror_image_or_nothing() {
    let mut books = desk::books();
    let id = desk::paid(&mut books);
    let half = EntryDraft::new(on(&books, date(2026, 4, 4)), Kind::OrderPaid)
        .about(About { order: Some(OrderId(1)), haul: None })
        .credit(Account::PlatformBalance, cents(100))
        .debit(Account::Sales, cents(100))
        .correcting(id)
        .build()
        .unwrap();
    assert_eq!(books.post(half), Err(BooksError::NotTheReverse { id }));
    let early = books.entry(id).unwrap().reversed(on(&books, date(2026, 3, 31)), "");
    assert_eq!(early, Err(BooksError::NotTheReverse { id }));
}

#[test]
fn a_sale_taken_back_leaves_no_tax_memo_and_no_transaction() {
    let mut books = desk::books();
    let id = desk::paid(&mut books);
    let undo = books.entry(id).unwrap().reversed(on(&books, date(2026, 4, 2)), "test order").unwrap();
    books.post(undo).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.sales_tax_memo, Money::ZERO);
    assert_eq!(sheet.amount(SheetLine::GrossReceipts), Money::ZERO);
    assert_eq!((sheet.form_gross.gross, sheet.form_gross.transactions), (Money::ZERO, 0));
}

#[test]
fn a_trip_taken_back_counts_for_nothing() {
    let mut books = Books::default();
    let trip = Trip {
        date: BOUGHT,
        miles: Miles::new(40.0).unwrap(),
        purpose: "to the parish hall".to_owned(),
        counts: TripUse::Business,
    };
    let entry = mileage(on(&books, BOUGHT), trip).unwrap();
    books.post(entry.clone()).unwrap();
    let car =
        |books: &Books| year_worksheet(books, 2026, &TaxTables::published()).unwrap().amount(SheetLine::Car);
    assert_eq!(car(&books), cents(2900));
    let undo = entry.reversed(on(&books, date(2026, 3, 8)), "was a visit").unwrap();
    books.post(undo).unwrap();
    assert_eq!(car(&books), Money::ZERO);
}

#[test]
fn a_basis_is_frozen_once_a_piece_has_left_even_if_it_came_back() {
    let mut books = desk::books();
    let equally = Haul::new(HaulRecord { split: SplitRule::PerPiece, ..desk::record() }).unwrap();
    books.split_anew(equally.clone()).unwrap();
    assert_eq!(books.basis_of(CUPS).unwrap().total(), equally.finds()[0].total());
    desk::paid(&mut books);
    let id = desk::sent(&mut books);
    assert_eq!(books.split_anew(equally.clone()), Err(BooksError::Frozen { haul: HAUL }));
    let undo = books.entry(id).unwrap().reversed(on(&books, date(2026, 4, 4)), "").unwrap();
    books.post(undo).unwrap();
    assert_eq!(books.split_anew(equally), Err(BooksError::Frozen { haul: HAUL }));
    let purchase = books.entry(EntryId(1)).unwrap().reversed(on(&books, date(2026, 4, 5)), "").unwrap();
    assert_eq!(books.post(purchase), Err(BooksError::Frozen { haul: HAUL }));
}

#[test]
fn another_cost_needs_the_purchase_entered_anew_and_reads_back() {
    let mut books = desk::books();
    let dearer = Haul::new(HaulRecord { paid: cents(750), ..desk::record() }).unwrap();
    assert!(matches!(books.split_anew(dearer.clone()), Err(BooksError::Mismatch { .. })));
    let undo = books.entry(EntryId(1)).unwrap().reversed(on(&books, date(2026, 3, 9)), "misread").unwrap();
    books.post(undo).unwrap();
    assert!(!books.is_entered(HAUL));
    books.split_anew(dearer.clone()).unwrap();
    let anew = haul_bought(books.next_entry(), &dearer, Purse::Cash, Purse::Card).unwrap();
    books.post(anew).unwrap();
    desk::paid(&mut books);
    desk::sent(&mut books);
    assert_eq!(
        books.net(Account::Goods, everything) + books.net(Account::CostOfGoods, everything),
        cents(901)
    );
    let again = Books::replay(books.hauls().cloned(), books.entries().iter().cloned()).unwrap();
    assert_eq!(again, books);
}

#[test]
fn after_the_freeze_a_difference_goes_to_cost_of_goods_and_to_purchases() {
    let mut books = desk::books();
    let more = |books: &Books| {
        haul_adjusted(on(books, date(2026, 5, 1)), HAUL, Adjustment::More(cents(50)), Purse::Cash).unwrap()
    };
    let too_soon = more(&books);
    assert!(matches!(books.post(too_soon), Err(BooksError::Lacks { .. })));
    desk::paid(&mut books);
    desk::sent(&mut books);
    let cost = books.net(Account::CostOfGoods, everything);
    let entry = more(&books);
    books.post(entry).unwrap();
    let sheet = year_worksheet(&books, 2026, &TaxTables::published()).unwrap();
    assert_eq!(sheet.cost.purchases, cents(751 + 50));
    assert_eq!(sheet.cost.other, cents(100), "freight-in");
    assert_eq!(sheet.amount(SheetLine::CostOfGoods), cost + cents(50));
}

#[test]
fn supplies_bought_by_mistake_are_taken_out_at_their_own_cost() {
    let mut books = Books::default();
    let (supply, ten) = (SupplyId(1), Quantity::whole(10));
    let buy = |books: &Books, cost| supplies_bought(on(books, BOUGHT), supply, ten, cents(cost), Purse::Cash);
    let first = buy(&books, 500).unwrap();
    books.post(first).unwrap();
    let second = buy(&books, 900).unwrap();
    books.post(second.clone()).unwrap();
    let undo = second.reversed(on(&books, BOUGHT), "not delivered").unwrap();
    books.post(undo).unwrap();
    assert_eq!((books.supply(supply).on_hand(), books.supply(supply).cost()), (ten, cents(500)));
}
