//! What is promised, set aside, sent, freed and asked for.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::date;
use shop::*;

fn supply_state(shop: &mut Shop, supply: SupplyId) -> SupplyState {
    let all = shop.supplies(date(2026, 4, 3), 30).unwrap();
    all.into_iter().find(|state| state.supply == supply).unwrap()
}

fn units(state: &SupplyState) -> (f64, f64) {
    (state.on_hand.in_units(), state.reserved.in_units())
}

#[test]
fn an_order_promises_whole_lots_and_cancelling_gives_them_back() {
    let (mut shop, bought, listed) = shop();
    let before = shop.stock(date(2026, 4, 1)).unwrap();
    let first = shop.take_order(&at(), &order(listed, 2)).unwrap();
    let state = shop.listing(listed).unwrap();
    assert_eq!((state.reserved, state.sold, state.available()), (2, 0, 0));
    let stock = shop.stock(date(2026, 4, 1)).unwrap();
    let cups = stock.iter().find(|line| line.find == bought.finds[0]).unwrap();
    assert_eq!((cups.on_hand, cups.promised, cups.listed, cups.unlisted()), (14, 8, 0, 6));
    let error = shop.take_order(&at(), &order(listed, 1)).unwrap_err();
    assert!(matches!(error, ShopError::TooFewLots { wanted: 1, left: 0, .. }), "{error:?}");
    shop.cancel_order(&at(), &Cancelled { order: first, date: date(2026, 4, 2), from: Purse::Platform })
        .unwrap();
    assert_eq!(shop.stock(date(2026, 4, 1)).unwrap(), before);
    assert_eq!(shop.books().unwrap().net(Account::PlatformBalance, |_| true), Money0);
    let twice = Cancelled { order: first, date: date(2026, 4, 2), from: Purse::Platform };
    assert!(matches!(shop.cancel_order(&at(), &twice), Err(ShopError::State { .. })));
    shop.take_order(&at(), &order(listed, 2)).unwrap();
    assert!(shop.check().unwrap().is_sound());
}

#[allow(non_upper_case_globals, reason = "reads as a figure")]
const Money0: measure::Money = measure::Money::ZERO;

