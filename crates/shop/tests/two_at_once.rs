//! Two programs use one file at the same time.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use std::path::Path;
use std::process::Command;
use std::sync::Barrier;

use desk::*;
use rusqlite::Connection;
use shop::*;

const FILE: &str = "SHOP_FILE_OF_THE_RACE";
const LOTS: u32 = 3;

fn made(path: &Path) {
    let mut shop = Shop::create(path).unwrap();
    let bought = shop.buy(&at(), &haul()).unwrap();
    let mut listing = listing(&bought, 1);
    listing.parts.iter_mut().for_each(|part| part.pieces = 1);
    listing.lots = LOTS;
    shop.list(&at(), &listing).unwrap();
}

/// Tries to sell each lot; gives how many it got.
fn sell_all(path: &Path) -> usize {
    let mut shop = Shop::open(path, now()).unwrap();
    let sold = |_| match shop.take_order(&at(), &order(books::LotId(1), 1)) {
        Ok(_) => true,
        Err(ShopError::TooFewLots { left: 0, .. }) => false,
        Err(other) => panic!("{other}"),
    };
    (0..LOTS).map(sold).filter(|sold| *sold).count()
}

fn nothing_was_oversold(path: &Path) {
    let shop = Shop::open(path, now()).unwrap();
    let state = shop.listing(books::LotId(1)).unwrap();
    assert_eq!((state.reserved, state.available()), (LOTS, 0));
    assert_eq!(shop.orders().unwrap().len(), 3);
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn two_threads_never_sell_a_lot_twice() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    made(&path);
    let start = Barrier::new(2);
    let sold: usize = std::thread::scope(|scope| {
        let seller = || {
            start.wait();
            sell_all(&path)
        };
        let both = [scope.spawn(seller), scope.spawn(seller)];
        both.into_iter().map(|seller| seller.join().unwrap()).sum()
    });
    assert_eq!(sold, 3);
    nothing_was_oversold(&path);
}

#[test]
fn two_programs_never_sell_a_lot_twice() {
    if let Ok(path) = std::env::var(FILE) {
        println!("sold={}", sell_all(Path::new(&path)));
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    made(&path);
    let program = || {
        Command::new(std::env::current_exe().unwrap())
            .args(["two_programs_never_sell_a_lot_twice", "--exact", "--nocapture"])
            .env(FILE, &path)
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap()
    };
    let sold: usize = [program(), program()]
        .into_iter()
        .map(|program| {
            let output = program.wait_with_output().unwrap();
            assert!(output.status.success());
            let text = String::from_utf8(output.stdout).unwrap();
            let told = text.split("sold=").nth(1).and_then(|rest| rest.split_whitespace().next());
            told.unwrap().parse::<usize>().unwrap()
        })
        .sum();
    assert_eq!(sold, 3);
    nothing_was_oversold(&path);
}

#[test]
fn books_follow_what_the_other_program_wrote() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut one = Shop::create(&path).unwrap();
    let mut other = Shop::open(&path, now()).unwrap();
    stock_up(&mut one);
    assert_eq!(other.books().unwrap().entries().len(), 1);
    let put_in = Movement::OwnerPutIn { amount: cents(100) };
    other.move_money(&at(), &moved(BOUGHT, books::Purse::Cash, put_in)).unwrap();
    assert_eq!(one.books().unwrap().entries().len(), 2);
    one.take_order(&at(), &order(books::LotId(1), 1)).unwrap();
    assert!(other.check().unwrap().is_sound());
}

#[test]
fn a_file_that_is_busy_says_so_and_stores_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let error = shop.buy(&at(), &haul()).unwrap_err();
    assert!(matches!(error, ShopError::Busy));
    assert!(error.to_string().contains("nothing was stored"));
    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(shop.books().unwrap().entries(), []);
    shop.buy(&at(), &haul()).unwrap();
}

#[test]
fn a_write_that_never_came_to_its_end_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    stock_up(&mut shop);
    let before = shop.export_json().unwrap();
    {
        let dying = Connection::open(&path).unwrap();
        dying
            .execute_batch(
                "BEGIN IMMEDIATE; UPDATE listing SET reserved = 1; UPDATE find SET shelf = 'lost';
                 INSERT INTO event (id, at, kind, body) VALUES (99, '2026-01-01T00:00:00Z', 'x', '{}')",
            )
            .unwrap();
    }
    let mut again = Shop::open(&path, now()).unwrap();
    assert_eq!(again.export_json().unwrap(), before);
    again.take_order(&at(), &order(books::LotId(1), 1)).unwrap();
    assert!(again.check().unwrap().is_sound());
}
