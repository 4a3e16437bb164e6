//! The layer search against published and measured references, one thread, processor time:
//! `cargo bench -p packing --bench nest`. Prints, never asserts.
//!
//! Circles in a square: radii as kept by E. Specht (Packomania); circles in rectangles and handled
//! discs: layouts measured with multistart overlap minimisation and a polish by linear programs
//! (tests/data). A ratio above 1 is a layout larger than the reference.

use std::path::PathBuf;

use packing::{Effort, Nest, Standing, smallest_rectangle, smallest_rectangle_with};
use plan::Crush;
use rustix::time::{ClockId, clock_gettime};
use serde_json::Value;
use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

const NO_WRAP: Crush = Crush { sideways: 0.0 };
const RADIUS_MM: f64 = 54.0;
/// Seeds of each case, and of the slow ones.
const SEEDS: u64 = 10;
const FEW_SEEDS: u64 = 5;
/// Most descents of a case: far more than any needs.
const MOST: usize = 12_000;
const MANY: usize = 20_000;

fn main() {
    let cpu = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|text| {
        text.lines().find(|line| line.starts_with("model name"))?.split(": ").nth(1).map(ToOwned::to_owned)
    });
    println!("layer search, one thread, processor time; {}", cpu.as_deref().unwrap_or("machine unknown"));
    let (disc, mug) = (piece(false), piece(true));

    println!("\nequal circles in a square, to 0.1 % and to 1e-6 of the record, {SEEDS} seeds");
    let mut small = Vec::new();
    let mut large = Vec::new();
    for row in rows("circles/csq_dev.csv") {
        let (n, side) = (row[0] as usize, RADIUS_MM * row[2]);
        if n > 30 {
            continue;
        }
        let near = race(&disc, n, 0.0, side, 1.001, SEEDS, MOST);
        let exact = race(&disc, n, 0.0, side, 1.000_001, FEW_SEEDS, MOST);
        println!("  {n:3} circles   {near}   1e-6: {exact}");
        if n <= 12 { &mut small } else { &mut large }.push(near);
    }
    whole("N to 12, target 3.6 / 10 ms", &small);
    whole("N 13 to 30, target 25 / 72 ms", &large);

    println!(
        "\nequal circles in rectangles, to 0.1 % and to 1e-6 of the best layout known to us, {FEW_SEEDS} seeds"
    );
    let (mut small, mut large) = (Vec::new(), Vec::new());
    for row in rows("circles/rect_dev.csv") {
        let n = row[0] as usize;
        let long = RADIUS_MM * row[3];
        let near = race(&disc, n, long * (1.0 - row[1]), long * row[1], 1.001, FEW_SEEDS, MOST);
        let exact = race(&disc, n, long * (1.0 - row[1]), long * row[1], 1.000_001, FEW_SEEDS, MOST);
        println!("  {n:3} circles, 1 : {:.3}   {near}   1e-6: {exact}", row[1]);
        if n <= 12 { &mut small } else { &mut large }.push(near);
    }
    whole("N to 12", &small);
    whole("N 13 to 30", &large);

    println!("\ndiscs with a handle in a square: the packer's effort, then time to a goal");
    let cases = cases();
    for case in cases["min_square"].as_array().into_iter().flatten() {
        let (Some(n), Some(side)) = (case["n"].as_u64(), case["side"].as_f64()) else { continue };
        let n = n as usize;
        let started = processor_ms();
        let nest = smallest_rectangle(&vec![&mug; n], 0.0, NO_WRAP);
        let took = processor_ms() - started;
        print!(
            "  {n:3} handled   side {:9.4}  reference {side:9.4}  ratio {:.5}  {took:7.1} ms",
            nest.short_mm,
            nest.short_mm / side
        );
        if n > 1 {
            let goal = if n <= 7 { 1.001 } else { 1.005 };
            print!("   to {goal}: {}", race(&mug, n, 0.0, side, goal, SEEDS, MOST));
        }
        if n > 7 {
            print!("   to 1.00002: {}", race(&mug, n, 0.0, side, 1.000_02, FEW_SEEDS, MANY));
        }
        println!();
    }

    println!("\ndiscs with a handle in a strip 305 mm wide");
    for (n, length, goal) in [(6, 272.595, 273.0), (8, 350.3097, 351.0), (12, 516.2471, 520.0)] {
        // The shorter side that is searched for is the strip's width at this length.
        let r = race(&mug, n, goal - 305.0, 305.0, 1.0, SEEDS, MOST);
        println!(
            "  {n:3} handled   to {goal} mm long ({length} mm is the best known, {:.5}): width {r}",
            goal / length
        );
    }
    let six = smallest_rectangle(&[&mug; 6], 0.0, NO_WRAP).short_mm;
    println!(
        "\n12 in with 7 mm of cushion: six handled discs need {six:.2}, reference 290.80 mm, ratio {:.5}",
        six / 290.8
    );
}

