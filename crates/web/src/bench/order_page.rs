//! One order at the bench: its plan with drawings, or the form to plan it.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Response};
use books::OrderId;
use keeping::{DropCheck, PartsGone};
use maud::{Markup, html};
use measure::{Money, Units};
use shop::{OrderState, PullRow, StandingOrder, StandingParcel, Supply};

use super::plan::{how_far, planning};
use super::plannings::{Planning, Stage};
use super::stored::plan_of;
use crate::App;
use crate::enter::unable;
use crate::form::{Filled, Mistakes, once_field};
use crate::orders::typed::{due, state_words, tick};
use crate::orders::{sent_in_parts, side_by_side};
use crate::pack::plan_page::{cut_list, held, on_sheet};
use crate::pack::{REFRESH_S, drawn, refreshes_itself};
use crate::record_page::checked;
use crate::said::count;

pub(super) async fn show(State(app): State<App>, Path(number): Path<u64>) -> Response {
    page(&app, number, &Filled::default(), &Mistakes::default()).await
}

/// What the page is drawn from.
struct AtBench {
    order: StandingOrder,
    pull: Vec<PullRow>,
    parcels: Vec<StandingParcel>,
    supplies: Vec<(u64, Supply)>,
    parts: PartsGone,
}

pub(super) async fn page(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let id = OrderId(number);
    let found = app
        .read_shop(move |shop, _| {
            let (order, parcels) = (shop.order(id)?, shop.parcels(id)?);
            Ok(AtBench {
                pull: shop.pull_list(id)?,
                parts: PartsGone::read(shop, id, &parcels)?,
                supplies: shop.noted::<Supply>()?,
                order,
                parcels,
            })
        })
        .await;
    let (at, planning) = match (found, planning(app, number).await) {
        (Ok(at), Ok(planning)) => (at, planning),
        (Err(page), _) | (_, Err(page)) => return page,
    };
    if let Some(planning) = planning.as_ref().filter(|planning| !planning.is_done()) {
        return under_way(app, number, planning);
    }
    let keys = (app.form_key(), app.form_key());
    let (Ok(key), Ok(other)) = &keys else {
        return match keys {
            (Err(why), _) | (_, Err(why)) => unable(&why),
            (Ok(_), Ok(_)) => unable(&crate::WebError::NoPassphrase),
        };
    };
    let order = &at.order;
    let open = order.state == OrderState::Open;
    let drawn_all = at.parcels.iter().all(|parcel| plan_of(parcel).is_some());
    let body = html! {
        p {
            (count(order.lines.iter().map(|line| line.lots).fold(0, u32::saturating_add), "lot")) " to " (order.destination) ", "
            (state_words(order.state, order.paid_on, order.sent_on)) "."
            @if open { " Promised: " (due(order.promise_by, app.now().day)) "." }
            " " a href={ "/orders/" (number) } { "The order" }
        }
        (sent_in_parts(&at.parts, &at.parcels))
        (ended(planning.as_ref(), &at.parcels))
        @if at.parcels.is_empty() {
            @if open { (plan_form(number, key, &at, filled, false)) }
        } @else {
            p.verdict { (takes(&at.parcels)) }
            (figures(&at.parcels))
            (stand_ins(&at))
            div.actions {
                @if drawn_all { a.button href={ "/bench/" (number) "/sheet" } { "Pack sheet to print" } }
                @if open { a.quiet href={ "/bench/" (number) "/ship" } { "It is packed: write it down" } }
            }
        }
        @if open { (fetch(number, &at.pull)) }
        @for (k, parcel) in (1..).zip(&at.parcels) { (one(number, k, parcel, &at)) }
        @if open && !at.parcels.is_empty() {
            details open[!mistakes.is_empty()] {
                summary { "Plan it anew, or release the plan" }
                (plan_form(number, key, &at, filled, true))
                form method="post" action={ "/bench/" (number) "/release" } {
                    (once_field(other))
                    p { "Released, the order has no plan, and what was set aside for it is free." }
                    button.quiet type="submit" { "Release the plan" }
                }
            }
        }
        p { a href="/bench" { "Back to the bench" } " " a href="/help#bench" { "How to use this page" } }
    };
    let (title, path) = (format!("Order {number} at the bench"), format!("/bench/{number}"));
    checked(&app.page(&title, &path, body).with_mistakes(mistakes))
}

