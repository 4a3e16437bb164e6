//! Stock: what is on the shelf, how long it has waited, what is left beside listings, what to list next.

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use books::{AGE_LIMITS, AgeBand, FindId};
use draw::{AmountBar, AmountBars};
use maud::{Markup, html};
use shop::{StockLine, StockReport};

use crate::App;
use crate::form::{Filled, Posted};
use crate::lots::{chart, scrolled};
use crate::record_page::checked;
use crate::said::count;

/// Finds of the shelf that one page shows.
const ON_A_PAGE: usize = 100;
/// Finds that are told to be listed next (judgement: an evening's work).
const NEXT_SHOWN: usize = 8;
const BANDS: [AgeBand; 4] = [AgeBand::Fresh, AgeBand::Watched, AgeBand::Old, AgeBand::Stale];

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/stock", get(show))
}

async fn show(State(app): State<App>, Posted(filled): Posted) -> Response {
    let day = app.now().day;
    match app.read_shop(move |shop, _| Ok(shop.stock_report(day)?)).await {
        Ok(stock) => checked(&app.page("Stock", "/stock", page(&stock, &filled))),
        Err(page) => page,
    }
}

fn page(stock: &StockReport, filled: &Filled) -> Markup {
    if stock.lines.is_empty() {
        return html! {
            p.verdict { "Nothing is on the shelf." }
            p { "What you bring home stands here, with what it cost and how long it has waited. " a href="/shelf" { "Check a pile" } " before you buy it." }
            (by_place(stock))
            p { a href="/help#stock" { "How to use this page" } }
        };
    }
    let (pieces, basis) = (stock.pieces(), stock.basis());
    let free: u32 = stock.lines.iter().map(StockLine::unlisted).sum();
    html! {
        p.verdict { (count(pieces, "piece")) " on the shelf, " (basis) " at cost." }
        p { @if free > 0 { (count(free, "piece")) " of them in no listing." } @else { "All of them are listed or promised." } }
        (missing(stock))
        (next(stock))
        (aged(stock))
        (beside(stock))
        (by_place(stock))
        (shelf(stock, filled))
        p { a href="/help#stock" { "How to use this page" } }
    }
}

/// What is offered and isn't there.
fn missing(stock: &StockReport) -> Markup {
    html! {
        @if !stock.short.is_empty() {
            section.cautions aria-labelledby="short" {
                h2 #short { "Offered, and not there" }
                ul {
                    @for row in &stock.short {
                        li {
                            (said(stock, row.find)) ": " (row.listed) " pieces are in listings, " (row.on_hand) " on the shelf. "
                            "Take lots down before somebody buys them: " a href={ "/listings?find=" (row.find) } { "its listings" } "."
                        }
                    }
                }
            }
        }
    }
}

fn said(stock: &StockReport, find: FindId) -> String {
    let words = stock.texts.get(&find).map_or("", |text| text.description.as_str());
    format!("find {find}, {words}")
}

fn next(stock: &StockReport) -> Markup {
    let found = &stock.candidates;
    let from =
        if found.own { "your own sales so far" } else { "what is usual, since nothing was packed yet" };
    let rows = stock
        .next
        .iter()
        .filter_map(|one| Some((one, found.finds.iter().find(|known| known.find == one.find)?)));
    let table = html! {
        table {
            caption { "The best hour first" }
            thead {
                tr {
                    th scope="col" { "What" } th.num scope="col" { "An hour" } th.num scope="col" { "Net" }
                    th.num scope="col" { "Days" } th scope="col" { "Do" }
                }
            }
            tbody {
                @for (one, candidate) in rows.take(NEXT_SHOWN) {
                    tr {
                        th scope="row" { a href={ "/finds/" (one.find) "/split" } { (said(stock, one.find)) } }
                        td.num { (one.net_per_hour) } td.num { (candidate.net) } td.num { (candidate.age_days) }
                        td { @if one.pays { "list it" } @else { "re-sort or give away" } }
                    }
                }
            }
        }
    };
    html! {
        section aria-labelledby="next" {
            h2 #next { "What to list next" }
            @if stock.next.is_empty() { p { "Everything on the shelf is listed or promised." } }
            @else {
                (scrolled("What to list next", &table))
                @if stock.next.len() > NEXT_SHOWN { p.hint { (stock.next.len() - NEXT_SHOWN) " more wait behind these." } }
                details {
                    summary { "How this was reckoned" }
                    p {
                        "An hour's net x (1 + days / " (books::AGE_DOUBLES_AFTER_DAYS) "): a year of waiting counts double. Net: the value you expected, less "
                        (format!("{:.0}", 100.0 * found.selling_share)) " % of it for selling and "
                        (format!("{:.0}", found.minutes_a_piece)) " minutes a piece, both by " (from) ", less cost."
                    }
                }
            }
        }
    }
}

