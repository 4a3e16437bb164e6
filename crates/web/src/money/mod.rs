//! The books: what was earned, what moved by itself, the entries, and the year.

mod entries;
mod moves;
mod year;

use axum::Router;
use axum::extract::{Query, State};
use axum::response::Response;
use axum::routing::get;
use books::{By, Earned, Key};
use draw::{SplitBar, SplitBars, Standing, split_bars_svg};
use jiff::civil::{Date, date};
use maud::{Markup, PreEscaped, html};
use measure::Money;
use serde::Deserialize;

use crate::App;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, draw};
use crate::record_page::checked;

/// Rows shown of a long report; the spreadsheet of the year has all of them.
const MOST_ROWS: usize = 100;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/books", get(show))
        .route("/books/moves", get(moves::ask).post(moves::take))
        .route("/books/entries", get(entries::list))
        .route("/books/entries/{number}/take-back", get(entries::ask_back).post(entries::take_back))
        .route("/books/year/{year}", get(year::show))
        .route("/books/year/{year}/workbook", get(year::workbook))
        .route("/books/export/{format}", get(year::export))
}

#[derive(Debug, Clone, Default, Deserialize)]
struct Asked {
    by: Option<String>,
    from: Option<String>,
    to: Option<String>,
}

fn grouping(word: &str) -> By {
    match word {
        "order" => By::Order,
        "lot" => By::Lot,
        "find" => By::Find,
        "haul" => By::Haul,
        "place" => By::Place,
        "year" => By::Year,
        _ => By::Month,
    }
}

async fn show(State(app): State<App>, Query(asked): Query<Asked>) -> Response {
    let today = app.now().day;
    let by = asked.by.clone().unwrap_or_else(|| String::from("month"));
    let first = date(today.year(), 1, 1);
    let filled = Filled::default()
        .with("by", by.as_str())
        .with("from", asked.from.clone().unwrap_or_else(|| first.to_string()))
        .with("to", asked.to.unwrap_or_else(|| today.to_string()));
    let mut mistakes = Mistakes::default();
    let from = crate::day_and_purse::day_or_today(&filled, "from", first, &mut mistakes).unwrap_or(first);
    let to = crate::day_and_purse::day_or_today(&filled, "to", today, &mut mistakes).unwrap_or(today);
    if from > to {
        mistakes.add("from", format!("it is after {to}; right would be an earlier day"));
    }
    let (from, to) = if from > to { (to, to) } else { (from, to) };
    let found = app
        .read_shop(move |shop, _| {
            let rows: Vec<(Key, Earned)> = shop.earned(grouping(&by), from, to)?.into_iter().collect();
            let all: Earned = rows.iter().fold(Earned::default(), |sum, (_, row)| sum_of(sum, row));
            let count = rows.len();
            // Latest first where the rows are many: those are what a person looks for.
            let skip = count.saturating_sub(MOST_ROWS);
            let rows: Vec<(String, Earned)> =
                rows.into_iter().skip(skip).map(|(key, row)| (keeping::named(&key, shop), row)).collect();
            Ok((rows, all, count))
        })
        .await;
    let (rows, all, count) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let body = html! {
        p.verdict { (all.net()) " net from " span.day { (from) } " to " span.day { (to) } }
        @if let Some(hour) = all.net_per_hour() { p { (hour) " for an hour of packing." } }
        (chart(&rows, filled.typed("by")))
        (asked_form(&filled, &mistakes))
        @if rows.is_empty() { p { "Nothing was earned or spent in these days." } } @else { (table(&rows, &all, count)) }
        (explained(&all))
        p.actions {
            a.button href="/books/moves" { "Enter an expense, trip or income" }
            a.quiet href="/books/entries" { "Entries" }
            a.quiet href={ "/books/year/" (today.year()) } { "The year " (today.year()) }
            a.quiet href={ "/books/year/" (i32::from(today.year()) - 1) } { "The year " (i32::from(today.year()) - 1) }
        }
        details {
            summary { "All tables as files" }
            p { a href="/books/export/json" { "Everything as JSON" } }
            p { a href="/books/export/csv" { "Every table as CSV" } ", in one zip file" }
        }
        p { a href="/help#books" { "How to use this page" } }
    };
    checked(&app.page("Books", "/books", body).with_mistakes(&mistakes))
}

fn sum_of(sum: Earned, row: &Earned) -> Earned {
    Earned {
        pieces: sum.pieces + row.pieces,
        items: sum.items + row.items,
        shipping: sum.shipping + row.shipping,
        refunds: sum.refunds + row.refunds,
        other_income: sum.other_income + row.other_income,
        fees: sum.fees + row.fees,
        advertising: sum.advertising + row.advertising,
        postage: sum.postage + row.postage,
        materials: sum.materials + row.materials,
        basis: sum.basis + row.basis,
        losses: sum.losses + row.losses,
        other: sum.other + row.other,
        minutes: sum.minutes.saturating_add(row.minutes),
    }
}

