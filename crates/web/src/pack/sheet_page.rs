//! The pack sheet of a plan: a page or two for the bench, with boxes to tick and a line for what the scale says.

use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use trade::Shipped;

use super::jobs::{Planned, Stage};
use super::paper::{OnPaper, document, sheet};
use super::plan_page::on_sheet;
use super::{Gone, running};
use crate::App;

pub(super) async fn show(
    State(app): State<App>,
    Path(number): Path<u64>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Response, Gone> {
    let a4 = asked.iter().any(|(name, value)| name == "paper" && value == "a4");
    match running(&app, number)?.stage() {
        Stage::Done(planned) => Ok(whole(number, &planned, a4).into_response()),
        Stage::Waiting | Stage::Working | Stage::Refused(_) | Stage::Stopped => {
            Ok(axum::response::Redirect::to(&format!("/pack/{number}")).into_response())
        }
    }
}

fn whole(number: u64, planned: &Planned, a4: bool) -> Markup {
    let sheets = html! {
        @for (k, shipped) in (1..).zip(&planned.plan.parcels) { (parcel(number, k, shipped, planned)) }
    };
    let plan = format!("/pack/{number}");
    document(&format!("Pack sheet {number}"), &plan, &format!("{plan}/sheet"), a4, &sheets)
}

fn parcel(number: u64, k: usize, shipped: &Shipped, planned: &Planned) -> Markup {
    let of = planned.plan.parcels.len();
    let heading = if of > 1 {
        format!("Pack sheet {number}, parcel {k} of {of}")
    } else {
        format!("Pack sheet {number}")
    };
    let paper = OnPaper {
        heading,
        of: (of > 1).then_some(planned.title.as_str()),
        base: format!("/pack/{number}/{k}"),
        plan: &shipped.plan,
        units: planned.units,
        outside: Some(shipped.outside),
        gross: Some(shipped.gross),
        minutes: Some(shipped.minutes),
        day: Some(planned.day),
        code: html! {},
        fetch: &[],
        drop: on_sheet(&keeping::DropCheck::of(shipped)),
    };
    sheet(k, &paper)
}
