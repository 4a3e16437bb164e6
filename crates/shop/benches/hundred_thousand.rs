//! A shop with 100,000 orders, their lines, parcels and entries: how long the year report, the aged list, the bench
//! and taking an order take. Prints, never asserts: `cargo bench -p shop`. The file is made once, in memory, and kept
//! in the target folder under the number of orders; `-- --orders 10000` asks for fewer.

use std::error::Error;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use books::{BuyerTax, By, FlawedCarry, LotId, Purse, Quantity, SplitRule, SupplyId, TaxTables};
use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan as _};
use measure::{Length, Mass, Money};
use serde_json::json;
use shop::{
    FindText, HaulIn, ListingIn, ListingPart, MoneyMoved, Movement, NewFind, OrderIn, OrderLine, OutsideSize,
    ParcelActual, ParcelPlan, Payment, PlannedSupply, Shipped, Shop, Stamp, Supply, Which,
};

type Done<T> = Result<T, Box<dyn Error>>;

const ORDERS: u32 = 100_000;
/// Orders that wait at the bench at the end.
const WAITING: u32 = 200;
/// Lots of a listing, and orders for one of them each.
const LOTS: u32 = 5;
const PIECES: u32 = 4;
/// The first day; the orders are spread over five years.
const FIRST: Date = date(2021, 1, 1);
const DAYS: u32 = 1825;
const RUNS: usize = 9;

fn at(day: Date) -> Done<Stamp> {
    let noon = day.at(12, 0, 0, 0).to_zoned_datetime(jiff::tz::TimeZone::UTC)?;
    Ok(Stamp::at(noon.timestamp()))
}

fn haul(day: Date) -> HaulIn {
    let text = FindText {
        form: "diner_mug".to_owned(),
        description: "diner mugs, heavy".to_owned(),
        shelf: "B2".to_owned(),
    };
    HaulIn {
        place: None,
        date: day,
        paid: Money::from_cents(2000),
        tax: Some(Money::from_cents(140)),
        freight: Money::ZERO,
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![NewFind { text, sound: LOTS * PIECES + 1, flawed: 1, value: Money::from_cents(16_000) }],
    }
}

fn order(day: Date, listing: LotId) -> OrderIn {
    OrderIn {
        venue: None,
        ordered_on: day,
        promise_by: Some(day.saturating_add(3.days())),
        destination: "606".to_owned(),
        lines: vec![OrderLine { listing, lots: 1, item: Money::from_cents(3200) }],
        shipping: Money::from_cents(900),
        tax: BuyerTax::ByVenue(Money::from_cents(250)),
        paid: Some(Payment { date: day, into: Purse::Platform }),
        note: String::new(),
    }
}

fn fill(shop: &mut Shop, orders: u32) -> Done<()> {
    let carton = Supply {
        name: "12 x 12 x 8".to_owned(),
        kind: "carton".to_owned(),
        unit: "carton".to_owned(),
        detail: json!({ "size": "12 x 12 x 8", "cut_to": [] }),
        lead_days: 7,
        safety_days: 7,
    };
    let carton = SupplyId(shop.note(&at(FIRST)?, &carton)?);
    let movement = Movement::SuppliesBought {
        supply: carton,
        quantity: Quantity::whole(orders + 1000),
        cost: Money::from_cents(i64::from(orders) * 100),
    };
    let bought = MoneyMoved { date: FIRST, purse: Purse::Cash, movement, note: String::new() };
    shop.move_money(&at(FIRST)?, &bought)?;
    let side = Length::from_inches(12.5);
    let size = OutsideSize { length: side, width: side, height: Length::from_inches(8.5) };
    let mut listing = LotId(0);
    for k in 0..orders {
        let days = i64::from(k) * i64::from(DAYS) / i64::from(orders);
        let day = FIRST.saturating_add(days.days());
        let stamp = at(day)?;
        if k % LOTS == 0 {
            let bought = shop.buy(&stamp, &haul(day))?;
            let find = bought.finds.first().copied().ok_or("a haul has a find")?;
            listing = shop.list(
                &stamp,
                &ListingIn {
                    venue: None,
                    title: "4 diner mugs, heavy".to_owned(),
                    lots: LOTS,
                    price: Money::from_cents(3200),
                    floor: None,
                    listed_on: day,
                    ended: false,
                    card: json!({}),
                    parts: vec![ListingPart { find, pieces: PIECES, which: Which::Sound }],
                },
            )?;
        }
        let taken = shop.take_order(&stamp, &order(day, listing))?;
        let supplies = vec![PlannedSupply { supply: carton, quantity: Quantity::whole(1), instead_of: None }];
        let plan = ParcelPlan {
            form: "diner_mug".to_owned(),
            recipe: "handled".to_owned(),
            plan: json!({ "made_up": true }),
            mass: Some(Mass::from_ounces(92.0)),
            size: Some(size),
            minutes: Some(18),
            postage: Some(Money::from_cents(1150)),
            supplies: supplies.clone(),
        };
        shop.plan_order(&stamp, taken, &[plan])?;
        if k + WAITING < orders {
            let actual = ParcelActual {
                mass: Some(Mass::from_ounces(93.0)),
                size: Some(size),
                minutes: Some(20),
                postage: Some(Money::from_cents(1150)),
                tracking: String::new(),
                supplies,
            };
            let shipped =
                Shipped { order: taken, date: day, postage_from: Purse::Platform, parcels: vec![actual] };
            shop.ship_order(&stamp, &shipped)?;
        }
        if k % 10_000 == 9_999 {
            eprintln!("{} orders made", k + 1);
        }
    }
    Ok(())
}

