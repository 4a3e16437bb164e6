//! Several handles of one program on one file: what each sees, and when.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use std::path::Path;
use std::sync::Barrier;
use std::sync::atomic::{AtomicBool, Ordering};

use books::{By, Kind, LotId, Purse, Voucher};
use desk::*;
use jiff::civil::date;
use shop::*;

const TODAY: jiff::civil::Date = date(2026, 6, 1);

fn made(path: &Path) -> Shop {
    let mut shop = Shop::create(path).unwrap();
    let bought =
        shop.buy(&at(), &HaulIn { finds: vec![find("cup", "B2", 400, 0, 60_000)], ..haul() }).unwrap();
    let part = ListingPart { find: bought.finds[0], pieces: 1, which: Which::Sound };
    let listing = ListingIn { parts: vec![part], lots: 400, ..listing(&bought, 1) };
    shop.list(&at(), &listing).unwrap();
    shop
}

fn expense(shop: &mut Shop, amount: i64) {
    let movement = Movement::Expense { what: books::Expense::Other, amount: cents(amount) };
    shop.move_money(&at(), &moved(TODAY, Purse::Cash, movement)).unwrap();
}

fn payments(shop: &mut Shop) -> usize {
    shop.books().unwrap().entries().iter().filter(|entry| entry.kind() == Kind::OrderPaid).count()
}

/// The orders by the tables, by what is kept of them, and by the books.
fn orders_seen(shop: &mut Shop) -> [usize; 4] {
    let by_table = shop.orders().unwrap().len();
    std::thread::yield_now();
    let kept = shop.count_orders().unwrap();
    let promised: u32 = shop.stock_report(TODAY).unwrap().lines.iter().map(|line| line.promised).sum();
    [by_table, kept.1 as usize, promised as usize, payments(shop)]
}

#[test]
fn a_reader_sees_all_of_a_write_or_nothing_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = made(&folder.path().join("trade.shop"));
    let done = AtomicBool::new(false);
    let looks: usize = std::thread::scope(|scope| {
        let readers: Vec<_> = (0..3)
            .map(|_| {
                let (mut shop, done) = (writer.another().unwrap(), &done);
                scope.spawn(move || {
                    let (mut looks, mut before) = (0, 0);
                    while !done.load(Ordering::SeqCst) {
                        let seen = shop.at_one_moment(|shop| Ok::<_, ShopError>(orders_seen(shop))).unwrap();
                        assert!(seen.iter().all(|count| *count == seen[0]), "{seen:?}");
                        assert!(seen[0] >= before, "time goes forward");
                        before = seen[0];
                        looks += 1;
                    }
                    looks
                })
            })
            .collect();
        for _ in 0..60 {
            writer
                .take_order_with_fee(&at(), &order(LotId(1), 1), Some((cents(200), Purse::Platform)))
                .unwrap();
        }
        done.store(true, Ordering::SeqCst);
        readers.into_iter().map(|reader| reader.join().unwrap()).sum()
    });
    assert!(looks > 0);
    assert_eq!(orders_seen(&mut writer), [60; 4]);
}

#[test]
fn what_a_handle_wrote_the_next_read_of_any_handle_sees() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut one = made(&path);
    let mut other = one.another().unwrap();
    // A handle that shares nothing, as another program has it.
    let mut program = Shop::open(&path, now()).unwrap();
    for turn in 1..6_usize {
        let writer = match turn % 3 {
            0 => &mut one,
            1 => &mut other,
            _ => &mut program,
        };
        expense(writer, 100);
        writer.take_order(&at(), &order(LotId(1), 1)).unwrap();
        for reader in [&mut one, &mut other, &mut program] {
            let seen = reader
                .at_one_moment(|shop| {
                    let spent = shop.earned(By::Year, TODAY, TODAY)?.values().map(|row| row.other).sum();
                    Ok::<measure::Money, ShopError>(spent)
                })
                .unwrap();
            assert_eq!(seen, cents(100 * turn as i64));
            assert_eq!(
                reader.at_one_moment(|shop| Ok::<_, ShopError>(orders_seen(shop))).unwrap(),
                [turn; 4]
            );
            assert_eq!(orders_seen(reader), [turn; 4], "also when each question is asked by itself");
        }
    }
}

