//! `lotwright tune`: what parcels came to against their plans.

use clap::Args;
use keeping::{USUAL_BREAKAGE, apply_tuning, overall_breakage, setting, take_back_tuning, tuning_of};
use serde_json::json;
use shop::{Tuned, Tuning, WEIGHT_OF_A_BREAKAGE, WEIGHT_OF_A_PREDICTION};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, table, trimmed, wrapped};

/// Options of `tune`.
#[derive(Debug, Args)]
pub struct TuneArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Plan by it from now on: weight and minutes by form and recipe, and the share of broken orders (market.damage)
    #[arg(long)]
    apply: bool,
    /// Take back what was applied: plans go by their own figures again
    #[arg(long, conflicts_with = "apply")]
    take_back: bool,
    /// Note something else predicted and what it was: "bubble, sheets of mug: 14 was 17"
    #[arg(long, value_name = "WHAT, UNIT of FORM: PREDICTED was ACTUAL", conflicts_with_all = ["apply", "take_back"])]
    note: Vec<String>,
}

const RIGHT_NOTE: &str = "--note \"minutes to clean, min of diner_mug: 4 was 6\"";

/// "minutes to clean, min of diner_mug: 4 was 6"
fn noted(text: &str, date: jiff::civil::Date) -> Result<Tuning, Stop> {
    let wrong = |what: &str| Stop::Input(format!("--note \"{text}\": {what}; right would be: {RIGHT_NOTE}"));
    let (what, figures) = text.rsplit_once(':').ok_or_else(|| wrong("there is no : in it"))?;
    let (what, form) = what.rsplit_once(" of ").ok_or_else(|| wrong("it doesn't say of which form"))?;
    let (what, unit) = what.rsplit_once(',').ok_or_else(|| wrong("it doesn't say in which unit"))?;
    let (predicted, actual) =
        figures.split_once(" was ").ok_or_else(|| wrong("it doesn't say what it was"))?;
    let figure = |text: &str| {
        let read = text.trim().parse::<f64>().ok().filter(|figure| figure.is_finite() && *figure >= 0.0);
        read.ok_or_else(|| wrong("the figures must be 0 or more, in the same unit"))
    };
    let form = forms::Catalogue::published().find(form.trim()).map_err(|e| wrong(&e.to_string()))?.clone();
    Ok(Tuning {
        form: form.id,
        recipe: form.recipe,
        what: what.trim().to_owned(),
        unit: unit.trim().to_owned(),
        predicted: figure(predicted)?,
        actual: figure(actual)?,
        date,
    })
}

