//! A page that says what can't be done, and why.

use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::html;

use crate::layout::Page;

/// A plain page with this status; it shows no navigation, since it may be for who is not let in.
#[must_use]
pub fn refusal(status: StatusCode, title: &str, words: &str) -> Response {
    let body = html! {
        p { (words) }
        p { a href="/" { "To the first page" } }
    };
    let page = Page { inside: false, ..Page::new(title, "", body) };
    (status, page.draw()).into_response()
}

/// The page for a path that leads nowhere.
pub(crate) async fn nowhere() -> Response {
    refusal(
        StatusCode::NOT_FOUND,
        "There is no such page",
        "The address may be misspelt, or what it led to is gone.",
    )
}
