//! Rate cards: those that come with the program and the person's own, what each holds for, its prices asked for a
//! parcel, and which one is used from which day on.

mod list_page;
mod one_page;
mod sent;
mod taking;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::routing::{get, post};
use keeping::RateCard;
use maud::{Markup, html};

pub(crate) use sent::MOST_SENT;

use crate::App;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/rate-cards", get(list_page::show))
        .route("/rate-cards/use", post(list_page::use_it))
        .route("/rate-cards/unuse", post(list_page::unuse))
        .route("/rate-cards/published/{id}", get(one_page::published))
        .route("/rate-cards/own/{number}", get(one_page::own))
        .route("/rate-cards/own/{number}/strike", post(one_page::strike))
}

/// The pages that a card is sent from and to; their requests are larger than others'.
pub(crate) fn sending() -> Router<App> {
    Router::new()
        .route("/rate-cards/new", get(taking::ask).post(taking::take))
        .route("/rate-cards/own/{number}/anew", get(taking::ask_anew).post(taking::take_anew))
        .layer(DefaultBodyLimit::disable())
}

/// From when to when a card holds.
fn holds(card: &RateCard) -> String {
    match card.effective_to() {
        Some(to) => format!("from {} to {to}", card.effective_from()),
        None => format!("from {} on", card.effective_from()),
    }
}

/// A card's name as a page says it: that of a published card in words that break on a phone.
fn called(name: &str) -> String {
    if RateCard::by_id(name).is_some() { name.replace('_', " ") } else { name.to_owned() }
}

fn help() -> Markup {
    html! { p { a href="/help#rate-cards" { "How to use this page" } } }
}
