//! `lotwright books`: what was earned.

use books::{By, Earned};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use keeping::named;
use measure::Money;
use serde_json::{Value, json};

use super::door::{Answer, Where, day, demo_line, refused};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `books`.
#[derive(Debug, Args)]
pub struct BooksArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// By what it is grouped
    #[arg(long, value_enum, default_value = "month")]
    by: ByWord,
    /// From this day; left out, from the beginning
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// Up to and with this day; left out, today
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    /// Show every column: advertising, refunds, losses, minutes
    #[arg(long)]
    explain: bool,
}

/// By what earnings are grouped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ByWord {
    /// By order
    Order,
    /// By lot (listing)
    Lot,
    /// By find
    Find,
    /// By haul
    Haul,
    /// By place of purchase
    Place,
    /// By month
    Month,
    /// By year
    Year,
}

impl ByWord {
    const fn by(self) -> By {
        match self {
            Self::Order => By::Order,
            Self::Lot => By::Lot,
            Self::Find => By::Find,
            Self::Haul => By::Haul,
            Self::Place => By::Place,
            Self::Month => By::Month,
            Self::Year => By::Year,
        }
    }
}

fn as_json(name: &str, row: &Earned) -> Value {
    json!({
        "what": name, "pieces": row.pieces, "items_cents": row.items.cents(), "shipping_cents": row.shipping.cents(),
        "refunds_cents": row.refunds.cents(), "other_income_cents": row.other_income.cents(),
        "fees_cents": row.fees.cents(), "advertising_cents": row.advertising.cents(),
        "postage_cents": row.postage.cents(), "materials_cents": row.materials.cents(),
        "basis_cents": row.basis.cents(), "losses_cents": row.losses.cents(), "other_cents": row.other.cents(),
        "minutes": row.minutes, "revenue_cents": row.revenue().cents(), "net_cents": row.net().cents(),
        "net_per_hour_cents": row.net_per_hour().map(Money::cents),
    })
}

/// What was earned.
pub fn earned(args: &BooksArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let from = args.from.as_deref().map_or(Ok(Date::MIN), |text| day("--from", text))?;
    let to = args.to.as_deref().map_or(Ok(when.day), |text| day("--to", text))?;
    if from > to {
        return Err(Stop::Input(format!("--from {from} is after --to {to}; right would be an earlier day")));
    }
    let found = shop.earned(args.by.by(), from, to).map_err(refused)?;
    let (mut rows, mut list) = (Vec::new(), Vec::new());
    let mut line = |name: String, row: &Earned| {
        let hour = row.net_per_hour().map_or_else(|| String::from("-"), |hour| hour.to_string());
        let mut cells =
            vec![row.pieces.to_string(), row.revenue().to_string(), (row.fees + row.advertising).to_string()];
        cells.extend([row.postage, row.materials, row.basis + row.losses].map(|amount| amount.to_string()));
        cells.extend([row.net().to_string(), hour, name]);
        rows.push(cells);
    };
    let mut total = Earned::default();
    for (key, row) in &found {
        let name = named(key, &shop);
        list.push(as_json(&name, row));
        line(name, row);
        total = sum(total, row);
    }
    if found.len() > 1 {
        line(String::from("all"), &total);
    }
    let heads = ["pieces", "revenue", "fees", "postage", "packing", "goods", "net", "an hour", "what"];
    let mut body = if rows.is_empty() {
        String::from("Nothing was earned or spent in these days.")
    } else {
        table(&heads, &rows)
    };
    if args.explain && !rows.is_empty() {
        let lines = [
            format!(
                "revenue: items {} + shipping charged {} - refunds {}",
                total.items, total.shipping, total.refunds
            ),
            format!("fees: selling {} + advertising {}", total.fees, total.advertising),
            format!(
                "goods: cost of what buyers have {} + broken or given away {}",
                total.basis, total.losses
            ),
            format!(
                "net: revenue + other income {} - fees - postage - packing - goods - other expenses {}",
                total.other_income, total.other
            ),
            format!("an hour: net over {} minutes of packing", total.minutes),
        ];
        for text in lines {
            body = format!("{body}\n{}", wrapped("  ", &text));
        }
    }
    let note = "Shipping, fees, postage and packing of an order are shared over its lots by price. Miles count once, \
                on the year worksheet.";
    body = format!("{body}\n{}", wrapped("", note));
    let json = json!({ "rows": list, "all": as_json("all", &total) });
    args.door.written(Answer { text: format!("{}{body}", demo_line(&shop)?), json })
}

fn sum(a: Earned, b: &Earned) -> Earned {
    Earned {
        pieces: a.pieces + b.pieces,
        items: a.items + b.items,
        shipping: a.shipping + b.shipping,
        refunds: a.refunds + b.refunds,
        other_income: a.other_income + b.other_income,
        fees: a.fees + b.fees,
        advertising: a.advertising + b.advertising,
        postage: a.postage + b.postage,
        materials: a.materials + b.materials,
        basis: a.basis + b.basis,
        losses: a.losses + b.losses,
        other: a.other + b.other,
        minutes: a.minutes + b.minutes,
    }
}
