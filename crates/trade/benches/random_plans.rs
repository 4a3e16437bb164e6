//! Random shops, packed and proved: `cargo bench -p trade --bench random_plans -- --plans 1000000`.
//!
//! Every plan that the packer hands out is proved once more, apart from the packer and against the order's
//! own count; a plan that the checker refuses is a violation, and there must be none. Counted beside it:
//! drafts that the checker refused inside the packer, which would have been shown without it. As a check
//! of the check, plans with two bundles or more are spoilt by setting one into another; each must be refused.
//!
//! `--plans` (6000), `--seed` of the first shop (0). Ends with an error when there is a violation.

#[path = "../tests/shops/mod.rs"]
mod shops;

use std::collections::BTreeMap;
use std::process::ExitCode;
use std::sync::Mutex;
use std::time::Instant;

use plan::Parcel;
use proof::Violation;
use rayon::prelude::*;
use rustix::time::{ClockId, clock_gettime};
use shops::{Shop, Tables};

/// Plans made without being told how many: about a minute.
const USUAL: u64 = 6_000;
/// Shops between two looks at the count.
const TOGETHER: u64 = 64;
/// Examples of refused drafts and violations that are printed.
const EXAMPLES: usize = 10;

#[derive(Default)]
struct Count {
    shops: u64,
    orders: u64,
    plans: u64,
    bundles: u64,
    most_bundles: usize,
    layered: u64,
    not_wrapped: u64,
    refused: BTreeMap<&'static str, u64>,
    drafts: u64,
    drafts_refused: u64,
    why: BTreeMap<String, u64>,
    spoilt: u64,
    spoilt_passed: u64,
    violations: u64,
    examples: Vec<String>,
}

