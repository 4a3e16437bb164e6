//! What waits at the bench, and one walk along the shelf for all of it.

use axum::extract::State;
use axum::response::{IntoResponse as _, Response};
use books::OrderId;
use keeping::Fetch;
use maud::{Markup, html};
use shop::BenchRow;

use crate::App;
use crate::orders::typed::due;

/// Orders that one page shows (judgement); those behind them come up as these go out.
const SHOWN: u32 = 100;

pub(super) async fn show(State(app): State<App>) -> Response {
    let found = app
        .read_shop(|shop, _| {
            let rows = shop.bench_first(SHOWN)?;
            let paid: Vec<OrderId> = rows.iter().filter(|row| row.paid).map(|row| row.order).collect();
            Ok((keeping::fetching(shop, &paid)?, rows, shop.count_orders()?.1))
        })
        .await;
    let (fetch, rows, waiting) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let today = app.now().day;
    let body = html! {
        @if rows.is_empty() {
            p { "Nothing waits to be packed. Orders come here when they are taken." }
            div.actions { a.button href="/orders/new" { "Take an order" } a.quiet href="/orders" { "All orders" } }
        } @else {
            p {
                (crate::said::count(waiting, "order")) " waiting, the oldest promise first."
                @if waiting > SHOWN { " The first " (SHOWN) " are shown; the others come up as these go out, or on " a href="/orders" { "the list of orders" } "." }
            }
            (waits(&rows, today))
            (walk(&fetch))
        }
        p { a href="/help#bench" { "How to use this page" } }
    };
    app.page("Bench", "/bench", body).draw().into_response()
}

fn waits(rows: &[BenchRow], today: jiff::civil::Date) -> Markup {
    html! {
        div.scroll role="region" aria-label="What waits" tabindex="0" {
            table.rows {
                caption.unseen { "Orders to pack" }
                thead {
                    tr {
                        th scope="col" { "Order" } th scope="col" { "Promised" } th scope="col" { "Next" }
                        th.num scope="col" { "Lots" } th.num scope="col" { "Pieces" } th.num scope="col" { "Parcels" }
                    }
                }
                tbody {
                    @for row in rows {
                        tr {
                            th scope="row" { a.target href={ "/bench/" (row.order) } { "Order " (row.order) } }
                            td { (due(row.promise_by, today)) }
                            td { (next(row)) }
                            td.num { (row.lots) }
                            td.num { (row.pieces) }
                            td.num { (row.parcels) }
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
                            " (piece " (measure::runs(&row.pieces)) " of find " (row.find) ") for order " (order)
                        }
                    }
                }
            }
        }
    }
}
