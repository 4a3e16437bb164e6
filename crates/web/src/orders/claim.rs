//! Damage and loss claimed from a carrier or insurer.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{OrderId, Purse};
use keeping::Stop;
use maud::html;
use shop::{Claim, ClaimState, MoneyMoved, Movement};

use super::show::about;
use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// What is to be handed in with a claim (common practice).
const EVIDENCE: [&str; 4] = [
    "proof of value: the order, and what like pieces sold for",
    "photos of the outside of the parcel, with its label",
    "photos of the inside and of the piece",
    "the packing, kept by the buyer until it is decided",
];

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>) -> Response {
    form(&app, number, &Filled::default(), &Mistakes::default()).await
}

pub(super) async fn send(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    filled.needed("asked", "Say how much is asked for, for example: 28.00", &mut mistakes);
    let asked = filled.money("asked", &mut mistakes);
    let opened_on = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let deadline = day(&filled, "deadline", today, &mut mistakes);
    if deadline.is_some_and(|deadline| deadline < opened_on) {
        mistakes.add("deadline", format!("it lies before the claim; right would be {opened_on} or later"));
    }
    let text = |name: &str| filled.text(name).unwrap_or_default().to_owned();
    if let (true, Some(asked)) = (mistakes.is_empty(), asked) {
        let claim = Claim {
            order: OrderId(number),
            opened_on,
            deadline,
            asked,
            state: ClaimState::Open,
            reference: text("reference"),
            note: text("note"),
        };
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
                shop.order(claim.order)?;
                shop.note(stamp, &claim)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    form(&app, number, &filled, &mistakes).await
}

async fn form(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    if let Err(page) = about(app, OrderId(number)).await {
        return page;
    }
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let today = app.now().day;
    let path = format!("/orders/{number}/claim");
    let line = |field: Field, last: bool| draw(&field, filled, mistakes, last);
    let body = html! {
        p { "To hand in (common practice):" }
        ul { @for one in EVIDENCE { li { (one) } } }
        form method="post" action=(path) novalidate {
            (once_field(&key))
            (line(Field::needed("asked", "Asked for", "", Kind::Money), false))
            (line(day_field("deadline", "Last day for evidence", &format!("Such as {today}."), true), false))
            (line(Field::optional("reference", "Its number at the carrier or insurer", "", Kind::Measure), false))
            (line(Field::optional("note", "Anything to remember", "", Kind::Measure), false))
            (line(day_field("day", "Opened on", &format!("Left out, today, {today}."), true), true))
            div.actions { button type="submit" { "Open the claim" } a.quiet href={ "/orders/" (number) } { "Leave it" } }
        }
    };
    checked(&app.page(&format!("Open a claim for order {number}"), &path, body).with_mistakes(mistakes))
}

pub(super) async fn ask_decided(State(app): State<App>, Path(at): Path<(u64, u64)>) -> Response {
    decide_form(&app, at, None, &Mistakes::default()).await
}

pub(super) async fn paid(
    State(app): State<App>,
    Path((number, claim)): Path<(u64, u64)>,
    Posted(filled): Posted,
) -> Response {
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    filled.needed("amount", "Say how much was paid, for example: 28.00", &mut mistakes);
    let amount = filled.money("amount", &mut mistakes);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let into = purse(&filled, "into", Purse::Platform, &mut mistakes);
    if let (true, Some(amount)) = (mistakes.is_empty(), amount) {
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "amount", &path, &mut mistakes, move |shop, _, stamp| {
                of_order(shop, number, claim)?;
                let movement = Movement::ClaimPaid { order: books::OrderId(number), amount };
                let note = format!("claim {claim}");
                shop.pay_claim(stamp, claim, &MoneyMoved { date, purse: into, movement, note })?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    decide_form(&app, (number, claim), Some(&filled), &mistakes).await
}

pub(super) async fn refused(
    State(app): State<App>,
    Path((number, claim)): Path<(u64, u64)>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let path = format!("/orders/{number}");
    let done = path.clone();
    let stored = app
        .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
            let before = of_order(shop, number, claim)?;
            match before.state {
                ClaimState::Open => {}
                ClaimState::Paid | ClaimState::Refused => {
                    let why = format!("claim {claim} is decided; nothing was stored");
                    return Err(NoAnswer::Stop(Stop::Input(why)));
                }
            }
            shop.amend(stamp, claim, &Claim { state: ClaimState::Refused, ..before })?;
            Ok(done)
        })
        .await;
    match stored {
        Some(done) => done,
        None => decide_form(&app, (number, claim), None, &mistakes).await,
    }
}

/// A claim, if it is one of this order.
fn of_order(shop: &shop::Shop, number: u64, claim: u64) -> Result<Claim, NoAnswer> {
    let found: Claim = shop.noted_one(claim)?;
    if found.order == OrderId(number) {
        return Ok(found);
    }
    Err(NoAnswer::Stop(Stop::Input(format!("order {number} has no claim {claim}"))))
}

async fn decide_form(
    app: &App,
    (number, claim): (u64, u64),
    typed: Option<&Filled>,
    mistakes: &Mistakes,
) -> Response {
    let found = match app.read_shop(move |shop, _| of_order(shop, number, claim)).await {
        Ok(found) => found,
        Err(page) => return page,
    };
    let (key, other) = match (app.form_key(), app.form_key()) {
        (Ok(key), Ok(other)) => (key, other),
        (Err(why), _) | (_, Err(why)) => return unable(&why),
    };
    let asked = Filled::default().with("amount", found.asked.to_string());
    let filled = typed.unwrap_or(&asked);
    let today = app.now().day;
    let path = format!("/orders/{number}/claim/{claim}");
    let line = |field: Field, last: bool| draw(&field, filled, mistakes, last);
    let body = html! {
        p { (found.asked) " is asked for, since " (found.opened_on) "." @if let Some(day) = found.deadline { " Evidence until " (day) "." } }
        @match found.state {
            ClaimState::Open => {
                form method="post" action=(path) novalidate {
                    h2 { "It was paid" }
                    (once_field(&key))
                    (line(Field::needed("amount", "Paid", "", Kind::Money), false))
                    (line(purse_field("into", "Where the money went", Purse::Platform), false))
                    (line(day_field("day", "Paid on", &format!("Left out, today, {today}."), true), true))
                    div.actions { button type="submit" { "Enter the payment" } }
                }
                form method="post" action={ (path) "/refused" } novalidate {
                    h2 { "It was refused" }
                    (once_field(&other))
                    div.actions { button.quiet type="submit" { "Close it as refused" } }
                }
            },
            ClaimState::Paid => p { "It was paid." },
            ClaimState::Refused => p { "It was refused." },
        }
        p { a href={ "/orders/" (number) } { "Back to the order" } }
    };
    checked(&app.page(&format!("Claim {claim} of order {number}"), &path, body).with_mistakes(mistakes))
}
