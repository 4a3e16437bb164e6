//! Decisions, ladders and mixed orders, one thread, processor time:
//! `cargo bench -p packing --bench decisions`. Prints, never asserts; a ratio below 1 meets its target.
//! Costs are made up: a rate by outside volume and gross mass, so much for each pad and each parcel.

use std::collections::{BTreeMap, BTreeSet};

use packing::{Draft, Finish, Memory, Packed, Packer, Reason, Refused, Rules, divide_with};
use plan::{Carton, Crush, Fill, Minutes};
use rustix::time::{ClockId, clock_gettime};
use shape::{Bundle, Company, Contents, Part, PartKind, Placement, Solid, WayUp};

const INCH: f64 = 25.4;
const RULES: Rules = Rules { crush: Crush { sideways: 0.25 }, pad_mm: 4.0, most_layers: 6 };
/// Cost that no parcel goes below, cents.
const LEAST_CENTS: i64 = 450;
/// Processor time that the long look at the mixed order gets, ms.
const LONG_MS: f64 = 30_000.0;

fn main() {
    // One thread, so that processor time is the time a person would wait on one core.
    if let Err(error) = rayon::ThreadPoolBuilder::new().num_threads(1).build_global() {
        println!("threads could not be set: {error}");
    }
    let cpu = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!("decisions, one thread, processor time; {}", cpu.as_deref().unwrap_or("machine unknown"));
    // Words after `--` choose what is run: cube, decisions, ladder, mixed, growth.
    let asked: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let parts: [(&str, fn()); 5] = [
        ("cube", twelve_in_a_cube),
        ("decisions", decisions),
        ("ladder", ladder),
        ("mixed", mixed),
        ("growth", growth),
    ];
    for (name, run) in parts {
        if asked.is_empty() || asked.iter().any(|word| word == name) {
            run();
        }
    }
    let memory = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = memory
        .lines()
        .find(|line| line.starts_with("VmHWM"))
        .and_then(|line| line.split_whitespace().nth(1)?.parse::<f64>().ok())
        .unwrap_or(0.0)
        / 1024.0;
    beside("peak memory, MB", peak, 200.0);
}

/// Six to a layer needs 289.48 mm of the 290.8 that 7 mm of cushion at each wall leave of 12 in.
fn twelve_in_a_cube() {
    let mut bare = mug();
    bare.parts.iter_mut().for_each(|part| part.wrap_mm = 0.0);
    (bare.wall_clearance_mm, bare.separation_mm) = (7.0, 0.0);
    let mut packer = Packer::new(vec![carton([12.0, 12.0, 12.0])], RULES);
    let started = processor_ms();
    let packed = pack(&mut packer, &[&bare; 12]);
    let took = processor_ms() - started;
    let layers = match packed {
        Ok(packed) => format!("{} layers", packed.parcel.layers.len()),
        Err(refused) => refused.to_string(),
    };
    println!("\ntwelve handled mugs in a 12 in cube, 7 mm of cushion: {layers} (2 layers wanted)");
    beside("plan, ms", took, 50.0);
}

/// Mixed sets against mixed cartons, nothing known beforehand.
fn decisions() {
    let kinds = kinds();
    let cartons: Vec<Carton> = sizes(40);
    let mut packer = Packer::new(cartons, RULES);
    let mut sets: Vec<Vec<usize>> = Vec::new();
    let mut random = 7u64;
    let mut draw = |below: usize| {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (random >> 33) as usize % below
    };
    for _ in 0..60 {
        let mut set = Vec::new();
        for _ in 0..=draw(3) {
            let (kind, count) = (draw(kinds.len()), 1 + draw(5));
            set.extend(std::iter::repeat_n(kind, count));
        }
        set.sort_unstable();
        sets.push(set);
    }
    let (mut by, mut asked, mut fit) = (BTreeMap::<Reason, usize>::new(), 0usize, 0usize);
    let started = processor_ms();
    let mut slow: Vec<(f64, usize)> = Vec::new();
    for set in &sets {
        let before = processor_ms();
        let bundles: Vec<&Bundle> = set.iter().map(|&kind| &kinds[kind]).collect();
        for decision in packer.decide(&bundles).unwrap_or_default() {
            *by.entry(decision.reason).or_default() += 1;
            asked += 1;
            fit += usize::from(decision.fits);
        }
        slow.push((processor_ms() - before, set.len()));
    }
    let took = processor_ms() - started;
    slow.sort_by(|a, b| b.0.total_cmp(&a.0));
    println!("\n{asked} decisions (set, carton) over {} sets, {fit} fit: {by:?}", sets.len());
    println!("  slowest sets, ms and pieces: {:.1?}", &slow[..slow.len().min(4)]);
    let safe: usize =
        [Reason::Bound, Reason::Dominance, Reason::Memory].iter().filter_map(|reason| by.get(reason)).sum();
    least("decisions a second", asked as f64 / took * 1e3, 2000.0);
    least("share by bounds, dominance and memory", safe as f64 / asked as f64, 0.9);
    // 400 candidates that nothing was known of.
    let mut packer = Packer::new(sizes(40), RULES);
    let started = processor_ms();
    for set in sets.iter().take(10) {
        let bundles: Vec<&Bundle> = set.iter().map(|&kind| &kinds[kind]).collect();
        let _ = packer.decide(&bundles);
    }
    beside("400 candidates, ms", processor_ms() - started, 500.0);
}

