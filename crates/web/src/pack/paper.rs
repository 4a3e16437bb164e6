//! A pack sheet on paper: one parcel with its drawings, boxes to tick and lines to write on.

use jiff::civil::Date;
use maud::{DOCTYPE, Markup, html};
use measure::{Length, Mass, Units};

use super::plan_page::{cut_list, held};
use crate::assets;
use crate::said::sides;

/// Views beyond which three stand side by side, so that a sheet stays within two pages.
const TWO_ABREAST: usize = 4;

/// A parcel as a sheet of paper has it.
pub(crate) struct OnPaper<'a> {
    /// Its heading.
    pub heading: String,
    /// What is of the order beside it, if there are other parcels.
    pub of: Option<&'a str>,
    /// Where its views lie.
    pub base: String,
    /// The plan.
    pub plan: &'a plan::Parcel,
    /// Units of the figures.
    pub units: Units,
    /// Outside of the closed carton.
    pub outside: Option<[Length; 3]>,
    /// What it should weigh.
    pub gross: Option<Mass>,
    /// Minutes it should take.
    pub minutes: Option<f64>,
    /// The day it was planned.
    pub day: Option<Date>,
    /// What stands beside the heading (a code to photograph), if anything.
    pub code: Markup,
    /// What to fetch, one line a place; may be empty.
    pub fetch: &'a [String],
    /// What a drop does to it, if it is known.
    pub drop: Markup,
}

/// The document around the sheets: `back` leads to the plan, `own` is the address of this sheet.
pub(crate) fn document(title: &str, back: &str, own: &str, a4: bool, sheets: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " - Lotwright" }
                link rel="stylesheet" href=(assets::path("lotwright.css"));
                link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                script type="module" src=(assets::path("page.js")) {}
            }
            body.paper.a4[a4].letter[!a4] {
                nav.screen-only aria-label="This sheet" {
                    ul {
                        li { a href=(back) { "Back to the plan" } }
                        @if a4 { li { a href=(own) { "Letter paper" } } }
                        @else { li { a href={ (own) "?paper=a4" } { "A4 paper" } } }
                    }
                    button type="button" data-print hidden { "Print" }
                }
                main #page tabindex="-1" { (sheets) }
            }
        }
    }
}

/// One sheet; `k` is its number among the parcels.
pub(crate) fn sheet(k: usize, paper: &OnPaper<'_>) -> Markup {
    let (plan, units) = (paper.plan, paper.units);
    let views = plan.holding().layers.len() + 1;
    let outside = paper.outside.map(|outside| sides(outside, units));
    html! {
        article.sheet aria-label={ "Parcel " (k) } {
            header.title-block {
                (paper.code)
                h1 { (paper.heading) }
                p { (held(plan)) @if let Some(of) = paper.of { " (of " (of) " in all)" } }
                dl {
                    div {
                        dt { "Carton" }
                        dd { @if let Some(inner) = &plan.inner { (inner.carton.name) " in a " } (plan.carton.name) }
                    }
                    @if let Some(outside) = &outside { div { dt { "Outside" } dd { (outside) } } }
                    @if let Some(gross) = paper.gross { div { dt { "Expected weight" } dd { (gross.write(units)) } } }
                    div { dt { "Fill" } dd { (measure::Volume::from_mm3(plan.fill.volume_mm3).write(units)) " of " (plan.fill.material) } }
                    @if let Some(minutes) = paper.minutes { div { dt { "Time" } dd { (format!("{minutes:.0}")) " minutes" } } }
                    @if let Some(day) = paper.day { div { dt { "Planned" } dd { (day) } } }
                }
            }
            div.views.many[views > TWO_ABREAST] {
                @for layer in &plan.holding().layers {
                    figure {
                        img src={ (paper.base) "/layer/" (layer.number) } alt={ "Layer " (layer.number) " from above; the steps say the same" };
                    }
                }
                figure { img src={ (paper.base) "/front" } alt="The stack from the front; the steps say the same"; }
            }
            div.lists {
                @if !paper.fetch.is_empty() {
                    div.cut {
                        h2 { "Fetch from the shelf" }
                        ul.boxes { @for line in paper.fetch { li { (line) } } }
                    }
                }
                div.cut {
                    h2 { "Cut and count first" }
                    ul.boxes { @for line in cut_list(plan) { li { (line) } } }
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
                        @if let Some(outside) = &outside { li { "Outside measured: not more than " (outside) } }
                    }
                    (paper.drop)
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
