//! The first page: a shop of one's own, the demo, or just a look at a shelf.

use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::layout::Page;
use crate::record_page::checked;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/begin", get(ask)).route("/begin/own", post(own)).route("/begin/demo", post(demo))
}

async fn ask(State(app): State<App>) -> Response {
    page(&app, &Mistakes::default())
}

async fn own(State(app): State<App>, Posted(_): Posted) -> Response {
    entered(app, |app| app.shop_door().begin(app.now().at)).await
}

async fn demo(State(app): State<App>, Posted(_): Posted) -> Response {
    entered(app, |app| app.shop_door().open_demo(app.now().at)).await
}

async fn entered(
    app: App,
    work: impl FnOnce(&App) -> Result<(), crate::shopdoor::NoAnswer> + Send + 'static,
) -> Response {
    let inside = app.clone();
    let done = tokio::task::spawn_blocking(move || work(&inside)).await;
    match done {
        Ok(Ok(())) => Redirect::to("/").into_response(),
        Ok(Err(why)) => {
            let mut mistakes = Mistakes::default();
            match &why {
                crate::shopdoor::NoAnswer::Stop(stop) => mistakes.add("", stop.to_string()),
                crate::shopdoor::NoAnswer::NotBegun => mistakes.add("", "the shop file went away meanwhile"),
            }
            page(&app, &mistakes)
        }
        Err(why) => {
            tracing::error!(%why, "a shop could not be begun");
            let mut mistakes = Mistakes::default();
            mistakes.add("", "the shop could not be begun; nothing was stored");
            page(&app, &mistakes)
        }
    }
}

fn page(app: &App, mistakes: &Mistakes) -> Response {
    let has_own = app.shop_door().has_own();
    let body: Markup = html! {
        p { "Everything you keep lies in one file on this machine. Nothing is sent anywhere." }
        section.choices aria-label="How to begin" {
            form method="post" action="/begin/own" {
                h2 { @if has_own { "Your own shop" } @else { "Begin your own shop" } }
                p {
                    @if has_own { "Go on where you left off." }
                    @else { "It begins empty. The first haul takes two minutes: where, what was paid, what it holds." }
                }
                @if let Ok(key) = app.form_key() { (once_field(&key)) }
                button type="submit" { @if has_own { "Open it" } @else { "Begin" } }
            }
            form method="post" action="/begin/demo" {
                h2 { "Look at the demo" }
                p { "A made-up year of a closing guest house and what came after it: hauls, orders, books. It lies in a file of its own; change what you like." }
                button.quiet type="submit" { "Open the demo shop" }
            }
        }
        p { "Have a backup, or done with the demo? " a href="/file" { "The shop file" } }
        p { "Only want to check a pile? " a href="/shelf" { "The shelf check" } " keeps nothing." }
    };
    checked(&Page::new("Begin", "/begin", body).with_mistakes(mistakes))
}
