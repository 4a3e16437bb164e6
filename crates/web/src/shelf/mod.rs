//! The shelf check: what to pay for a pile, asked with one thumb. What is asked and answered is of the room
//! `shelfcheck`; here it becomes a page, and the checks that a phone made without a network are kept.

mod kept;
mod kept_pages;

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};
use shelfcheck::{Usual, asked, asked_with, not_yet, nothing_yet, whole, worked_out};

use crate::App;
use crate::desk::Desk;
use crate::form::{Choice, Filled, Mistakes, Posted};
use crate::layout::Page;
use crate::offline;

pub use kept::KeptChecks;

/// The page's title; the shell that a phone keeps has it too.
pub(crate) const TITLE: &str = "Shelf check";

/// Where a phone asks for what is usual at home.
pub(crate) const USUAL: &str = "/shelf/usual";

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/shelf", get(ask).post(check))
        .route("/shelf/answer", post(live))
        .route(USUAL, get(taken_along))
        .merge(kept_pages::routes())
}

async fn ask(State(app): State<App>) -> Markup {
    let venues = venues(&app).await;
    page(&app, &venues, &Filled::default(), &Mistakes::default(), (&nothing_yet(), &html! {}))
}

/// The venues of the shop to choose from; none where no shop was begun, or none of them is the person's own.
async fn venues(app: &App) -> Vec<Choice> {
    let found = app.ask_shop(|shop, _| match shop.noted::<shop::Venue>()?.is_empty() {
        true => Ok(Vec::new()),
        false => crate::lots::venue_choices(shop),
    });
    found.await.unwrap_or_default()
}

/// The whole page again, with the answer: what a browser without scripts gets.
async fn check(State(app): State<App>, Posted(filled): Posted) -> Response {
    let venues = venues(&app).await;
    match answered(&app, &filled, app.now().day).await {
        Ok(answer) => {
            let bought = bought(&filled);
            page(&app, &venues, &filled, &Mistakes::default(), (&answer, &bought)).into_response()
        }
        Err(mistakes) => {
            let shown = page(&app, &venues, &filled, &mistakes, (&nothing_yet(), &html! {}));
            (StatusCode::UNPROCESSABLE_ENTITY, shown).into_response()
        }
    }
}

/// The way from a check to the haul: what was typed is not typed again.
fn bought(filled: &Filled) -> Markup {
    html! {
        form method="get" action="/hauls/new" {
            @for (checked, brought) in [("form", "form-1"), ("count", "count-1"), ("flawed", "flawed-1"), ("asking", "paid")] {
                @if let Some(words) = filled.text(checked) { input type="hidden" name=(brought) value=(words); }
            }
            div.actions { button.quiet type="submit" { "I bought it: bring it in" } }
        }
    }
}

/// The answer alone, while typing.
async fn live(State(app): State<App>, Posted(filled): Posted) -> Markup {
    match answered(&app, &filled, app.now().day).await {
        Ok(answer) => answer,
        Err(mistakes) => not_yet(&filled, &mistakes),
    }
}

/// What holds where nothing is typed: the shop's settings, rate cards and venues; where none was begun, what comes with
/// the program.
async fn usual(app: &App, day: Date) -> Usual {
    app.ask_shop(move |shop, _| Ok(keeping::shelf_usual(shop, day)?)).await.unwrap_or_default()
}

/// The same as text, for a phone to take along.
async fn taken_along(State(app): State<App>) -> Response {
    let usual = usual(&app, app.now().day).await;
    (
        [(header::CONTENT_TYPE, "text/plain; charset=utf-8"), (header::CACHE_CONTROL, "no-store")],
        usual.write(),
    )
        .into_response()
}

async fn answered(app: &App, filled: &Filled, day: Date) -> Result<Markup, Mistakes> {
    let usual = usual(app, day).await;
    let question = usual.asks(filled, day)?;
    let known = format!("{day}\n{}{:?}", question.sheet(), usual.texts);
    if let Some(answer) = app.answers().find(&known) {
        return Ok(shared(&answer));
    }
    let answer = app.work(move |desk: &Desk| worked_out(desk, &usual, &question, day)).await;
    match answer {
        Some(Ok(answer)) => Ok(shared(&app.answers().put(known, &answer.into_string()))),
        Some(Err(mistakes)) => Err(mistakes),
        None => Err(whole("This could not be worked out. That is a fault of the program, not yours.")),
    }
}

fn shared(answer: &Arc<str>) -> Markup {
    PreEscaped(answer.to_string())
}

fn page(
    app: &App,
    venues: &[Choice],
    filled: &Filled,
    mistakes: &Mistakes,
    (answer, next): (&Markup, &Markup),
) -> Markup {
    let form = asked_with(app.desk(), venues, filled, mistakes, answer);
    let body = html! {
        (body(app, &html! { (form) (next) }))
        (kept_pages::list(&app.kept().all()))
    };
    let page = Page { installs: app.module().is_some(), ..Page::new(TITLE, "/shelf", body) };
    page.with_mistakes(mistakes).draw()
}

/// What the page holds before anything is typed, and nothing of the person's.
pub(crate) fn empty(app: &App) -> Markup {
    body(app, &asked(app.desk(), &Filled::default(), &Mistakes::default(), &nothing_yet()))
}

fn body(app: &App, form: &Markup) -> Markup {
    html! {
        (form)
        @if let Some(module) = app.module() { (offline::section(module)) }
        p { a href="/help#shelf-check" { "How to use this page" } }
    }
}