#[test]
fn within_a_look_nothing_changes_but_what_it_writes_itself() {
    let folder = tempfile::tempdir().unwrap();
    let mut one = made(&folder.path().join("trade.shop"));
    let mut other = one.another().unwrap();
    one.at_one_moment(|one| {
        assert_eq!(orders_seen(one), [0; 4]);
        // The write doesn't wait for the look to end.
        other.take_order(&at(), &order(LotId(1), 1))?;
        assert_eq!(orders_seen(one), [0; 4]);
        one.take_order(&at(), &order(LotId(1), 1))?;
        assert_eq!(orders_seen(one), [2; 4]);
        let refused = one.take_order(&at(), &order(LotId(9), 1));
        assert!(refused.is_err());
        assert_eq!(orders_seen(one), [2; 4]);
        other.take_order(&at(), &order(LotId(1), 1))?;
        assert_eq!(orders_seen(one), [2; 4], "what comes after an own write is one look again");
        Ok::<_, ShopError>(())
    })
    .unwrap();
    assert_eq!(orders_seen(&mut other), [3; 4]);
    assert_eq!(one.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_look_that_began_before_the_books_were_read_gets_those_of_its_moment() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    drop(made(&path));
    let mut one = Shop::open(&path, now()).unwrap();
    let mut other = one.another().unwrap();
    one.at_one_moment(|one| {
        assert_eq!(one.orders()?.len(), 0);
        other.take_order(&at(), &order(LotId(1), 1))?;
        assert_eq!(payments(&mut other), 1);
        assert_eq!(payments(one), 0);
        assert_eq!(orders_seen(one), [0; 4]);
        Ok::<_, ShopError>(())
    })
    .unwrap();
    assert_eq!(orders_seen(&mut one), [1; 4]);
}

#[test]
fn handles_on_many_threads_never_sell_a_lot_twice() {
    let folder = tempfile::tempdir().unwrap();
    let mut shop = made(&folder.path().join("trade.shop"));
    let listing = shop.listing(LotId(1)).unwrap().entered;
    shop.relist(&at(), LotId(1), &ListingIn { lots: 5, ..listing }).unwrap();
    let start = Barrier::new(4);
    let sold: usize = std::thread::scope(|scope| {
        let sellers: Vec<_> = (0..4)
            .map(|_| {
                let (mut shop, start) = (shop.another().unwrap(), &start);
                scope.spawn(move || {
                    start.wait();
                    (0..5).filter(|_| shop.take_order(&at(), &order(LotId(1), 1)).is_ok()).count()
                })
            })
            .collect();
        sellers.into_iter().map(|seller| seller.join().unwrap()).sum()
    });
    assert_eq!(sold, 5);
    assert_eq!(orders_seen(&mut shop), [5; 4]);
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn an_import_leaves_readers_the_shop_as_it_was_until_it_is_stored() {
    let folder = tempfile::tempdir().unwrap();
    let mut shop = made(&folder.path().join("trade.shop"));
    let mut reader = shop.another().unwrap();
    let item = |number: u64| ImportItem {
        external: number.to_string(),
        lines: vec![number],
        content: ImportContent::Order(Box::new(ImportedOrder {
            order: order(LotId(1), 1),
            fee: cents(100),
            sent: None,
        })),
    };
    let staged = reader
        .at_one_moment(|reader| {
            assert_eq!(orders_seen(reader), [0; 4]);
            let staged = shop.stage("table", (1..=20).map(item).collect(), &at())?;
            assert_eq!(staged.ready().len(), 20);
            assert_eq!(orders_seen(reader), [0; 4]);
            shop.confirm(&at(), &staged)?;
            assert_eq!(orders_seen(reader), [0; 4]);
            Ok::<_, ShopError>(staged)
        })
        .unwrap();
    assert_eq!(orders_seen(&mut reader), [20; 4]);
    assert!(shop.confirm(&at(), &staged).is_err(), "the same once more is refused");
    assert_eq!(orders_seen(&mut reader), [20; 4]);
}

#[test]
fn a_place_that_is_called_otherwise_is_so_for_every_handle() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = made(&path);
    let (mut other, mut program) = (shop.another().unwrap(), Shop::open(&path, now()).unwrap());
    shop.bring_in(&at(), "parish hall", &haul()).unwrap();
    let named = |shop: &mut Shop| {
        shop.books().unwrap().hauls().next_back().map(|haul| haul.record().place.clone()).unwrap()
    };
    for handle in [&mut shop, &mut other, &mut program] {
        assert_eq!(named(handle), "parish hall");
    }
    let anew = Place { name: "church hall".to_owned(), note: String::new() };
    program.amend(&at(), 1, &anew).unwrap();
    for handle in [&mut shop, &mut other, &mut program] {
        assert_eq!(named(handle), "church hall");
        let places = handle.stock_report(TODAY).unwrap().sold_by_place.clone();
        assert!(places.contains_key("church hall"), "{places:?}");
    }
    assert_eq!(shop.books().unwrap(), Shop::open(&path, now()).unwrap().books().unwrap());
}

#[test]
fn a_haul_that_was_entered_anew_is_so_for_every_handle() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = made(&path);
    let second = shop.buy(&at(), &haul()).unwrap();
    let (mut other, mut program) = (shop.another().unwrap(), Shop::open(&path, now()).unwrap());
    let mut anew = haul();
    for paid in [700, 1200] {
        // First only split otherwise, which no entry tells.
        anew.split = books::SplitRule::PerPiece;
        anew.paid = cents(paid);
        for handle in [&mut shop, &mut other, &mut program] {
            handle.books().unwrap();
        }
        shop.amend_haul(&at(), second.haul, TODAY, &anew).unwrap();
        let mut fresh = Shop::open(&path, now()).unwrap();
        for handle in [&mut shop, &mut other, &mut program] {
            assert_eq!(handle.books().unwrap(), fresh.books().unwrap());
        }
    }
}

