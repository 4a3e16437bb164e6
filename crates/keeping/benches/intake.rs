//! Time to read a venue's table of orders into a shop file: `cargo bench -p keeping`. Prints, never asserts.

#![allow(clippy::unwrap_used, reason = "a bench ends by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::Instant;

use books::{FlawedCarry, LotId, Purse, SplitRule};
use jiff::civil::date;
use keeping::{Cells, DateOrder, IntakeOf, Reading, look};
use measure::Money;
use shop::{FindText, HaulIn, ListingIn, ListingPart, NewFind, Shop, Stamp, Which};

const ORDERS: usize = 100_000;
const FINDS: usize = 100;
const LISTINGS_OF_FIND: usize = 10;

fn main() {
    let orders = std::env::var("ORDERS").ok().and_then(|text| text.parse().ok()).unwrap_or(ORDERS);
    let at = Stamp::at("2026-03-07T10:00:00Z".parse().unwrap());
    let folder = std::env::temp_dir().join(format!("intake-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut shop = Shop::create(folder.join("bench.shop")).unwrap();
    let listings = stocked(&mut shop, &at, orders);
    let mut table = String::from("ref,date,listing,lots,items,shipping,tax,fee,zip\n");
    for order in 0..orders {
        let listing = listings[order % listings.len()];
        let (month, day) = (1 + order / 28 % 12, 1 + order % 28);
        writeln!(
            table,
            "N-{order},{month:02}/{day:02}/2026,{listing},1,$24.00,8.50,1.20,3.15,{:05}",
            order % 99_999
        )
        .unwrap();
    }
    let begun = Instant::now();
    let cells = Cells::read(table.as_bytes(), None).unwrap();
    let read = begun.elapsed();
    let map = BTreeMap::new();
    let dates = Some(DateOrder::MonthFirst);
    let reading = Reading { of: IntakeOf::Orders, cells: &cells, map: &map, dates, source: "spring" };
    let found = look(&mut shop, &reading, &at).unwrap();
    let looked = begun.elapsed();
    assert_eq!(found.ready, orders, "{:?}", found.left_out.first());
    shop.confirm(&at, &found.staged).unwrap();
    let stored = begun.elapsed();
    let again = look(&mut shop, &reading, &at).unwrap();
    assert_eq!(again.known, orders);
    let whole = begun.elapsed();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!(
        "{orders} orders: cells {:.2} s, looked at {:.2} s, stored {:.2} s, looked at again {:.2} s; {threads} threads, {}",
        read.as_secs_f64(),
        (looked - read).as_secs_f64(),
        (stored - looked).as_secs_f64(),
        (whole - stored).as_secs_f64(),
        machine.unwrap_or_else(|| String::from("machine unknown"))
    );
    drop(shop);
    std::fs::remove_dir_all(&folder).unwrap();
}

/// Enough lots of one piece for every order.
fn stocked(shop: &mut Shop, at: &Stamp, orders: usize) -> Vec<LotId> {
    let each = orders.div_ceil(FINDS * LISTINGS_OF_FIND);
    let pieces = u32::try_from(each * LISTINGS_OF_FIND).unwrap();
    let find = |k: usize| NewFind {
        text: FindText { form: "diner_mug".into(), description: format!("mug {k}"), shelf: String::new() },
        sound: pieces,
        flawed: 0,
        value: Money::ZERO,
    };
    let haul = HaulIn {
        place: None,
        date: date(2025, 12, 1),
        paid: Money::from_cents(5_000_000),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::PerPiece,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: (0..FINDS).map(find).collect(),
    };
    let finds = shop.buy(at, &haul).unwrap().finds;
    let mut listings = Vec::new();
    for k in 0..FINDS * LISTINGS_OF_FIND {
        let listing = ListingIn {
            venue: None,
            title: format!("one mug {k}"),
            lots: u32::try_from(each).unwrap(),
            price: Money::from_cents(2400),
            floor: None,
            listed_on: date(2025, 12, 2),
            ended: false,
            card: serde_json::json!({}),
            parts: vec![ListingPart { find: finds[k % FINDS], pieces: 1, which: Which::Sound }],
        };
        listings.push(shop.list(at, &listing).unwrap());
    }
    listings
}
