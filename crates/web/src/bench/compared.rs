//! Plan and parcel side by side while the scale is read, with what the parcel costs to post.

use books::OrderId;
use keeping::{BenchAsked, BenchQuestion, Desk};
use maud::{Markup, html};
use measure::{Mass, Money, Units};
use shop::{OutsideSize, StandingParcel};

use super::ship::Told;
use crate::App;
use crate::said::{count, sides};
use crate::shopdoor::NoAnswer;

/// Heavier by less than this is not worth a word: scales of a kitchen read whole grams, g (judgement).
const NO_MATTER_G: f64 = 1.0;

/// Plan and parcel side by side, with what the parcel costs to post as it stands on the scale.
pub(super) async fn compared(app: &App, number: u64, waiting: &[StandingParcel], told: &[Told]) -> Markup {
    let asked: Vec<Option<(OutsideSize, Mass)>> = told
        .iter()
        .enumerate()
        .map(|(k, one)| {
            let planned = waiting.get(k).map(|parcel| &parcel.plan);
            let size = one.size.or_else(|| planned.and_then(|plan| plan.size))?;
            Some((size, one.mass.or_else(|| planned.and_then(|plan| plan.mass))?))
        })
        .collect();
    let day = app.now().day;
    let posted = app
        .ask_shop(move |shop, desk: &Desk| {
            let any = BenchAsked { any_carton: true, ..BenchAsked::default() };
            let question = BenchQuestion::read(shop, desk, OrderId(number), any, day)?;
            let one = |&(size, mass): &(OutsideSize, Mass)| {
                question.postage(desk, &size, mass).map_err(|why| why.to_string())
            };
            Ok(asked.iter().map(|asked| asked.as_ref().map(one)).collect::<Vec<_>>())
        })
        .await;
    let posted = match posted {
        Ok(posted) => posted,
        Err(NoAnswer::Stop(why)) => {
            return html! { p.caution { "What it costs to post can't be said: " (why.to_string()) "." } };
        }
        Err(NoAnswer::NotBegun) => return html! {},
    };
    html! {
        section aria-labelledby="beside" {
            h2 #beside { "Plan and parcel" }
            @for (k, (one, postage)) in (1..).zip(told.iter().zip(posted)) {
                (beside(k, one, waiting.get(k - 1), postage))
            }
        }
    }
}

fn beside(
    k: usize,
    one: &Told,
    planned: Option<&StandingParcel>,
    postage: Option<Result<Money, String>>,
) -> Markup {
    let units = Units::UsCustomary;
    let plan = planned.map(|parcel| &parcel.plan);
    let said = |text: Option<String>| text.unwrap_or_else(|| String::from("not told"));
    let outside = |size: OutsideSize| sides([size.length, size.width, size.height], units);
    let planned_postage = plan.and_then(|plan| plan.postage);
    let costs = postage.as_ref().and_then(|postage| postage.as_ref().ok()).copied();
    let heavier = plan.and_then(|plan| plan.mass).zip(one.mass).map(|(plan, was)| was.grams() - plan.grams());
    html! {
        table.figures {
            caption { "Parcel " (k) }
            thead { tr { th scope="col" { "What" } th.num scope="col" { "Planned" } th.num scope="col" { "On the scale" } } }
            tbody {
                tr { th scope="row" { "Weight" } td.num { (said(plan.and_then(|plan| plan.mass).map(|mass| mass.write(units)))) } td.num { (said(one.mass.map(|mass| mass.write(units)))) } }
                tr { th scope="row" { "Outside" } td.num { (said(plan.and_then(|plan| plan.size).map(outside))) } td.num { (said(one.size.map(outside))) } }
                tr { th scope="row" { "Time" } td.num { (said(plan.and_then(|plan| plan.minutes).map(|minutes| count(minutes, "minute")))) } td.num { (said(one.minutes.map(|minutes| count(minutes, "minute")))) } }
                tr { th scope="row" { "Postage by your rates" } td.num { (said(planned_postage.map(|postage| postage.to_string()))) } td.num { (said(costs.map(|postage| postage.to_string()))) } }
                @if let Some(paid) = one.postage { tr { th scope="row" { "Postage bought" } td.num {} td.num { (paid) } } }
            }
        }
        @match (postage, planned_postage) {
            (Some(Err(why)), _) => p.caution { "What it costs to post can't be said: " (why) "." },
            (Some(Ok(costs)), Some(planned)) if costs > planned => {
                p.caution { (more(heavier)) "It costs " (costs - planned) " more to post than planned." }
            },
            (Some(Ok(costs)), Some(planned)) if costs < planned => p { (more(heavier)) "It costs " (planned - costs) " less to post than planned." },
            (Some(Ok(_)), Some(_)) => p { (more(heavier)) "It posts for what was planned." },
            (Some(Ok(costs)), None) => p { "It posts for " (costs) "." },
            (None, _) => p { "Tell weight and size, and you are told what it costs to post." },
        }
    }
}

/// By how much it is heavier than planned, as a sentence.
fn more(heavier_g: Option<f64>) -> String {
    match heavier_g {
        Some(grams) if grams > NO_MATTER_G => {
            format!("It weighs {} more than planned. ", Mass::from_grams(grams).write(Units::UsCustomary))
        }
        Some(_) | None => String::new(),
    }
}