fn asked_form(filled: &Filled, mistakes: &Mistakes) -> Markup {
    let words = ["month", "year", "order", "lot", "find", "haul", "place"];
    let by = Kind::OneOf(words.iter().map(|word| Choice::new(word, word)).collect());
    let fields = [
        Field::needed("by", "By", "", by),
        Field::needed("from", "From", "", Kind::Code),
        Field::needed("to", "To", "", Kind::Code),
    ];
    html! {
        form.inline method="get" action="/books" {
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k == 2)) }
            button.quiet type="submit" { "Show" }
        }
    }
}

/// The net of each month as bars.
fn chart(rows: &[(String, Earned)], by: &str) -> Markup {
    let shown = matches!(by, "month" | "year" | "place" | "haul") && (2..=36).contains(&rows.len());
    let best = rows.iter().map(|(_, row)| row.net()).max();
    let plans = rows.iter().map(|(name, row)| SplitBar {
        name: name.clone(),
        profit: row.net(),
        per_hour: row.net_per_hour(),
        hours: row.minutes as f64 / 60.0,
        standing: if Some(row.net()) == best { Standing::Best } else { Standing::Other },
    });
    html! {
        @if shown {
            details open {
                summary { "Net by " (by) ", drawn" }
                figure.drawing {
                    (PreEscaped(split_bars_svg(&SplitBars { title: format!("Net by {by}"), plans: plans.collect() })))
                    figcaption { "The table below says the same in figures. Hours are hours of packing." }
                }
            }
        }
    }
}

/// What the row of the sum is called.
const ALL: &str = "all";

fn table(rows: &[(String, Earned)], all: &Earned, count: usize) -> Markup {
    let line = |name: &str, row: &Earned| {
        html! {
            tr.sum[name == ALL] role="row" {
                th.day[is_day(name)] role="rowheader" scope="row" { (name) }
                td.num role="cell" data-head="Pieces" { (row.pieces) }
                td.num role="cell" data-head="Revenue" { (row.revenue()) }
                td.num role="cell" data-head="Fees" { (row.fees + row.advertising) }
                td.num role="cell" data-head="Postage" { (row.postage) }
                td.num role="cell" data-head="Packing" { (row.materials) }
                td.num role="cell" data-head="Goods" { (row.basis + row.losses) }
                td.num.none[row.other_income == row.other] role="cell" data-head="Other" { (row.other_income - row.other) }
                td.num role="cell" data-head="Net" { (row.net()) }
                td.num.none[row.net_per_hour().is_none()] role="cell" data-head="An hour" { @match row.net_per_hour() { Some(hour) => (hour), None => "-" } }
            }
        }
    };
    html! {
        @if rows.len() < count { p { "The latest " (rows.len()) " of " (count) "; the sum is of all of them." } }
        div.scroll tabindex="0" role="region" aria-label="What was earned" {
            table.stacks.dense role="table" {
                thead role="rowgroup" {
                    tr role="row" {
                        th role="columnheader" scope="col" { "What" }
                        @for head in ["Pieces", "Revenue", "Fees", "Postage", "Packing", "Goods", "Other", "Net", "An hour"] { th.num role="columnheader" scope="col" { (head) } }
                    }
                }
                tbody role="rowgroup" { @for (name, row) in rows { (line(name, row)) } (line(ALL, all)) }
            }
        }
    }
}

/// Whether a name is a day, a month or a year.
fn is_day(name: &str) -> bool {
    name.bytes().all(|one| one.is_ascii_digit() || one == b'-')
}

fn explained(all: &Earned) -> Markup {
    html! {
        details {
            summary { "How this was reckoned" }
            ul {
                li { "Revenue: items " (all.items) " + shipping charged " (all.shipping) " - refunds " (all.refunds) "." }
                li { "Fees: selling " (all.fees) " + advertising " (all.advertising) "." }
                li { "Goods: cost of what buyers have " (all.basis) " + broken or given away " (all.losses) "." }
                li { "Net: revenue + other income " (all.other_income) " - fees - postage - packing - goods - other expenses " (all.other) ". Other: other income less other expenses." }
                li { "An hour: net over " (all.minutes) " minutes of packing." }
            }
            p { "Shipping, fees, postage and packing of an order are shared over its lots by price. Sales tax that a venue remits is no income. Miles count once, on the year's worksheet." }
        }
    }
}

/// The first and last day of a month.
pub(crate) fn month(day: Date) -> (Date, Date) {
    (day.first_of_month(), day.last_of_month())
}

/// "12.00" with its sign in words where it is a loss.
pub(crate) fn gained(net: Money) -> String {
    if net < Money::ZERO { format!("a loss of {}", -net) } else { net.to_string() }
}
