//! `lotwright stock` and `aged`.

use books::{AGE_LIMITS, AgeBand};
use clap::Args;
use measure::Money;
use serde_json::{Value, json};
use shop::StockLine;

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Options of `stock`.
#[derive(Debug, Args)]
pub struct StockArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Only pieces that no listing and no order speaks for
    #[arg(long)]
    unlisted: bool,
}

/// Options of `aged`.
#[derive(Debug, Args)]
pub struct AgedArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
}

fn line_json(line: &StockLine) -> Value {
    json!({
        "find": line.find.0, "haul": line.haul.0, "form": line.text.form, "description": line.text.description,
        "shelf": line.text.shelf, "on_hand": line.on_hand, "promised": line.promised, "listed": line.listed,
        "unlisted": line.unlisted(), "basis_cents": line.basis.cents(), "age_days": line.age_days,
        "band": band(line.band),
    })
}

/// What is on the shelf.
pub fn stock(args: &StockArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let mut lines = shop.stock(when.day).map_err(refused)?;
    if args.unlisted {
        lines.retain(|line| line.unlisted() > 0);
    }
    let rows: Vec<Vec<String>> = lines
        .iter()
        .map(|line| {
            vec![
                line.text.shelf.clone(),
                line.find.to_string(),
                line.on_hand.to_string(),
                line.promised.to_string(),
                line.listed.to_string(),
                line.unlisted().to_string(),
                line.basis.to_string(),
                line.age_days.to_string(),
                line.text.description.clone(),
            ]
        })
        .collect();
    let (pieces, basis): (u32, Money) =
        (lines.iter().map(|line| line.on_hand).sum(), lines.iter().map(|line| line.basis).sum());
    let heads = ["shelf", "find", "here", "promised", "listed", "free", "cost", "days", "what"];
    let body = if rows.is_empty() { String::from("Nothing.") } else { table(&heads, &rows) };
    let text = format!(
        "{}{body}\n{}",
        demo_line(&shop)?,
        wrapped("", &format!("{} on the shelf, {basis} at cost.", plural(pieces, "piece")))
    );
    let json = json!({
        "day": when.day.to_string(), "pieces": pieces, "basis_cents": basis.cents(),
        "finds": lines.iter().map(line_json).collect::<Vec<_>>(),
    });
    args.door.written(Answer { text, json })
}

/// An age band in words.
pub fn band(band: AgeBand) -> String {
    let [fresh, watched, old] = AGE_LIMITS;
    match band {
        AgeBand::Fresh => format!("up to {fresh} days"),
        AgeBand::Watched => format!("up to {watched} days"),
        AgeBand::Old => format!("up to {old} days"),
        AgeBand::Stale => format!("over {old} days"),
    }
}

/// Stock by how long it has waited.
pub fn aged(args: &AgedArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let mut lines = shop.stock(when.day).map_err(refused)?;
    lines.sort_by_key(|line| (std::cmp::Reverse(line.age_days), line.find));
    let bands = [AgeBand::Fresh, AgeBand::Watched, AgeBand::Old, AgeBand::Stale];
    let mut rows = Vec::new();
    let mut list = Vec::new();
    for one in bands {
        let of_band = || lines.iter().filter(|line| line.band == one);
        let pieces: u32 = of_band().map(|line| line.on_hand).sum();
        let basis: Money = of_band().map(|line| line.basis).sum();
        rows.push(vec![band(one), pieces.to_string(), basis.to_string()]);
        list.push(json!({ "band": band(one), "pieces": pieces, "basis_cents": basis.cents() }));
    }
    let old: Vec<Vec<String>> = lines
        .iter()
        .filter(|line| line.band != AgeBand::Fresh)
        .map(|line| {
            vec![
                line.age_days.to_string(),
                line.find.to_string(),
                line.on_hand.to_string(),
                line.unlisted().to_string(),
                line.basis.to_string(),
                format!("{} ({})", line.text.description, line.text.shelf),
            ]
        })
        .collect();
    let mut text = format!("{}{}", demo_line(&shop)?, table(&["waiting", "pieces", "cost"], &rows));
    if !old.is_empty() {
        text.push_str("\n\n");
        text.push_str(&table(&["days", "find", "here", "free", "cost", "what"], &old));
        text.push('\n');
        text.push_str(&wrapped("", "Sort it into other lots, lower it, or give it away."));
    }
    let json = json!({ "day": when.day.to_string(), "bands": list, "finds": lines.iter().map(line_json).collect::<Vec<_>>() });
    args.door.written(Answer { text, json })
}
