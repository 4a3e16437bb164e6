//! Listings: what is offered, entering one, changing it, and its card.

mod card_page;
mod fields;
mod list_page;
mod new_page;
mod one_page;
mod past;

use axum::Router;
use axum::routing::get;
use maud::{Markup, html};
use shop::{ListingState, Shop, Which};

use crate::App;
use crate::shopdoor::NoAnswer;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/listings", get(list_page::show))
        .route("/listings/new", get(new_page::ask).post(new_page::enter))
        .route("/listings/{listing}", get(one_page::show).post(one_page::change))
        .route("/listings/{listing}/card", get(card_page::show))
}

/// What one lot holds, in words ("4 of find 1 (consomme cups) and 4 of find 2 (saucers)").
fn holds(shop: &Shop, state: &ListingState) -> Result<Vec<(u64, String)>, NoAnswer> {
    let parts = state.entered.parts.iter().map(|part| {
        let which = match part.which {
            Which::Sound => "",
            Which::Flawed => " flawed",
            Which::Any => " sound or flawed",
        };
        let text = shop.find_text(part.find)?;
        Ok((part.find.0, format!("{}{which} of find {} ({})", part.pieces, part.find, text.description)))
    });
    parts.collect()
}

/// Left, promised and sold in words.
fn stands(state: &ListingState) -> String {
    let ended = if state.entered.ended { " It is over." } else { "" };
    format!("{} left, {} promised, {} sold.{ended}", state.available(), state.reserved, state.sold)
}

fn help() -> Markup {
    html! { p { a href="/help#listings" { "How to use this page" } } }
}