#[test]
fn a_shop_in_memory_has_one_handle() {
    assert!(matches!(Shop::in_memory().unwrap().another(), Err(ShopError::File { .. })));
}

#[test]
fn a_write_that_panics_leaves_the_books_readable() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = made(&path);
    let mut other = shop.another().unwrap();
    let broke = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        shop.at_one_moment(|shop| -> Result<(), ShopError> {
            shop.books()?;
            panic!("the page breaks here")
        })
    }));
    assert!(broke.is_err());
    drop(shop);
    other.take_order(&at(), &order(LotId(1), 1)).unwrap();
    assert_eq!(orders_seen(&mut other), [1; 4]);
}

#[test]
fn where_the_pieces_are_now_is_what_the_entries_say() {
    let folder = tempfile::tempdir().unwrap();
    let mut shop = made(&folder.path().join("trade.shop"));
    shop.take_order(&at(), &order(LotId(1), 3)).unwrap();
    let now = books::stock_on(shop.books().unwrap(), TODAY).unwrap();
    let mut later = shop.books().unwrap().clone();
    let voucher = Voucher { id: later.next_entry(), date: date(2026, 7, 1) };
    let trip = books::Trip {
        date: date(2026, 7, 1),
        miles: books::Miles::new(1.0).unwrap(),
        purpose: "hall".to_owned(),
        counts: books::TripUse::Business,
    };
    later.post(books::mileage(voucher, trip).unwrap()).unwrap();
    assert_eq!(books::stock_on(&later, TODAY).unwrap(), now, "what comes later plays no part");
}
