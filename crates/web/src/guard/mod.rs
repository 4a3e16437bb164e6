//! How much cushion a piece needs, and whether cover is worth its premium: asked by themselves, of a find, or of an
//! order. Nothing is stored by these questions.

mod answer;
mod fields;
mod insure;

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use books::FindId;
use keeping::guarding::{GuardAsked, guard_label, guarded};
use maud::{Markup, html};

use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/guard", get(ask)).route("/insure", get(insure::ask))
}

async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let find = filled.text("find").and_then(|text| text.parse::<u64>().ok()).map(FindId);
    let mut filled = filled;
    if let (Some(find), None) = (find, filled.text("form")) {
        // Only what the records say is filled in; a weight of the parcel may stand in the address.
        match app.ask_shop(move |shop, _| Ok(GuardAsked::of_find(shop, find)?)).await {
            Ok(asked) => filled = fields::of_records(filled, &asked),
            Err(why @ NoAnswer::Stop(_)) => return why.page(),
            Err(NoAnswer::NotBegun) => return NoAnswer::NotBegun.page(),
        }
    }
    let mut mistakes = Mistakes::default();
    let asks = fields::NAMES.iter().any(|name| filled.text(name).is_some());
    let answer = if asks { answered(&app, &filled, &mut mistakes).await } else { None };
    page(&app, &filled, &mistakes, find, answer)
}

/// The answer, or mistakes at their fields.
async fn answered(app: &App, filled: &Filled, mistakes: &mut Mistakes) -> Option<Markup> {
    let asked = fields::read(filled);
    let too_long = asked.material.len() > fields::MOST_LINES || asked.measure.len() > fields::MOST_LINES;
    if too_long {
        mistakes.add(
            "material",
            format!("these are too many lines; right would be at most {}", fields::MOST_LINES),
        );
        return None;
    }
    match app.work(move |desk| guarded(&asked, desk, answer::told)).await {
        Some(Ok(told)) => Some(told),
        Some(Err(wrong)) => {
            for one in &wrong {
                let name = match &one.option {
                    // A measure is told with its name.
                    option if one.field == "measure" => option.replacen("measure ", "", 1),
                    _ => String::new(),
                };
                let named =
                    if name.is_empty() || name == "measure" { String::new() } else { format!("{name}: ") };
                mistakes.add(one.field, format!("{named}{}", one.in_words()));
            }
            None
        }
        None => {
            mistakes.add("", "This could not be worked out. That is a fault of the program, not yours.");
            None
        }
    }
}

fn page(
    app: &App,
    filled: &Filled,
    mistakes: &Mistakes,
    find: Option<FindId>,
    answer: Option<Markup>,
) -> Response {
    let (first, bare, more) = fields::all(app.desk());
    let is_open = |fields: &[crate::form::Field]| {
        fields.iter().any(|one| filled.text(&one.name).is_some() || mistakes.of(&one.name).is_some())
    };
    let body = html! {
        @if let Some(find) = find {
            p { "Of " a href={ "/finds/" (find) } { "find " (find) } ", as it was measured." }
        }
        @match answer {
            Some(answer) => section aria-label="Answer" { (answer) },
            None => p { "Say what the piece is: the answer is how thick a cushion it needs, in each material, for the fall of its parcel." },
        }
        section aria-labelledby="ask" {
            h2 #ask { "Ask" }
            form method="get" action="/guard" novalidate {
                @if let Some(find) = find { input type="hidden" name="find" value=(find); }
                @for field in &first { (draw(field, filled, mistakes, false)) }
                details open[is_open(&bare)] {
                    summary { "A piece of no form: " (guard_label("area").to_lowercase()) }
                    @for field in &bare { (draw(field, filled, mistakes, false)) }
                }
                details open[is_open(&more)] {
                    summary { "Fragility, drops, materials, wrap" }
                    @for (k, field) in more.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == more.len())) }
                }
                div.actions { button type="submit" { "How much cushion" } a.quiet href="/guard" { "Another piece" } }
            }
        }
        p { a href="/help#guard" { "How to use this page" } " " a href="/insure" { "Is cover worth its premium?" } }
    };
    checked(&app.page("How much cushion a piece needs", "/pack/guard", body).with_mistakes(mistakes))
}
