//! Laws that hold for any run of money events, in any order, with any of them refused.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use books::*;
use jiff::civil::{Date, date};
use jiff::{Span, ToSpan};
use measure::Money;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::ValueTree;

/// Something the person tries to enter.
#[derive(Debug, Clone)]
enum Event {
    Haul { paid: i64, tax: Option<i64>, freight: i64, finds: Vec<(u32, u32, i64)>, split: bool, flawed: bool },
    Order { find: Index, count: u32, item: i64, shipping: i64, tax: i64, send: bool, mixed: bool },
    Send { order: Index, find: Index, count: u32 },
    Refund { order: Index, amount: i64 },
    Return { order: Index },
    BreakOnTheWay { order: Index },
    FromShelf { find: Index, count: u32, how: u8 },
    Fee { order: Index, amount: i64, back: bool },
    Postage { order: Index, amount: i64, adjustment: u8 },
    Claim { order: Index, amount: i64 },
    Payout { amount: i64 },
    Supplies { quantity: f64, cost: i64 },
    UseSupplies { quantity: f64, order: Index },
    Expense { amount: i64 },
    Adjust { haul: Index, amount: i64 },
    Correct { entry: Index },
}

fn event() -> impl Strategy<Value = Event> {
    let cents = 0_i64..20_000;
    let index = any::<Index>;
    let find = (0_u32..12, 0_u32..4, prop_oneof![Just(0_i64), 1_i64..20_000]);
    prop_oneof![
        4 => (
            cents.clone(), proptest::option::of(0_i64..900), 0_i64..900, vec(find, 0..4), any::<bool>(),
            any::<bool>(),
        )
            .prop_map(|(paid, tax, freight, finds, split, flawed)| Event::Haul {
                paid, tax, freight, finds, split, flawed,
            }),
        6 => (index(), 0_u32..6, cents.clone(), 0_i64..2000, 0_i64..900, any::<bool>(), any::<bool>())
            .prop_map(|(find, count, item, shipping, tax, send, mixed)| Event::Order {
                find, count, item, shipping, tax, send, mixed,
            }),
        3 => (index(), index(), 0_u32..5).prop_map(|(order, find, count)| Event::Send { order, find, count }),
        2 => (index(), cents.clone()).prop_map(|(order, amount)| Event::Refund { order, amount }),
        4 => index().prop_map(|order| Event::Return { order }),
        1 => index().prop_map(|order| Event::BreakOnTheWay { order }),
        2 => (index(), 0_u32..4, 0_u8..3).prop_map(|(find, count, how)| Event::FromShelf { find, count, how }),
        2 => (index(), 0_i64..900, any::<bool>()).prop_map(|(order, amount, back)| Event::Fee {
            order, amount, back,
        }),
        2 => (index(), 0_i64..2000, 0_u8..3).prop_map(|(order, amount, adjustment)| Event::Postage {
            order, amount, adjustment,
        }),
        1 => (index(), cents.clone()).prop_map(|(order, amount)| Event::Claim { order, amount }),
        1 => cents.clone().prop_map(|amount| Event::Payout { amount }),
        2 => (0.0..50.0, cents.clone()).prop_map(|(quantity, cost)| Event::Supplies { quantity, cost }),
        3 => (0.0..9.0, index()).prop_map(|(quantity, order)| Event::UseSupplies { quantity, order }),
        1 => cents.clone().prop_map(|amount| Event::Expense { amount }),
        1 => (index(), -900_i64..900).prop_map(|(haul, amount)| Event::Adjust { haul, amount }),
        4 => index().prop_map(|entry| Event::Correct { entry }),
    ]
}

const SUPPLY: SupplyId = SupplyId(1);
const FIRST_DAY: Date = date(2025, 11, 1);

struct Desk {
    books: Books,
    day: Date,
    hauls: u64,
    finds: Vec<FindId>,
    orders: Vec<OrderId>,
}

