//! What a find is worth and how it is split into lots.

mod beside;
mod comps;
mod order_ladder;
mod sets_asked;
mod sets_beside;
mod sets_page;
mod split_page;
mod split_tables;
mod split_ways;
mod split_why;
mod typed_lots;
mod works;
mod worth_page;

use std::sync::Arc;

use axum::Router;
use axum::response::Response;
use axum::routing::{get, post};
use books::FindId;
use keeping::{FindQuestion, RecordJob, Stop};
use maud::{Markup, PreEscaped, html};

use crate::App;
use crate::form::{Filled, Mistakes};
use crate::shopdoor::NoAnswer;
pub(crate) use beside::{grade_field, not_known, read_grade, venue_choices};
pub(crate) use order_ladder::rungs;
pub(crate) use works::{Answer, Kind, Stage, Work, Works};

/// Most characters of why a split was decided so.
const LONGEST_NOTE: usize = 500;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/finds/{find}/worth", get(worth_page::show).post(comps::add))
        .route("/finds/{find}/worth/strike", post(comps::strike))
        .route("/finds/{find}/split", get(split_page::show).post(split_page::decide))
        .route("/finds/{find}/sets", get(sets_page::show).post(sets_page::decide))
        .merge(works::routes())
}

/// A find with its job, or why it makes none.
pub(crate) struct Asked {
    pub question: FindQuestion,
    pub beside: beside::Beside,
    pub job: Result<Arc<RecordJob>, String>,
}

/// Reads a find and makes a job of it, with what was typed of its venue and condition. The error is a page.
pub(crate) async fn asked(
    app: &App,
    find: u64,
    filled: &Filled,
    mistakes: &mut Mistakes,
) -> Result<Asked, Response> {
    let day = app.now().day;
    let said = beside::read(filled, mistakes);
    app.read_shop(move |shop, desk| {
        let mut question = FindQuestion::read(shop, FindId(find), day)?;
        let terms = question.asks(said.clone())?;
        let beside = beside::Beside::new(shop, said, terms)?;
        let job = match question.job(desk) {
            Ok(job) => Ok(Arc::new(job)),
            Err(Stop::Input(why)) => Err(why),
            Err(stop @ Stop::Outside(_)) => return Err(NoAnswer::Stop(stop)),
        };
        Ok(Asked { question, beside, job })
    })
    .await
}

/// What the find is, in a line, with where it stands and how many are free.
fn about(question: &FindQuestion) -> Markup {
    let records = &question.records;
    let sound = u32::try_from(records.sound.len()).unwrap_or(u32::MAX);
    let flawed = records.flawed.len();
    html! {
        p {
            (records.text.description) ": " (crate::said::count(sound, "sound piece"))
            @if flawed > 0 { ", " (flawed) " flawed" }
            " free"
            @if records.promised > 0 { ", " (records.promised) " promised to orders" }
            @if question.listed > 0 { ", " (question.listed) " of the free ones in listings" }
            ". Cost of the free ones: " (records.basis) "."
            @if !records.text.shelf.trim().is_empty() { " On the shelf: " (records.text.shelf) "." }
        }
    }
}

/// A chart on the page, its patterns under names of their own so that several charts go together.
pub(crate) fn chart(svg: &str, name: &str, caption: &str) -> Markup {
    let own = svg.replace("chart-hatch", &format!("hatch-{name}"));
    html! {
        figure.drawing.chart { (PreEscaped(own)) figcaption { (caption) } }
    }
}

/// A table too wide for a phone, to be scrolled by itself.
pub(crate) fn scrolled(name: &str, table: &Markup) -> Markup {
    html! { div.scroll role="region" aria-label={ "Table: " (name) } tabindex="0" { (table) } }
}