/// An age band in words.
fn band(band: AgeBand) -> String {
    let [fresh, watched, old] = AGE_LIMITS;
    match band {
        AgeBand::Fresh => format!("up to {fresh} days"),
        AgeBand::Watched => format!("up to {watched} days"),
        AgeBand::Old => format!("up to {old} days"),
        AgeBand::Stale => format!("over {old} days"),
    }
}

const fn advice(band: AgeBand) -> &'static str {
    match band {
        AgeBand::Fresh => "nothing to do",
        AgeBand::Watched => "relist it, or lower the price",
        AgeBand::Old => "sort it into other lots",
        AgeBand::Stale => "clear it, or give it away",
    }
}

fn aged(stock: &StockReport) -> Markup {
    let rows = BANDS.map(|one| {
        let (pieces, basis) = stock.aged.get(&one).copied().unwrap_or_default();
        (one, pieces, basis)
    });
    let bars = AmountBars {
        title: String::from("Stock at cost, by how long it has waited"),
        rows: rows
            .iter()
            .map(|(one, pieces, basis)| AmountBar {
                name: band(*one),
                amount: *basis,
                beside: count(*pieces, "piece"),
                minded: *one >= AgeBand::Old,
            })
            .collect(),
    };
    html! {
        section aria-labelledby="aged" {
            h2 #aged { "How long it has waited" }
            (chart(&draw::amount_bars_svg(&bars), "aged", "Hatched has waited too long."))
            details {
                summary { "The same as a table" }
                table.figures {
                    caption { "Stock at cost by age" }
                    thead { tr { th scope="col" { "Waiting" } th.num scope="col" { "Pieces" } th.num scope="col" { "Cost" } th scope="col" { "Do" } } }
                    tbody {
                        @for (one, pieces, basis) in &rows {
                            tr { th scope="row" { (band(*one)) } td.num { (pieces) } td.num { (basis) } td { (advice(*one)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Pieces left beside the listings of their find.
fn beside(stock: &StockReport) -> Markup {
    let rows: Vec<&StockLine> =
        stock.lines.iter().filter(|line| line.unlisted() > 0 && line.listed + line.promised > 0).collect();
    html! {
        @if !rows.is_empty() {
            section aria-labelledby="left" {
                h2 #left { "Left beside listings" }
                p { "Too few for another whole lot, or not listed yet. A smaller lot, or one with pieces of another find, takes them." }
                @if rows.len() > ON_A_PAGE { p.hint { "The first " (ON_A_PAGE) " of " (rows.len()) " finds; the others come up as these are listed." } }
                ul {
                    @for line in rows.iter().take(ON_A_PAGE) {
                        li {
                            (line.unlisted()) " of " (said(stock, line.find)) " (" (line.listed) " listed, " (line.promised) " promised): "
                            a href={ "/listings/new?find=" (line.find) } { "list them" span.unseen { " of find " (line.find) } }
                        }
                    }
                }
            }
        }
    }
}

fn by_place(stock: &StockReport) -> Markup {
    let mut rows: Vec<(&String, f64)> =
        stock.sold_by_place.iter().map(|(place, share)| (place, *share)).collect();
    rows.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
    html! {
        @if !rows.is_empty() {
            section aria-labelledby="places" {
                h2 #places { "What sells, by where it was bought" }
                table.figures {
                    caption { "Share of the pieces bought that have sold" }
                    thead { tr { th scope="col" { "Place" } th.num scope="col" { "Sold" } } }
                    tbody {
                        @for (place, share) in rows.iter().take(ON_A_PAGE) {
                            tr {
                                th scope="row" { @if place.trim().is_empty() { "no place told" } @else { (place) } }
                                td.num { (format!("{:.0} %", 100.0 * share)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn shelf(stock: &StockReport, filled: &Filled) -> Markup {
    let only = filled.text("show").unwrap_or("all");
    let shown: Vec<&StockLine> = stock
        .lines
        .iter()
        .filter(|line| match only {
            "free" => line.unlisted() > 0,
            "old" => line.band >= AgeBand::Old,
            _ => true,
        })
        .collect();
    let from = filled.text("from").and_then(|text| text.parse().ok()).unwrap_or(0_usize);
    let page: Vec<&&StockLine> = shown.iter().skip(from).take(ON_A_PAGE).collect();
    let choices = [("all", "All"), ("free", "In no listing"), ("old", "Waiting long")];
    let table = html! {
        table.stacks.dense role="table" {
            caption { (count(u32::try_from(shown.len()).unwrap_or(u32::MAX), "find")) ", by place on the shelf" }
            thead role="rowgroup" {
                tr role="row" {
                    @for head in ["What", "Shelf"] { th role="columnheader" scope="col" { (head) } }
                    @for head in ["Here", "Promised", "Listed", "Free", "Cost", "Days"] { th.num role="columnheader" scope="col" { (head) } }
                    th role="columnheader" scope="col" { span.unseen { "Go on with" } }
                }
            }
            tbody role="rowgroup" {
                @for line in &page {
                    tr role="row" {
                        th role="rowheader" scope="row" { a.target href={ "/finds/" (line.find) "/worth" } { (line.text.description) } span.quiet-words { " find " (line.find) } }
                        td role="cell" data-head="Shelf" { @if line.text.shelf.trim().is_empty() { "-" } @else { (line.text.shelf) } }
                        td.num role="cell" data-head="Here" { (line.on_hand) }
                        td.num.none[line.promised == 0] role="cell" data-head="Promised" { (line.promised) }
                        td.num.none[line.listed == 0] role="cell" data-head="Listed" { (line.listed) }
                        td.num role="cell" data-head="Free" { (line.unlisted()) }
                        td.num role="cell" data-head="Cost" { (line.basis) }
                        td.num role="cell" data-head="Days" { (line.age_days) }
                        td role="cell" data-head="Go on" {
                            a href={ "/finds/" (line.find) "/split" } { "Split" span.unseen { " find " (line.find) } }
                        }
                    }
                }
            }
        }
    };
    html! {
        section aria-labelledby="shelf" {
            h2 #shelf { "On the shelf" }
            nav.sizes aria-label="Which finds" {
                ul {
                    @for (value, words) in choices {
                        li { a href={ "/stock?show=" (value) "#shelf" } aria-current=[(value == only).then_some("true")] { (words) } }
                    }
                }
            }
            @if page.is_empty() { p { "Nothing of this kind." } } @else { (scrolled("On the shelf", &table)) }
            (hundreds(only, from, shown.len()))
        }
    }
}

/// The ways to the finds before and behind those that are shown.
fn hundreds(only: &str, from: usize, all: usize) -> Markup {
    let path = |from: usize| format!("/stock?show={}&from={from}#shelf", coded(only));
    let next = from.saturating_add(ON_A_PAGE);
    html! {
        @if from > 0 || all > next {
            nav.pages aria-label="Pages of the shelf" {
                @if from > 0 { a.quiet href=(path(from.min(all).saturating_sub(ON_A_PAGE))) { "The hundred before" } }
                @if from < all { span { (from + 1) " to " (next.min(all)) " of " (all) } }
                @if all > next { a.quiet href=(path(next)) { "The next " (ON_A_PAGE.min(all - next)) } }
            }
        }
    }
}

/// A choice as part of an address: one that isn't known shows everything.
fn coded(only: &str) -> &str {
    match only {
        "free" | "old" => only,
        _ => "all",
    }
}