impl Desk {
    fn voucher(&self) -> Voucher {
        Voucher { id: self.books.next_entry(), date: self.day }
    }

    fn order(&self, index: &Index) -> OrderId {
        if self.orders.is_empty() { OrderId(99) } else { *index.get(&self.orders) }
    }

    fn find(&self, index: &Index) -> FindId {
        if self.finds.is_empty() { FindId(99_999) } else { *index.get(&self.finds) }
    }

    fn post(&mut self, entry: Result<Entry, BooksError>) -> Result<(), BooksError> {
        let before = self.books.clone();
        let posted = entry.and_then(|entry| self.books.post(entry));
        if posted.is_err() {
            assert_eq!(self.books, before, "a refused entry leaves the books as they were");
        }
        posted
    }

    fn try_to(&mut self, event: &Event) -> Result<(), BooksError> {
        let cents = Money::from_cents;
        let voucher = self.voucher();
        match event {
            Event::Haul { paid, tax, freight, finds, split, flawed } => {
                self.hauls += 1;
                let id = self.hauls;
                let finds = (1_u64..).zip(finds).map(|(at, &(sound, flawed, value))| BoughtFind {
                    id: FindId(id * 100 + at),
                    sound,
                    flawed,
                    value: cents(value),
                });
                let haul = Haul::new(HaulRecord {
                    id: HaulId(id),
                    date: self.day,
                    place: format!("place {}", id % 3),
                    paid: cents(*paid),
                    tax: tax.map_or(PurchaseTax::Exempt, |tax| PurchaseTax::Paid(cents(tax))),
                    freight_in: cents(*freight),
                    split: if *split { SplitRule::ByValue } else { SplitRule::PerPiece },
                    flawed: if *flawed { FlawedCarry::Nothing } else { FlawedCarry::Share },
                    finds: finds.collect(),
                })?;
                let entry = haul_bought(voucher.id, &haul, Purse::Cash, Purse::Card);
                self.finds.extend(haul.finds().iter().map(|basis| basis.find().id));
                self.books.add_haul(haul)?;
                self.post(entry)
            }
            Event::Order { find, count, item, shipping, tax, send, mixed } => {
                let (order, find) = (OrderId(self.orders.len() as u64 + 1), self.find(find));
                let mut parts = vec![SoldPart { lot: LotId(find.0), find, item: cents(*item) }];
                if *mixed {
                    let other = self.finds.first().copied().unwrap_or(find);
                    parts.push(SoldPart { lot: LotId(other.0), find: other, item: cents(777) });
                }
                let tax = if *mixed { BuyerTax::ByMe(cents(*tax)) } else { BuyerTax::ByVenue(cents(*tax)) };
                let money =
                    OrderMoney { order, parts, shipping: cents(*shipping), tax, into: Purse::Platform };
                self.books.basis_of(find)?;
                self.post(order_paid(voucher, &money))?;
                self.orders.push(order);
                if *send { self.send(order, find, *count) } else { Ok(()) }
            }
            Event::Send { order, find, count } => {
                let (order, find) = (self.order(order), self.find(find));
                self.send(order, find, *count)
            }
            Event::Refund { order, amount } => {
                let order = self.order(order);
                self.post(refund(
                    voucher,
                    &RefundMoney {
                        order,
                        amount: cents(*amount),
                        tax: BuyerTax::None,
                        part: Part::default(),
                        from: Purse::Platform,
                    },
                ))
            }
            Event::Return { order } => {
                let order = self.order(order);
                let parts = self.books.sent_in(order)?;
                self.post(returned(voucher, order, &parts))
            }
            Event::BreakOnTheWay { order } => {
                let order = self.order(order);
                let parts = self.books.sent_in(order)?;
                self.post(broken_on_the_way(voucher, order, &parts))
            }
            Event::FromShelf { find, count, how } => {
                let pieces = [self.books.pick(self.find(find), *count, Soundness::Any)?];
                self.post(match how {
                    0 => broken_at_home(voucher, &pieces),
                    1 => given_away(voucher, &pieces),
                    _ => taken_for_oneself(voucher, &pieces),
                })
            }
            Event::Fee { order, amount, back } => {
                let (order, charge) = (Some(self.order(order)), Charge::Fee(cents(*amount)));
                self.post(if *back {
                    fee_returned(voucher, order, charge, Purse::Platform)
                } else {
                    fee(voucher, order, charge, Purse::Platform)
                })
            }
            Event::Postage { order, amount, adjustment } => {
                let (order, amount) = (self.order(order), cents(*amount));
                self.post(match adjustment {
                    0 => postage_bought(voucher, order, amount, Purse::Platform),
                    1 => postage_adjusted(voucher, order, Adjustment::More(amount), Purse::Platform),
                    _ => postage_adjusted(voucher, order, Adjustment::Back(amount), Purse::Card),
                })
            }
            Event::Claim { order, amount } => {
                self.post(claim_paid(voucher, self.order(order), cents(*amount), Purse::Cash))
            }
            Event::Payout { amount } => self.post(payout(voucher, cents(*amount), Purse::Cash)),
            Event::Supplies { quantity, cost } => {
                let quantity = Quantity::units(*quantity)?;
                self.post(supplies_bought(voucher, SUPPLY, quantity, cents(*cost), Purse::OwnPocket))
            }
            Event::UseSupplies { quantity, order } => {
                let quantity = Quantity::units(*quantity)?;
                let cost = self.books.supply_cost(SUPPLY, quantity)?;
                self.post(supplies_used(voucher, SUPPLY, quantity, cost, Some(self.order(order))))
            }
            Event::Expense { amount } => {
                self.post(expense(voucher, Expense::Office, cents(*amount), Purse::Cash, "paper"))
            }
            Event::Adjust { haul, amount } => {
                let haul = HaulId(haul.index(usize::try_from(self.hauls).unwrap() + 1) as u64);
                let difference = match amount {
                    0.. => Adjustment::More(cents(*amount)),
                    _ => Adjustment::Back(cents(-amount)),
                };
                self.post(haul_adjusted(voucher, haul, difference, Purse::Cash))
            }
            Event::Correct { entry } => {
                if self.books.entries().is_empty() {
                    return Ok(());
                }
                // Mostly what was entered last; older pieces have often moved on.
                let entries = self.books.entries();
                let late = &entries[entries.len().saturating_sub(5)..];
                let entry = entry.get(late).reversed(voucher, "wrong");
                self.post(entry)
            }
        }
    }

