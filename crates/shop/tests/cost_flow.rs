//! Cost flow as a setting: what goes carries what the flow says, what has gone keeps its cost, no cent is lost.
//!
//! Published figures: OpenStax, Principles of Accounting, vol. 1, 10.2-10.3 (its numbers only), and the documented
//! example of cogs() in the R package FinCal; both through the shop file from purchase to worksheet.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use measure::Money;
use proptest::collection::vec;
use proptest::prelude::*;
use shop::*;

const START: Date = date(2026, 1, 5);

fn buy(shop: &mut Shop, day: Date, description: &str, pieces: u32, paid: Money) -> FindId {
    let told = NewFind {
        text: FindText { form: "mug".to_owned(), description: description.to_owned(), shelf: String::new() },
        sound: pieces,
        flawed: 0,
        value: cents(100),
    };
    let bought = HaulIn { date: day, paid, tax: None, freight: cents(0), finds: vec![told], ..haul() };
    shop.buy(&at(), &bought).unwrap().finds[0]
}

/// An order for so many pieces of a find, sent at once.
fn sell(shop: &mut Shop, day: Date, find: FindId, pieces: u32) -> Result<OrderId, ShopError> {
    let offered = ListingIn {
        venue: None,
        title: "mugs".to_owned(),
        lots: 1,
        price: cents(1000),
        floor: None,
        listed_on: day,
        ended: false,
        card: serde_json::json!({}),
        parts: vec![ListingPart { find, pieces, which: Which::Any }],
    };
    let listed = shop.list(&at(), &offered)?;
    let paid = Some(Payment { date: day, into: Purse::Platform });
    let id =
        shop.take_order(&at(), &OrderIn { ordered_on: day, promise_by: None, paid, ..order(listed, 1) })?;
    shop.ship_order(&at(), &Shipped { date: day, parcels: vec![], ..shipped(id, vec![]) })?;
    Ok(id)
}

/// So many pieces of a ware, wherever they lie, the newest haul first: what goes and whose cost goes are two things.
fn sell_ware(shop: &mut Shop, day: Date, finds: &[FindId], pieces: u32) {
    let mut left = pieces;
    let mut parts = Vec::new();
    for &find in finds.iter().rev() {
        let free = shop.pieces(find).unwrap().iter().filter(|piece| piece.fate == "on hand").count() as u32;
        if left.min(free) > 0 {
            parts.push(ListingPart { find, pieces: left.min(free), which: Which::Any });
            left -= left.min(free);
        }
    }
    assert_eq!(left, 0);
    let offered = ListingIn { lots: 1, listed_on: day, parts, ..listing(&shop_haul(finds), 1) };
    let listed = shop.list(&at(), &offered).unwrap();
    let paid = Some(Payment { date: day, into: Purse::Platform });
    let id = shop
        .take_order(&at(), &OrderIn { ordered_on: day, promise_by: None, paid, ..order(listed, 1) })
        .unwrap();
    shop.ship_order(&at(), &Shipped { date: day, ..shipped(id, vec![]) }).unwrap();
}

fn shop_haul(finds: &[FindId]) -> BoughtHaul {
    BoughtHaul { haul: HaulId(1), finds: finds.to_vec() }
}

fn flow(shop: &mut Shop, value: &str) -> Result<u64, ShopError> {
    let setting = Setting { name: COST_FLOW.to_owned(), value: value.to_owned(), source: "mine".to_owned() };
    shop.note(&at(), &setting)
}

fn cost_and_closing(shop: &mut Shop) -> (Money, Money) {
    let sheet = shop.worksheet(2026, &TaxTables::published()).unwrap();
    (sheet.amount(SheetLine::CostClosed), sheet.amount(SheetLine::ClosingStock))
}

/// Units in with their cost each in cents, or units out where the cost is nothing.
fn run(value: &str, steps: &[(u32, i64)]) -> (Money, Money) {
    let mut shop = Shop::in_memory().unwrap();
    flow(&mut shop, value).unwrap();
    let mut finds = Vec::new();
    for (k, &(units, each)) in (0_i64..).zip(steps) {
        let day = START.checked_add(k.days()).unwrap();
        if each > 0 {
            finds.push(buy(&mut shop, day, "spy glass", units, cents(each) * i64::from(units)));
        } else {
            sell_ware(&mut shop, day, &finds, units);
        }
    }
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    cost_and_closing(&mut shop)
}

/// The same by the books' own arithmetic of flows.
fn reckoned(flow: CostFlow, steps: &[(u32, i64)]) -> FlowCost {
    let movement = |&(units, each): &(u32, i64)| match each {
        0 => UnitMovement::Out { units },
        _ => UnitMovement::In { units, cost: cents(each) * i64::from(units) },
    };
    let movements: Vec<UnitMovement> = steps.iter().map(movement).collect();
    flow_cost(flow, CostSystem::Perpetual, &movements).unwrap()
}

