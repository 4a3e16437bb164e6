//! `lotwright plan` and the demo.

use std::io::{IsTerminal, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use measure::Units;
use trade::{Job, Library, LotsBy, OrderPlan, Outcome, work_out};

use crate::args::PlanArgs;
use crate::problems::{Stop, render};
use crate::report::report;
use crate::text::Detail;

/// Plans a sheet (or the demo) and returns what is to be written.
pub fn plan(args: &PlanArgs) -> Result<String, Stop> {
    let library = Library::published();
    let (name, bytes, folder) = match &args.sheet {
        None => (String::from("demo"), sheet::example().as_bytes().to_vec(), PathBuf::from(".")),
        Some(path) => read(path)?,
    };
    let job = job(&name, &bytes, &folder, &library)?;
    let outcome = work(&job, &library, args.order)?;
    if let Some(folder) = &args.svg {
        draw_all(&job, &outcome, folder, args.metric)?;
    }
    if args.json {
        return serde_json::to_string_pretty(&report(&job, &outcome))
            .map(|text| text + "\n")
            .map_err(|e| Stop::Outside(format!("the plan can't be written as JSON: {e}")));
    }
    let units = if args.metric { Units::Metric } else { job.units };
    Ok(crate::text::outcome(
        &job,
        &outcome,
        Detail { units, steps: args.steps || args.order.is_some(), only: args.order },
    ))
}

pub fn read(path: &Path) -> Result<(String, Vec<u8>, PathBuf), Stop> {
    // One byte more than a sheet may have is enough to refuse it.
    let limit = sheet::LARGEST_SHEET as u64 + 1;
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin()
            .take(limit)
            .read_to_end(&mut bytes)
            .map_err(|e| Stop::Outside(format!("standard input can't be read: {e}")))?;
        return Ok((String::from("standard input"), bytes, PathBuf::from(".")));
    }
    let name = path.display().to_string();
    let wrong = |e: std::io::Error| {
        Stop::Input(format!(
            "job sheet {name}: {e}; write one to start from with: lotwright example > {}",
            if path.extension().is_some() { name.clone() } else { String::from("job.toml") }
        ))
    };
    std::fs::File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes)).map_err(wrong)?;
    let folder = path.parent().map_or_else(|| PathBuf::from("."), Path::to_path_buf);
    Ok((name, bytes, folder))
}

/// Reads a sheet; its problems are shown in `name`.
pub fn job(name: &str, bytes: &[u8], folder: &Path, library: &Library) -> Result<Job, Stop> {
    read_job(bytes, folder, library)
        .map_err(|problems| Stop::Input(render(name, &String::from_utf8_lossy(bytes), &problems)))
}

/// Reads a sheet whose files lie in `folder`.
pub fn read_job(bytes: &[u8], folder: &Path, library: &Library) -> Result<Job, Vec<sheet::Problem>> {
    let forms = forms::Catalogue::published();
    let stock = protection::StockCartons::published();
    let files = |path: &str| std::fs::read(folder.join(path)).map_err(|e| e.to_string());
    let shelf = sheet::Library::of(library, &forms, &stock, &files);
    let today = jiff::ZonedDateTime::now().date();
    sheet::read_bytes(bytes, &shelf, today)
}

fn work(job: &Job, library: &Library, only: Option<u32>) -> Result<Outcome, Stop> {
    let spinner = std::io::stderr().is_terminal().then(|| {
        let bar = ProgressBar::new_spinner();
        bar.set_style(
            ProgressStyle::with_template("{spinner} packing {msg}")
                .unwrap_or_else(|_| ProgressStyle::default_spinner()),
        );
        // Nothing shows for work that is done within half a second.
        bar.enable_steady_tick(Duration::from_millis(500));
        bar
    });
    let result = work_out(job, library, only, &|what| {
        if let Some(bar) = &spinner {
            bar.set_message(what.to_owned());
        }
    });
    if let Some(bar) = spinner {
        bar.finish_and_clear();
    }
    let outcome = result.map_err(Stop::input)?;
    if let Some(lots) = only
        && outcome.ladders.iter().all(|ladder| ladder.rungs.is_empty())
    {
        let most = outcome.ladders.iter().map(|ladder| ladder.listing.lots).max().unwrap_or(0);
        return Err(Stop::Input(format!(
            "--order {lots}: no find has so many lots; right would be 1 to {most}"
        )));
    }
    Ok(outcome)
}

fn draw_all(job: &Job, outcome: &Outcome, folder: &Path, metric: bool) -> Result<(), Stop> {
    let units = if metric { Units::Metric } else { job.units };
    let rungs = outcome.ladders.iter().flat_map(|ladder| {
        let find = &job.finds[ladder.listing.find];
        // A find that is split has several listings, whose orders must not take each other's names.
        let listed = match find.lots_by {
            LotsBy::Sheet => find.name.clone(),
            LotsBy::Split => {
                let lot: Vec<String> = ladder.listing.per_lot.iter().map(u32::to_string).collect();
                format!("{} {}", find.name, lot.join(" "))
            }
        };
        ladder
            .rungs
            .iter()
            .filter_map(move |(lots, plan)| Some((format!("{listed} {lots}"), plan.as_ref().ok()?)))
    });
    let mixed = outcome.orders.iter().filter_map(|(name, plan)| Some((name.clone(), plan.as_ref().ok()?)));
    draw_orders(folder, rungs.chain(mixed), units)
}

/// Draws every parcel of orders into a folder, in files named after them.
pub fn draw_orders<'a>(
    folder: &Path,
    orders: impl Iterator<Item = (String, &'a OrderPlan)>,
    units: Units,
) -> Result<(), Stop> {
    let failed = |e: std::io::Error| Stop::Outside(format!("--svg {}: {e}", folder.display()));
    std::fs::create_dir_all(folder).map_err(failed)?;
    for (name, plan) in orders {
        for (k, shipped) in plan.parcels.iter().enumerate() {
            let of = plan.parcels.len();
            let title =
                if of == 1 { plan.name.clone() } else { format!("{}, parcel {} of {of}", plan.name, k + 1) };
            let stem: String = format!("{name} {}", k + 1)
                .chars()
                .map(|c| if c.is_alphanumeric() { c } else { '-' })
                .collect();
            let path = folder.join(format!("{}.svg", stem.to_lowercase()));
            std::fs::write(&path, draw::parcel_svg(&shipped.plan, &title, units)).map_err(failed)?;
        }
    }
    Ok(())
}