/// Times to a goal over seeds, ms, sorted; how many missed; the largest side and its reference, mm.
struct Race {
    times: Vec<f64>,
    missed: usize,
    side: f64,
    reference: f64,
}

impl std::fmt::Display for Race {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let (median, worst) = (self.median(), self.times.last().copied().unwrap_or(0.0));
        let Self { side, reference, missed, .. } = self;
        let ratio = side / reference;
        write!(f, "side {side:.4} reference {reference:.4} ratio {ratio:.7} missed {missed}, ")?;
        write!(f, "median {median:.2} worst {worst:.2} ms")
    }
}

impl Race {
    fn median(&self) -> f64 {
        self.times.get(self.times.len() / 2).copied().unwrap_or(0.0)
    }
}

fn race(
    piece: &Standing,
    n: usize,
    difference: f64,
    reference: f64,
    goal: f64,
    seeds: u64,
    most: usize,
) -> Race {
    let items = vec![piece; n];
    let enough_mm = reference * goal + 1e-6;
    let mut race = Race { times: Vec::new(), missed: 0, side: 0.0, reference };
    for seed in 0..seeds {
        let started = processor_ms();
        let nest: Nest =
            smallest_rectangle_with(&items, difference, NO_WRAP, Effort { descents: most, enough_mm, seed });
        race.times.push(processor_ms() - started);
        race.missed += usize::from(nest.short_mm > enough_mm);
        race.side = race.side.max(nest.short_mm);
    }
    race.times.sort_by(f64::total_cmp);
    race
}

fn whole(what: &str, races: &[Race]) {
    let mut medians: Vec<f64> = races.iter().map(Race::median).collect();
    medians.sort_by(f64::total_cmp);
    let worst = races.iter().filter_map(|race| race.times.last()).fold(0.0f64, |a, &b| a.max(b));
    let missed: usize = races.iter().map(|race| race.missed).sum();
    let median = medians.get(medians.len() / 2).copied().unwrap_or(0.0);
    println!("  {what}: median {median:.2} ms, worst {worst:.2} ms, missed {missed}");
}

fn processor_ms() -> f64 {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    1e3 * now.tv_sec as f64 + 1e-6 * now.tv_nsec as f64
}

fn data(name: &str) -> String {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "tests", "data", name].iter().collect();
    std::fs::read_to_string(path).unwrap_or_default()
}

/// Rows of numbers of a table; what is no number reads as 0.
fn rows(name: &str) -> Vec<[f64; 4]> {
    let number = |field: Option<&str>| field.and_then(|text| text.parse().ok()).unwrap_or(0.0);
    data(name)
        .lines()
        .skip(1)
        .map(|line| {
            let mut fields = line.split(',');
            [(); 4].map(|()| number(fields.next()))
        })
        .collect()
}

fn cases() -> Value {
    serde_json::from_str(&data("handles/cases.json")).unwrap_or(Value::Null)
}

/// A bare disc of radius 54 mm, with a handle 35 mm wide that reaches 38 mm beyond it if asked.
fn piece(handle: bool) -> Standing {
    let part = |kind, solid, x| Part { kind, solid, placement: Placement::at(x, 0.0, 45.0), wrap_mm: 0.0 };
    let body = Solid::Cylinder { radius_mm: RADIUS_MM, height_mm: 90.0 };
    let mut parts = vec![part(PartKind::Body, body, 0.0)];
    if handle {
        parts.push(part(PartKind::Handle, Solid::Block { x_mm: 92.0, y_mm: 35.0, z_mm: 60.0 }, 46.0));
    }
    let bundle = Bundle {
        label: String::from("piece"),
        contents: Vec::new(),
        parts,
        mass_g: 400.0,
        ways_up: vec![WayUp::Upright],
        wall_clearance_mm: 0.0,
        separation_mm: 0.0,
        bears_load: true,
        company: Company::Breakable,
        wrapped_volume_mm3: 1.0,
    };
    Standing::new(&bundle, WayUp::Upright, NO_WRAP)
}