const SPY_GLASSES: [(u32, i64); 5] = [(150, 2100), (120, 0), (225, 2700), (180, 0), (210, 3300)];
const FINCAL: [(u32, i64); 4] = [(2, 200), (3, 300), (5, 500), (7, 0)];

#[test]
fn openstax_spy_glasses_come_out_of_the_shop_file_by_fifo_and_average() {
    assert_eq!(run("fifo from 2026-01-01", &SPY_GLASSES), (cents(720_000), cents(895_500)));
    let (cost, closing) = run("average from 2026-01-01", &SPY_GLASSES);
    // Printed to the dollar, from a unit cost that the book rounds to the cent first.
    assert!((cost - cents(725_300)).cents().abs() <= 100, "{cost}");
    assert!((closing - cents(890_200)).cents().abs() <= 100, "{closing}");
    assert_eq!(cost + closing, cents(1_615_500));
}

#[test]
fn the_fincal_example_comes_out_of_the_shop_file_by_fifo_and_average() {
    assert_eq!(run("fifo from 2026-01-01", &FINCAL), (cents(2300), cents(1500)));
    assert_eq!(run("average from 2026-01-01", &FINCAL), (cents(2660), cents(1140)));
    // Each its own cost: the seven newest go.
    assert_eq!(run("", &FINCAL), (cents(5 * 500 + 2 * 300), cents(2 * 200 + 300)));
}

