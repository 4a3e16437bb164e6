//! What the books refuse, and that a refusal says what is wrong.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::{BOUGHT, CUPS, HAUL, SAUCERS, cents, on};
use jiff::civil::date;
use measure::Money;

fn draft(kind: Kind) -> EntryDraft {
    EntryDraft::new(Voucher { id: EntryId(1), date: BOUGHT }, kind)
}

#[test]
fn an_entry_that_does_not_balance_is_none() {
    let off = draft(Kind::OrderPaid)
        .debit(Account::PlatformBalance, cents(1000))
        .credit(Account::Sales, cents(999))
        .build()
        .unwrap_err();
    assert_eq!(off, BooksError::Unbalanced { kind: Kind::OrderPaid, off: cents(1) });
    assert_eq!(off.to_string(), "order paid: debits less credits leave 0.01; both sides must be equal");
}

#[test]
fn lines_on_the_wrong_side_are_refused() {
    let swapped = draft(Kind::OrderPaid).credit(Account::Cash, cents(5)).debit(Account::Sales, cents(5));
    assert!(matches!(swapped.build(), Err(BooksError::WrongSide { account: Account::Cash, .. })));
    let foreign = draft(Kind::Fee).debit(Account::Goods, cents(5)).credit(Account::Cash, cents(5));
    assert!(matches!(foreign.build(), Err(BooksError::WrongSide { account: Account::Goods, .. })));
    let round = transfer(Voucher { id: EntryId(1), date: BOUGHT }, cents(5), Purse::Cash, Purse::Cash);
    assert!(matches!(round, Err(BooksError::BothSides { account: Account::Cash, .. })));
    let own = transfer(Voucher { id: EntryId(1), date: BOUGHT }, cents(5), Purse::OwnPocket, Purse::Cash);
    assert!(matches!(own, Err(BooksError::WrongSide { .. })));
}

#[test]
fn amounts_of_nothing_less_than_nothing_or_too_much_are_refused() {
    for amount in [Money::ZERO, cents(-1), cents(i64::MIN), cents(i64::MAX), cents(1_000_000_001)] {
        let entry = draft(Kind::Fee).debit(Account::Fees, amount).credit(Account::Cash, amount).build();
        assert!(matches!(entry, Err(BooksError::Amount { .. })), "{amount:?}");
    }
    assert_eq!(draft(Kind::Refund).build(), Err(BooksError::Empty { kind: Kind::Refund }));
}

#[test]
fn memos_stand_only_where_they_belong() {
    let tax = draft(Kind::Fee)
        .debit(Account::Fees, cents(5))
        .credit(Account::Cash, cents(5))
        .memo(Memo::SalesTax(cents(1)));
    assert!(matches!(tax.build(), Err(BooksError::Lacks { .. })));
    assert!(matches!(draft(Kind::Mileage).build(), Err(BooksError::Lacks { .. })));
    let trip = |date, purpose: &str| {
        let (miles, counts) = (Miles::new(9.0).unwrap(), TripUse::Business);
        mileage(on(&Books::default(), BOUGHT), Trip { date, miles, purpose: purpose.to_owned(), counts })
    };
    assert!(trip(BOUGHT, "to the parish hall").is_ok());
    assert!(trip(BOUGHT, " ").is_err(), "a log says what for");
    assert!(trip(date(2026, 3, 8), "to the parish hall").is_err(), "a log has the day of the trip");
}