/// Orders of 1 to 12 lots of 2 mugs.
fn ladder() {
    let mug = mug();
    let mut packer = Packer::new(sizes(30), RULES);
    let started = processor_ms();
    let mut told = String::new();
    for lots in 1..=12 {
        match pack(&mut packer, &vec![&mug; 2 * lots]) {
            Ok(packed) => told.push_str(&format!(" {}", packed.cost_cents)),
            Err(refused) => told.push_str(&format!(" ({refused})")),
        }
    }
    let took = processor_ms() - started;
    println!("\nladder of 24 handled mugs, 30 cartons, every plan checked; cents:{told}");
    beside("1 to 12 lots of 2, ms", took, 300.0);
}

fn mixed() {
    let counts = [36, 16, 20, 12, 4, 12];
    println!("\n100 pieces of six kinds, 60 cartons");
    let started = processor_ms();
    let first = order(&counts, 0);
    let took = processor_ms() - started;
    println!("  first plan: {}", told(&first));
    beside("first plan, ms", took, 100.0);
    let mut best = first.as_ref().map_or(i64::MAX, |first| first.0);
    let from = processor_ms();
    let mut effort = 1;
    while processor_ms() - from < LONG_MS && effort <= 64 {
        let before = processor_ms();
        let found = order(&counts, effort);
        println!("  effort {effort}: {}, {:.0} ms", told(&found), processor_ms() - before);
        best = best.min(found.map_or(i64::MAX, |found| found.0));
        effort *= 2;
    }
    let first = first.map_or(f64::INFINITY, |first| first.0 as f64);
    beside("its cost over the best after a long look", first / best as f64, 1.03);
}

fn growth() {
    println!("\ngrowth, six kinds mixed, 60 cartons: first plan and usual effort");
    for pieces in [5u32, 10, 20, 50, 100, 200] {
        let counts = [36, 16, 20, 12, 4, 12].map(|share| (share * pieces).div_ceil(100));
        let total: u32 = counts.iter().sum();
        let started = processor_ms();
        let first = order(&counts, 0);
        let quick = processor_ms() - started;
        let usual = order(&counts, 1);
        let took = processor_ms() - started - quick;
        println!("  {total:3} pieces: {quick:8.1} ms {}; {took:9.1} ms {}", told(&first), told(&usual));
    }
}

type Order = Option<(i64, Vec<Packed>)>;

fn told(order: &Order) -> String {
    order.as_ref().map_or_else(
        || String::from("no plan"),
        |(cost, parcels)| {
            let sizes: Vec<String> = parcels
                .iter()
                .map(|packed| format!("{} in {}", packed.parcel.bundles.len(), packed.parcel.carton.name))
                .collect();
            format!("{cost} cents ({})", sizes.join(", "))
        },
    )
}

