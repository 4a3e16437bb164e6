//! `lotwright next`: what to list next.

use clap::Args;
use serde_json::json;

use super::door::{Answer, Where, demo_line, refused};
use super::stock::band;
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `next`.
#[derive(Debug, Args)]
pub struct NextArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
}

/// What waits to be listed, the best hour first.
pub fn next(args: &NextArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let found = shop.candidates(when.day).map_err(refused)?;
    let ranked = books::list_next(&found.finds).map_err(Stop::input)?;
    let (mut rows, mut list) = (Vec::new(), Vec::new());
    for one in &ranked {
        let Some(candidate) = found.finds.iter().find(|known| known.find == one.find) else { continue };
        let text = shop.find_text(one.find).map_err(refused)?;
        let verdict = if one.pays { "list it" } else { "re-sort or give away" };
        rows.push(vec![
            one.find.to_string(),
            one.net_per_hour.to_string(),
            candidate.net.to_string(),
            candidate.age_days.to_string(),
            verdict.to_owned(),
            format!("{} ({})", text.description, text.shelf),
        ]);
        list.push(json!({
            "find": one.find.0, "net_per_hour_cents": one.net_per_hour.cents(), "net_cents": candidate.net.cents(),
            "minutes": candidate.minutes, "age_days": candidate.age_days, "band": band(one.band), "pays": one.pays,
        }));
    }
    let from = if found.own { "your own sales so far" } else { "what is usual; nothing was packed yet" };
    let method = format!(
        "An hour's net x (1 + days / {}): a year of waiting counts double. Net: the value you expected, less {:.0} % \
         of it for selling and {:.0} minutes a piece, both by {from}, less cost.",
        books::AGE_DOUBLES_AFTER_DAYS,
        100.0 * found.selling_share,
        found.minutes_a_piece
    );
    let body = if rows.is_empty() {
        String::from("Everything on the shelf is listed or promised.")
    } else {
        format!(
            "{}\n{}",
            table(&["find", "an hour", "net", "days", "do", "what"], &rows),
            wrapped("", &method)
        )
    };
    args.door.written(Answer { text: format!("{}{body}", demo_line(&shop)?), json: json!(list) })
}
