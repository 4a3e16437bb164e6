//! Venues: where lots are sold and by which terms; added, changed, struck out, and what happened to them.

mod fields;
mod list_page;
mod new_page;
mod one_page;
mod past;

use axum::Router;
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::App;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/venues", get(list_page::show))
        .route("/venues/usual", post(list_page::usual))
        .route("/venues/new", get(new_page::ask).post(new_page::enter))
        .route("/venues/read", post(new_page::read))
        .route("/venues/{venue}", get(one_page::show).post(one_page::change))
        .route("/venues/{venue}/strike", post(one_page::strike))
}

/// A venue's fees in a line ("12.5 % of the price and 0.35 an order").
pub(crate) fn fees(terms: &listing::Venue) -> String {
    let shares = [
        (terms.fee_on_item, "the price"),
        (terms.fee_on_shipping, "the shipping"),
        (terms.fee_on_tax, "the sales tax"),
    ];
    let mut parts: Vec<String> = shares
        .iter()
        .filter(|(share, _)| share.percent() > 0.0)
        .map(|(share, of)| format!("{share} of {of}"))
        .collect();
    if terms.fixed_fee > measure::Money::ZERO {
        parts.push(format!("{} an order", terms.fixed_fee));
    }
    match parts.split_last() {
        None => String::from("no fees"),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

fn help() -> Markup {
    html! { p { a href="/help#venues" { "How to use this page" } } }
}

#[cfg(test)]
mod tests {
    use super::fees;

    #[test]
    fn fees_are_said_in_a_line_and_only_those_there_are() {
        let venues = listing::Venues::published();
        let said: Vec<String> = venues.iter().map(fees).collect();
        assert_eq!(
            said,
            [
                "9 % of the price",
                "12.5 % of the price, 12.5 % of the shipping, 12.5 % of the sales tax and 0.35 an order"
            ]
        );
    }
}
