//! Packing: what is asked, the work on it, the plan with its drawings, and the sheet to pack from.

mod asked;
pub(crate) mod drawn;
pub(crate) mod jobs;
pub(crate) mod paper;
pub(crate) mod plan_page;
mod sheet_page;
mod views;

use std::time::Duration;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::App;
use crate::enter::unable;
use crate::form::{Filled, Mistakes, Posted, draw, enter_sends, once_field};
use crate::layout::Page;
use crate::refusal::refusal;
pub(crate) use jobs::Jobs;
use jobs::{Running, Stage};

/// A plan that is found within this time is shown at once.
const SHORT_WAIT: Duration = Duration::from_millis(1200);
/// How often that is looked at.
const LOOK: Duration = Duration::from_millis(60);

/// After how many seconds a page of work shows anew how far it is, where no script does (judgement).
pub(crate) const REFRESH_S: u32 = 2;

/// What a page of work says where no script runs.
pub(crate) fn refreshes_itself() -> Markup {
    html! { noscript { p.hint { "This page shows itself anew every " (REFRESH_S) " seconds." } } }
}

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/pack", get(ask).post(begin))
        .route("/pack/{job}", get(show))
        .route("/pack/{job}/progress", get(progress))
        .route("/pack/{job}/stop", post(stop))
        .route("/pack/{job}/sheet", get(sheet_page::show))
        .route("/pack/{job}/{parcel}/layer/{layer}", get(views::layer))
        .route("/pack/{job}/{parcel}/front", get(views::front))
        .route("/pack/{job}/{parcel}/scene", get(views::scene))
}

/// The form: empty, filled from another page's link, or again as it was for a plan (`?again=7`).
async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let again = filled.text("again").and_then(|number| number.parse().ok());
    let before = again.and_then(|number| app.jobs().find(number)).map(|job| job.filled().clone());
    form_page(&app, &before.unwrap_or(filled), &Mistakes::default(), StatusCode::OK)
}

async fn begin(State(app): State<App>, Posted(filled): Posted) -> Response {
    if filled.has("add") {
        return form_page(&app, &filled, &Mistakes::default(), StatusCode::OK);
    }
    let read = asked::read(app.desk(), &filled, app.now().day);
    let (job, effort) = match read {
        Ok(read) => read,
        Err(mistakes) => return form_page(&app, &filled, &mistakes, StatusCode::UNPROCESSABLE_ENTITY),
    };
    let mut begun = None;
    let result = app.once().run(&filled, || {
        let running = app.jobs().begin(filled.clone(), app.now().day)?;
        let address = format!("/pack/{}", running.number());
        begun = Some(running);
        Ok::<_, jobs::TooMany>(address)
    });
    let Ok(address) = result else {
        return refusal(
            StatusCode::TOO_MANY_REQUESTS,
            "Too much is being packed at once",
            "Wait until one of the plans is done, or stop one.",
        );
    };
    if let Some(running) = begun {
        let worker = running.clone();
        let inner = app.clone();
        tokio::spawn(async move {
            let again = worker.clone();
            if inner.work(move |desk| again.work(desk, &job, effort)).await.is_none() {
                worker.broke();
            }
        });
        let mut waited = Duration::ZERO;
        while waited < SHORT_WAIT && !running.is_done() {
            tokio::time::sleep(LOOK).await;
            waited += LOOK;
        }
    }
    Redirect::to(&address).into_response()
}

/// There is no plan with that number, or no longer.
struct Gone;

impl IntoResponse for Gone {
    fn into_response(self) -> Response {
        refusal(
            StatusCode::NOT_FOUND,
            "That plan is gone",
            "Plans are kept while Lotwright runs, the latest thirty of them. Pack it again.",
        )
    }
}

fn running(app: &App, number: u64) -> Result<Running, Gone> {
    app.jobs().find(number).ok_or(Gone)
}

async fn show(State(app): State<App>, Path(number): Path<u64>) -> Result<Response, Gone> {
    let job = running(&app, number)?;
    Ok(match job.stage() {
        Stage::Waiting | Stage::Working => waiting(&job).into_response(),
        Stage::Done(planned) => plan_page::page(number, &planned).into_response(),
        Stage::Refused(why) => {
            let body = html! {
                p.verdict { "There is no plan." }
                p { (why) }
                p { a href={ "/pack?again=" (number) } { "Change what is packed" } }
            };
            Page::new("Nothing was packed", "/pack", body).draw().into_response()
        }
        Stage::Stopped => {
            let body = html! {
                p { "It was stopped before a first plan was found." }
                p { a href={ "/pack?again=" (number) } { "Change what is packed" } }
            };
            Page::new("Stopped", "/pack", body).draw().into_response()
        }
    })
}

fn waiting(job: &Running) -> Markup {
    let body = html! {
        section #progress data-watch={ "/pack/" (job.number()) "/progress" } aria-live="polite" { (said(job)) }
        form method="post" action={ "/pack/" (job.number()) "/stop" } {
            button type="submit" { "Stop, and take the best so far" }
        }
        p { a href={ "/pack/" (job.number()) } { "See how far it is" } }
        (refreshes_itself())
    };
    let page = Page::new("Packing", "/pack", body);
    Page { refreshes: Some(REFRESH_S), ..page }.draw()
}

/// How far a job is.
fn said(job: &Running) -> Markup {
    let done = job.is_done();
    html! { p.progress data-done[done] { (job.how_far()) } }
}

async fn progress(State(app): State<App>, Path(number): Path<u64>) -> Result<Markup, Gone> {
    Ok(said(&running(&app, number)?))
}

async fn stop(State(app): State<App>, Path(number): Path<u64>) -> Result<Redirect, Gone> {
    running(&app, number)?.stop();
    Ok(Redirect::to(&format!("/pack/{number}")))
}

fn form_page(app: &App, filled: &Filled, mistakes: &Mistakes, status: StatusCode) -> Response {
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let rows = asked::rows(filled);
    let known = app.desk().form_names();
    let sheet_open = filled.text("sheet").is_some() || mistakes.of("sheet").is_some();
    let body = html! {
        p { "Which carton takes these pieces, and how they lie in it. Everything listed goes into one order." }
        form method="post" action="/pack" novalidate {
            (once_field(&key))
            (enter_sends())
            @for row in 1..=rows {
                fieldset {
                    legend { "Pieces " (row) }
                    @for field in asked::row_fields(row, &known) { (draw(&field, filled, mistakes, false)) }
                }
            }
            p { button.quiet type="submit" name="add" value="row" { "Add other pieces" } }
            @for field in asked::settings() { (draw(&field, filled, mistakes, false)) }
            details open[sheet_open] {
                summary { "A whole job sheet instead" }
                (draw(&asked::sheet_field(), filled, mistakes, true))
            }
            div.actions { button type="submit" { "Pack it" } }
        }
        p { a href="/help#pack" { "How to use this page" } " " a href="/guard" { "How much cushion a piece needs" } " " a href="/insure" { "Is cover worth its premium?" } }
    };
    (status, Page::new("Pack", "/pack", body).with_mistakes(mistakes).draw()).into_response()
}
