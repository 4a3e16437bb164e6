//! The shelf check: what to pay for a pile, asked with one thumb.

mod answer;
mod question;

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use maud::{Markup, PreEscaped, html};

use crate::App;
use crate::desk::Desk;
use crate::form::{Filled, Mistakes, Posted, draw};
use crate::layout::Page;
use question::Question;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/shelf", get(ask).post(check)).route("/shelf/answer", post(live))
}

async fn ask(State(app): State<App>) -> Markup {
    page(&app, &Filled::default(), &Mistakes::default(), &html! { p.quiet-words { (NOTHING_YET) } })
}

/// What stands where the answer will.
const NOTHING_YET: &str = "The answer comes here as soon as it is known what they are and how many.";

/// The whole page again, with the answer: what a browser without scripts gets.
async fn check(State(app): State<App>, Posted(filled): Posted) -> Response {
    match answered(&app, &filled).await {
        Ok(answer) => page(&app, &filled, &Mistakes::default(), &PreEscaped(&*answer)).into_response(),
        Err(mistakes) => {
            let shown = page(&app, &filled, &mistakes, &html! { p.quiet-words { (NOTHING_YET) } });
            (StatusCode::UNPROCESSABLE_ENTITY, shown).into_response()
        }
    }
}

/// The answer alone, while typing. What is not right yet is said quietly: nobody has finished.
async fn live(State(app): State<App>, Posted(filled): Posted) -> Markup {
    match answered(&app, &filled).await {
        Ok(answer) => PreEscaped(answer.to_string()),
        Err(mistakes) => html! {
            p.quiet-words data-said="Not yet" { (NOTHING_YET) }
            @if filled.text("form").is_some() && filled.text("count").is_some() {
                ul.quiet-words { @for (_, message) in mistakes.iter() { li { (message) } } }
            }
        },
    }
}

async fn answered(app: &App, filled: &Filled) -> Result<Arc<str>, Mistakes> {
    let question = Question::read(filled)?;
    let day = app.now().day;
    let known = format!("{day}\n{}", question.sheet());
    if let Some(answer) = app.answers().find(&known) {
        return Ok(answer);
    }
    let answer = app.work(move |desk: &Desk| worked_out(desk, &question, day)).await;
    match answer {
        Some(Ok(answer)) => Ok(app.answers().put(known, &answer.into_string())),
        Some(Err(mistakes)) => Err(mistakes),
        None => Err(whole("This could not be worked out. That is a fault of the program, not yours.")),
    }
}

fn whole(message: &str) -> Mistakes {
    let mut mistakes = Mistakes::default();
    mistakes.add("", message);
    mistakes
}

fn worked_out(desk: &Desk, question: &Question, day: jiff::civil::Date) -> Result<Markup, Mistakes> {
    let job = desk.read(question.sheet(), day).map_err(|problems| question.told(&problems))?;
    let refused = |e: trade::TradeError| whole(&e.to_string());
    let worth = trade::appraise(&job, &desk.library, 0, &|_| {}).map_err(refused)?;
    let asking = question.asking();
    let purchase = trade::purchase(&job, &worth, asking.unwrap_or(measure::Money::ZERO)).map_err(refused)?;
    Ok(answer::answer(&job, &worth, asking, purchase.as_ref(), question))
}

fn page(app: &App, filled: &Filled, mistakes: &Mistakes, answer: &impl maud::Render) -> Markup {
    let fields = question::fields(app.desk());
    let (first, more) = fields.split_at(question::FIRST.min(fields.len()));
    // What is filled in, or wrong, is never hidden.
    let open =
        more.iter().any(|field| filled.text(&field.name).is_some() || mistakes.of(&field.name).is_some());
    let body = html! {
        div.beside {
        form.shelf method="post" action="/shelf" novalidate data-live="/shelf/answer" data-into="answer" data-draft {
            @for field in first { (draw(field, filled, mistakes, false)) }
            details open[open] {
                summary { "Condition, your hour, your place" }
                @for (k, field) in more.iter().enumerate() {
                    (draw(field, filled, mistakes, k + 1 == more.len()))
                }
            }
            div.actions {
                button type="submit" { "Check it" }
                a.quiet href="/shelf" data-clear { "Start anew" }
            }
        }
        div {
            p.now role="status" #answer-said {}
            section #answer aria-label="Answer" tabindex="-1" { (answer) }
        }
        }
        p { a href="/help#shelf-check" { "How to use this page" } }
    };
    Page::new("Shelf check", "/shelf", body).with_mistakes(mistakes).draw()
}
