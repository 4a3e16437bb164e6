//! An order is paid, or won't be sent.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{OrderId, Purse};
use maud::{Markup, html};
use shop::{Cancelled, OrderState, Payment, StandingOrder};

use super::show::about;
use super::typed::state_words;
use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;

pub(super) async fn ask_pay(State(app): State<App>, Path(number): Path<u64>) -> Response {
    pay_form(&app, number, &Filled::default(), &Mistakes::default()).await
}

pub(super) async fn pay(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let payment = Payment { date, into: purse(&filled, "into", Purse::Platform, &mut mistakes) };
    if mistakes.is_empty() {
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
                shop.pay_order(stamp, OrderId(number), payment)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    pay_form(&app, number, &filled, &mistakes).await
}

async fn pay_form(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let today = app.now().day;
    let ask = |order: &StandingOrder| {
        let tax = match order.tax {
            books::BuyerTax::None => html! {},
            books::BuyerTax::ByVenue(tax) | books::BuyerTax::ByMe(tax) => {
                html! { " and " (tax) " of sales tax" }
            }
        };
        let items: measure::Money = order.lines.iter().map(|line| line.item).sum();
        html! {
            p { (items) " for the lots, " (order.shipping) " for shipping" (tax) "." }
            (draw(&purse_field("into", "Where the money went", Purse::Platform), filled, mistakes, false))
            (draw(&day_field("day", "Paid on", &format!("Left out, today, {today}."), true), filled, mistakes, true))
        }
    };
    form(app, number, &Form { word: "pay", title: "was paid", button: "Enter the payment", mistakes }, ask)
        .await
}

pub(super) async fn ask_cancel(State(app): State<App>, Path(number): Path<u64>) -> Response {
    cancel_form(&app, number, &Filled::default(), &Mistakes::default()).await
}

pub(super) async fn cancel(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let cancelled = Cancelled {
        order: OrderId(number),
        date,
        from: purse(&filled, "from", Purse::Platform, &mut mistakes),
    };
    if mistakes.is_empty() {
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
                shop.cancel_order(stamp, &cancelled)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    cancel_form(&app, number, &filled, &mistakes).await
}

async fn cancel_form(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let today = app.now().day;
    let ask = |order: &StandingOrder| {
        html! {
            p { "Its pieces, lots and supplies are free again." @if order.paid_on.is_some() { " The buyer gets back all that was paid." } }
            @if order.paid_on.is_some() {
                (draw(&purse_field("from", "What pays the buyer back", Purse::Platform), filled, mistakes, false))
            }
            (draw(&day_field("day", "Cancelled on", &format!("Left out, today, {today}."), true), filled, mistakes, true))
        }
    };
    form(
        app,
        number,
        &Form { word: "cancel", title: "won't be sent", button: "Cancel the order", mistakes },
        ask,
    )
    .await
}

struct Form<'a> {
    word: &'static str,
    title: &'static str,
    button: &'static str,
    mistakes: &'a Mistakes,
}

/// The form for an order that is open; of another it says why there is nothing to fill.
async fn form(app: &App, number: u64, of: &Form<'_>, ask: impl Fn(&StandingOrder) -> Markup) -> Response {
    let (order, _) = match about(app, OrderId(number)).await {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let path = format!("/orders/{number}/{}", of.word);
    let fits = match order.state {
        OrderState::Open => of.word != "pay" || order.paid_on.is_none(),
        OrderState::Sent | OrderState::Cancelled => false,
    };
    let body = html! {
        @if fits {
            form method="post" action=(path) novalidate {
                (once_field(&key))
                (ask(&order))
                div.actions { button type="submit" { (of.button) } a.quiet href={ "/orders/" (number) } { "Leave it" } }
            }
        } @else {
            p { "Order " (number) " is " (state_words(order.state, order.paid_on, order.sent_on)) "; there is nothing to do here." }
            p { a href={ "/orders/" (number) } { "Back to the order" } }
        }
    };
    checked(&app.page(&format!("Order {number} {}", of.title), &path, body).with_mistakes(of.mistakes))
}
