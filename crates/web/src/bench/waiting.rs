//! What waits at the bench, and one walk along the shelf for all of it.

use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use books::OrderId;
use keeping::Fetch;
use maud::{Markup, html};
use shop::BenchRow;

use crate::App;
use crate::orders::typed::due;

/// Orders that one page shows (judgement).
const SHOWN: u32 = 100;

pub(super) async fn show(State(app): State<App>, Query(asked): Query<Vec<(String, String)>>) -> Response {
    let page = asked.iter().find(|(name, _)| name == "page").and_then(|(_, text)| text.parse().ok());
    let page: u32 = page.unwrap_or(1).clamp(1, u32::MAX / SHOWN);
    let found = app
        .read_shop(move |shop, _| {
            let rows = shop.bench_part((page - 1) * SHOWN, SHOWN)?;
            let paid: Vec<OrderId> = rows.iter().filter(|row| row.paid).map(|row| row.order).collect();
            Ok((keeping::fetching(shop, &paid)?, rows, shop.count_orders()?.1))
        })
        .await;
    let (fetch, rows, waiting) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let today = app.now().day;
    let pages = waiting.div_ceil(SHOWN).max(1);
    let title = if page == 1 { String::from("Bench") } else { format!("Bench, page {page}") };
    let body = html! {
        @if rows.is_empty() && waiting > 0 {
            p { "There are no orders on this page. " a href="/bench" { "To the first" } }
        } @else if rows.is_empty() {
            p { "Nothing waits to be packed. Orders come here when they are taken." }
            div.actions { a.button href="/orders/new" { "Take an order" } a.quiet href="/orders" { "All orders" } }
        } @else {
            p {
                (crate::said::count(waiting, "order")) " waiting, the oldest promise first."
                @if pages > 1 { " A hundred are shown, with the walk for these; further ones behind them." }
            }
            (waits(&rows, today))
            @if pages > 1 {
                nav.pages aria-label="Pages of the bench" {
                    @if page > 1 { a.quiet href={ "/bench?page=" (page - 1) } { "The hundred before" } }
                    span { "Page " (page) " of " (pages) }
                    @if page < pages { a.quiet href={ "/bench?page=" (page + 1) } { "The next hundred" } }
                }
            }
            (walk(&fetch))
        }
        p { a href="/help#bench" { "How to use this page" } }
    };
    app.page(&title, "/bench", body).draw().into_response()
}

fn waits(rows: &[BenchRow], today: jiff::civil::Date) -> Markup {
    html! {
        div.scroll role="region" aria-label="What waits" tabindex="0" {
            table.rows.stacks role="table" {
                caption.unseen { "Orders to pack" }
                thead role="rowgroup" {
                    tr role="row" {
                        @for head in ["Order", "Promised", "Next"] { th role="columnheader" scope="col" { (head) } }
                        @for head in ["Lots", "Pieces", "Parcels"] { th.num role="columnheader" scope="col" { (head) } }
                    }
                }
                tbody role="rowgroup" {
                    @for row in rows {
                        tr role="row" {
                            th role="rowheader" scope="row" { a.target href={ "/bench/" (row.order) } { "Order " (row.order) } }
                            td role="cell" data-head="Promised" { (due(row.promise_by, today)) }
                            td.words role="cell" data-head="Next" { (next(row)) }
                            td.num role="cell" data-head="Lots" { (row.lots) }
                            td.num role="cell" data-head="Pieces" { (row.pieces) }
                            td.num role="cell" data-head="Parcels" { (row.parcels) }
                        }
                    }
                }
            }
        }
    }
}

const fn next(row: &BenchRow) -> &'static str {
    match (row.paid, row.parcels) {
        (false, _) => "wait for the money",
        (true, 0) => "plan its parcels",
        (true, _) => "pack it, then write it down",
    }
}

fn walk(fetch: &[Fetch]) -> Markup {
    html! {
        h2 #fetch { "What to fetch" }
        @if fetch.is_empty() {
            p { "Nothing: none of them is paid." }
        } @else {
            p { "One walk along the shelf for all that are paid. Tick each off, and count again at the bench. Ticks are not kept." }
            ul.ticks {
                @for (at, Fetch { order, row }) in fetch.iter().enumerate() {
                    li.tick {
                        input type="checkbox" id={ "fetch-" (at) } autocomplete="off";
                        label for={ "fetch-" (at) } {
                            strong { @if row.shelf.is_empty() { "no place noted" } @else { (row.shelf) } }
                            ": " (row.pieces.len()) " of " (row.description)
                            " (" (keeping::which_pieces(row)) ") for order " (order)
                        }
                    }
                }
            }
        }
    }
}
