//! Today: what waits, what to buy, what the month earned, and the way through for who begins.

use axum::extract::State;
use axum::response::Response;
use books::{By, Earned};
use keeping::DAYS_OF_USE;
use maud::{Markup, html};
use shop::{BenchRow, Claim, FirstSteps};

use crate::App;
use crate::money::{gained, month};
use crate::record_page::checked;

/// What is shown of each list.
const FEW: usize = 3;
/// The same of the orders that wait.
const FEW_ORDERS: u32 = 3;

struct Found {
    first: Vec<BenchRow>,
    waiting: u32,
    late: u32,
    buy: Vec<String>,
    claims: Vec<(u64, Claim)>,
    month: Earned,
    next: Vec<(u64, String, measure::Money)>,
    steps: FirstSteps,
}

pub(crate) async fn show(State(app): State<App>) -> Response {
    let today = app.now().day;
    let found = app
        .read_shop(move |shop, _| {
            let (from, to) = month(today);
            let month = shop.earned(By::Year, from, to)?.into_values().next().unwrap_or_default();
            let buy = shop.supplies(today, DAYS_OF_USE)?.into_iter().filter(|one| one.to_buy());
            let buy = buy.map(|one| one.name).collect();
            let stock = shop.stock_report(today)?;
            let mut next = Vec::new();
            for one in stock.next.iter().filter(|one| one.pays).take(FEW) {
                let words = stock.texts.get(&one.find).map_or("", |text| text.description.as_str());
                next.push((one.find.0, words.to_owned(), one.net_per_hour));
            }
            Ok(Found {
                first: shop.bench_first(FEW_ORDERS)?,
                waiting: shop.count_orders()?.1,
                late: shop.count_late(today)?,
                buy,
                claims: shop.claims_open()?,
                month,
                next,
                steps: shop.first_steps()?,
            })
        })
        .await;
    match found {
        Ok(found) => checked(&app.page("Today", "/", body(&found))),
        Err(page) => page,
    }
}

/// The way of a first find: the step, where it is done, and whether it is done.
fn steps(done: FirstSteps) -> [(&'static str, &'static str, bool); 8] {
    let orders = done.order || done.sent;
    let listed = done.listed || orders;
    [
        ("Bring in a haul", "/hauls/new", done.haul),
        ("Measure a piece of each find", "/hauls", done.measured),
        ("Paste what like ones sold for", "/stock", done.comp),
        ("Choose a lot size", "/stock", done.split || listed),
        ("List the lots", "/listings", listed),
        ("Add the cartons and fill you have", "/supplies", done.supply),
        ("Take an order", "/orders", orders),
        ("Pack it and enter what the scale says", "/bench", done.sent),
    ]
}

fn body(found: &Found) -> Markup {
    let (waiting, late, steps) = (found.waiting, found.late, steps(found.steps));
    let begun = steps.iter().all(|(_, _, done)| *done);
    html! {
        @if !begun {
            section aria-labelledby="first" {
                h2 #first { "A first find, step by step" }
                ol {
                    @for (what, path, done) in &steps {
                        li { a href=(path) { (what) } @if *done { " - done" } }
                    }
                }
            }
        }
        section aria-labelledby="waits" {
            h2 #waits { "To pack" }
            @if waiting == 0 { p { "Nothing waits at the bench." } } @else {
                p.verdict { (crate::said::count(waiting, "order")) " to pack" @if late > 0 { ", " (late) " late" } }
                ul {
                    @for row in &found.first {
                        li {
                            a href={ "/bench/" (row.order) } { "Order " (row.order) }
                            @if let Some(day) = row.promise_by { ", promised by " (day) }
                        }
                    }
                }
                p { a href="/bench" { "All at the bench" } }
            }
        }
        section aria-labelledby="buy" {
            h2 #buy { "To buy" }
            @if found.buy.is_empty() { p { "No supply is low." } }
            @else { p { a href="/supplies" { (found.buy.join(", ")) } } }
        }
        @if !found.claims.is_empty() {
            section aria-labelledby="claims" {
                h2 #claims { "Claims open" }
                ul {
                    @for (number, claim) in &found.claims {
                        li {
                            a href={ "/orders/" (claim.order) } { "Claim " (number) ", order " (claim.order) }
                            @if let Some(day) = claim.deadline { ", by " (day) }
                        }
                    }
                }
            }
        }
        section aria-labelledby="month" {
            h2 #month { "This month" }
            p { a href="/books" { (gained(found.month.net())) } @if found.month.net() >= measure::Money::ZERO { " net" } " from " (found.month.revenue()) " of revenue." }
        }
        @if !found.next.is_empty() {
            section aria-labelledby="next" {
                h2 #next { "List next" }
                ol {
                    @for (find, words, hour) in &found.next {
                        li { a href={ "/finds/" (find) } { (words) } ", " (hour) " an hour" }
                    }
                }
            }
        }
        p { a href="/help#today" { "How to use this page" } }
    }
}
