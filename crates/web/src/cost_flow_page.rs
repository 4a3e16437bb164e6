//! Whose cost goes when goods go, and from which day on.

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use books::{CostFlow, FlowSchedule};
use jiff::civil::Date;
use keeping::{Desk, FLOW_CAUTION};
use maud::{Markup, html};
use shop::{Shop, Stamp};

use crate::App;
use crate::day_and_purse::{day, day_field};
use crate::enter::unable;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field, short};
use crate::orders::typed::hidden;
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Where the page is.
const PATH: &str = "/settings/cost-flow";

/// The flows as they are sent and said.
const FLOWS: [(&str, &str); 3] = [
    ("specific", "each piece its own cost"),
    ("fifo", "of like pieces the oldest cost first"),
    ("average", "of like pieces an equal share of their cost"),
];

pub(crate) fn routes() -> Router<App> {
    Router::new().route(PATH, get(ask).post(put))
}

async fn ask(State(app): State<App>) -> Response {
    drawn(&app, &Filled::default(), &Mistakes::default()).await
}

async fn put(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let missing = "whose cost goes isn't said; right would be one of the list";
    let flow = filled.needed("flow", missing, &mut mistakes).and_then(|word| {
        let read = FlowSchedule::flow_named(word);
        if read.is_err() {
            let right = FLOWS.map(|(word, _)| word).join(", ");
            mistakes.add("flow", format!("\"{}\" is none; right would be one of: {right}", short(word)));
        }
        read.ok()
    });
    let from = day(&filled, "from", today, &mut mistakes);
    if let (Some(flow), true) = (flow, mistakes.is_empty()) {
        let seen = filled.text("seen").map(str::to_owned);
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            let now = shop.cost_flow()?.to_string();
            if seen.is_some_and(|seen| seen != now) {
                return Err(NoAnswer::Stop(keeping::Stop::Input(format!(
                    "meanwhile it was set elsewhere to: {now}. Nothing was stored; look at it, then send the form again"
                ))));
            }
            keeping::choose_cost_flow(shop, stamp, flow, from, "my own", today)?;
            Ok(PATH.to_owned())
        };
        if let Some(done) = app.write_shop(&filled, "from", PATH, &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, &filled, &mistakes).await
}

async fn drawn(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let found = app.read_shop(|shop, _| Ok((shop.cost_flow()?, shop.goods_moved_upto()?))).await;
    let (schedule, moved) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let today = app.now().day;
    let fields = [
        Field::needed(
            "flow",
            "When goods go, what cost goes with them",
            "",
            Kind::OneOf(FLOWS.map(|(word, words)| Choice::new(word, words)).to_vec()),
        ),
        day_field(
            "from",
            "From this day on",
            "Best the first of a year. Left out, the first year of which nothing has moved: this one, or the next.",
            true,
        ),
    ];
    let body = html! {
        p.verdict { "Today: " (said(schedule.on(today))) "." }
        (steps(&schedule))
        p {
            @match moved {
                Some(day) => { "Goods moved until " (day) "; another flow begins later than that. What has gone keeps its cost." }
                None => "No goods have moved yet, so any day will do.",
            }
        }
        form method="post" action=(PATH) novalidate {
            (once_field(&key))
            (hidden("seen", &schedule.to_string()))
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
            p.caution { (FLOW_CAUTION) }
            div.actions { button type="submit" { "Keep it" } a.quiet href="/settings" { "Leave it" } }
        }
        details {
            summary { "What each of them means" }
            ul {
                li { "Each piece its own cost: a piece goes with what was paid for it. That is the usual way where pieces differ." }
                li { "The oldest cost first: of pieces of one form and description, the cost of the haul bought first goes first, whichever piece is sent." }
                li { "An equal share: the cost of all like pieces on hand, divided among them, on the day they go." }
            }
        }
        p { a href="/help#settings" { "How to use this page" } }
    };
    checked(&app.page("Cost of goods", PATH, body).with_mistakes(mistakes))
}

fn said(flow: Option<CostFlow>) -> &'static str {
    let word = match flow {
        None => "specific",
        Some(CostFlow::FirstInFirstOut) => "fifo",
        Some(CostFlow::Average) => "average",
    };
    FLOWS.iter().find(|(known, _)| *known == word).map_or(word, |(_, words)| words)
}

/// What holds from which day on, where it was ever changed.
fn steps(schedule: &FlowSchedule) -> Markup {
    let steps: Vec<(Date, Option<CostFlow>)> = schedule.steps().collect();
    html! {
        @if !steps.is_empty() {
            table.figures {
                thead { tr { th scope="col" { "From" } th scope="col" { "What cost goes" } } }
                tbody { @for (from, flow) in steps { tr { th scope="row" { (from) } td { (said(flow)) } } } }
            }
        }
    }
}
