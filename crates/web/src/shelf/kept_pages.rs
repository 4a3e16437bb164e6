//! The checks that phones sent home: their list, each with its answer, and how one is removed.

use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use shelfcheck::not_yet;

use super::kept::KeptCheck;
use crate::App;
use crate::form::Posted;
use crate::layout::Page;
use crate::refusal::{nowhere, refusal};

pub(super) fn routes() -> Router<App> {
    Router::new()
        .route("/shelf/kept", post(keep))
        .route("/shelf/kept/remove", post(remove))
        .route("/shelf/kept/{key}", get(one))
}

/// Takes a check from a phone; the answer is the list, for its page.
async fn keep(State(app): State<App>, Posted(sent): Posted) -> Response {
    let check = match KeptCheck::read(&sent) {
        Ok(check) => check,
        Err(mistakes) => {
            let words: Vec<&str> = mistakes.iter().map(|(_, message)| message).collect();
            return (StatusCode::UNPROCESSABLE_ENTITY, words.join(". ")).into_response();
        }
    };
    match app.kept().add(check) {
        Ok(()) => list(&app.kept().all()).into_response(),
        Err(why) => (StatusCode::INSUFFICIENT_STORAGE, format!("It can't be kept: {why}")).into_response(),
    }
}

async fn remove(State(app): State<App>, Posted(sent): Posted) -> Response {
    match app.kept().remove(sent.text("key").unwrap_or("")) {
        Ok(()) => Redirect::to("/shelf#kept").into_response(),
        Err(why) => refusal(StatusCode::INSUFFICIENT_STORAGE, "It can't be removed", &why),
    }
}

/// One check, worked out here for its own day.
async fn one(State(app): State<App>, Path(key): Path<String>) -> Response {
    let Some(check) = app.kept().find(&key) else { return nowhere().await };
    let filled = check.filled();
    let answer = match super::answered(&app, &filled, check.day).await {
        Ok(answer) => answer,
        Err(mistakes) => not_yet(&filled, &mistakes),
    };
    let body = html! {
        p { "Made on " (check.day) " without the network: " (check.named()) "." }
        @if !check.said.is_empty() { p.quiet-words { "The phone said: " (check.said) } }
        section #answer aria-label="Answer" { (answer) }
        (super::bought(&filled))
        div.actions {
            form method="post" action="/shelf" {
                @for (name, words) in &check.fields { input type="hidden" name=(name) value=(words); }
                button type="submit" { "Check it as of today" }
            }
            (remove_button(&check))
            a.quiet href="/shelf#kept" { "Back to the shelf check" }
        }
    };
    Page::new("Check from a shop", "/shelf/kept", body).draw().into_response()
}

fn remove_button(check: &KeptCheck) -> Markup {
    html! {
        form method="post" action="/shelf/kept/remove" {
            input type="hidden" name="key" value=(check.key);
            button.quiet type="submit" aria-label={ "Remove " (check.named()) } { "Remove" }
        }
    }
}

/// The list of what was sent; nothing where nothing was.
pub(super) fn list(checks: &[KeptCheck]) -> Markup {
    html! {
        div #kept {
            @if !checks.is_empty() {
                section aria-labelledby="kept-title" {
                    h2 #kept-title { "Checked in shops" }
                    ul.checks-kept {
                        @for check in checks {
                            li {
                                p {
                                    a href={ "/shelf/kept/" (check.key) } { (check.named()) }
                                    span.quiet-words { (check.day) ". " (check.said) }
                                }
                                (remove_button(check))
                            }
                        }
                    }
                }
            }
        }
    }
}