    fn send(&mut self, order: OrderId, find: FindId, count: u32) -> Result<(), BooksError> {
        let pieces = self.books.pick(find, count, Soundness::Any)?;
        let parts = [SentPart { lot: Some(LotId(find.0)), pieces }];
        self.post(goods_sent(self.voucher(), order, &parts))
    }
}

/// A run of events over about two turns of the year, and whether a purchase was taken back.
fn run(events: &[(Event, i64)]) -> (Books, Date, usize) {
    let mut desk =
        Desk { books: Books::default(), day: FIRST_DAY, hauls: 0, finds: Vec::new(), orders: Vec::new() };
    let mut refused = 0;
    for (event, days) in events {
        desk.day = desk.day.checked_add(Span::new().days(*days)).unwrap();
        refused += usize::from(desk.try_to(event).is_err());
    }
    (desk.books, desk.day, refused)
}

fn run_of_events() -> impl Strategy<Value = Vec<(Event, i64)>> {
    vec((event(), 0_i64..12), 1..70)
}

fn years(last: Date) -> impl Iterator<Item = i16> {
    FIRST_DAY.year()..=last.year()
}

fn all_days(_: Date) -> bool {
    true
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn every_entry_balances_and_so_do_the_accounts(events in run_of_events()) {
        let (books, _, _) = run(&events);
        for entry in books.entries() {
            prop_assert_eq!(entry.lines().iter().map(Line::signed).sum::<Money>(), Money::ZERO);
        }
        let whole: Money = Account::ALL.into_iter().map(|account| books.net(account, all_days)).sum();
        prop_assert_eq!(whole, Money::ZERO);
    }

    #[test]
    fn goods_that_came_in_are_cost_of_goods_or_closing_stock(events in run_of_events()) {
        let (books, last, _) = run(&events);
        for year in years(last).filter(|&year| year <= 2026) {
            let sheet = year_worksheet(&books, year, &TaxTables::published()).unwrap();
            let of_year = |account| books.net(account, |day: Date| day.year() == year);
            let relieved: Money = [Account::CostOfGoods, Account::DamageLoss, Account::GivenAway]
                .into_iter()
                .map(of_year)
                .sum();
            let cost = sheet.cost;
            prop_assert_eq!(
                cost.opening + cost.purchases + cost.other - cost.personal,
                relieved + cost.closing
            );
            prop_assert_eq!(sheet.amount(SheetLine::CostOfGoods), relieved);
            let earned: Money = Account::ALL
                .into_iter()
                .filter(|account| matches!(account.class(), Class::Income | Class::Expense))
                .map(|account| -of_year(account))
                .sum();
            prop_assert_eq!(sheet.amount(SheetLine::NetProfit), earned);
            let deposits = sheet.deposits;
            prop_assert_eq!(deposits.opening + deposits.expected(), deposits.paid_out + deposits.closing);
        }
    }

    #[test]
    fn pieces_of_a_haul_carry_what_was_paid(events in run_of_events()) {
        let (books, _, _) = run(&events);
        for haul in books.hauls() {
            let pieces = haul.finds().iter().flat_map(|basis| (1..=basis.pieces()).map(|n| basis.piece(n)));
            let pieces: Vec<Money> = pieces.collect();
            prop_assert!(pieces.iter().all(|&basis| basis >= Money::ZERO));
            let record = haul.record();
            let tax = match record.tax { PurchaseTax::Exempt => Money::ZERO, PurchaseTax::Paid(tax) => tax };
            prop_assert_eq!(pieces.into_iter().sum::<Money>(), record.paid + tax + record.freight_in);
        }
    }

    #[test]
    fn every_piece_is_somewhere_and_stock_at_cost_is_the_goods_account(events in run_of_events()) {
        let (books, last, _) = run(&events);
        let purchase_undone = books
            .entries()
            .iter()
            .any(|entry| entry.kind() == Kind::HaulBought && entry.corrects().is_some());
        let mut days = vec![last];
        if !purchase_undone {
            days.extend(books.entries().iter().map(Entry::date));
        }
        for day in days {
            let rows = stock_on(&books, day).unwrap();
            for row in &rows {
                let everywhere = row.on_hand + row.sold + row.broken + row.given_away + row.personal;
                prop_assert_eq!(row.bought, everywhere);
                prop_assert!((0.0..=1.0).contains(&row.sell_through()));
            }
            let at_cost: Money = rows.iter().map(|row| row.basis).sum();
            prop_assert_eq!(books.net(Account::Goods, |date| date <= day), at_cost);
            prop_assert!(at_cost >= Money::ZERO);
            let aged: Money = aged_stock(&books, day).unwrap().into_values().sum();
            prop_assert_eq!(aged, at_cost);
        }
        for (find, row) in stock_on(&books, last).unwrap().into_iter().map(|row| (row.find, row)) {
            prop_assert_eq!(books.count(find, Fate::OnHand).unwrap(), row.on_hand);
            prop_assert_eq!(books.count(find, Fate::Sold).unwrap(), row.sold);
        }
    }

    #[test]
    fn supplies_in_the_accounts_are_those_in_the_pool(events in run_of_events()) {
        let (books, _, _) = run(&events);
        let pool = books.supply(SUPPLY);
        prop_assert_eq!(books.net(Account::SuppliesOnHand, all_days), pool.cost());
        prop_assert!(pool.cost() >= Money::ZERO);
        if pool.on_hand() == Quantity::NONE {
            prop_assert_eq!(pool.cost(), Money::ZERO);
        }
    }

    #[test]
    fn every_grouping_adds_up_to_the_same(events in run_of_events()) {
        let (books, last, _) = run(&events);
        let work: Vec<Work> = books
            .entries()
            .iter()
            .map(|entry| Work {
                date: entry.date(),
                minutes: u32::try_from(entry.id().0 % 50).unwrap(),
                order: entry.about().order,
                part: Part::default(),
                haul: entry.about().haul,
            })
            .collect();
        let sum = |by: By| {
            let rows = report(&books, &work, by, FIRST_DAY, last).unwrap();
            let mut total: BTreeMap<&str, i64> = BTreeMap::new();
            for row in rows.values() {
                for (name, cents) in [
                    ("revenue", row.revenue().cents()),
                    ("net", row.net().cents()),
                    ("fees", row.fees.cents()),
                    ("postage", row.postage.cents()),
                    ("materials", row.materials.cents()),
                    ("basis", row.basis.cents()),
                    ("losses", row.losses.cents()),
                    ("minutes", i64::try_from(row.minutes).unwrap()),
                    ("pieces", row.pieces),
                ] {
                    *total.entry(name).or_default() += cents;
                }
            }
            total.retain(|_, cents| *cents != 0);
            total
        };
        let whole = sum(By::Year);
        for by in [By::Order, By::Lot, By::Find, By::Haul, By::Place, By::Month] {
            prop_assert_eq!(&sum(by), &whole, "{:?}", by);
        }
        let earned: Money = Account::ALL
            .into_iter()
            .filter(|account| matches!(account.class(), Class::Income | Class::Expense))
            .map(|account| -books.net(account, all_days))
            .sum();
        prop_assert_eq!(whole.get("net").copied().unwrap_or(0), earned.cents());
    }

    #[test]
    fn what_was_tried_since_a_mark_is_taken_back_whole_and_what_is_kept_stays(
        events in run_of_events(), tried in 0_usize..40,
    ) {
        let mut desk = Desk { books: Books::default(), day: FIRST_DAY, hauls: 0, finds: vec![], orders: vec![] };
        let first = events.len().saturating_sub(tried);
        for (event, _) in events.iter().take(first) {
            let _ = desk.try_to(event);
        }
        let before = desk.books.clone();
        let outer = desk.books.mark();
        for (k, (event, _)) in events.iter().skip(first).enumerate() {
            let inner_before = desk.books.clone();
            let inner = desk.books.mark();
            let _ = desk.try_to(event);
            if k % 3 == 0 {
                desk.books.back_to(inner);
                prop_assert_eq!(&desk.books, &inner_before);
            } else {
                let after = desk.books.clone();
                desk.books.keep(inner);
                prop_assert_eq!(&desk.books, &after);
            }
        }
        desk.books.back_to(outer);
        prop_assert_eq!(&desk.books, &before);
    }

    #[test]
    fn books_read_back_are_the_same_books(events in run_of_events()) {
        let (books, _, _) = run(&events);
        let rebuilt: Vec<Entry> = books
            .entries()
            .iter()
            .map(|entry| {
                let voucher = Voucher { id: entry.id(), date: entry.date() };
                let mut draft = EntryDraft::new(voucher, entry.kind()).about(entry.about()).note(entry.note());
                for line in entry.lines() {
                    draft = draft.line(*line);
                }
                for step in entry.moves() {
                    draft = draft.moving(step.clone());
                }
                for memo in entry.memos() {
                    draft = draft.memo(memo.clone());
                }
                if let Some(id) = entry.corrects() {
                    draft = draft.correcting(id);
                }
                draft.build().unwrap()
            })
            .collect();
        let again = Books::replay(books.hauls().cloned(), rebuilt).unwrap();
        prop_assert_eq!(again, books);
    }

    #[test]
    fn splits_conserve_and_are_fair_to_a_cent(
        total in 0_i64..1_000_000_000,
        weights in vec(0_i64..1_000_000, 1..30),
    ) {
        let whole: i64 = weights.iter().sum();
        prop_assume!(whole > 0);
        let parts = allocate(Money::from_cents(total), &weights).unwrap();
        prop_assert_eq!(parts.iter().copied().sum::<Money>(), Money::from_cents(total));
        for (part, weight) in parts.iter().zip(&weights) {
            let exact = i128::from(total) * i128::from(*weight);
            let off = i128::from(part.cents()) * i128::from(whole) - exact;
            prop_assert!(off.abs() < i128::from(whole), "within a cent of the exact share");
            prop_assert!(*weight > 0 || *part == Money::ZERO);
        }
        let groups: Vec<u32> = weights.iter().map(|&weight| u32::try_from(weight).unwrap()).collect();
        let parts = allocate_over_pieces(Money::from_cents(total), &groups).unwrap();
        prop_assert_eq!(parts.into_iter().sum::<Money>(), Money::from_cents(total));
    }

    #[test]
    fn a_flow_of_units_conserves_cents(
        layers in vec((1_u32..60, 0_i64..50_000), 1..12),
        issues in vec(1_u32..40, 1..12),
    ) {
        let bought: Money = layers.iter().map(|&(_, cost)| Money::from_cents(cost)).sum();
        let mut movements: Vec<UnitMovement> = Vec::new();
        for (at, &(units, cost)) in layers.iter().enumerate() {
            movements.push(UnitMovement::In { units, cost: Money::from_cents(cost) });
            if let Some(&units) = issues.get(at) {
                movements.push(UnitMovement::Out { units });
            }
        }
        for flow in [CostFlow::FirstInFirstOut, CostFlow::Average] {
            let mut closed = Vec::new();
            for system in [CostSystem::Perpetual, CostSystem::Periodic] {
                if let Ok(found) = flow_cost(flow, system, &movements) {
                    prop_assert_eq!(found.cost_of_goods + found.closing, bought);
                    prop_assert!(found.cost_of_goods >= Money::ZERO && found.closing >= Money::ZERO);
                    if found.closing_units == 0 {
                        prop_assert_eq!(found.closing, Money::ZERO);
                    }
                    closed.push(found);
                }
            }
            if let (CostFlow::FirstInFirstOut, [perpetual, periodic]) = (flow, closed.as_slice()) {
                prop_assert_eq!(perpetual, periodic, "first in first out is the same either way");
            }
        }
    }
}

#[test]
fn most_of_what_is_tried_is_taken() {
    // A run that refuses everything would prove nothing.
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut tried, mut refused, mut kinds) = (0, 0, std::collections::BTreeSet::new());
    for _ in 0..200 {
        let events = run_of_events().new_tree(&mut runner).unwrap().current();
        let (books, last, no) = run(&events);
        tried += events.len();
        refused += no;
        kinds.extend(books.entries().iter().map(|entry| (entry.kind(), entry.corrects().is_some())));
        assert!(last <= FIRST_DAY.checked_add(2.years()).unwrap().checked_add(60.days()).unwrap());
    }
    assert!(refused * 2 < tried, "{refused} of {tried}");
    for kind in [
        Kind::HaulBought,
        Kind::GoodsSent,
        Kind::Returned,
        Kind::Damage,
        Kind::Refund,
        Kind::SuppliesUsed,
        Kind::PersonalWithdrawal,
    ] {
        assert!(kinds.contains(&(kind, false)) && kinds.contains(&(kind, true)), "{kind}");
    }
    assert!(kinds.contains(&(Kind::HaulAdjusted, false)));
}
