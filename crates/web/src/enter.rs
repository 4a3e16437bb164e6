//! Where a browser comes in: by the link that was printed, a pairing code, or the passphrase.

use axum::extract::{Extension, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use axum::{Router, http::HeaderMap};
use maud::{Markup, html};

use crate::access::Shut;
use crate::door::Peer;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw};
use crate::layout::Page;
use crate::refusal::refusal;
use crate::{App, WebError, session};

/// The ways in.
pub(crate) fn routes() -> Router<App> {
    Router::new().route("/enter", get(ask).post(enter)).route("/enter/{key}", get(by_link))
}

fn key_field() -> Field {
    Field::needed(
        "key",
        "Pairing code",
        "Ten letters and figures, shown on a device that is let in, for two minutes.",
        Kind::Code,
    )
}

fn passphrase_field() -> Field {
    Field::needed("passphrase", "Passphrase", "", Kind::Secret { stored: true })
}

fn name_field() -> Field {
    Field::optional(
        "name",
        "What to call this device",
        "So that you can tell it from the others.",
        Kind::Words { known: Vec::new() },
    )
}

async fn ask(State(app): State<App>, headers: HeaderMap) -> Response {
    if session::device(&app, &headers).is_some() {
        return Redirect::to("/").into_response();
    }
    (StatusCode::OK, page(&app, &Filled::default(), &Mistakes::default())).into_response()
}

/// A link carries its key here; looking at the page changes nothing, so that a preview can't use it up.
async fn by_link(Path(key): Path<String>) -> Markup {
    let body = html! {
        form method="post" action="/enter" novalidate data-enter {
            input type="hidden" name="key" value=(key);
            (draw(&name_field(), &Filled::default(), &Mistakes::default(), true))
            button type="submit" { "Let this browser in" }
        }
        p { "The link works once." }
    };
    Page { inside: false, ..Page::new("Come in", "", body) }.draw()
}

async fn enter(
    State(app): State<App>,
    peer: Option<Extension<Peer>>,
    Posted(filled): Posted,
) -> Result<Response, Response> {
    let from = peer.map(|Extension(Peer(address))| address.ip());
    let name = filled.text("name").unwrap_or("").to_owned();
    let mut mistakes = Mistakes::default();
    let (field, wrong) = if filled.has("passphrase") {
        ("passphrase", "That is not the passphrase")
    } else {
        ("key", "That code is wrong, was used, or is older than two minutes")
    };
    let Some(typed) = filled.needed(field, "Nothing was typed", &mut mistakes).map(str::to_owned) else {
        return Err((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &filled, &mistakes)).into_response());
    };
    let by_passphrase = field == "passphrase";
    let inner = app.clone();
    let entered = app
        .work(move |_| {
            if by_passphrase {
                inner.access().enter_by_passphrase(&typed, &name, from, inner.outside())
            } else {
                inner.access().enter_by_key(&typed, &name, from, inner.outside())
            }
        })
        .await;
    match entered {
        Some(Ok(Ok(session))) => {
            let cookie = session::cookie(&session, app.reach().secure);
            Ok(([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response())
        }
        Some(Ok(Err(Shut::WrongKey))) => {
            mistakes.add(field, wrong);
            Err((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &filled, &mistakes)).into_response())
        }
        Some(Ok(Err(Shut::Wait(seconds)))) => {
            mistakes.add("", format!("Too many wrong tries: wait {} minutes", (seconds + 59) / 60));
            let shown = page(&app, &filled, &mistakes);
            let after = [(header::RETRY_AFTER, seconds.to_string())];
            Err((StatusCode::TOO_MANY_REQUESTS, after, shown).into_response())
        }
        Some(Err(why)) => Err(unable(&why)),
        None => Err(refusal(StatusCode::INTERNAL_SERVER_ERROR, "That went wrong", "Try it again.")),
    }
}

/// What the machine couldn't do; the person at it reads why.
pub(crate) fn unable(why: &WebError) -> Response {
    tracing::error!(%why, "access");
    refusal(
        StatusCode::INTERNAL_SERVER_ERROR,
        "That went wrong",
        "The machine it runs on says why, where it was started.",
    )
}

fn page(app: &App, filled: &Filled, mistakes: &Mistakes) -> Markup {
    let body = html! {
        p { "This browser is not let in yet. Open the link that was printed where Lotwright was started, or:" }
        section aria-labelledby="by-code" {
            h2 #by-code { "With a pairing code" }
            form method="post" action="/enter" novalidate {
                (draw(&key_field(), filled, mistakes, false))
                (draw(&Field { name: String::from("name"), ..name_field() }, filled, mistakes, true))
                button type="submit" { "Pair this device" }
            }
        }
        @if app.access().has_passphrase() && app.reach().lan.is_some() {
            section aria-labelledby="by-passphrase" {
                h2 #by-passphrase { "With the passphrase" }
                form method="post" action="/enter" novalidate {
                    (draw(&passphrase_field(), filled, mistakes, true))
                    button type="submit" { "Let this device in" }
                }
            }
        }
    };
    Page { inside: false, ..Page::new("Come in", "", body).with_mistakes(mistakes) }.draw()
}
