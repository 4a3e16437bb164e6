//! Planning an order with what is on hand: begun, watched, stopped, stored; or released.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use books::OrderId;
use keeping::{BenchAsked, BenchPlan, BenchQuestion, Desk, Stop, learnt};
use maud::{Markup, html};
use measure::{Money, Units};
use shop::{Shop, Stamp};

use super::order_page;
use super::plannings::{Planning, Said, Stage, TooMany};
use crate::App;
use crate::form::{Mistakes, Posted};
use crate::refusal::refusal;
use crate::said::{count, tenth};
use crate::shopdoor::NoAnswer;

/// A plan that is found within this time is shown at once.
const SHORT_WAIT: Duration = Duration::from_millis(1200);
/// How often that is looked at.
const LOOK: Duration = Duration::from_millis(60);

pub(super) async fn begin(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let without = filled.all("without").into_iter().map(str::to_owned).collect();
    let asked = BenchAsked { without, any_carton: filled.has("any-carton") };
    let day = app.now().day;
    let read = app
        .ask_shop(move |shop, desk| {
            let question = BenchQuestion::read(shop, desk, OrderId(number), asked, day)?;
            Ok((question, shop.path().to_owned()))
        })
        .await;
    let (question, shop) = match read {
        Ok(read) => read,
        Err(NoAnswer::Stop(Stop::Input(why))) => {
            let mut mistakes = Mistakes::default();
            mistakes.add("", why);
            return order_page::page(&app, number, &filled, &mistakes).await;
        }
        Err(other) => return other.page(),
    };
    let mut begun = None;
    let result = app.once().run(&filled, || {
        begun = app.plannings().begin(&shop, number)?;
        Ok::<_, TooMany>(format!("/bench/{number}"))
    });
    let Ok(address) = result else {
        return refusal(
            StatusCode::TOO_MANY_REQUESTS,
            "Too much is being packed at once",
            "Wait until one of the plans is done, or stop one.",
        );
    };
    if let Some(planning) = begun {
        let (inner, worker) = (app.clone(), planning.clone());
        tokio::spawn(async move { work(&inner, &worker, question, shop).await });
        let mut waited = Duration::ZERO;
        while waited < SHORT_WAIT && !planning.is_done() {
            tokio::time::sleep(LOOK).await;
            waited += LOOK;
        }
    }
    Redirect::to(&address).into_response()
}

async fn work(app: &App, planning: &Planning, question: BenchQuestion, path: std::path::PathBuf) {
    let packing = planning.clone();
    let packed = app
        .work(move |desk| {
            if !packing.work() {
                return None;
            }
            Some(question.plan_watched(desk, packing.watch()).map(|plan| (question, plan)))
        })
        .await;
    let (question, plan) = match packed {
        Some(Some(Ok(found))) => found,
        // It was stopped.
        Some(None) => return,
        Some(Some(Err(why))) => return planning.end(Stage::Refused(why.to_string())),
        None => {
            return planning.end(Stage::Refused(String::from(
                "it could not be worked out; that is a fault of the program, not yours",
            )));
        }
    };
    if !planning.store() {
        return;
    }
    let stamp = app.stamp();
    let stored =
        app.ask_shop(move |shop, desk| Ok(store(shop, desk, &stamp, &question, &plan, &path)?)).await;
    planning.end(match stored {
        Ok(said) => Stage::Done(Arc::new(said)),
        Err(NoAnswer::Stop(why)) => Stage::Refused(why.to_string()),
        Err(NoAnswer::NotBegun) => Stage::Refused(String::from("the shop file went away meanwhile")),
    });
}

/// Stores a plan, unless what it was made for has changed meanwhile.
fn store(
    shop: &mut Shop,
    desk: &Desk,
    stamp: &Stamp,
    question: &BenchQuestion,
    plan: &BenchPlan,
    path: &std::path::Path,
) -> Result<Said, Stop> {
    let id = question.order.id;
    if shop.path() != path || shop.order(id)? != question.order || shop.pull_list(id)? != question.pull {
        return Err(Stop::Input(format!(
            "order {id} changed while it was planned, so nothing was stored; right would be to plan it again"
        )));
    }
    let parcels = shop.plan_order(stamp, id, &plan.parcels)?;
    Ok(Said { parcels, lines: said(shop, desk, &question.order, plan)? })
}