#[test]
fn pieces_go_only_the_ways_of_their_entry() {
    let junk = Move { find: CUPS, lot: None, pieces: vec![14], from: Fate::OnHand, to: Fate::Sold };
    let entry = draft(Kind::Gift).moving(junk.clone()).build();
    assert!(matches!(entry, Err(BooksError::WrongMove { kind: Kind::Gift, .. })));
    let mut ways = Vec::new();
    for kind in Kind::ALL {
        for from in Fate::ALL {
            ways.extend(Fate::ALL.into_iter().filter(|&to| kind.moves(from, to)).map(|to| (kind, from, to)));
        }
    }
    assert_eq!(
        ways,
        [
            (Kind::GoodsSent, Fate::OnHand, Fate::Sold),
            (Kind::Returned, Fate::Sold, Fate::OnHand),
            (Kind::Damage, Fate::OnHand, Fate::Broken),
            (Kind::Damage, Fate::Sold, Fate::Broken),
            (Kind::Gift, Fate::OnHand, Fate::GivenAway),
            (Kind::PersonalWithdrawal, Fate::OnHand, Fate::Personal),
        ]
    );
    let mut books = desk::books();
    let without_order = EntryDraft::new(on(&books, BOUGHT), Kind::GoodsSent).moving(junk).build().unwrap();
    assert!(matches!(books.post(without_order), Err(BooksError::Lacks { .. })));
}

#[test]
fn an_amount_that_is_not_what_the_pieces_carry_is_refused() {
    let mut books = desk::books();
    let basis = books.pick(CUPS, 1, Soundness::Sound).unwrap().basis();
    let more = basis + cents(1);
    let entry = EntryDraft::new(on(&books, date(2026, 4, 1)), Kind::GoodsSent)
        .about(About { order: Some(OrderId(1)), haul: None })
        .debit(Account::CostOfGoods, more)
        .credit(Account::Goods, more)
        .moving(Move { find: CUPS, lot: None, pieces: vec![1], from: Fate::OnHand, to: Fate::Sold })
        .build()
        .unwrap();
    let refused = books.post(entry).unwrap_err();
    assert!(matches!(refused, BooksError::Mismatch { account: Account::Goods, .. }), "{refused}");
    let out_of_nothing = EntryDraft::new(on(&books, date(2026, 4, 1)), Kind::Gift)
        .debit(Account::GivenAway, cents(10))
        .credit(Account::Goods, cents(10))
        .build()
        .unwrap();
    assert!(matches!(books.post(out_of_nothing), Err(BooksError::Mismatch { .. })));
}

#[test]
fn pieces_that_are_gone_cannot_go_again() {
    let mut books = desk::books();
    desk::paid(&mut books);
    let four = books.pieces(CUPS, &[1, 2, 3, 4]).unwrap();
    desk::sent(&mut books);
    let again = broken_at_home(on(&books, date(2026, 4, 9)), &[four]).unwrap();
    let refused = books.post(again).unwrap_err();
    assert_eq!(refused.to_string(), "piece 1 of find 1 is sold, not on hand; name a piece that is on hand");
    assert_eq!(
        books.pick(CUPS, 10, Soundness::Sound),
        Err(BooksError::TooFewPieces { find: CUPS, asked: 10, on_hand: 9 })
    );
    assert_eq!(books.pick(CUPS, 10, Soundness::Any).unwrap().numbers().last(), Some(&14));
    let theirs = books.sent_in(OrderId(1)).unwrap();
    let from_another = returned(on(&books, date(2026, 4, 9)), OrderId(2), &theirs).unwrap();
    assert!(matches!(books.post(from_another), Err(BooksError::PieceElsewhere { .. })));
}

#[test]
fn pieces_do_not_move_before_they_came() {
    let mut books = desk::books();
    let early =
        broken_at_home(on(&books, date(2026, 3, 6)), &[books.pick(CUPS, 1, Soundness::Sound).unwrap()]);
    assert!(matches!(books.post(early.unwrap()), Err(BooksError::MovedTooEarly { piece: 1, .. })));
}

#[test]
fn unknown_and_repeated_things_are_refused() {
    let mut books = desk::books();
    assert_eq!(books.pick(FindId(9), 1, Soundness::Any), Err(BooksError::NoFind { find: FindId(9) }));
    for numbers in [&[0][..], &[15], &[3, 3]] {
        assert!(matches!(books.pieces(CUPS, numbers), Err(BooksError::NoPiece { .. })), "{numbers:?}");
    }
    let haul = Haul::new(desk::record()).unwrap();
    assert_eq!(books.add_haul(haul.clone()), Err(BooksError::Twice { what: "haul", number: 1 }));
    let again = haul_bought(books.next_entry(), &haul, Purse::Cash, Purse::Cash).unwrap();
    assert_eq!(books.post(again), Err(BooksError::Twice { what: "haul", number: 1 }));
    let other = Haul::new(HaulRecord { id: HaulId(2), ..desk::record() }).unwrap();
    assert_eq!(books.add_haul(other), Err(BooksError::Twice { what: "find", number: 1 }));
    let fee = fee(Voucher { id: EntryId(1), date: BOUGHT }, None, Charge::Fee(cents(5)), Purse::Cash);
    let out_of_turn = BooksError::OutOfTurn { id: EntryId(1), last: EntryId(1) };
    assert_eq!(books.post(fee.unwrap()), Err(out_of_turn));
}

