//! The pack sheet: a page or two for the bench, with boxes to tick and a line for what the scale says.

use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Response};
use maud::{DOCTYPE, Markup, html};
use trade::Shipped;

use super::jobs::{Planned, Stage};
use super::plan_page::{cut_list, dropped, faces, held};
use super::{Gone, running};
use crate::App;
use crate::assets;
use crate::said::sides;

/// Views beyond which three stand side by side, so that a sheet stays within two pages.
const TWO_ABREAST: usize = 4;

pub(super) async fn show(
    State(app): State<App>,
    Path(number): Path<u64>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Response, Gone> {
    let a4 = asked.iter().any(|(name, value)| name == "paper" && value == "a4");
    match running(&app, number)?.stage() {
        Stage::Done(planned) => Ok(sheet(number, &planned, a4).into_response()),
        Stage::Waiting | Stage::Working | Stage::Refused(_) | Stage::Stopped => {
            Ok(axum::response::Redirect::to(&format!("/pack/{number}")).into_response())
        }
    }
}

fn sheet(number: u64, planned: &Planned, a4: bool) -> Markup {
    let of = planned.plan.parcels.len();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Pack sheet " (number) " - Lotwright" }
                link rel="stylesheet" href=(assets::path("lotwright.css"));
                link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                script type="module" src=(assets::path("page.js")) {}
            }
            body.paper.a4[a4].letter[!a4] {
                nav.screen-only aria-label="This sheet" {
                    ul {
                        li { a href={ "/pack/" (number) } { "Back to the plan" } }
                        @if a4 { li { a href={ "/pack/" (number) "/sheet" } { "Letter paper" } } }
                        @else { li { a href={ "/pack/" (number) "/sheet?paper=a4" } { "A4 paper" } } }
                    }
                    button type="button" data-print hidden { "Print" }
                }
                main #page tabindex="-1" {
                    @for (k, shipped) in planned.plan.parcels.iter().enumerate() {
                        (parcel(number, k + 1, of, shipped, planned))
                    }
                }
            }
        }
    }
}

fn parcel(number: u64, k: usize, of: usize, shipped: &Shipped, planned: &Planned) -> Markup {
    let (plan, units) = (&shipped.plan, planned.units);
    let base = format!("/pack/{number}/{k}");
    let views = plan.holding().layers.len() + 1;
    html! {
        article.sheet aria-label={ "Parcel " (k) } {
            header.title-block {
                h1 { "Pack sheet " (number) @if of > 1 { ", parcel " (k) " of " (of) } }
                p { (held(plan)) @if of > 1 { " (of " (planned.title) " in all)" } }
                dl {
                    div {
                        dt { "Carton" }
                        dd { @if let Some(inner) = &plan.inner { (inner.carton.name) " in a " } (plan.carton.name) }
                    }
                    div { dt { "Outside" } dd { (sides(shipped.outside, units)) } }
                    div { dt { "Expected weight" } dd { (shipped.gross.write(units)) } }
                    div { dt { "Fill" } dd { (measure::Volume::from_mm3(plan.fill.volume_mm3).write(units)) " of " (plan.fill.material) } }
                    div { dt { "Time" } dd { (format!("{:.0}", shipped.minutes)) " minutes" } }
                    div { dt { "Planned" } dd { (planned.day) } }
                }
            }
            div.views.many[views > TWO_ABREAST] {
                @for layer in &plan.holding().layers {
                    figure {
                        img src={ (base) "/layer/" (layer.number) } alt={ "Layer " (layer.number) " from above; the steps say the same" };
                    }
                }
                figure { img src={ (base) "/front" } alt="The stack from the front; the steps say the same"; }
            }
            div.lists {
                div.cut {
                    h2 { "Cut and count first" }
                    ul.boxes { @for line in cut_list(shipped) { li { (line) } } }
                }
                div.steps {
                    h2 { "Steps" }
                    ol.boxes { @for step in draw::steps(plan, units) { li { (step) } } }
                }
                div.checks {
                    h2 { "Before the label" }
                    ul.boxes {
                        li { "Pieces counted against the list above" }
                        li { "Photo of the open carton, and of the closed one with its label" }
                        li { "Shaken: nothing moves or sounds" }
                        li { "Outside measured: not more than " (sides(shipped.outside, units)) }
                    }
                    p { (dropped(shipped)) "." }
                    ul.faces { @for line in faces(shipped) { li { (line) } } }
                    dl.write {
                        div { dt { "The scale says" } dd { span.line {} } }
                        div { dt { "Outside, measured" } dd { span.line {} } }
                        div { dt { "Minutes it took" } dd { span.line {} } }
                        div { dt { "Packed by, on" } dd { span.line {} } }
                    }
                }
            }
        }
    }
}
