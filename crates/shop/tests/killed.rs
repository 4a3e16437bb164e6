//! A writing program is killed at any moment: what it confirmed is there, the file opens, the books balance.

#![cfg(unix)] // Elsewhere `Child::kill` may let the program tidy up first.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use desk::*;
use shop::*;

const FILE: &str = "SHOP_FILE_OF_THE_KILLED";
/// How often it is killed.
const KILLS: u64 = 200;
/// Confirmed writes before a kill, at most.
const MOST_WRITES: u64 = 12;
/// The tables are made anew from the log after each of so many kills: the dearest of the checks.
const REBUILT_EVERY: u64 = 25;

/// What the killed program does: it takes in goods, sells, plans and sends them, and says each number once it is
/// confirmed. Only run as a process of its own.
#[test]
fn writes_until_it_is_killed() {
    let Ok(path) = std::env::var(FILE) else { return };
    let mut shop = Shop::open(path, now()).unwrap();
    let mut out = std::io::stdout();
    let mut say = |what: &str, number: u64| {
        writeln!(out, "{what} {number}").unwrap();
        out.flush().unwrap();
    };
    loop {
        let bought = shop.buy(&at(), &haul()).unwrap();
        say("haul", bought.haul.0);
        let listed = shop.list(&at(), &listing(&bought, 2)).unwrap();
        say("listing", listed.0);
        let carton = supply(&mut shop, &format!("carton of haul {}", bought.haul));
        say("supply", carton.0);
        for _ in 0..2 {
            let taken = shop.take_order(&at(), &order(listed, 1)).unwrap();
            say("buyer_order", taken.0);
            shop.plan_order(&at(), taken, &[plan(vec![need(carton, 1.0)])]).unwrap();
            say("planned", taken.0);
            shop.ship_order(&at(), &shipped(taken, vec![actual(vec![need(carton, 1.0)])])).unwrap();
            say("sent", taken.0);
        }
    }
}

fn started(path: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "writes_until_it_is_killed", "--nocapture"])
        .env(FILE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// SplitMix64, so that the moments are others each time and the same in each run.
fn dice(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[test]
fn nothing_confirmed_is_lost_and_the_file_stays_sound() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    drop(Shop::create(&path).unwrap());
    let mut state = 7;
    let mut confirmed: Vec<(String, u64)> = Vec::new();
    for kill in 0..KILLS {
        let mut writer = started(&path);
        let mut lines = BufReader::new(writer.stdout.take().unwrap()).lines();
        let writes = dice(&mut state) % MOST_WRITES;
        let said = |line: &str| {
            let (what, number) = line.split_once(' ')?;
            Some((what.to_owned(), number.parse::<u64>().ok()?))
        };
        let mut heard = 0;
        while heard < writes {
            let Some(line) = lines.next() else { panic!("kill {kill}: the writer ended by itself") };
            // The test harness says a few words of its own.
            if let Some(said) = said(&line.unwrap()) {
                confirmed.push(said);
                heard += 1;
            }
        }
        std::thread::sleep(Duration::from_micros(dice(&mut state) % 6000));
        writer.kill().unwrap();
        writer.wait().unwrap();
        // What was still on its way when it was killed was confirmed as well.
        confirmed.extend(lines.map_while(Result::ok).filter_map(|line| said(&line)));
        let mut shop = Shop::open(&path, now()).unwrap();
        let orders = shop.orders().unwrap();
        for (what, number) in confirmed.iter().rev().take(40) {
            let order = || orders.iter().find(|order| order.id.0 == *number);
            let is_there = match what.as_str() {
                "haul" => !shop.history(Record::Haul, *number).unwrap().is_empty(),
                "listing" => shop.listing(books::LotId(*number)).is_ok(),
                "supply" => shop.noted_one::<Supply>(*number).is_ok(),
                "buyer_order" => order().is_some(),
                "planned" => !shop.parcels(books::OrderId(*number)).unwrap().is_empty(),
                "sent" => order().is_some_and(|order| order.state == OrderState::Sent),
                _ => continue,
            };
            assert!(is_there, "kill {kill}: {what} {number} was confirmed and is gone");
        }
        let findings = shop.check().unwrap();
        assert!(findings.is_sound(), "kill {kill}: {findings:?}");
        shop.books().unwrap();
        if kill % REBUILT_EVERY == 0 {
            assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new(), "kill {kill}");
        }
    }
    let kinds: std::collections::BTreeSet<&str> = confirmed.iter().map(|(what, _)| what.as_str()).collect();
    for kind in ["haul", "listing", "supply", "buyer_order", "planned", "sent"] {
        assert!(kinds.contains(kind), "no {kind} was ever confirmed: the writer is killed too early");
    }
}