fn timed<T>(mut work: impl FnMut() -> Done<T>) -> Done<(Duration, Duration)> {
    let started = Instant::now();
    work()?;
    let first = started.elapsed();
    let mut times = Vec::new();
    for _ in 0..RUNS {
        let started = Instant::now();
        std::hint::black_box(work()?);
        times.push(started.elapsed());
    }
    times.sort();
    Ok((first, times.get(RUNS / 2).copied().unwrap_or_default()))
}

fn main() -> Done<()> {
    let args: Vec<String> = std::env::args().collect();
    let told = args.iter().position(|arg| arg == "--orders").and_then(|at| args.get(at + 1));
    let orders: u32 = told.map_or(Ok(ORDERS), |text| text.parse())?;
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
    let path = folder.join(format!("orders-{orders}-version-{}.shop", shop::VERSION));
    if !path.exists() {
        let started = Instant::now();
        let mut shop = Shop::in_memory()?;
        fill(&mut shop, orders)?;
        shop.back_up(&path)?;
        println!("made {} in {:.1} s", path.display(), started.elapsed().as_secs_f64());
    }
    // What is written here must not stay in the file that the next run begins with.
    let copy = folder.join("orders-in-use.shop");
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(format!("{}{ending}", copy.display()));
    }
    std::fs::copy(&path, &copy)?;
    let now: Timestamp = "2026-01-02T10:00:00Z".parse()?;
    let today = date(2026, 1, 2);
    let tables = TaxTables::published();
    let started = Instant::now();
    let mut shop = Shop::open(&copy, now)?;
    let entries = shop.books()?.entries().len();
    println!(
        "opened with {orders} orders and {entries} entries in {:.0} ms",
        1e3 * started.elapsed().as_secs_f64()
    );
    let last = shop.listings()?.last().map(|listing| listing.id).ok_or("there are listings")?;
    let say = |what: &str, (first, median): (Duration, Duration)| {
        println!(
            "{what:<34} first {:>8.1} ms, median of {RUNS} {:>8.1} ms",
            1e3 * first.as_secs_f64(),
            1e3 * median.as_secs_f64()
        );
    };
    say("year worksheet", timed(|| Ok(shop.worksheet(2025, &tables)?))?);
    say(
        "earned by month, one year",
        timed(|| Ok(shop.earned(By::Month, date(2025, 1, 1), date(2025, 12, 31))?))?,
    );
    say(
        "earned by order, one year",
        timed(|| Ok(shop.earned(By::Order, date(2025, 1, 1), date(2025, 12, 31))?))?,
    );
    say("stock and its age", timed(|| Ok(shop.stock(today)?))?);
    say("bench", timed(|| Ok(shop.bench()?))?);
    say("supplies", timed(|| Ok(shop.supplies(today, 90)?))?);
    say("what to list next", timed(|| Ok(shop.candidates(today)?))?);
    let stamp = at(today)?;
    let fresh = shop.buy(&stamp, &haul(today))?;
    let part = ListingPart {
        find: fresh.finds.first().copied().ok_or("a haul has a find")?,
        pieces: 1,
        which: Which::Any,
    };
    let one_each =
        ListingIn { lots: LOTS * PIECES, listed_on: today, parts: vec![part], ..shop.listing(last)?.entered };
    let listed = shop.list(&stamp, &one_each)?;
    say("taking an order", timed(|| Ok(shop.take_order(&stamp, &order(today, listed))?))?);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let machine = machine.lines().find_map(|line| line.strip_prefix("model name")?.split(": ").nth(1));
    println!("{threads} threads, {}", machine.unwrap_or("machine unknown"));
    Ok(())
}
