//! Today: what waits, what to buy, what the month earned, and the way through for who begins.

use axum::extract::State;
use axum::response::Response;
use books::{By, Earned};
use keeping::DAYS_OF_USE;
use maud::{Markup, html};
use shop::{BenchRow, Claim, ClaimState, Comp, Measurement, Shop, Split};

use crate::App;
use crate::money::{gained, month};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// What is shown of each list.
const FEW: usize = 3;

struct Found {
    bench: Vec<BenchRow>,
    buy: Vec<String>,
    claims: Vec<(u64, Claim)>,
    month: Earned,
    next: Vec<(u64, String, measure::Money)>,
    steps: Vec<(&'static str, &'static str, bool)>,
}

pub(crate) async fn show(State(app): State<App>) -> Response {
    let today = app.now().day;
    let found = app
        .read_shop(move |shop, _| {
            let (from, to) = month(today);
            let month = shop.earned(By::Year, from, to)?.into_values().next().unwrap_or_default();
            let buy = shop.supplies(today, DAYS_OF_USE)?.into_iter().filter(|one| one.to_buy());
            let claims = shop.noted::<Claim>()?.into_iter();
            let candidates = shop.candidates(today)?;
            let ranked = books::list_next(&candidates.finds).map_err(keeping::Stop::input)?;
            let mut next = Vec::new();
            for one in ranked.iter().filter(|one| one.pays).take(FEW) {
                next.push((one.find.0, shop.find_text(one.find)?.description, one.net_per_hour));
            }
            Ok(Found {
                bench: shop.bench()?,
                buy: buy.map(|one| one.name).collect(),
                claims: claims.filter(|(_, one)| one.state == ClaimState::Open).collect(),
                month,
                next,
                steps: steps(shop)?,
            })
        })
        .await;
    match found {
        Ok(found) => checked(&app.page("Today", "/", body(&found, today))),
        Err(page) => page,
    }
}

/// The way of a first find: the step, where it is done, and whether it is done.
fn steps(shop: &mut Shop) -> Result<Vec<(&'static str, &'static str, bool)>, NoAnswer> {
    let hauls = shop.books()?.hauls().next().is_some();
    let orders = !shop.bench()?.is_empty() || !shop.packing_work()?.is_empty();
    let sent = !shop.packing_work()?.is_empty();
    let listed = !shop.listed()?.is_empty() || orders;
    let some = |found: usize| found > 0;
    Ok(vec![
        ("Bring in a haul", "/hauls/new", hauls),
        ("Measure a piece of each find", "/hauls", some(shop.noted::<Measurement>()?.len())),
        ("Paste what like ones sold for", "/stock", some(shop.noted::<Comp>()?.len())),
        ("Choose a lot size", "/stock", some(shop.noted::<Split>()?.len()) || listed),
        ("List the lots", "/listings", listed),
        ("Add the cartons and fill you have", "/supplies", some(shop.noted::<shop::Supply>()?.len())),
        ("Take an order", "/orders", orders),
        ("Pack it and enter what the scale says", "/bench", sent),
    ])
}

fn body(found: &Found, today: jiff::civil::Date) -> Markup {
    let late = found.bench.iter().filter(|row| row.promise_by.is_some_and(|day| day < today)).count();
    let begun = found.steps.iter().all(|(_, _, done)| *done);
    html! {
        @if !begun {
            section aria-labelledby="first" {
                h2 #first { "A first find, step by step" }
                ol {
                    @for (what, path, done) in &found.steps {
                        li { a href=(path) { (what) } @if *done { " - done" } }
                    }
                }
            }
        }
        section aria-labelledby="waits" {
            h2 #waits { "To pack" }
            @if found.bench.is_empty() { p { "Nothing waits at the bench." } } @else {
                p.verdict { (found.bench.len()) @if found.bench.len() == 1 { " order" } @else { " orders" } " to pack" @if late > 0 { ", " (late) " late" } }
                ul {
                    @for row in found.bench.iter().take(FEW) {
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
            p { a href="/books" { (gained(found.month.net())) } " net from " (found.month.revenue()) " of revenue." }
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