fn under_way(app: &App, number: u64, planning: &Planning) -> Response {
    let path = format!("/bench/{number}");
    let body = html! {
        section #progress data-watch={ (path) "/progress" } aria-live="polite" { (how_far(planning)) }
        form method="post" action={ (path) "/stop" } { button type="submit" { "Stop, and keep what was planned before" } }
        p { a href=(path) { "See how far it is" } }
        (refreshes_itself())
    };
    let title = format!("Planning order {number}");
    let page = app.page(&title, &path, body);
    crate::Page { refreshes: Some(REFRESH_S), ..page }.draw().into_response()
}

/// What the last planning came to, as long as the program remembers it.
fn ended(planning: Option<&Planning>, parcels: &[StandingParcel]) -> Markup {
    let Some(planning) = planning else { return html! {} };
    match planning.stage() {
        Stage::Done(said) => {
            let numbers: Vec<u64> = parcels.iter().map(|parcel| parcel.id).collect();
            html! {
                @if said.parcels == numbers && !said.lines.is_empty() {
                    section.cautions aria-labelledby="mind" {
                        h2 #mind { "Mind" }
                        ul { @for line in &said.lines { li { (line) } } }
                    }
                }
            }
        }
        Stage::Refused(why) => html! {
            section.cautions aria-labelledby="mind" {
                h2 #mind { "It could not be planned" }
                p { (why) "." }
                p { a href="/supplies" { "Supplies: add a carton, or say how many there are" } }
            }
        },
        Stage::Stopped => html! { p.caution { "It was stopped; nothing was stored." } },
        Stage::Waiting | Stage::Working | Stage::Storing => html! {},
    }
}

fn plan_form(number: u64, key: &str, at: &AtBench, filled: &Filled, anew: bool) -> Markup {
    html! {
        form method="post" action={ "/bench/" (number) "/plan" } novalidate {
            (once_field(key))
            @if !anew { p { "Which of your cartons takes these pieces and how they lie in it; its supplies are set aside." } }
            details open[filled.has("any-carton") || filled.has("without")] {
                summary { "Something is short" }
                (tick("any-carton", "yes", "Any carton of a stock size, whether or not you have it", filled))
                @if !at.supplies.is_empty() {
                    fieldset {
                        legend { "Set none of these aside" }
                        @for (_, supply) in &at.supplies { (tick("without", &supply.name, &supply.name, filled)) }
                    }
                }
            }
            div.actions { button.quiet[anew] type="submit" { @if anew { "Plan it anew" } @else { "Plan its parcels" } } }
        }
    }
}

/// What to take, in one line.
fn takes(parcels: &[StandingParcel]) -> String {
    let each = parcels.iter().map(|parcel| {
        let carton = plan_of(parcel)
            .map_or_else(|| String::from("a parcel"), |plan| format!("carton {}", plan.carton.name));
        let mass = parcel.plan.mass.map(|mass| mass.write(Units::UsCustomary));
        mass.map_or(carton.clone(), |mass| format!("{carton}, {mass}"))
    });
    let text = each.collect::<Vec<_>>().join("; ");
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect()) + "."
}

fn figures(parcels: &[StandingParcel]) -> Markup {
    let postage: Money = parcels.iter().filter_map(|parcel| parcel.plan.postage).sum();
    let minutes: u32 = parcels.iter().filter_map(|parcel| parcel.plan.minutes).fold(0, u32::saturating_add);
    html! { p { (postage) " of postage, " (count(minutes, "minute")) " of packing." } }
}

/// Cartons that stand in for others, as the file keeps it.
fn stand_ins(at: &AtBench) -> Markup {
    let name = |id: u64| {
        at.supplies.iter().find(|(number, _)| *number == id).map(|(_, supply)| supply.name.as_str())
    };
    let taken = at.parcels.iter().flat_map(|parcel| {
        parcel.actual.as_ref().map_or(&parcel.plan.supplies, |(_, actual)| &actual.supplies)
    });
    let pairs: Vec<(&str, &str)> =
        taken.filter_map(|one| Some((name(one.supply.0)?, name(one.instead_of?.0)?))).collect();
    html! {
        @for (taken, missing) in pairs { p.caution { "Carton " (taken) " stands in for " (missing) ", which was out." } }
    }
}