/// An order of so many of each kind in as many parcels as it takes.
fn order(counts: &[u32], effort: u32) -> Order {
    let kinds = kinds();
    let mut packer = Packer::new(sizes(60), RULES).with_effort(effort);
    let mut memory: Memory<Packed> = BTreeMap::new();
    let found = divide_with(counts, LEAST_CENTS, 12 * effort, &mut memory, &mut |counts| {
        let bundles: Vec<&Bundle> = kinds
            .iter()
            .zip(counts)
            .flat_map(|(bundle, &count)| std::iter::repeat_n(bundle, count as usize))
            .collect();
        pack(&mut packer, &bundles).ok().map(|packed| (packed.cost_cents, packed))
    });
    found.map(|division| (division.cost_cents, division.parcels))
}

fn pack(packer: &mut Packer, bundles: &[&Bundle]) -> Result<Packed, Refused> {
    let cartons = packer.cartons().to_vec();
    let finish = |draft: &Draft| {
        let carton = cartons.get(draft.carton).ok_or("no such carton")?;
        let gross_g = draft.bundles_g + carton.tare_g + 30.0 * f64::from(draft.pads) + draft.void_mm3 * 1e-5;
        if gross_g > carton.max_gross_g {
            return Err(String::from("too heavy"));
        }
        // Dear by volume from a cubic foot on, as by billable weight.
        let litres = carton.outside_mm.iter().product::<f64>() * 1e-6;
        let billed = (gross_g / 453.6).max(if litres > 28.3 { litres / 2.72 } else { 0.0 }).ceil();
        Ok(Finish {
            cost_cents: LEAST_CENTS
                + (95.0 * billed) as i64
                + (4.0 * litres) as i64
                + 25 * i64::from(draft.pads),
            gross_g,
            fill: Fill {
                material: String::from("fill"),
                volume_mm3: draft.void_mm3,
                mass_g: draft.void_mm3 * 1e-5,
                bed_mm: draft.bed_mm,
            },
            materials: Vec::new(),
            minutes: Minutes { wrapping: 0.0, boxing: 0.0 },
        })
    };
    let mut expected: BTreeMap<String, u32> = BTreeMap::new();
    for bundle in bundles {
        *expected.entry(bundle.label.clone()).or_default() += 1;
    }
    let expected: Vec<Contents> = expected.into_iter().map(|(what, count)| contents(&what, count)).collect();
    packer.pack(bundles, &finish, &|parcel| {
        let broken = proof::check(parcel, &expected);
        if let Some(broken) = broken.first() {
            println!("  refused by the checker: {broken}");
        }
        broken.is_empty()
    })
}

fn contents(what: &str, count: u32) -> Contents {
    Contents { find: String::from("find"), what: what.to_owned(), count }
}

/// So many different cartons, small to large.
fn sizes(count: usize) -> Vec<Carton> {
    let mut found: BTreeSet<[i64; 3]> = BTreeSet::new();
    let sides = [6, 8, 9, 10, 12, 13, 14, 15, 16, 18, 20, 22, 24];
    let bases: Vec<[i64; 2]> = sides
        .iter()
        .enumerate()
        .flat_map(|(k, &long)| {
            [0usize, 1, 3].into_iter().filter_map(move |back| Some([long, *sides.get(k.checked_sub(back)?)?]))
        })
        .collect();
    for [long, wide] in bases {
        for height in [wide * 2 / 3, wide] {
            found.insert([long, wide, height.max(4)]);
        }
    }
    let mut all: Vec<[i64; 3]> = found.into_iter().collect();
    all.sort_by_key(|size| size.iter().product::<i64>());
    let every = all.len() as f64 / count as f64;
    (0..count)
        .filter_map(|k| all.get((k as f64 * every) as usize))
        .map(|size| carton(size.map(|side| side as f64)))
        .collect()
}

fn carton(inside: [f64; 3]) -> Carton {
    Carton {
        name: format!("{} x {} x {}", inside[0], inside[1], inside[2]),
        inside_mm: inside.map(|side| side * INCH),
        outside_mm: [inside[0] + 0.3, inside[1] + 0.3, inside[2] + 0.6].map(|side| side * INCH),
        cut_down_from_mm: None,
        tare_g: inside.iter().product::<f64>() * 0.25,
        max_gross_g: 29_000.0,
        board: String::from("32 ECT"),
    }
}

fn kinds() -> Vec<Bundle> {
    vec![mug(), plates(), bowl(), goblet(), pitcher(), book()]
}

