//! Laws that hold for any run of events over a year, with any of them refused.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use proptest::collection::vec;
use proptest::prelude::*;
use shop::*;

/// Something the person tries to enter; the figures choose records and amounts.
#[derive(Debug, Clone)]
struct Try {
    what: u8,
    a: u8,
    b: u8,
    c: u16,
}

const KINDS: u8 = 22;

fn tries() -> impl Strategy<Value = Vec<Try>> {
    let one =
        (0..KINDS, any::<u8>(), any::<u8>(), 0_u16..9000).prop_map(|(what, a, b, c)| Try { what, a, b, c });
    vec(one, 20..80)
}

fn one_of(count: u64, choice: u8) -> u64 {
    // Sometimes one that isn't there.
    1 + u64::from(choice) % (count + 1).max(1)
}

fn attempt(shop: &mut Shop, day: Date, t: &Try) -> Result<(), ShopError> {
    let stamp = at();
    let hauls = shop.books()?.hauls().count() as u64;
    let orders = shop.orders()?.len() as u64;
    let listings = shop.listings()?.len() as u64;
    let supplies = shop.noted::<Supply>()?.len() as u64;
    let find = FindId(one_of(hauls * 2, t.b));
    // Mostly an order that waits to be packed, as most of what can be done is done with these.
    let mut open = shop.bench()?;
    open.retain(|row| t.what != 8 || !row.paid);
    let order_id = match open.get(usize::from(t.a) % (open.len() + 1)) {
        Some(row) if matches!(t.what, 8..=12 | 15 | 19) => row.order,
        Some(_) | None => OrderId(one_of(orders, t.a)),
    };
    let amount = cents(i64::from(t.c));
    let money =
        |movement| moved(day, [Purse::Cash, Purse::Platform, Purse::Card][usize::from(t.b % 3)], movement);
    let whole = haul();
    let told = HaulIn {
        date: day,
        paid: amount,
        tax: (!t.a.is_multiple_of(3)).then(|| cents(i64::from(t.a))),
        split: if t.a.is_multiple_of(2) { SplitRule::ByValue } else { SplitRule::PerPiece },
        flawed_carry: if t.b.is_multiple_of(2) { FlawedCarry::Share } else { FlawedCarry::Nothing },
        finds: vec![
            find_of("cup", u32::from(t.a % 13), u32::from(t.b % 3), i64::from(t.c) * 3),
            find_of("saucer", u32::from(t.b % 9), 0, i64::from(t.b)),
        ],
        ..whole
    };
    match t.what {
        0 | 1 => shop.buy(&stamp, &told).map(|_| ()),
        2 => shop.amend_haul(&stamp, HaulId(one_of(hauls, t.a)), day, &told),
        3 | 4 => {
            let pieces = u32::from(t.a % 5);
            let which = [Which::Sound, Which::Flawed, Which::Any][usize::from(t.c % 3)];
            let mut parts = vec![ListingPart { find, pieces, which }];
            if t.a.is_multiple_of(2) {
                parts.push(ListingPart {
                    find: FindId(one_of(hauls * 2, t.a)),
                    pieces: 1,
                    which: Which::Sound,
                });
            }
            let new = ListingIn {
                venue: None,
                title: "lot".to_owned(),
                lots: u32::from(t.b % 4).max(u32::from(t.c % 2)),
                price: amount,
                floor: None,
                listed_on: day,
                ended: t.c.is_multiple_of(13),
                card: serde_json::json!({}),
                parts,
            };
            if t.c.is_multiple_of(4) {
                let listing = LotId(one_of(listings, t.a));
                let old = shop.listing(listing)?.entered;
                shop.relist(&stamp, listing, &ListingIn { parts: old.parts, ..new })
            } else {
                shop.list(&stamp, &new).map(|_| ())
            }
        }
        5..=7 => {
            let on_offer: Vec<_> = shop.listings()?.into_iter().filter(|one| one.available() > 0).collect();
            let chosen = on_offer.get(usize::from(t.a) % (on_offer.len() + 1));
            let listing = chosen.map_or(LotId(one_of(listings, t.a)), |listing| listing.id);
            let mut new = order(listing, u32::from(t.b % 3));
            new.lines[0].item = amount;
            if t.a.is_multiple_of(8) {
                new.lines.push(OrderLine {
                    listing: LotId(one_of(listings, t.b)),
                    lots: 1,
                    item: cents(500),
                });
            }
            new.ordered_on = day;
            new.paid = (!t.c.is_multiple_of(4)).then_some(Payment { date: day, into: Purse::Platform });
            new.tax =
                if t.a.is_multiple_of(2) { BuyerTax::ByMe(cents(70)) } else { BuyerTax::ByVenue(cents(70)) };
            shop.take_order(&stamp, &new).map(|_| ())
        }
        8 => shop.pay_order(&stamp, order_id, Payment { date: day, into: Purse::Cash }),
        9 => {
            let units = f64::from(t.b % 6) / 2.0;
            let parcel = plan(vec![need(SupplyId(one_of(supplies, t.a)), units)]);
            shop.plan_order(&stamp, order_id, &vec![parcel; usize::from(t.c % 3)]).map(|_| ())
        }
        10 | 11 => {
            let used = need(SupplyId(one_of(supplies, t.a)), f64::from(t.b % 3));
            let used = if t.b.is_multiple_of(3) { vec![] } else { vec![used] };
            let parcels = vec![actual(used); usize::from(t.c % 3)];
            shop.ship_order(&stamp, &Shipped { date: day, ..shipped(order_id, parcels) })
        }
        12 => shop.cancel_order(&stamp, &Cancelled { order: order_id, date: day, from: Purse::Platform }),
        19 => {
            let pull = shop.pull_list(order_id)?;
            let all = pull
                .iter()
                .flat_map(|row| row.pieces.iter().map(move |&number| PieceRef { find: row.find, number }));
            let pieces = all.skip(usize::from(t.b % 2)).take(1 + usize::from(t.c % 4)).collect();
            let parcel = shop.parcels(order_id)?.first().map(|one| one.id).filter(|_| t.c.is_multiple_of(2));
            let part = PartSent {
                order: order_id,
                date: day,
                postage_from: Purse::Platform,
                parcel,
                pieces,
                actual: actual(vec![]),
            };
            shop.ship_part(&stamp, &part)
        }
        20 => {
            let flows = shop.cost_flow()?;
            let next = [None, Some(CostFlow::FirstInFirstOut), Some(CostFlow::Average)][usize::from(t.a % 3)];
            let anew = flows.with(day.checked_add(i64::from(t.b % 4).days()).unwrap(), next);
            let setting =
                Setting { name: COST_FLOW.to_owned(), value: anew.to_string(), source: String::new() };
            shop.put_settings(&stamp, &[setting], &[])
        }
        21 => {
            let back = shop.books()?.entries().iter().rfind(|entry| {
                matches!(entry.kind(), Kind::Returned | Kind::Damage) && entry.corrects().is_none()
            });
            let entry = back.map_or(EntryId(1), Entry::id);
            shop.take_back(&stamp, entry, day, "wrong").map(|_| ())
        }
        13 => {
            let what = if t.b.is_multiple_of(2) { CameBack::Returned } else { CameBack::Broken };
            let sent = shop.books()?.sent_in(order_id)?;
            let all = sent.iter().flat_map(|part| {
                let find = part.pieces.find();
                part.pieces.numbers().iter().map(move |&number| PieceRef { find, number })
            });
            let pieces = all.take(1 + usize::from(t.c % 4)).collect();
            shop.come_back(
                &stamp,
                &ComingBack { order: order_id, date: day, what, pieces, note: String::new() },
            )
            .map(|_| ())
        }
        14 => {
            let how = [Leaving::Broken, Leaving::GivenAway, Leaving::ForOneself][usize::from(t.c % 3)];
            let pieces = vec![u32::from(t.a % 6)];
            shop.leave_shelf(&stamp, &FromShelf { find, pieces, date: day, how, note: String::new() })
                .map(|_| ())
        }
        15 => {
            let pull = shop.pull_list(order_id)?;
            let promised = pull.first().map(|row| (row.find, row.pieces[0]));
            let (find, number) = promised.unwrap_or((find, u32::from(t.a % 9)));
            let piece = |number| PieceRef { find, number };
            let swap = Swap { out: piece(number), r#in: piece(u32::from(t.b % 15)), why: String::new() };
            shop.swap_piece(&stamp, &swap).map(|_| ())
        }
        16 => {
            let entries = shop.books()?.entries().len() as u64;
            shop.take_back(&stamp, EntryId(one_of(entries, t.a)), day, "").map(|_| ())
        }
        17 => {
            let items = shop.order(order_id)?.lines.iter().map(|_| amount.into()).collect();
            let payment = Payment { date: day, into: Purse::Platform };
            let tax = BuyerTax::None;
            shop.reprice_order(
                &stamp,
                &OrderRepriced { order: order_id, items, shipping: amount, tax, payment },
            )
        }
        _ => {
            let supply = SupplyId(one_of(supplies, t.b));
            let quantity = Quantity::units(f64::from(t.a) / 8.0).unwrap();
            let movement = match t.a % 6 {
                0 => Movement::Fee { order: Some(order_id), amount, advertising: t.b.is_multiple_of(2) },
                1 => Movement::Refund { order: order_id, amount, tax: BuyerTax::None, lot: None, find: None },
                2 => Movement::SuppliesBought { supply, quantity, cost: amount },
                3 => Movement::SuppliesUsed { supply, quantity, order: None },
                4 => Movement::HaulAdjusted {
                    haul: HaulId(one_of(hauls, t.b)),
                    amount,
                    back: t.b.is_multiple_of(2),
                },
                _ => Movement::Payout { amount },
            };
            shop.move_money(&stamp, &money(movement)).map(|_| ())
        }
    }
}

fn find_of(form: &str, sound: u32, flawed: u32, value: i64) -> NewFind {
    find(form, "A1", sound, flawed, value)
}

/// A shop with something to go on with.
fn begun() -> Shop {
    let (mut shop, ..) = shop();
    supply(&mut shop, "carton 12");
    supply(&mut shop, "carton 14");
    shop
}

fn counts(shop: &mut Shop) -> (usize, usize, usize) {
    let books = shop.books().unwrap();
    (books.entries().len(), books.hauls().count(), shop.orders().unwrap().len())
}

/// All that is kept or read on, of one moment.
#[derive(Debug, PartialEq)]
struct Told {
    stock: StockReport,
    supplies: Vec<SupplyState>,
    months: std::collections::BTreeMap<Key, Earned>,
    finds: std::collections::BTreeMap<Key, Earned>,
    work: Vec<Work>,
    bench: Vec<BenchRow>,
    late: u32,
    orders: (Vec<OrderRow>, (u32, u32)),
    listings: u32,
    tuned: Vec<Tuned>,
    first_order: Earned,
}

fn told(shop: &mut Shop, day: Date) -> Result<Told, ShopError> {
    let from = date(2026, 1, 1);
    shop.at_one_moment(|shop| {
        Ok(Told {
            stock: StockReport::clone(&*shop.stock_report(day)?),
            supplies: shop.supplies(day, 90)?,
            months: shop.earned(By::Month, from, day)?,
            finds: shop.earned(By::Find, from, day)?,
            work: shop.packing_work()?,
            bench: shop.bench()?,
            late: shop.count_late(day)?,
            orders: (shop.orders_from(0, 100)?, shop.count_orders()?),
            listings: shop.count_listings(Listings::Up)?,
            tuned: shop.tuned()?,
            first_order: shop.order_earned(OrderId(1))?,
        })
    })
}

/// The same from the tables and the books alone, nothing kept.
fn plainly(shop: &mut Shop) -> Result<(Vec<BenchRow>, Vec<Work>), ShopError> {
    Ok((shop.bench()?, shop.packing_work()?))
}

fn checked(shop: &mut Shop, day: Date) -> Result<(), TestCaseError> {
    let (from, work) = (date(2026, 1, 1), shop.packing_work().unwrap());
    for by in [By::Month, By::Year] {
        let rows = report(shop.books().unwrap(), &work, by, from, day).unwrap();
        prop_assert_eq!(shop.earned(by, from, day).unwrap(), rows);
    }
    let minutes = work.iter().filter(|one| one.order == Some(OrderId(1))).map(|one| u64::from(one.minutes));
    let earned = of_order(shop.books().unwrap(), OrderId(1), minutes.sum());
    prop_assert_eq!(shop.order_earned(OrderId(1)).unwrap(), earned);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn what_is_kept_and_read_on_is_what_is_read_anew(tries in tries()) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("trade.shop");
        begun().back_up(&path).unwrap();
        let mut writer = Shop::open(&path, now()).unwrap();
        let mut reader = writer.another().unwrap();
        // As another program has it: it reads only what came since.
        let mut program = Shop::open(&path, now()).unwrap();
        let (mut day, last) = (date(2026, 3, 8), date(2027, 3, 7));
        for (turn, one) in tries.iter().enumerate() {
            if turn % 7 == 5 {
                let told = find("teapot", "C1", 1 + u32::from(one.a % 3), 0, 900);
                let _ = program.bring_in(&at(), ["Hall", "Shed"][turn % 2], &HaulIn { date: day, finds: vec![told], ..haul() });
            }
            let by = if one.c.is_multiple_of(5) { &mut program } else { &mut writer };
            let _ = attempt(by, day, one);
            // Who still holds the books makes the others go on with a copy, after a wait.
            by.rest();
            if turn % 6 == 0 || turn + 1 == tries.len() {
                let mut anew = Shop::open(&path, now()).unwrap();
                for known in [&mut reader, &mut program] {
                    prop_assert_eq!(known.books().unwrap(), anew.books().unwrap());
                    prop_assert_eq!(told(known, day).unwrap(), told(&mut anew, day).unwrap());
                    prop_assert_eq!(plainly(known).unwrap(), plainly(&mut anew).unwrap());
                    known.rest();
                }
                checked(&mut reader, day)?;
            }
            day = day.saturating_add(i64::from(one.b % 11).days()).min(last);
        }
        prop_assert_eq!(writer.rebuild_agrees().unwrap(), Vec::<String>::new());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn no_run_of_events_breaks_the_books_the_stock_or_the_promises(tries in tries()) {
        let mut shop = begun();
        let (mut day, last) = (date(2026, 3, 8), date(2027, 3, 7));
        for one in &tries {
            let before = counts(&mut shop);
            let stored = attempt(&mut shop, day, one).is_ok();
            if !stored {
                prop_assert_eq!(counts(&mut shop), before);
            }
            day = day.saturating_add(i64::from(one.b % 11).days()).min(last);
        }
        let found = shop.check().unwrap();
        prop_assert!(found.is_sound(), "{:?}", found);
        prop_assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
        let books = shop.books().unwrap();
        let year = |from, to| books.net(Account::Goods, |date| (from..=to).contains(&date));
        let stock: measure::Money = stock_on(books, last).unwrap().iter().map(|row| row.basis).sum();
        prop_assert_eq!(year(date(2026, 1, 1), last), stock);
        for listing in shop.listings().unwrap() {
            prop_assert!(listing.reserved + listing.sold <= listing.entered.lots);
        }
    }
}

#[test]
fn the_random_years_reach_every_kind_of_event() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut reached = [0_u32; KINDS as usize];
    for _ in 0..60 {
        let tries = tries().new_tree(&mut runner).unwrap().current();
        let (mut shop, mut day) = (begun(), date(2026, 3, 8));
        for one in tries {
            if attempt(&mut shop, day, &one).is_ok() {
                reached[usize::from(one.what)] += 1;
            }
            day = day.saturating_add(i64::from(one.b % 11).days());
        }
    }
    assert!(reached.iter().all(|&count| count >= 3), "{reached:?}");
}