fn fetch(number: u64, pull: &[PullRow]) -> Markup {
    html! {
        @if !pull.is_empty() {
            h2 { "Fetch from the shelf" }
            ul.ticks {
                @for (k, line) in fetch_lines(pull).iter().enumerate() {
                    li.tick { input type="checkbox" id={ "fetch-" (k) } autocomplete="off"; label for={ "fetch-" (k) } { (line) } }
                }
            }
            p { a.target href={ "/bench/" (number) "/swap" } { "A piece is flawed, broken or missing: take another" } }
        }
    }
}

/// What to fetch, one line a place.
pub(super) fn fetch_lines(pull: &[PullRow]) -> Vec<String> {
    let place =
        |row: &PullRow| if row.shelf.is_empty() { String::from("no place noted") } else { row.shelf.clone() };
    let line = |row: &PullRow| {
        format!("{}: {} of {}, {}", place(row), row.pieces.len(), row.description, keeping::which_pieces(row))
    };
    pull.iter().map(line).collect()
}

/// Where to ask how much cushion the pieces of a parcel need.
fn cushion(parcel: &StandingParcel, at: &AtBench) -> Markup {
    let gross = parcel.plan.mass.map(|mass| crate::spelled::in_address(&mass.write(Units::UsCustomary)));
    let gross = gross.map_or_else(String::new, |gross| format!("&gross={gross}"));
    let finds: std::collections::BTreeMap<u64, &str> =
        at.pull.iter().map(|row| (row.find.0, row.description.as_str())).collect();
    html! {
        @if !finds.is_empty() {
            p {
                "How much cushion a piece needs: "
                @for (k, (find, words)) in finds.iter().enumerate() {
                    @if k > 0 { ", " }
                    a href={ "/guard?find=" (find) (gross) } { (words) }
                }
            }
        }
    }
}

fn one(number: u64, k: usize, parcel: &StandingParcel, at: &AtBench) -> Markup {
    let units = Units::UsCustomary;
    let base = format!("/bench/{number}/{k}");
    let plan = plan_of(parcel);
    let supplies = parcel.actual.as_ref().map_or(&parcel.plan.supplies, |(_, actual)| &actual.supplies);
    let aside: Vec<String> = supplies
        .iter()
        .filter_map(|one| {
            let (_, supply) = at.supplies.iter().find(|(id, _)| *id == one.supply.0)?;
            Some(format!("{}: {}", supply.name, crate::quantities::quantity(one.quantity, &supply.unit)))
        })
        .collect();
    html! {
        section aria-labelledby={ "parcel-" (k) } {
            h2 id={ "parcel-" (k) } { "Parcel " (k) @if at.parcels.len() > 1 { " of " (at.parcels.len()) } }
            (side_by_side(if parcel.actual.is_some() { "Plan and parcel" } else { "Figures" }, parcel))
            @if let Some(drop) = DropCheck::kept_with(&parcel.plan) {
                details {
                    summary { @if drop.is_at_risk() { "Dropped on paper: at risk" } @else { "Dropped on paper" } }
                    (on_sheet(&drop))
                }
            }
            @match &plan {
                Some(plan) => {
                    p { "Holds " (held(plan)) ". Fill: " (measure::Volume::from_mm3(plan.fill.volume_mm3).write(units)) " of " (plan.fill.material) "." }
                    (drawn::drawings(&base, k, plan, units))
                    (cushion(parcel, at))
                    h3 { "Cut and count first" }
                    ul { @for line in cut_list(plan) { li { (line) } } }
                    h3 { "Steps" }
                    ol { @for step in draw::steps(plan, units) { li { (step) } } }
                }
                None => p { "There is no drawing of this parcel." @if parcel.actual.is_none() { " Plan it anew, and there is one." } },
            }
            @if !aside.is_empty() {
                p { @if parcel.actual.is_some() { "It took: " } @else { "Set aside for it: " } (aside.join("; ")) "." }
            }
        }
    }
}