#[test]
fn what_was_sold_keeps_its_cost_whatever_flow_begins_later_and_whatever_finds_are_called() {
    let mut shop = Shop::in_memory().unwrap();
    let old = buy(&mut shop, START, "plain mug", 4, cents(400));
    let new = buy(&mut shop, START.tomorrow().unwrap(), "Plain  mug", 4, cents(2000));
    sell(&mut shop, date(2026, 2, 1), new, 1).unwrap();
    let lines = |shop: &mut Shop| {
        shop.books().unwrap().entries().iter().map(|entry| entry.lines().to_vec()).collect::<Vec<_>>()
    };
    let before = lines(&mut shop);
    let refused = flow(&mut shop, "fifo from 2026-02-01").unwrap_err().to_string();
    assert_eq!(
        refused,
        "setting: cost flow can't be \"fifo from 2026-02-01\" where goods moved until 2026-02-01 by \"specific\"; \
         right would be one that begins on a later day, best on the first of a year: what has gone keeps its cost"
    );
    let number = flow(&mut shop, "fifo from 2026-03-01").unwrap();
    assert_eq!(lines(&mut shop), before);
    sell(&mut shop, date(2026, 2, 10), new, 1).unwrap();
    let cost = |shop: &mut Shop| shop.books().unwrap().net(Account::CostOfGoods, |_| true);
    assert_eq!(cost(&mut shop), cents(1000), "before the day each piece carries its own cost");
    sell(&mut shop, date(2026, 3, 1), new, 1).unwrap();
    assert_eq!(cost(&mut shop), cents(1100), "from the day on the oldest cost goes");
    assert!(shop.books().unwrap().is_frozen(HaulId(1)), "a haul whose cost went stands for good");
    let worse = Setting { name: COST_FLOW.to_owned(), value: String::new(), source: String::new() };
    assert!(shop.amend(&at(), number, &worse).is_err());
    assert!(shop.strike::<Setting>(&at(), number).is_err());
    let after = lines(&mut shop);
    let text = FindText { description: "another".to_owned(), ..shop.find_text(old).unwrap() };
    shop.describe_find(&at(), old, &text).unwrap();
    assert_eq!(lines(&mut shop), after);
    let stock: Money = shop.stock(date(2026, 3, 2)).unwrap().iter().map(|line| line.basis).sum();
    assert_eq!(stock, shop.books().unwrap().net(Account::Goods, |_| true));
    sell(&mut shop, date(2026, 3, 2), new, 1).unwrap();
    // The three costs left of the older haul and one of the newer: the new find has the one it was left with.
    assert_eq!(cost(&mut shop), cents(1600));
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_flow_that_is_none_is_refused_with_those_that_are() {
    let mut shop = Shop::in_memory().unwrap();
    let refused = flow(&mut shop, "lifo from 2026-01-01").unwrap_err().to_string();
    assert!(refused.contains("lifo") && refused.contains("specific, fifo or average"), "{refused}");
    assert!(shop.noted::<Setting>().unwrap().is_empty());
}

#[test]
fn unlike_finds_and_flawed_pieces_keep_their_costs_apart() {
    let mut shop = Shop::in_memory().unwrap();
    flow(&mut shop, "average from 2026-01-01").unwrap();
    let told = |sound, flawed, description: &str| NewFind {
        text: FindText { form: "mug".to_owned(), description: description.to_owned(), shelf: String::new() },
        sound,
        flawed,
        value: cents(100),
    };
    let bought = HaulIn {
        date: START,
        paid: cents(900),
        tax: None,
        freight: cents(0),
        flawed_carry: FlawedCarry::Nothing,
        finds: vec![told(3, 1, "plain"), told(3, 0, ""), told(3, 0, "")],
        ..haul()
    };
    let finds = shop.buy(&at(), &bought).unwrap().finds;
    buy(&mut shop, START, "", 3, cents(3000));
    let gone = |find, pieces: &[u32]| FromShelf {
        find,
        pieces: pieces.to_vec(),
        date: date(2026, 2, 1),
        how: Leaving::GivenAway,
        note: String::new(),
    };
    shop.leave_shelf(&at(), &gone(finds[0], &[4])).unwrap();
    assert_eq!(shop.books().unwrap().net(Account::GivenAway, |_| true), cents(0));
    shop.leave_shelf(&at(), &gone(finds[1], &[1])).unwrap();
    assert_eq!(shop.books().unwrap().net(Account::GivenAway, |_| true), cents(100));
}

#[derive(Debug, Clone)]
enum Step {
    Buy { ware: bool, pieces: u32, paid: i64 },
    Sell { find: prop::sample::Index, pieces: u32 },
    Leave { find: prop::sample::Index, how: u8 },
    Back { order: prop::sample::Index, broken: bool },
    Flow { average: bool, ahead: i64 },
}

fn step() -> impl Strategy<Value = Step> {
    let index = any::<prop::sample::Index>;
    prop_oneof![
        3 => (any::<bool>(), 1_u32..6, 0_i64..5000).prop_map(|(ware, pieces, paid)| Step::Buy { ware, pieces, paid }),
        5 => (index(), 1_u32..4).prop_map(|(find, pieces)| Step::Sell { find, pieces }),
        2 => (index(), 0_u8..3).prop_map(|(find, how)| Step::Leave { find, how }),
        2 => (index(), any::<bool>()).prop_map(|(order, broken)| Step::Back { order, broken }),
        1 => (any::<bool>(), 0_i64..3).prop_map(|(average, ahead)| Step::Flow { average, ahead }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn opening_and_purchases_are_cost_and_closing_and_every_piece_together_carries_what_was_paid(
        begin in 0_usize..3,
        steps in vec(step(), 4..24),
    ) {
        let mut shop = Shop::in_memory().unwrap();
        // A flow that holds from before the first purchase, or none.
        if let Some(value) = ["", "fifo from 2025-01-01", "average from 2025-01-01"].get(begin).filter(|one| !one.is_empty()) {
            flow(&mut shop, value).unwrap();
        }
        let mut finds = vec![buy(&mut shop, date(2025, 11, 20), "plain", 5, cents(999))];
        let mut orders = Vec::new();
        let mut paid = cents(999);
        let mut day = date(2025, 12, 1);
        for one in &steps {
            day = day.checked_add(3.days()).unwrap();
            match one {
                Step::Buy { ware, pieces, paid: cost } => {
                    let description = if *ware { "plain" } else { "banded" };
                    finds.push(buy(&mut shop, day, description, *pieces, cents(*cost)));
                    paid += cents(*cost);
                }
                Step::Sell { find, pieces } => {
                    if let Ok(order) = sell(&mut shop, day, *find.get(&finds), *pieces) {
                        orders.push(order);
                    }
                }
                Step::Leave { find, how } => {
                    let find = *find.get(&finds);
                    let free = shop.pieces(find).unwrap().iter().find(|p| p.fate == "on hand").map(|p| p.number);
                    let Some(number) = free else { continue };
                    let how = [Leaving::Broken, Leaving::GivenAway, Leaving::ForOneself][usize::from(*how)];
                    let left = FromShelf { find, pieces: vec![number], date: day, how, note: String::new() };
                    // Refused where the piece got its cost on a later day, or is promised.
                    let _ = shop.leave_shelf(&at(), &left);
                }
                Step::Back { order, broken } if !orders.is_empty() => {
                    let order = *order.get(&orders);
                    let sent = shop.books().unwrap().sent_in(order).unwrap();
                    let Some(part) = sent.first() else { continue };
                    let piece = PieceRef { find: part.pieces.find(), number: part.pieces.numbers()[0] };
                    let what = if *broken { CameBack::Broken } else { CameBack::Returned };
                    let back = ComingBack { order, date: day, what, pieces: vec![piece], note: String::new() };
                    shop.come_back(&at(), &back).unwrap();
                }
                Step::Back { .. } => {}
                Step::Flow { average, ahead } => {
                    let flows = shop.cost_flow().unwrap();
                    let next = if *average { CostFlow::Average } else { CostFlow::FirstInFirstOut };
                    let anew = flows.with(day.checked_add(ahead.days()).unwrap(), Some(next));
                    let setting = Setting {
                        name: COST_FLOW.to_owned(), value: anew.to_string(), source: String::new(),
                    };
                    let known = shop.noted::<Setting>().unwrap().first().map(|(number, _)| *number);
                    let _ = match known {
                        Some(number) => shop.amend(&at(), number, &setting),
                        None => shop.note(&at(), &setting).map(|_| ()),
                    };
                }
            }
        }
        let mut opening = cents(0);
        for year in [2025, 2026] {
            let sheet = shop.worksheet(year, &TaxTables::published()).unwrap();
            let line = |line| sheet.amount(line);
            prop_assert_eq!(line(SheetLine::OpeningStock), opening);
            let books = shop.books().unwrap();
            let net = |account| books.net(account, |day| day.year() == year);
            let gone: Money = [Account::CostOfGoods, Account::DamageLoss, Account::GivenAway].map(net).into_iter().sum();
            prop_assert_eq!(
                line(SheetLine::OpeningStock) + line(SheetLine::Purchases),
                gone + line(SheetLine::ClosingStock)
            );
            prop_assert_eq!(line(SheetLine::CostOfGoods), gone);
            opening = line(SheetLine::ClosingStock);
            let last = date(year, 12, 31);
            let stock: Money = stock_on(books, last).unwrap().iter().map(|row| row.basis).sum();
            prop_assert_eq!(stock, opening);
        }
        let books = shop.books().unwrap();
        let mut carried = cents(0);
        for haul in books.hauls() {
            for find in haul.finds() {
                for piece in 1..=find.pieces() {
                    let cost = books.carried(find.find().id, piece).unwrap();
                    prop_assert!(cost >= cents(0));
                    carried += cost;
                }
            }
        }
        prop_assert_eq!(carried, paid);
        prop_assert!(shop.check().unwrap().is_sound());
        prop_assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    }

    #[test]
    fn the_file_and_the_arithmetic_of_flows_agree(
        bought in vec((1_u32..8, 1_i64..900), 1..5),
        sold in vec(1_u32..5, 1..5),
        average in any::<bool>(),
    ) {
        let mut steps = Vec::new();
        let mut held = 0_u32;
        let mut sold = sold.into_iter();
        for (units, each) in bought {
            steps.push((units, each));
            held += units;
            if let Some(out) = sold.next().map(|out| out.min(held)).filter(|&out| out > 0) {
                steps.push((out, 0));
                held -= out;
            }
        }
        let (value, way) = if average {
            ("average from 2026-01-01", CostFlow::Average)
        } else {
            ("fifo from 2026-01-01", CostFlow::FirstInFirstOut)
        };
        let (cost, closing) = run(value, &steps);
        let right = reckoned(way, &steps);
        // A piece carries whole cents, and the pool of the arithmetic millionths: half a cent for each sale.
        let apart = if average { i64::try_from(steps.len()).unwrap() / 2 } else { 0 };
        prop_assert!((cost - right.cost_of_goods).cents().abs() <= apart, "{} {}", cost, right.cost_of_goods);
        prop_assert_eq!(cost + closing, right.cost_of_goods + right.closing);
    }
}

#[test]
fn a_sale_entered_late_after_its_cost_was_told_anew_is_refused_and_past_stock_stays_right() {
    let mut shop = Shop::in_memory().unwrap();
    flow(&mut shop, "fifo from 2026-01-01").unwrap();
    let old = buy(&mut shop, START, "plain", 2, cents(200));
    let new = buy(&mut shop, START, "plain", 2, cents(1000));
    sell(&mut shop, date(2026, 3, 10), new, 1).unwrap();
    let gone = |day, number| FromShelf {
        find: old,
        pieces: vec![number],
        date: day,
        how: Leaving::GivenAway,
        note: String::new(),
    };
    // The first piece still has its own cost, the second has that of the newer haul.
    let refused = shop.leave_shelf(&at(), &gone(date(2026, 3, 5), 2)).unwrap_err().to_string();
    assert!(refused.contains("got its cost, on 2026-03-10"), "{refused}");
    shop.leave_shelf(&at(), &gone(date(2026, 3, 10), 2)).unwrap();
    let books = shop.books().unwrap();
    for day in [START, date(2026, 3, 5), date(2026, 3, 9), date(2026, 3, 10)] {
        let stock: Money = stock_on(books, day).unwrap().iter().map(|row| row.basis).sum();
        assert_eq!(stock, books.net(Account::Goods, |other| other <= day), "{day}");
    }
    assert_eq!(books.net(Account::GivenAway, |_| true), cents(100));
}
