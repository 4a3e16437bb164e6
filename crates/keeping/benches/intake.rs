//! Time to read a venue's table of orders into a shop file: `cargo bench -p keeping`. Prints, never asserts. Beside the
//! time that passes stands the time of the processor, which says more where other programs run as well.

#![allow(clippy::unwrap_used, reason = "a bench ends by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::Instant;

use books::{FlawedCarry, LotId, Purse, SplitRule};
use jiff::civil::date;
use keeping::{Cells, DateOrder, IntakeOf, Reading, look, look_and_store};
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
    let begun = Taken::now();
    let cells = Cells::read(table.as_bytes(), None).unwrap();
    let read = begun.since();
    let map = BTreeMap::new();
    let dates = Some(DateOrder::MonthFirst);
    let reading = Reading { of: IntakeOf::Orders, cells: &cells, map: &map, dates, source: "spring" };
    let begun = Taken::now();
    let found = look(&mut shop, &reading, &at).unwrap();
    let looked = begun.since();
    assert_eq!(found.ready, orders, "{:?}", found.left_out.first());
    let begun = Taken::now();
    shop.confirm(&at, &found.staged).unwrap();
    let stored = begun.since();
    let begun = Taken::now();
    let again = look(&mut shop, &reading, &at).unwrap();
    assert_eq!(again.known, orders);
    let once_more = begun.since();
    let mut other = Shop::create(folder.join("other.shop")).unwrap();
    stocked(&mut other, &at, orders);
    let begun = Taken::now();
    let found = look_and_store(&mut other, &reading, &at).unwrap();
    assert_eq!(found.ready, orders, "{:?}", found.left_out.first());
    let at_once = begun.since();
    drop(other);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!(
        "{orders} orders: cells {read}, looked at {looked}, stored {stored}, looked at again {once_more}; looked at \
         and stored in one go {at_once}; {threads} threads, {}",
        machine.unwrap_or_else(|| String::from("machine unknown"))
    );
    drop(shop);
    std::fs::remove_dir_all(&folder).unwrap();
}

/// Seconds that passed, and those of the processor in this program where the system says so.
struct Taken {
    begun: Instant,
    processor: Option<f64>,
}

impl Taken {
    fn now() -> Self {
        Self { begun: Instant::now(), processor: processor_s() }
    }

    fn since(&self) -> String {
        let passed = self.begun.elapsed().as_secs_f64();
        match (self.processor, processor_s()) {
            (Some(before), Some(now)) => format!("{passed:.2} s (processor {:.2} s)", now - before),
            (_, _) => format!("{passed:.2} s"),
        }
    }
}

/// Processor time of this program in s, of its own work and the system's for it; hundredths by common practice.
fn processor_s() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks = |at: usize| fields.get(at)?.parse::<f64>().ok();
    Some((ticks(11)? + ticks(12)?) / 100.0)
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
