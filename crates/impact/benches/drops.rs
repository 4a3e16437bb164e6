//! Drops per second of a parcel of twelve masses in all twenty-six attitudes, with and without the contacts of its
//! hard parts.
//!
//! `cargo bench -p impact [-- rounds]`; by default two hundred rounds of twenty-six drops each. Times are of the
//! processor, on one thread.

#[path = "../tests/parcel/mod.rs"]
mod parcel;

use impact::{Drop, Model, Network, Settings, attitudes};

/// Processor time in which all twenty-six drops are wanted, s: a parcel is judged while it is looked at (judgement).
const TARGET_S: f64 = 0.005;

/// Processor time of this thread so far, s: what else the machine does is not counted.
fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    text.split(' ').next().and_then(|word| word.parse::<f64>().ok()).unwrap_or(f64::NAN) / 1e9
}

fn run(network: &Network, rounds: u32) {
    let centre = parcel::SIDES_M.map(|side| side / 2.0);
    let ways = attitudes(parcel::SIDES_M, centre).expect("a carton");
    let settings = Settings::default();

    let start = processor_seconds();
    for _ in 0..rounds {
        std::hint::black_box(Model::new(std::hint::black_box(network)).expect("a sound network"));
    }
    let ready = (processor_seconds() - start) / f64::from(rounds);

    let model = Model::new(network).expect("a sound network");
    let (mut steps, mut halved, mut worst, mut gain) = (0, 0, 0.0_f64, 0.0_f64);
    let mut fastest = f64::INFINITY;
    let start = processor_seconds();
    for _ in 0..rounds {
        let begun = processor_seconds();
        (steps, halved, worst, gain) = (0, 0, 0.0, 0.0);
        for way in &ways {
            let response = model.drop(&Drop::new(0.76, way.direction), &settings).expect("a drop");
            steps += response.audit.steps;
            halved += response.audit.halved;
            gain = gain.max(response.audit.largest_gain);
            worst = response.masses.iter().fold(worst, |worst, mass| worst.max(mass.peak_g));
        }
        fastest = fastest.min(processor_seconds() - begun);
    }
    let mean = (processor_seconds() - start) / f64::from(rounds);
    let (masses, links, contacts) = (network.masses.len(), network.links.len(), network.contacts.len());
    println!("{masses} masses, {links} links, {contacts} contacts; made ready in {:.3} ms", ready * 1e3);
    println!(
        "  26 drops: {:.2} ms mean, {:.2} ms best of {rounds}; {steps} steps, {halved} halved",
        mean * 1e3,
        fastest * 1e3
    );
    println!(
        "  {:.0} drops per second (best {:.0}); {:.2} (best {:.2}) times the target of {:.0}",
        26.0 / mean,
        26.0 / fastest,
        TARGET_S / mean,
        TARGET_S / fastest,
        26.0 / TARGET_S
    );
    println!("  largest deceleration {worst:.1} g, largest gain of energy {gain:.1e}");
}

fn main() {
    let rounds: u32 = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(200);
    let network = parcel::parcel();
    run(&Network { contacts: Vec::new(), ..network.clone() }, rounds);
    run(&network, rounds);
}