#[test]
fn pieces_stay_on_the_shelf_until_their_purchase_is_entered() {
    let mut books = Books::default();
    books.add_haul(Haul::new(desk::record()).unwrap()).unwrap();
    let broken =
        broken_at_home(on(&books, BOUGHT), &[books.pick(CUPS, 1, Soundness::Sound).unwrap()]).unwrap();
    assert_eq!(books.post(broken), Err(BooksError::NoHaul { haul: HAUL }));
}

#[test]
fn no_more_is_refunded_than_was_paid() {
    let mut books = desk::books();
    desk::paid(&mut books);
    let back = |amount| RefundMoney {
        order: OrderId(1),
        amount: cents(amount),
        tax: BuyerTax::ByVenue(cents(70)),
        part: Part::default(),
        from: Purse::Platform,
    };
    let part = refund(on(&books, date(2026, 4, 9)), &back(1000)).unwrap();
    books.post(part).unwrap();
    assert_eq!(books.left_to_refund(OrderId(1)), cents(3800));
    let more = refund(on(&books, date(2026, 4, 9)), &back(3801)).unwrap();
    assert_eq!(
        books.post(more),
        Err(BooksError::RefundAbovePaid { order: OrderId(1), asked: cents(3801), left: cents(3800) })
    );
    let rest = refund(on(&books, date(2026, 4, 9)), &back(3800)).unwrap();
    books.post(rest).unwrap();
    assert_eq!(books.left_to_refund(OrderId(1)), Money::ZERO);
}

#[test]
fn supplies_cost_what_the_average_says_and_run_out() {
    let mut books = Books::default();
    let (supply, one) = (SupplyId(7), Quantity::whole(1));
    let bought =
        supplies_bought(on(&books, BOUGHT), supply, Quantity::whole(3), cents(100), Purse::Card).unwrap();
    books.post(bought).unwrap();
    let cost = books.supply_cost(supply, one).unwrap();
    let wrong = supplies_used(on(&books, BOUGHT), supply, one, cost + cents(1), None).unwrap();
    assert!(matches!(books.post(wrong), Err(BooksError::Mismatch { .. })));
    let mut used = Money::ZERO;
    for _ in 0..3 {
        let cost = books.supply_cost(supply, one).unwrap();
        used += cost;
        let entry = supplies_used(on(&books, BOUGHT), supply, one, cost, None).unwrap();
        books.post(entry).unwrap();
    }
    assert_eq!(used, cents(100));
    let short = books.supply_cost(supply, one).unwrap_err();
    assert_eq!(short, BooksError::SuppliesShort { supply, asked: 1.0, on_hand: 0.0 });
}

