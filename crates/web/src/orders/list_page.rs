//! All orders, those that wait first, fifty on a page.

use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use shop::OrderRow;

use super::typed::{due, state_words};
use crate::App;

/// Orders on a page (judgement).
const ON_A_PAGE: u32 = 50;

pub(super) async fn show(State(app): State<App>, Query(asked): Query<Vec<(String, String)>>) -> Response {
    let page = asked.iter().find(|(name, _)| name == "page").and_then(|(_, text)| text.parse().ok());
    let page: u32 = page.unwrap_or(1).clamp(1, u32::MAX / ON_A_PAGE);
    let found = app
        .read_shop(move |shop, _| {
            Ok((shop.orders_from((page - 1) * ON_A_PAGE, ON_A_PAGE)?, shop.count_orders()?))
        })
        .await;
    let (rows, (all, waiting)) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let today = app.now().day;
    let pages = all.div_ceil(ON_A_PAGE).max(1);
    let title = if page == 1 { String::from("Orders") } else { format!("Orders, page {page}") };
    let body = html! {
        @if all == 0 {
            p { "No orders yet. When a lot is bought, take its order here: its pieces are promised to it at once, so that nothing is sold twice." }
        } @else {
            p { (crate::said::count(all, "order")) ", " (waiting) " of them waiting. " a href="/bench" { "To the bench" } }
        }
        div.actions { a.button href="/orders/new" { "Take an order" } }
        @if !rows.is_empty() { (table(&rows, today)) }
        @else if all > 0 { p { "There are no orders on this page. " a href="/orders" { "To the first" } } }
        @if pages > 1 {
            nav.pages aria-label="Pages of orders" {
                @if page > 1 { a.quiet href={ "/orders?page=" (page - 1) } { "Before" } }
                span { "Page " (page) " of " (pages) }
                @if page < pages { a.quiet href={ "/orders?page=" (page + 1) } { "Further" } }
            }
        }
        p { a href="/help#orders" { "How to use this page" } }
    };
    app.page(&title, "/orders", body).draw().into_response()
}

fn table(rows: &[OrderRow], today: jiff::civil::Date) -> Markup {
    html! {
        div.scroll role="region" aria-label="Orders" tabindex="0" {
            table.rows.stacks role="table" {
                caption.unseen { "Orders, those that wait first" }
                thead role="rowgroup" {
                    tr role="row" {
                        @for head in ["Order", "State", "Promised", "Taken", "To"] { th role="columnheader" scope="col" { (head) } }
                        @for head in ["Lots", "Price", "Shipping"] { th.num role="columnheader" scope="col" { (head) } }
                    }
                }
                tbody role="rowgroup" {
                    @for row in rows {
                        tr role="row" {
                            th role="rowheader" scope="row" { a.target href={ "/orders/" (row.order) } { "Order " (row.order) } }
                            td role="cell" data-head="State" { (state_words(row.state, row.paid_on, row.sent_on)) }
                            td role="cell" data-head="Promised" {
                                @match row.state {
                                    shop::OrderState::Open => (due(row.promise_by, today)),
                                    shop::OrderState::Sent | shop::OrderState::Cancelled => {
                                        @if let Some(day) = row.promise_by { (day) }
                                    }
                                }
                            }
                            td role="cell" data-head="Taken" { (row.ordered_on) }
                            td role="cell" data-head="To" { (row.destination) }
                            td.num role="cell" data-head="Lots" { (row.lots) }
                            td.num role="cell" data-head="Price" { (row.items) }
                            td.num role="cell" data-head="Shipping" { (row.shipping) }
                        }
                    }
                }
            }
        }
    }
}
