//! `lotwright forms`, `zones` and `postage`: one thing looked up.

use std::fmt::Write as _;
use std::path::Path;

use forms::Catalogue;
use jiff::civil::Date;
use measure::{Length, Mass};
use postage::{ParcelFacts, RateCard, ZoneFinder};

use crate::args::{FormsArgs, PostageArgs, ZonesArgs};
use crate::problems::Stop;
use crate::words::wrapped;

/// More of a file is never read.
const MOST_BYTES: u64 = 4 << 20;

/// The list of forms, or one with all that is known of it.
pub fn forms(args: &FormsArgs) -> Result<String, Stop> {
    let mut catalogue = Catalogue::published();
    if let Some(path) = &args.with {
        catalogue = catalogue.with_overrides(&text_of(path, "--with")?).map_err(Stop::input)?;
    }
    let mut out = String::new();
    let Some(name) = &args.form else {
        for form in catalogue.forms() {
            let _ = writeln!(out, "{:<24}{}", form.id, form.name);
        }
        let _ = writeln!(out, "\n{} forms. `lotwright forms NAME` shows one.", catalogue.len());
        return Ok(out);
    };
    let form = catalogue.find(name).map_err(Stop::input)?;
    let _ = writeln!(out, "{} ({})", form.name, form.id);
    if !form.synonyms.is_empty() {
        let _ = writeln!(out, "{}", wrapped("also: ", &form.synonyms.join(", ")));
    }
    let fragilities = cushion::Fragilities::published();
    let bears = &fragilities.find(form.fragility.word()).map_err(Stop::input)?.g;
    let _ = writeln!(
        out,
        "recipe {}, fragility {} G ({})\n",
        form.recipe.replace('_', " "),
        bears.value,
        bears.origin.flag.word()
    );
    for figure in form.figures() {
        let range = match (figure.low, figure.high) {
            (Some(low), Some(high)) => format!(", {low} to {high}"),
            _ => String::new(),
        };
        let _ = writeln!(
            out,
            "  {:<18}{:<14}{}{range}",
            figure.name.replace('_', " "),
            figure.value_text,
            figure.flag.word()
        );
    }
    for caution in &form.cautions {
        let _ = writeln!(out, "{}", wrapped("! ", &caution.full_text()));
    }
    Ok(out)
}

/// Zones from one place to others.
pub fn zones(args: &ZonesArgs) -> Result<String, Stop> {
    let finder = finder(&args.from, args.chart.as_deref())?;
    let mut out = String::new();
    for to in &args.to {
        let found = finder.zone(&args.from, to).map_err(Stop::input)?;
        let source = match found.source {
            postage::ZoneSource::Chart => String::from("your chart"),
            postage::ZoneSource::SameArea => String::from("same area"),
            postage::ZoneSource::Estimate => found
                .miles
                .map_or_else(|| String::from("estimate"), |miles| format!("estimate, {miles:.0} miles")),
        };
        let _ = writeln!(out, "{} to {to}: {} ({source})", args.from, found.zone);
        if let Some(edge) = found.to_edge_miles {
            let next = found.neighbour.map(|zone| format!(" with {zone}")).unwrap_or_default();
            let _ = writeln!(
                out,
                "{}",
                wrapped(
                    "  ! ",
                    &format!("{edge:.1} miles from the edge{next}: check it on your official chart")
                )
            );
        }
        if let Some(note) = &found.note {
            let _ = writeln!(out, "{}", wrapped("  ! ", note));
        }
    }
    Ok(out)
}

/// Postage of one parcel.
pub fn postage(args: &PostageArgs) -> Result<String, Stop> {
    let gross = Mass::read_positive(&args.weight, None).map_err(|e| Stop::Input(format!("--weight: {e}")))?;
    let outside = sides("--size", &args.size)?;
    let date: Date = match &args.date {
        None => jiff::ZonedDateTime::now().date(),
        Some(text) => text.parse().map_err(|_| {
            Stop::Input(format!("--date: \"{text}\" is no date; right would be, for example, 2026-11-25"))
        })?,
    };
    let card = RateCard::by_id(&args.card).ok_or_else(|| {
        let known: Vec<String> = RateCard::published().iter().map(|card| card.id().to_owned()).collect();
        Stop::Input(format!(
            "--card: no card is called \"{}\"; right would be one of {}",
            args.card,
            known.join(", ")
        ))
    })?;
    let finder = finder(&args.from, args.chart.as_deref())?;
    let parcel = ParcelFacts { outside, gross, rectangular: true };
    let mut out = String::new();
    let _ = writeln!(out, "{}, mailed {date}", card.service());
    let _ = writeln!(out, "{}", wrapped("", card.check_line().unwrap_or("Check against the official list.")));
    let mut told = std::collections::BTreeSet::new();
    for to in &args.to {
        let zone = finder.zone(&args.from, to).map_err(Stop::input)?.zone;
        let quote = card.quote(&parcel, zone, date).map_err(Stop::input)?;
        let _ =
            writeln!(out, "\n{} to {to}: {zone}, bills as {}, {}", args.from, quote.billed_row, quote.total);
        for step in &quote.steps {
            let _ = writeln!(out, "{}", wrapped("  ", step));
        }
        told.extend(quote.cautions);
    }
    for caution in told {
        let _ = writeln!(out, "{}", wrapped("! ", &caution));
    }
    Ok(out)
}

/// "12.4 x 12.4 x 8.7 in": a unit after the last side serves all three.
pub fn sides(option: &str, text: &str) -> Result<[Length; 3], Stop> {
    keeping::three_sides(text).map_err(|why| Stop::Input(format!("{option}: {why}")))
}

fn finder(from: &str, chart: Option<&Path>) -> Result<ZoneFinder, Stop> {
    let finder = ZoneFinder::published();
    match chart {
        None => Ok(finder),
        Some(path) => finder.with_chart(from, &text_of(path, "--chart")?).map_err(Stop::input),
    }
}

fn text_of(path: &Path, option: &str) -> Result<String, Stop> {
    use std::io::Read;
    let mut bytes = Vec::new();
    std::fs::File::open(path)
        .and_then(|file| file.take(MOST_BYTES).read_to_end(&mut bytes))
        .map_err(|e| Stop::Input(format!("{option} {}: {e}", path.display())))?;
    String::from_utf8(bytes).map_err(|e| {
        Stop::Input(format!(
            "{option} {}: byte {} is not UTF-8 text; save the file as UTF-8",
            path.display(),
            e.utf8_error().valid_up_to()
        ))
    })
}