#[test]
fn flows_and_methods_refuse_nonsense() {
    let bought = |units, cost| UnitMovement::In { units, cost: cents(cost) };
    let run =
        |movements: &[UnitMovement]| flow_cost(CostFlow::FirstInFirstOut, CostSystem::Perpetual, movements);
    assert!(matches!(run(&[UnitMovement::Out { units: 1 }]), Err(BooksError::PoolShort { .. })));
    assert!(run(&[bought(0, 5)]).is_err() && run(&[bought(1, -5)]).is_err());
    let from = UnitMovement::OutFrom { layers: vec![(1, 1)] };
    assert!(run(&[bought(1, 5), from.clone()]).is_err());
    assert!(flow_cost(CostFlow::Average, CostSystem::Perpetual, &[bought(1, 5), from]).is_err());
    assert!(flow_cost(CostFlow::Average, CostSystem::Periodic, &[UnitMovement::Out { units: 1 }]).is_err());
    let none = CostAndRetail { cost: Money::ZERO, retail: Money::ZERO };
    let period = RetailPeriod {
        opening: none,
        purchases: none,
        markups: Money::ZERO,
        markdowns: Money::ZERO,
        sales: Money::ZERO,
    };
    assert!(retail_method(&period).is_err());
    assert!(retail_method(&RetailPeriod { markdowns: cents(5), ..period }).is_err());
    let lost = CostAndMarket { cost: cents(5), market: cents(-1) };
    assert!(lower_of_cost_or_market(&[lost]).is_err());
    let miles = |miles: f64| Miles::new(miles).unwrap();
    assert!(BusinessUse::new(miles(0.0), miles(0.0)).is_err());
    assert!(BusinessUse::new(miles(2.0), miles(1.0)).is_err());
}

#[test]
fn a_worksheet_for_a_year_without_a_form_is_refused() {
    let books = desk::books();
    for year in [2017, 2027, i16::MAX, i16::MIN] {
        let refused = year_worksheet(&books, year, &TaxTables::published());
        assert!(matches!(refused, Err(BooksError::NoRow { .. })), "{year}");
    }
    assert!(books.pick(SAUCERS, 0, Soundness::Flawed).unwrap().numbers().is_empty());
}

#[test]
fn costs_told_anew_add_up_to_nothing_stay_above_it_and_only_go_with_goods() {
    let books = desk::books();
    let recost = |piece, by| Recost { find: desk::CUPS, piece, by: cents(by) };
    let gift = |recosts: &[Recost]| {
        let pieces = books.pieces_recosted(desk::CUPS, &[1], recosts).unwrap();
        given_away(on(&books, date(2026, 4, 1)), &[pieces]).unwrap().recosting(recosts.to_vec())
    };
    let post = |recosts: &[Recost]| books.clone().post(gift(recosts).unwrap());
    post(&[recost(1, 5), recost(2, -5)]).unwrap();
    assert!(gift(&[recost(1, 5)]).is_err());
    assert!(matches!(post(&[recost(1, 5), recost(99, -5)]), Err(BooksError::NoPiece { .. })));
    for bad in [[recost(1, 900), recost(2, -900)], [recost(1, 5), recost(1, -5)]] {
        assert!(matches!(post(&bad), Err(BooksError::Lacks { .. })), "{bad:?}");
    }
    let mut gone = books.clone();
    let pieces = gone.pieces(desk::CUPS, &[2]).unwrap();
    gone.post(given_away(on(&gone, date(2026, 3, 20)), &[pieces]).unwrap()).unwrap();
    let late = gift(&[recost(1, 5), recost(2, -5)]).unwrap();
    let moves = Entry::reversed(&late, on(&gone, date(2026, 4, 1)), "").unwrap();
    assert!(moves.recosts().is_empty(), "what is taken back tells no costs");
    let pieces = gone.pieces_recosted(desk::CUPS, &[1], &[recost(1, 5)]).unwrap();
    let late = given_away(on(&gone, date(2026, 4, 1)), &[pieces]).unwrap();
    let late = late.recosting(vec![recost(1, 5), recost(2, -5)]).unwrap();
    assert!(matches!(gone.post(late), Err(BooksError::PieceElsewhere { piece: 2, .. })));
    let paid_out = payout(on(&books, date(2026, 4, 1)), cents(100), Purse::Cash).unwrap();
    assert!(paid_out.recosting(vec![recost(1, 5), recost(2, -5)]).is_err());
    // Another amount than the pieces then carry.
    let pieces = books.pieces(desk::CUPS, &[1]).unwrap();
    let wrong = given_away(on(&books, date(2026, 4, 1)), &[pieces]).unwrap();
    let wrong = wrong.recosting(vec![recost(1, 5), recost(2, -5)]).unwrap();
    assert!(matches!(books.clone().post(wrong), Err(BooksError::Mismatch { .. })));
}