#[test]
fn a_plan_sets_supplies_aside_and_sending_uses_what_was_used() {
    let (mut shop, _, listed) = shop();
    let carton = supply(&mut shop, "carton 12");
    let other = supply(&mut shop, "carton 14");
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let second = shop.take_order(&at(), &order(listed, 1)).unwrap();
    shop.plan_order(&at(), first, &[plan(vec![need(carton, 6.0)])]).unwrap();
    let error = shop.plan_order(&at(), second, &[plan(vec![need(carton, 5.0)])]).unwrap_err();
    assert!(matches!(error, ShopError::Books(BooksError::SuppliesShort { .. })), "{error:?}");
    let use_it = Movement::SuppliesUsed { supply: carton, quantity: Quantity::whole(5), order: None };
    let error = shop.move_money(&at(), &moved(date(2026, 4, 1), Purse::Cash, use_it)).unwrap_err();
    assert!(error.to_string().contains("never more reserved than on hand"), "{error}");
    // Planned anew, with a spare parcel that isn't needed in the end.
    let parcels = [plan(vec![need(carton, 1.0)]), plan(vec![need(carton, 2.0)])];
    assert_eq!(shop.plan_order(&at(), first, &parcels).unwrap().len(), 2);
    assert_eq!(units(&supply_state(&mut shop, carton)), (10.0, 3.0));
    let substituted = PlannedSupply { instead_of: Some(carton), ..need(other, 1.0) };
    shop.ship_order(&at(), &shipped(first, vec![actual(vec![substituted])])).unwrap();
    assert_eq!(units(&supply_state(&mut shop, carton)), (10.0, 0.0));
    assert_eq!(units(&supply_state(&mut shop, other)), (9.0, 0.0));
    assert_eq!(shop.books().unwrap().net(Account::SuppliesUsed, |_| true), cents(120));
    let csv = shop.export_csv().unwrap();
    assert!(csv["supply_move"].lines().any(|line| line.ends_with("-1000000,2,1")), "{}", csv["supply_move"]);
    assert_eq!(csv["parcel"].lines().count(), 2);
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn the_reorder_point_is_use_a_day_over_lead_time_and_safety() {
    let (mut shop, _, listed) = shop();
    let carton = supply(&mut shop, "carton 12");
    let idle = supply(&mut shop, "carton 14");
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    shop.ship_order(&at(), &shipped(first, vec![actual(vec![need(carton, 2.0)])])).unwrap();
    let used = Movement::SuppliesUsed { supply: carton, quantity: Quantity::whole(4), order: None };
    shop.move_money(&at(), &moved(date(2026, 3, 5), Purse::Cash, used.clone())).unwrap();
    let wrong = shop.move_money(&at(), &moved(date(2026, 4, 3), Purse::Cash, used)).unwrap();
    shop.take_back(&at(), EntryId(wrong), date(2026, 4, 3), "").unwrap();
    // 30 days up to 3 April begin on 5 March: 6 cartons, 0.2 a day, for 10 + 4 days.
    let state = supply_state(&mut shop, carton);
    assert!((state.used_a_day - 0.2).abs() < 1e-12, "{}", state.used_a_day);
    assert!((state.reorder_point - 2.8).abs() < 1e-12);
    assert!(!state.to_buy(), "4 are left");
    assert_eq!(state.parcels_left, Some(2));
    assert_eq!(state.unit_cost, Some(1.2));
    let used = Movement::SuppliesUsed { supply: carton, quantity: Quantity::whole(2), order: None };
    shop.move_money(&at(), &moved(date(2026, 3, 4), Purse::Cash, used)).unwrap();
    let state = supply_state(&mut shop, carton);
    assert!((state.used_a_day - 0.2).abs() < 1e-12, "the day before the window doesn't count");
    assert!(state.to_buy(), "2 are left, and 2.8 will be used");
    let idle = supply_state(&mut shop, idle);
    assert_eq!((idle.parcels_left, idle.to_buy()), (None, false));
    assert!(shop.supplies(jiff::civil::Date::MIN, u32::MAX).is_ok());
    assert!(shop.supplies(jiff::civil::Date::MAX, 0).is_ok());
}

#[test]
fn the_bench_shows_the_oldest_promise_first_and_the_pull_list_goes_by_shelf() {
    let (mut shop, bought, listed) = shop();
    let late = OrderIn { promise_by: None, ..order(listed, 1) };
    let late = shop.take_order(&at(), &late).unwrap();
    let soon = OrderIn { promise_by: Some(date(2026, 4, 2)), paid: None, ..order(listed, 1) };
    let soon = shop.take_order(&at(), &soon).unwrap();
    let bench = shop.bench().unwrap();
    assert_eq!(
        bench.iter().map(|row| (row.order, row.paid)).collect::<Vec<_>>(),
        [(soon, false), (late, true)]
    );
    assert_eq!((bench[0].lots, bench[0].pieces, bench[0].parcels), (1, 8, 0));
    let pull = shop.pull_list(soon).unwrap();
    assert_eq!(
        pull.iter().map(|row| (row.shelf.as_str(), row.find)).collect::<Vec<_>>(),
        [("A1", bought.finds[1]), ("B2", bought.finds[0])]
    );
    assert_eq!(pull[1].pieces, [5, 6, 7, 8]);
    assert!(matches!(shop.ship_order(&at(), &shipped(soon, vec![])), Err(ShopError::State { .. })));
    shop.ship_order(&at(), &shipped(late, vec![])).unwrap();
    assert_eq!(shop.bench().unwrap().len(), 1);
    assert!(shop.pull_list(late).unwrap().is_empty());
}

#[test]
fn pieces_with_a_flaw_noted_are_promised_last_and_say_so() {
    let (mut shop, bought, _) = shop();
    let cups = bought.finds[0];
    let listed = {
        let mut entered = listing(&bought, 3);
        entered.parts.retain(|part| part.find == cups);
        shop.list(&at(), &entered).unwrap()
    };
    let flaw = |piece, kind: &str, position: &str| Flaw {
        find: cups,
        piece: Some(piece),
        kind: kind.to_owned(),
        position: position.to_owned(),
        size: None,
    };
    shop.note(&at(), &flaw(1, "chip", "on the rim")).unwrap();
    shop.note(&at(), &flaw(1, "crazing", "")).unwrap();
    let struck = shop.note(&at(), &flaw(2, "flea bite", "")).unwrap();
    shop.strike::<Flaw>(&at(), struck).unwrap();
    shop.note(&at(), &flaw(3, "hairline", "inside")).unwrap();
    let mut taken = |wanted: &[u32]| {
        let number = shop.take_order(&at(), &order(listed, 1)).unwrap();
        let pull = shop.pull_list(number).unwrap();
        assert_eq!(pull[0].pieces, wanted);
        pull[0].flaws.clone()
    };
    assert!(taken(&[2, 4, 5, 6]).is_empty());
    assert!(taken(&[7, 8, 9, 10]).is_empty());
    assert_eq!(taken(&[1, 11, 12, 13]), [(1, "chip, on the rim".to_owned()), (1, "crazing".to_owned())]);
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn a_promised_piece_that_broke_is_swapped_before_it_is_written_off() {
    let (mut shop, bought, listed) = shop();
    let cups = bought.finds[0];
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let broken = FromShelf {
        find: cups,
        pieces: vec![2],
        date: date(2026, 4, 2),
        how: Leaving::Broken,
        note: String::new(),
    };
    assert!(matches!(shop.leave_shelf(&at(), &broken), Err(ShopError::State { .. })));
    let piece = |number| PieceRef { find: cups, number };
    let swap = |out, r#in| Swap { out: piece(out), r#in: piece(r#in), why: "dropped".to_owned() };
    assert!(shop.swap_piece(&at(), &swap(9, 10)).is_err(), "9 isn't promised");
    assert!(shop.swap_piece(&at(), &swap(2, 3)).is_err(), "3 is promised itself");
    assert!(shop.swap_piece(&at(), &swap(2, 99)).is_err());
    shop.swap_piece(&at(), &swap(2, 13)).unwrap();
    shop.leave_shelf(&at(), &broken).unwrap();
    assert_eq!(shop.pull_list(first).unwrap()[1].pieces, [1, 3, 4, 13]);
    shop.ship_order(&at(), &shipped(first, vec![])).unwrap();
    let sent = shop.books().unwrap().sent_in(first).unwrap();
    assert_eq!(sent[0].pieces.numbers(), [1, 3, 4, 13]);
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn what_came_back_is_on_the_shelf_again_at_its_basis_and_what_broke_is_a_loss() {
    let (mut shop, bought, listed) = shop();
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let goods = shop.books().unwrap().net(Account::Goods, |_| true);
    shop.ship_order(&at(), &shipped(first, vec![])).unwrap();
    let pieces: Vec<_> =
        bought.finds.iter().flat_map(|&find| (1..=4).map(move |number| PieceRef { find, number })).collect();
    let back = |pieces: &[PieceRef], what| ComingBack {
        order: first,
        date: date(2026, 4, 9),
        what,
        pieces: pieces.to_vec(),
        note: String::new(),
    };
    shop.come_back(&at(), &back(&pieces[1..], CameBack::Returned)).unwrap();
    shop.come_back(&at(), &back(&pieces[..1], CameBack::Broken)).unwrap();
    assert!(shop.come_back(&at(), &back(&pieces[..1], CameBack::Returned)).is_err());
    let books = shop.books().unwrap();
    let lost = books.net(Account::DamageLoss, |_| true);
    assert_eq!(lost, books.basis_of(bought.finds[0]).unwrap().piece(1));
    assert_eq!(books.net(Account::Goods, |_| true) + lost, goods);
    assert_eq!(books.net(Account::CostOfGoods, |_| true), cents(0));
    let state = shop.listing(listed).unwrap();
    assert_eq!((state.sold, state.available()), (1, 1), "a lot that came back is listed anew, or not at all");
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn reports_and_the_year_come_from_the_books() {
    let mut shop = Shop::in_memory().unwrap();
    story(&mut shop);
    let (from, to) = (date(2026, 1, 1), date(2026, 12, 31));
    let total = shop.earned(By::Year, from, to).unwrap()[&Key::Year(2026)];
    assert_eq!((total.items, total.minutes), (cents(3800 + 4000), 31));
    for by in [By::Order, By::Lot, By::Find, By::Haul, By::Place, By::Month] {
        let rows = shop.earned(by, from, to).unwrap();
        assert_eq!(rows.values().map(Earned::net).sum::<measure::Money>(), total.net(), "{by:?}");
    }
    let place = Key::Place("the parish hall".to_owned());
    assert!(shop.earned(By::Place, from, to).unwrap().contains_key(&place));
    let year = shop.worksheet(2026, &TaxTables::published()).unwrap();
    let stock: measure::Money = shop.stock(to).unwrap().iter().map(|line| line.basis).sum();
    assert_eq!(year.cost.closing, stock);
    assert!(year.notice().contains("not tax advice"));
    let tuned = shop.tuned().unwrap();
    let [cup] = &tuned[..] else { panic!("{tuned:?}") };
    assert_eq!((cup.parcels, cup.weighed, cup.broken_orders), (1, 1, 1));
    assert_eq!((cup.predicted_minutes, cup.actual_minutes), (25, 31));
    assert_eq!((cup.predicted_milligrams, cup.actual_milligrams), (2_267_962, 2_367_185));
    assert_eq!((cup.predicted_cents, cup.actual_cents), (1200, 1265));
}

#[test]
fn open_claims_come_by_their_deadline() {
    let (mut shop, _, listed) = shop();
    let first = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let claim = |deadline, reference: &str, state| Claim {
        order: first,
        opened_on: date(2026, 4, 9),
        deadline,
        asked: cents(900),
        state,
        reference: reference.to_owned(),
        note: String::new(),
    };
    for claim in [
        claim(None, "none", ClaimState::Open),
        claim(Some(date(2026, 6, 1)), "later", ClaimState::Open),
        claim(Some(date(2026, 5, 1)), "first", ClaimState::Open),
        claim(Some(date(2026, 4, 10)), "done", ClaimState::Refused),
    ] {
        shop.note(&at(), &claim).unwrap();
    }
    let open: Vec<_> = shop.open_claims().unwrap().into_iter().map(|claim| claim.reference).collect();
    assert_eq!(open, ["first", "later", "none"]);
}
