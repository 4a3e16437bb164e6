//! `lotwright bench`: what is to pack.

use books::OrderId;
use clap::{Args, Subcommand};
use serde_json::json;
use shop::Shop;

use super::bench_plan::{self, PlanArgs};
use super::door::{Answer, When, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `bench`.
#[derive(Debug, Args)]
pub struct BenchArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do; left out, the orders to pack
    #[command(subcommand)]
    what: Option<BenchCommand>,
}

/// What to do at the bench.
#[derive(Debug, Subcommand)]
enum BenchCommand {
    /// Plan an order's parcels with what is on hand, and set its supplies aside
    Plan(PlanArgs),
    /// What to fetch, by place on the shelf; for one order, or all that are paid
    Pull {
        /// The order
        order: Option<u64>,
    },
}

/// Shows the bench, plans, or lists what to fetch.
pub fn bench(args: &BenchArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let answer = match &args.what {
        None => waiting(&shop, &when)?,
        Some(BenchCommand::Plan(told)) => bench_plan::plan(&mut shop, &when, told)?,
        Some(BenchCommand::Pull { order }) => pull(&shop, *order)?,
    };
    args.door.written(answer)
}

fn waiting(shop: &Shop, when: &When) -> Result<Answer, Stop> {
    let bench = shop.bench().map_err(refused)?;
    let due = |day: Option<jiff::civil::Date>| match day {
        None => String::from("no promise"),
        Some(day) => {
            let left = (day - when.day).get_days();
            match left {
                0 => format!("{day}, today"),
                1 => format!("{day}, tomorrow"),
                left if left < 0 => format!("{day}, late"),
                left => format!("{day}, {left} days"),
            }
        }
    };
    let next = |row: &shop::BenchRow| match (row.paid, row.parcels) {
        (false, _) => String::from("wait for the money"),
        (true, 0) => format!("bench plan {}", row.order),
        (true, _) => format!("pack, then ship {}", row.order),
    };
    let rows: Vec<Vec<String>> = bench
        .iter()
        .map(|row| {
            vec![
                row.order.to_string(),
                due(row.promise_by),
                row.lots.to_string(),
                row.pieces.to_string(),
                row.parcels.to_string(),
                next(row),
            ]
        })
        .collect();
    let heads = ["order", "promised", "lots", "pieces", "parcels", "next"];
    let body = if rows.is_empty() { String::from("Nothing to pack.") } else { table(&heads, &rows) };
    let json = bench.iter().map(|row| {
        json!({
            "order": row.order.0, "promise_by": row.promise_by.map(|day| day.to_string()),
            "ordered_on": row.ordered_on.to_string(), "lots": row.lots, "pieces": row.pieces,
            "parcels": row.parcels, "paid": row.paid,
        })
    });
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: json.collect() })
}

fn pull(shop: &Shop, order: Option<u64>) -> Result<Answer, Stop> {
    let orders: Vec<OrderId> = match order {
        Some(order) => {
            shop.order(OrderId(order)).map_err(refused)?;
            vec![OrderId(order)]
        }
        None => shop.bench().map_err(refused)?.iter().filter(|row| row.paid).map(|row| row.order).collect(),
    };
    let fetch = keeping::fetching(shop, &orders)?;
    let rows: Vec<Vec<String>> = fetch
        .iter()
        .map(|keeping::Fetch { order, row }| {
            vec![
                if row.shelf.is_empty() { String::from("?") } else { row.shelf.clone() },
                row.pieces.len().to_string(),
                row.find.to_string(),
                order.to_string(),
                format!(
                    "{}, {}{}",
                    row.description,
                    keeping::pieces_numbered(row),
                    keeping::flaws_known(row)
                ),
            ]
        })
        .collect();
    let body = if rows.is_empty() {
        String::from("Nothing to fetch.")
    } else {
        let count = wrapped("", "Tick each off, and count again at the bench.");
        format!("{}\n{count}", table(&["shelf", "pieces", "find", "order", "what"], &rows))
    };
    let json = fetch.iter().map(|keeping::Fetch { order, row }| {
        json!({
            "order": order.0, "shelf": row.shelf, "find": row.find.0, "form": row.form,
            "description": row.description, "pieces": row.pieces,
            "flaws": row.flaws.iter().map(|(piece, flaw)| json!({ "piece": piece, "flaw": flaw })).collect::<Vec<_>>(),
        })
    });
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: json.collect() })
}
