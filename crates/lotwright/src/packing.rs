//! `lotwright pack`: all pieces into the cheapest parcel or parcels, better ones while there is time.

use std::time::{Duration, Instant};

use measure::{Money, Units};
use trade::{Library, OrderPlan, pack_all};

use crate::args::PackArgs;
use crate::asked::asked;
use crate::problems::Stop;
use crate::report;
use crate::text::{Detail, parcel};
use crate::words::{plural, wrapped};
use crate::worth_report;

/// Times the usual effort at which it is no use to go on.
const MOST_EFFORT: u32 = 1 << 12;

/// Packs.
pub fn pack(args: &PackArgs) -> Result<String, Stop> {
    let library = Library::published();
    let mut asked = asked(&args.find, &library)?;
    asked.only_what_is_asked();
    let job = &asked.job;
    let limit = args.better.as_deref().map(time).transpose()?;
    let started = Instant::now();
    let mut effort = 1;
    let mut best = pack_all(job, &library, effort).map_err(Stop::input)?;
    if let Some(limit) = limit {
        tell(started.elapsed(), effort, &best);
        while started.elapsed() < limit && effort < MOST_EFFORT && !proved(&best) {
            effort *= 2;
            let next = pack_all(job, &library, effort).map_err(Stop::input)?;
            if cost(&next) < cost(&best) {
                best = next;
            }
            tell(started.elapsed(), effort, &best);
        }
    }
    let units = if args.find.metric { Units::Metric } else { job.units };
    if let Some(folder) = &args.svg {
        let orders = std::iter::once((best.name.clone(), &best));
        crate::planning::draw_orders(folder, orders, units)?;
    }
    if args.find.json {
        return worth_report::written(&report::order("all pieces", 1, Ok(&best)));
    }
    let mut out = String::new();
    if !asked.usual.is_empty() {
        out.push_str(&wrapped("~ ", &format!("Not told, taken as usual: {}.", asked.usual.join("; "))));
        out.push('\n');
    }
    out.push_str(&plural(best.parcels.len() as u32, "parcel"));
    out.push('\n');
    for (k, shipped) in best.parcels.iter().enumerate() {
        out.push_str(&parcel(k, best.parcels.len(), shipped, Detail { units, steps: true, only: None }));
    }
    out.push_str(&wrapped("", &summary(&best)));
    out.push('\n');
    Ok(out)
}

/// Postage, materials and work of all parcels.
fn cost(plan: &OrderPlan) -> Money {
    plan.parcels.iter().map(|parcel| parcel.cost).sum()
}

/// Whether nothing listed can be cheaper: one parcel, and every cheaper carton proved too small.
fn proved(plan: &OrderPlan) -> bool {
    matches!(plan.parcels.as_slice(), [one] if one.bound == one.cost)
}

fn summary(plan: &OrderPlan) -> String {
    let cost = cost(plan);
    let (materials, minutes) = (plan.materials, plan.minutes);
    let whole = format!(
        "Altogether {cost}: {} of postage on average, {materials} of materials, {minutes:.0} min of packing.",
        plan.expected_postage
    );
    let bound = match plan.parcels.as_slice() {
        [one] if one.bound == one.cost => String::from("No listed carton can be cheaper in one parcel."),
        [one] => {
            format!("Cartons that might do for {} or more were tried and not proved too small.", one.bound)
        }
        _ => String::from("Several parcels: what one or other divisions cost was tried, not proved."),
    };
    format!("{whole} {bound}")
}

fn tell(elapsed: Duration, effort: u32, plan: &OrderPlan) {
    let bound: Money = plan.parcels.iter().map(|parcel| parcel.bound).sum();
    eprintln!(
        "{:>6.1} s, {effort} x the usual effort: {} in {}, bound {bound}",
        elapsed.as_secs_f64(),
        cost(plan),
        plural(plan.parcels.len() as u32, "parcel")
    );
}

/// "30s", "2m", "1.5 min".
fn time(text: &str) -> Result<Duration, Stop> {
    let text = text.trim();
    let split = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (figure, unit) = text.split_at(split);
    let seconds = match unit.trim() {
        "" | "s" | "sec" => Some(1.0),
        "m" | "min" => Some(60.0),
        _ => None,
    };
    let figure: Option<f64> = figure.trim().parse().ok().filter(|figure| (0.0..=86_400.0).contains(figure));
    match figure.zip(seconds) {
        Some((figure, unit)) => Ok(Duration::from_secs_f64(figure * unit)),
        None => Err(Stop::Input(format!("--better: \"{text}\" is not a time; right would be: --better 30s"))),
    }
}