impl Count {
    fn add(&mut self, other: Self) {
        self.shops += other.shops;
        self.orders += other.orders;
        self.plans += other.plans;
        self.bundles += other.bundles;
        self.most_bundles = self.most_bundles.max(other.most_bundles);
        self.layered += other.layered;
        self.not_wrapped += other.not_wrapped;
        self.drafts += other.drafts;
        self.drafts_refused += other.drafts_refused;
        self.spoilt += other.spoilt;
        self.spoilt_passed += other.spoilt_passed;
        self.violations += other.violations;
        for (why, count) in other.refused {
            *self.refused.entry(why).or_default() += count;
        }
        for (why, count) in other.why {
            *self.why.entry(why).or_default() += count;
        }
        let room = EXAMPLES.saturating_sub(self.examples.len());
        self.examples.extend(other.examples.into_iter().take(room));
    }
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().collect();
    let after = |name: &str| -> Option<u64> {
        let at = words.iter().position(|word| word == name)?;
        words.get(at + 1)?.parse().ok()
    };
    let wanted = after("--plans").unwrap_or(USUAL);
    let mut seed = after("--seed").unwrap_or(0);
    let tables = Tables::published();
    let started = Instant::now();
    let mut all = Count::default();
    while all.plans < wanted {
        // Shops are independent of each other, and their counts are added in order.
        let counts: Vec<Count> =
            (seed..seed + TOGETHER).into_par_iter().map(|seed| one_shop(seed, &tables)).collect();
        counts.into_iter().for_each(|count| all.add(count));
        seed += TOGETHER;
        if all.shops.is_multiple_of(TOGETHER * 256) {
            println!("  {} plans, {} violations", all.plans, all.violations);
        }
    }
    print(&all, started.elapsed().as_secs_f64());
    if all.violations == 0 && all.spoilt_passed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn one_shop(seed: u64, tables: &Tables) -> Count {
    let shop = Shop::of(seed, tables);
    let mut count = Count { shops: 1, ..Count::default() };
    let mut packer = shop.packer();
    for order in &shop.orders {
        count.orders += 1;
        let Some(bundles) = shop.bundles(order, tables) else {
            count.not_wrapped += 1;
            continue;
        };
        let expected = shop.contents(order);
        let drafts: Mutex<(u64, Vec<Violation>)> = Mutex::default();
        let prove = |parcel: &Parcel| {
            let broken = proof::check(parcel, &expected);
            let passed = broken.is_empty();
            let mut drafts = drafts.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            drafts.0 += 1;
            drafts.1.extend(broken.into_iter().next());
            passed
        };
        let packed = shop.pack(&mut packer, &bundles, &prove);
        let (proved, broken) = drafts.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
        count.drafts += proved;
        count.drafts_refused += broken.len() as u64;
        for violation in broken {
            if count.examples.len() < EXAMPLES {
                count.examples.push(format!("shop {seed}, order {order:?}, a draft: {violation}"));
            }
            *count.why.entry(name(&violation)).or_default() += 1;
        }
        match packed {
            Ok(packed) => judge(&packed.parcel, &shop, order, &mut count),
            Err(refused) => *count.refused.entry(reason(&refused)).or_default() += 1,
        }
    }
    count
}

/// Proves a plan apart from the packer, and sees that the checker would refuse it when it is spoilt.
fn judge(parcel: &Parcel, shop: &Shop, order: &[u32], count: &mut Count) {
    count.plans += 1;
    count.bundles += parcel.bundles.len() as u64;
    count.most_bundles = count.most_bundles.max(parcel.bundles.len());
    count.layered += u64::from(parcel.layers.len() > 1);
    let broken = proof::check(parcel, &shop.contents(order));
    if let Some(first) = broken.first() {
        count.violations += 1;
        count.examples.push(format!("shop {}, order {order:?}, THE PLAN: {first}", shop.seed));
    }
    if let Some(spoilt) = spoilt(parcel) {
        count.spoilt += 1;
        let close = |violation: &Violation| matches!(violation, Violation::TooClose { .. });
        if !proof::check(&spoilt, &shop.contents(order)).iter().any(close) {
            count.spoilt_passed += 1;
            count.examples.push(format!("shop {}, order {order:?}, SPOILT BUT PASSED", shop.seed));
        }
    }
}

/// The plan with its second bundle set where the first one is.
fn spoilt(parcel: &Parcel) -> Option<Parcel> {
    let [first, second, ..] = parcel.bundles.as_slice() else { return None };
    let (body, other) = (first.parts.first()?.placement, second.parts.first()?.placement);
    let by = [0, 1, 2].map(|axis| body.at_mm[axis] - other.at_mm[axis]);
    let mut spoilt = parcel.clone();
    let moved = spoilt.bundles.get_mut(1)?;
    let shift = |at: &mut [f64; 3]| at.iter_mut().zip(by).for_each(|(at, by)| *at += by);
    shift(&mut moved.placement.at_mm);
    moved.parts.iter_mut().for_each(|part| shift(&mut part.placement.at_mm));
    Some(spoilt)
}

/// The kind of a violation, by name.
fn name(violation: &Violation) -> String {
    let text = format!("{violation:?}");
    text.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default().to_owned()
}

/// Work of all threads since the start.
fn processor_seconds() -> f64 {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    now.tv_sec as f64 + 1e-9 * now.tv_nsec as f64
}

fn reason(refused: &packing::Refused) -> &'static str {
    match refused {
        packing::Refused::Nothing => "nothing",
        packing::Refused::Company { .. } => "company",
        packing::Refused::TooLarge { .. } => "a piece too large",
        packing::Refused::NoCarton { .. } => "no carton",
        packing::Refused::Stopped => "stopped",
    }
}

fn print(all: &Count, seconds: f64) {
    let model = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    let machine = model.unwrap_or_else(|| String::from("machine unknown"));
    println!("random plans; {} threads, {machine}", rayon::current_num_threads());
    println!("  shops {}, orders {}", all.shops, all.orders);
    println!(
        "  plans {} with {} bundles (at most {} in one), {} of more than one layer",
        all.plans, all.bundles, all.most_bundles, all.layered
    );
    println!("  orders refused {:?}, not wrapped {}", all.refused, all.not_wrapped);
    println!(
        "  drafts proved inside the packer {}, of these refused {} {:?}",
        all.drafts, all.drafts_refused, all.why
    );
    println!("  spoilt plans {}, of these passed {}", all.spoilt, all.spoilt_passed);
    println!("  violations {}", all.violations);
    let worked = processor_seconds();
    println!(
        "  {seconds:.1} s, {:.0} plans per second; {worked:.1} s of the processor, {:.0} plans per second of one",
        all.plans as f64 / seconds,
        all.plans as f64 / worked
    );
    for example in &all.examples {
        println!("  {example}");
    }
}