fn bundle(label: &str, parts: Vec<Part>, mass_g: f64, ways_up: Vec<WayUp>, bears_load: bool) -> Bundle {
    let wrapped_volume_mm3 = parts.iter().map(|part| part.solid.grown(part.wrap_mm).volume_mm3()).sum();
    Bundle {
        label: label.to_owned(),
        contents: vec![contents(label, 1)],
        parts,
        mass_g,
        ways_up,
        wall_clearance_mm: INCH,
        separation_mm: 8.0,
        bears_load,
        company: Company::Breakable,
        wrapped_volume_mm3,
    }
}

fn part(kind: PartKind, solid: Solid, at: [f64; 3], wrap_mm: f64) -> Part {
    Part { kind, solid, placement: Placement::at(at[0], at[1], at[2]), wrap_mm }
}

fn mug() -> Bundle {
    let body = Solid::Cylinder { radius_mm: 54.0, height_mm: 95.0 };
    let handle = Solid::Block { x_mm: 65.0, y_mm: 35.0, z_mm: 66.0 };
    let parts = vec![
        part(PartKind::Body, body, [0.0, 0.0, 47.5], 6.0),
        part(PartKind::Handle, handle, [59.5, 0.0, 47.5], 6.0),
    ];
    bundle("mug", parts, 420.0, vec![WayUp::Upright, WayUp::Inverted], true)
}

fn plates() -> Bundle {
    let stack = Solid::Cylinder { radius_mm: 105.0, height_mm: 36.0 };
    let parts = vec![part(PartKind::Body, stack, [0.0, 0.0, 18.0], 6.0)];
    bundle("plates", parts, 1100.0, vec![WayUp::OnEdge], true)
}

fn bowl() -> Bundle {
    let body = Solid::Frustum { bottom_radius_mm: 40.0, top_radius_mm: 72.0, height_mm: 62.0 };
    let parts = vec![part(PartKind::Body, body, [0.0, 0.0, 31.0], 6.0)];
    bundle("bowl", parts, 360.0, vec![WayUp::Upright, WayUp::Inverted], true)
}

fn goblet() -> Bundle {
    let bowl = Solid::Frustum { bottom_radius_mm: 26.0, top_radius_mm: 40.0, height_mm: 90.0 };
    let stem = Solid::Cylinder { radius_mm: 6.0, height_mm: 78.0 };
    let foot = Solid::Cylinder { radius_mm: 36.0, height_mm: 8.0 };
    let parts = vec![
        part(PartKind::Body, bowl, [0.0, 0.0, 130.0], 6.0),
        part(PartKind::Stem, stem, [0.0, 0.0, 46.0], 6.0),
        part(PartKind::Foot, foot, [0.0, 0.0, 4.0], 6.0),
    ];
    bundle("goblet", parts, 230.0, vec![WayUp::Upright], false)
}

fn pitcher() -> Bundle {
    let body = Solid::Cylinder { radius_mm: 70.0, height_mm: 190.0 };
    let handle = Solid::Block { x_mm: 70.0, y_mm: 30.0, z_mm: 120.0 };
    let spout = Solid::Block { x_mm: 50.0, y_mm: 40.0, z_mm: 40.0 };
    let parts = vec![
        part(PartKind::Body, body, [0.0, 0.0, 95.0], 6.0),
        part(PartKind::Handle, handle, [85.0, 0.0, 95.0], 6.0),
        part(PartKind::Spout, spout, [-70.0, 0.0, 165.0], 6.0),
    ];
    bundle("pitcher", parts, 1300.0, vec![WayUp::Upright], true)
}

fn book() -> Bundle {
    let block = Solid::Block { x_mm: 240.0, y_mm: 170.0, z_mm: 30.0 };
    let parts = vec![part(PartKind::Body, block, [0.0, 0.0, 15.0], 3.0)];
    bundle("book", parts, 750.0, vec![WayUp::Upright, WayUp::OnEdge], true)
}

fn processor_ms() -> f64 {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    1e3 * now.tv_sec as f64 + 1e-6 * now.tv_nsec as f64
}

/// A figure that should be at most its target.
fn beside(what: &str, figure: f64, target: f64) {
    println!("  {what}: {figure:.3}  target {target}  ratio {:.3}", figure / target);
}

/// A figure that should be at least its target.
fn least(what: &str, figure: f64, target: f64) {
    println!("  {what}: {figure:.3}  target {target}  ratio {:.3} (above 1 meets it)", figure / target);
}