/// What is said first: what stands in for what, what that costs, and what was left out.
fn said(
    shop: &Shop,
    desk: &Desk,
    order: &shop::StandingOrder,
    planned: &BenchPlan,
) -> Result<Vec<String>, Stop> {
    let mut lines = Vec::new();
    lines.extend(planned.said_of_loss(order));
    for one in &planned.substitutes {
        lines.push(format!("Too few of carton {} on hand: carton {} instead.", one.missing, one.carton));
    }
    let more = planned.costs_more();
    if more > Money::ZERO {
        lines.push(format!("That costs {more} more in postage and materials."));
    }
    if planned.fill != desk.library.materials.usual_fill().name {
        lines.push(format!("Filled with {}.", planned.fill));
    }
    for note in planned.plan.parcels.iter().flat_map(|shipped| &shipped.notes) {
        let change = if note.difference < Money::ZERO {
            format!("would save {}", -note.difference)
        } else {
            format!("would cost {}", note.difference)
        };
        lines.push(format!("{} {change} of postage.", note.change));
    }
    for shipped in &planned.plan.parcels {
        if shipped.margin() < 0.0 {
            lines.push(format!("{}.", crate::pack::plan_page::dropped(&keeping::DropCheck::of(shipped))));
        }
    }
    let tuned = shop.tuned()?;
    for (k, parcel) in (1..).zip(&planned.parcels) {
        let k: usize = k;
        if let Some((parcels, mass, minutes)) = learnt(&tuned, parcel) {
            lines.push(format!(
                "Parcel {k}, by your own {} like it: {} and {minutes:.0} min.",
                count(parcels, "parcel"),
                mass.write(Units::UsCustomary)
            ));
        }
    }
    let unknown: Vec<String> = planned
        .taken
        .unknown
        .iter()
        .map(|(name, (quantity, unit))| match unit.as_str() {
            "piece" => format!("{} {name}", tenth(*quantity)),
            "sheet" => format!("{} of {name}", count(quantity.round().clamp(0.0, 1e6) as u32, "sheet")),
            unit => format!("{} {unit} of {name}", tenth(*quantity)),
        })
        .collect();
    if !unknown.is_empty() {
        lines.push(format!("Not among your supplies, so not set aside: {}.", unknown.join("; ")));
    }
    Ok(lines)
}

/// The planning of an order in the shop that is open.
pub(super) async fn planning(app: &App, number: u64) -> Result<Option<Planning>, Response> {
    let path = app.read_shop(|shop, _| Ok(shop.path().to_owned())).await?;
    Ok(app.plannings().find(&path, number))
}

/// How far a planning is.
pub(super) fn how_far(planning: &Planning) -> Markup {
    let done = planning.is_done();
    html! { p.progress data-done[done] { (planning.how_far()) } }
}

pub(super) async fn progress(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match planning(&app, number).await {
        Ok(Some(planning)) => how_far(&planning).into_response(),
        Ok(None) => html! { p.progress data-done { "Nothing is being planned." } }.into_response(),
        Err(page) => page,
    }
}

pub(super) async fn stop(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match planning(&app, number).await {
        Ok(planning) => {
            if let Some(planning) = planning {
                planning.stop();
            }
            Redirect::to(&format!("/bench/{number}")).into_response()
        }
        Err(page) => page,
    }
}

/// The plan is dropped; what was set aside for it is free again.
pub(super) async fn release(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let path = format!("/bench/{number}");
    let done = path.clone();
    let stored = app
        .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
            shop.plan_order(stamp, OrderId(number), &[])?;
            Ok(done)
        })
        .await;
    match stored {
        Some(done) => done,
        None => order_page::page(&app, number, &filled, &mistakes).await,
    }
}
