//! All listings, the newest first.

use axum::extract::State;
use axum::response::Response;
use books::FindId;
use maud::{Markup, html};
use shop::{ListingState, Listings};

use crate::App;
use crate::form::{Filled, Posted};
use crate::lots::scrolled;
use crate::record_page::checked;
use crate::said::count;

/// Listings on one page.
const ON_A_PAGE: u32 = 100;

pub(super) async fn show(State(app): State<App>, Posted(filled): Posted) -> Response {
    let find = filled.text("find").and_then(|text| text.parse().ok()).map(FindId);
    let which = which(&filled);
    let from = filled.text("from").and_then(|text| text.parse().ok()).unwrap_or(0_u32);
    let read = app.read_shop(move |shop, _| {
        Ok(match find {
            Some(find) => {
                let all = shop.listings_of(find)?;
                let total = u32::try_from(all.len()).unwrap_or(u32::MAX);
                (all, total)
            }
            None => (shop.listings_part(which, from, ON_A_PAGE)?, shop.count_listings(which)?),
        })
    });
    match read.await {
        Ok((states, total)) => {
            let body = page(&states, total, which, find, from);
            checked(&app.page("Listings", "/listings", body))
        }
        Err(page) => page,
    }
}

fn which(filled: &Filled) -> Listings {
    match filled.text("show") {
        Some("over") => Listings::Over,
        Some("all") => Listings::All,
        Some(_) | None => Listings::Up,
    }
}

const fn word(which: Listings) -> &'static str {
    match which {
        Listings::Up => "up",
        Listings::Over => "over",
        Listings::All => "all",
    }
}

fn page(states: &[ListingState], total: u32, which: Listings, find: Option<FindId>, from: u32) -> Markup {
    let choices = [(Listings::Up, "Up"), (Listings::Over, "Over or sold out"), (Listings::All, "All")];
    let empty = match (find, which) {
        (Some(find), _) => format!("Find {find} is in no listing."),
        (None, Listings::Up) => String::from("Nothing is listed now."),
        (None, Listings::Over) => String::from("No listing is over yet."),
        (None, Listings::All) => String::from("Nothing was listed yet."),
    };
    html! {
        div.actions { a.button href="/listings/new" { "List lots" } a.quiet href="/venues" { "Venues and their fees" } }
        nav.sizes aria-label="Which listings" {
            ul {
                @for (choice, words) in choices {
                    li { a href={ "/listings?show=" (word(choice)) } aria-current=[(find.is_none() && choice == which).then_some("true")] { (words) } }
                }
            }
        }
        @if let Some(find) = find { p { "Listings with pieces of find " (find) ". " a href={ "/finds/" (find) "/split" } { "Split it" } "." } }
        @if states.is_empty() {
            p.verdict { (empty) }
            p { "The page " a href="/stock#next" { "Stock" } " says what to list next." }
        } @else {
            (scrolled("Listings", &table(states, total)))
        }
        @let shown = from.saturating_add(ON_A_PAGE);
        @if find.is_none() && (from > 0 || total > shown) {
            nav.pages aria-label="Pages of listings" {
                @if from > 0 { a.quiet href={ "/listings?show=" (word(which)) "&from=" (from.min(total).saturating_sub(ON_A_PAGE)) } { "The hundred before" } }
                @if from < total { span { (from + 1) " to " (shown.min(total)) " of " (total) } }
                @if total > shown { a.quiet href={ "/listings?show=" (word(which)) "&from=" (shown) } { "The next " (ON_A_PAGE.min(total - shown)) } }
            }
        }
        (super::help())
    }
}

fn table(states: &[ListingState], total: u32) -> Markup {
    html! {
        table.stacks role="table" {
            caption { (count(total, "listing")) ", the newest first" }
            thead role="rowgroup" {
                tr role="row" {
                    th role="columnheader" scope="col" { "Title" }
                    @for head in ["No.", "Left", "Promised", "Sold", "Price", "Since"] { th.num role="columnheader" scope="col" { (head) } }
                }
            }
            tbody role="rowgroup" {
                @for state in states {
                    tr role="row" {
                        th role="rowheader" scope="row" { a.target href={ "/listings/" (state.id) } { (state.entered.title) } @if state.entered.ended { " (over)" } }
                        td.num role="cell" data-head="No." { (state.id) }
                        td.num role="cell" data-head="Left" { (state.available()) }
                        td.num role="cell" data-head="Promised" { (state.reserved) }
                        td.num role="cell" data-head="Sold" { (state.sold) }
                        td.num role="cell" data-head="Price" { (state.entered.price) }
                        td.num.day role="cell" data-head="Since" { (state.entered.listed_on) }
                    }
                }
            }
        }
    }
}
