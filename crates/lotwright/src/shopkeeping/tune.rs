//! `lotwright tune`: what parcels came to against their plans.

use clap::Args;
use keeping::{put_setting, setting};
use serde_json::json;
use shop::{Tuned, WEIGHT_OF_A_BREAKAGE, WEIGHT_OF_A_PREDICTION};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Share of orders that arrive broken, where nothing else is told (judgement; a job sheet's default).
const USUAL_BREAKAGE: f64 = 0.015;

/// Options of `tune`.
#[derive(Debug, Args)]
pub struct TuneArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Take the share of broken orders over into the settings (market.damage)
    #[arg(long)]
    apply: bool,
}

/// Shows predicted against actual, by form and recipe.
pub fn tune(args: &TuneArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let all = shop.tuned().map_err(refused)?;
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let seen = |count: u32, predicted: i64, actual: i64| {
        if count == 0 || predicted <= 0 { None } else { Some(actual as f64 / predicted as f64) }
    };
    let ratio = |value: Option<f64>| value.map_or_else(|| String::from("-"), |value| format!("{value:.3}"));
    let broken: u32 = all.iter().map(|row| row.broken_orders).sum();
    let parcels: u32 = all.iter().map(|row| row.parcels).sum();
    let overall = shop::shrunk_share(parcels, broken, USUAL_BREAKAGE);
    let (mut rows, mut list) = (Vec::new(), Vec::new());
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
        list.push(json!({
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
             had broken that often. Plans show it beside their own figures.",
            percent(USUAL_BREAKAGE)
        );
        let whole = format!(
            "Altogether {}: {broken} broken, believe {}.",
            plural(parcels, "parcel"),
            percent(overall)
        );
        format!("{}\n{}\n{}", table(&heads, &rows), wrapped("", &whole), wrapped("", &method))
    };
    if args.apply {
        if parcels == 0 {
            return Err(Stop::input("--apply: no parcel was sent yet; right would be to send some first"));
        }
        put_setting(
            &mut shop,
            &when.stamp(),
            "market.damage",
            &format!("\"{:.2} %\"", 100.0 * overall),
            "own parcels",
        )?;
        body =
            format!("{body}\n{}", wrapped("", "Applied: market.damage is now what your own parcels taught."));
    }
    let applied = setting(&shop, "market.damage")?;
    let json = json!({ "by_form": list, "breakage": overall, "market_damage": applied });
    args.door.written(Answer { text: format!("{}{body}", demo_line(&shop)?), json })
}

fn name(row: &Tuned) -> String {
    let form = if row.form.is_empty() { "not planned" } else { &row.form };
    form.replace('_', " ")
}
