//! How a find is best split: lot sizes compared, the order ladder of one of them, and the decision.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use maud::{Markup, html};
use measure::Money;
use shop::Split as Decision;
use trade::{Job, Worth};

use super::order_ladder::ladder;
use super::split_ways::{best_in_words, ways};
use super::split_why::{left_over, why};
use super::typed_lots::read_lots;
use super::{Answer, Asked, Kind, LONGEST_NOTE, Stage, about, asked};
use crate::App;
use crate::form::{Field, Filled, Kind as Typed, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;

pub(super) async fn show(State(app): State<App>, Path(find): Path<u64>, Posted(filled): Posted) -> Response {
    page(&app, find, &filled, &Mistakes::default()).await
}

/// Stores a decision and goes on to its listings.
pub(super) async fn decide(
    State(app): State<App>,
    Path(find): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let asked = match asked(&app, find, &filled, &mut mistakes).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let missing = "Say which lots, for example: 2 x 4 + 1 x 3";
    let lots = filled.needed("lots", missing, &mut mistakes).map(str::to_owned);
    let lots = lots.and_then(|text| read_lots(&text).map_err(|why| mistakes.add("lots", why)).ok());
    let spare = filled.whole("spare", 0..=1000, &mut mistakes).unwrap_or(0);
    let note = filled.note("note", LONGEST_NOTE, &mut mistakes);
    let there = asked.question.pieces();
    if let (Some(lots), true) = (&lots, mistakes.is_empty()) {
        let taken = lots.iter().fold(spare, |sum, lot| sum.saturating_add(*lot));
        if taken > there {
            let with = if spare > 0 { format!(" with {spare} kept back") } else { String::new() };
            mistakes.add(
                "lots",
                format!("these lots{with} take {taken} pieces, and {there} are free; right would be {there} or fewer in all"),
            );
        }
    }
    if let (Some(lots), true) = (lots, mistakes.is_empty()) {
        let decision = Decision { find: FindId(find), date: app.now().day, lots, spare, note };
        let back = format!("/finds/{find}/split");
        let said = asked.beside.query("&");
        let stored = app
            .write_shop(&filled, "lots", &back, &mut mistakes, move |shop, _, stamp| {
                let number = shop.note(stamp, &decision)?;
                Ok(format!("/listings/new?split={number}{said}"))
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    page(&app, find, &filled, &mistakes).await
}

async fn page(app: &App, find: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let mut mistakes = mistakes.clone();
    let asked = match asked(app, find, filled, &mut mistakes).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let (mistakes, at) = (&mistakes, format!("/finds/{find}/split"));
    let back = format!("{at}{}", asked.beside.query("?"));
    let mut best = None;
    let answer = match &asked.job {
        Err(why) => html! { p.caution { (why) "." } },
        Ok(job) => {
            let work = app.asks(Kind::Worth, job, &back).await;
            match work.as_ref().map(super::Work::stage) {
                Some(Stage::Done(answer)) => match answer.as_ref() {
                    Answer::Worth(worth) => {
                        best = worth.split.as_ref().map(|split| keeping::lots_in_words(&split.choice.best));
                        let size = filled.text("size").and_then(|text| text.parse().ok());
                        let ladder = ladder(app, job, worth, size, &at, &asked.beside.query("&")).await;
                        html! { (told(&asked, &job.job, worth, find)) (ladder) }
                    }
                    Answer::Ladder(_) | Answer::Whole(_) => app.waits(work.as_ref()),
                },
                Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
            }
        }
    };
    let filled = match (&best, filled.has("lots")) {
        (Some(best), false) if best != "nothing" => filled.clone().with("lots", best.as_str()),
        _ => filled.clone(),
    };
    let body = html! {
        (about(&asked.question))
        (asked.beside.caution())
        (answer)
        (asked.beside.form(&at, &filled, mistakes, !asked.question.records.flawed.is_empty()))
        section aria-labelledby="decide" {
            h2 #decide { "Decide" }
            form method="post" action=(at) novalidate {
                (once_field(&app.form_key().unwrap_or_default()))
                (asked.beside.hidden())
                @let fields = fields();
                @for (k, field) in fields.iter().enumerate() { (draw(field, &filled, mistakes, k + 1 == fields.len())) }
                div.actions {
                    button type="submit" { "Keep it, and list these lots" }
                    a.quiet href={ "/finds/" (find) "/worth" (asked.beside.query("?")) } { "Back to what it is worth" }
                    a.quiet href={ "/finds/" (find) "/sets" } { "Sets with pieces of other finds" }
                }
            }
        }
        p { a href="/help#split" { "How to use this page" } }
    };
    let title = format!("Lots of find {find}");
    // Finds stand under Stock in the navigation.
    checked(&app.page(&title, "/stock/find", body).with_mistakes(mistakes))
}

fn fields() -> [Field; 3] {
    [
        Field::needed(
            "lots",
            "Lots",
            "2 x 4 + 1 x 3 is two lots of four and one of three. Any of the ways above, or your own.",
            Typed::Words { known: Vec::new() },
        ),
        Field::optional("spare", "Kept back for one that breaks", "", Typed::Whole),
        Field::optional("note", "Why", "For yourself, later.", Typed::Words { known: Vec::new() }),
    ]
}

fn told(asked: &Asked, job: &Job, worth: &Worth, find: u64) -> Markup {
    let Some(split) = &worth.split else {
        return html! {
            p.verdict { "Without comps no split can be chosen." }
            p { a href={ "/finds/" (find) "/worth#add" } { "Add what like ones sold for" } ", or write your own lots below." }
        };
    };
    let mut reasons = why(job, keeping::cost_of(job, worth).unwrap_or(Money::ZERO), split);
    if !split.choice.best.listings.is_empty() {
        reasons.extend(left_over(worth.splits()));
    }
    html! {
        p.verdict { (best_in_words(&split.choice.best)) }
        (ways(job, worth, split, &format!("/finds/{find}/split"), &asked.beside.query("&"), &reasons))
    }
}