/// Shows predicted against actual, by form and recipe.
pub fn tune(args: &TuneArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let notes = args.note.iter().map(|text| noted(text, when.day)).collect::<Result<Vec<_>, _>>()?;
    for note in &notes {
        shop.note(&when.stamp(), note).map_err(refused)?;
    }
    let taken_back = if args.take_back { Some(take_back_tuning(&mut shop, &when.stamp())?) } else { None };
    if args.apply {
        let all = shop.tuned().map_err(refused)?;
        let (parcels, _) = sums(&all);
        if parcels == 0 {
            return Err(Stop::input("--apply: no parcel was sent yet; right would be to send some first"));
        }
        apply_tuning(&mut shop, &when.stamp(), &all, overall_breakage(&all))?;
    }
    let all = shop.tuned().map_err(refused)?;
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let seen = |count: u32, predicted: i64, actual: i64| {
        if count == 0 || predicted <= 0 { None } else { Some(actual as f64 / predicted as f64) }
    };
    let ratio = |value: Option<f64>| value.map_or_else(|| String::from("-"), |value| format!("{value:.3}"));
    let (parcels, broken) = sums(&all);
    let overall = overall_breakage(&all);
    let (mut rows, mut list, mut applied_lines) = (Vec::new(), Vec::new(), Vec::new());
    for row in &all {
        let weight = seen(row.weighed, row.predicted_milligrams, row.actual_milligrams);
        let minutes = seen(row.timed, row.predicted_minutes, row.actual_minutes);
        rows.push(vec![
            name(row),
            row.parcels.to_string(),
            ratio(weight),
            format!("{:.3}", row.weight_factor()),
            ratio(minutes),
            format!("{:.3}", row.minutes_factor()),
            row.broken_orders.to_string(),
            percent(row.breakage(USUAL_BREAKAGE)),
        ]);
        let applied = tuning_of(&shop, &row.form, &row.recipe)?;
        if applied.weight != 1.0 || applied.minutes != 1.0 {
            let plans = applied.learnt();
            applied_lines.push(wrapped(
                "  ",
                &format!(
                    "{}: plans count weight x {:.3} (default 1) and minutes x {:.3} (default 1)",
                    name(row),
                    plans.weight(),
                    plans.minutes()
                ),
            ));
        }
        list.push(json!({
            "applied": { "weight": applied.learnt().weight(), "minutes": applied.learnt().minutes() },
            "form": row.form, "recipe": row.recipe, "parcels": row.parcels,
            "weight": { "seen": weight, "believed": row.weight_factor(), "default": 1.0 },
            "minutes": { "seen": minutes, "believed": row.minutes_factor(), "default": 1.0 },
            "broken": { "orders": row.broken_orders, "believed": row.breakage(USUAL_BREAKAGE), "default": USUAL_BREAKAGE },
        }));
    }
    let mut body = if rows.is_empty() {
        String::from("No parcel was sent yet.")
    } else {
        let heads = ["form", "sent", "weight", "believe", "min", "believe", "broken", "believe"];
        let method = format!(
            "Weight and min: actual over predicted; believe: drawn towards 1 as if {WEIGHT_OF_A_PREDICTION:.0} more \
             parcels had gone as predicted. Broken: drawn towards {} as if {WEIGHT_OF_A_BREAKAGE:.0} more orders \
             had broken that often. Plans show it beside their own figures; --apply lets them go by it.",
            percent(USUAL_BREAKAGE)
        );
        let whole = format!(
            "Altogether {}: {broken} broken, believe {}.",
            plural(parcels, "parcel"),
            percent(overall)
        );
        format!("{}\n{}\n{}", table(&heads, &rows), wrapped("", &whole), wrapped("", &method))
    };
    if !applied_lines.is_empty() {
        body = format!("{body}\nApplied:\n{}", applied_lines.join("\n"));
        let never = "A parcel is never posted as lighter than its parts: a weight factor below 1 counts as 1. What was \
                     predicted stays as it was reckoned, so each factor counts once. Undo: lotwright tune --take-back.";
        body = format!("{body}\n{}", wrapped("", never));
    }
    if args.apply {
        body =
            format!("{body}\n{}", wrapped("", "Applied: market.damage is now what your own parcels taught."));
    }
    if let Some(count) = taken_back {
        let count = plural(u32::try_from(count).unwrap_or(u32::MAX), "setting");
        body = format!(
            "{body}\n{}",
            wrapped("", &format!("Taken back: {count}. Plans go by their own figures."))
        );
    }
    let others = shop.noted::<Tuning>().map_err(refused)?;
    if !others.is_empty() {
        let told = others.iter().map(|(number, one)| {
            wrapped(
                "  ",
                &format!(
                    "{number}, {}: {} of {}: {} {} predicted, was {}",
                    one.date,
                    one.what,
                    one.form.replace('_', " "),
                    trimmed(one.predicted),
                    one.unit,
                    trimmed(one.actual)
                ),
            )
        });
        body = format!("{body}\nNoted:\n{}", told.collect::<Vec<_>>().join("\n"));
    }
    let noted: Vec<_> = others
        .iter()
        .map(|(number, one)| {
            json!({
                "note": number, "form": one.form, "what": one.what, "unit": one.unit, "predicted": one.predicted,
                "actual": one.actual, "date": one.date.to_string(),
            })
        })
        .collect();
    let applied = setting(&shop, "market.damage")?;
    let json = json!({ "by_form": list, "breakage": overall, "market_damage": applied, "noted": noted });
    args.door.written(Answer { text: format!("{}{body}", demo_line(&shop)?), json })
}

fn name(row: &Tuned) -> String {
    let form = if row.form.is_empty() { "not planned" } else { &row.form };
    form.replace('_', " ")
}

/// Parcels sent, and orders of which something broke.
fn sums(all: &[Tuned]) -> (u32, u32) {
    let sum = |of: fn(&Tuned) -> u32| all.iter().map(of).fold(0, u32::saturating_add);
    (sum(|row| row.parcels), sum(|row| row.broken_orders))
}
