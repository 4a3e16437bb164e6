//! What an order cost the buyer after all.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{BuyerTax, OrderId, Purse};
use keeping::Stop;
use maud::html;
use measure::Money;
use shop::{OrderRepriced, Payment, Record, StandingOrder};

use super::show::about;
use super::typed::{hidden, meanwhile, seen};
use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>) -> Response {
    form(&app, number, None, &Mistakes::default()).await
}

pub(super) async fn send(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let order = match about(&app, OrderId(number)).await {
        Ok((order, _)) => order,
        Err(page) => return page,
    };
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let mut amount = |name: &str| {
        filled.needed(name, "Say how much, for example: 0.00", &mut mistakes);
        filled.money(name, &mut mistakes).unwrap_or(Money::ZERO)
    };
    let items: Vec<_> = (1..=order.lines.len()).map(|k| amount(&format!("item-{k}")).into()).collect();
    let shipping = amount("shipping");
    let tax = match order.tax {
        BuyerTax::ByMe(_) => BuyerTax::ByMe(amount("tax")),
        BuyerTax::None | BuyerTax::ByVenue(_) => match filled.money("tax", &mut mistakes) {
            Some(tax) if tax > Money::ZERO => BuyerTax::ByVenue(tax),
            Some(_) | None => BuyerTax::None,
        },
    };
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let payment = Payment { date, into: purse(&filled, "into", Purse::Platform, &mut mistakes) };
    if mistakes.is_empty() {
        let repriced = OrderRepriced { order: OrderId(number), items, shipping, tax, payment };
        let before = filled.text("seen").map(str::to_owned);
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
                let history = shop.history(Record::Order, number)?;
                if let Some(why) = meanwhile(&history, before.as_deref()) {
                    return Err(NoAnswer::Stop(Stop::Input(why)));
                }
                shop.reprice_order(stamp, &repriced)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    form(&app, number, Some(&filled), &mistakes).await
}

/// The form as the order stands.
fn as_it_stands(order: &StandingOrder) -> Filled {
    let tax = match order.tax {
        BuyerTax::None => String::new(),
        BuyerTax::ByVenue(tax) | BuyerTax::ByMe(tax) => tax.to_string(),
    };
    let filled = Filled::default().with("shipping", order.shipping.to_string()).with("tax", tax);
    (1..).zip(&order.lines).fold(filled, |filled, (k, line): (usize, _)| {
        filled.with(&format!("item-{k}"), line.item.to_string())
    })
}

async fn form(app: &App, number: u64, typed: Option<&Filled>, mistakes: &Mistakes) -> Response {
    let (order, history) = match about(app, OrderId(number)).await {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let standing = as_it_stands(&order);
    let filled = typed.unwrap_or(&standing);
    let today = app.now().day;
    // Who was told what happened meanwhile has seen it; a slip of the pen elsewhere has shown them nothing.
    let fresh = seen(&history);
    let seen = if mistakes.of("").is_some() { None } else { typed.and_then(|typed| typed.text("seen")) };
    let path = format!("/orders/{number}/price");
    let line = |field: &Field, last: bool| draw(field, filled, mistakes, last);
    let body = html! {
        @if order.paid_on.is_some() {
            p { "The payment is taken back and entered anew with these figures; the history keeps both." }
            form method="post" action=(path) novalidate {
                (once_field(&key))
                (hidden("seen", seen.unwrap_or(&fresh)))
                @for (k, of) in (1..).zip(&order.lines) {
                    (line(&Field::needed(&format!("item-{k}"), &format!("{} of listing {} together", crate::said::count(of.lots, "lot"), of.listing), "", Kind::Money), false))
                }
                (line(&Field::needed("shipping", "Shipping charged", "", Kind::Money), false))
                @match order.tax {
                    BuyerTax::ByMe(_) => (line(&Field::needed("tax", "Sales tax that you remit", "", Kind::Money), false)),
                    BuyerTax::None | BuyerTax::ByVenue(_) => (line(&Field::optional("tax", "Sales tax that the venue remits", "", Kind::Money), false)),
                }
                (line(&purse_field("into", "Where the money went", Purse::Platform), false))
                (line(&day_field("day", "Found on", &format!("Left out, today, {today}."), true), true))
                div.actions { button type="submit" { "Enter the new price" } a.quiet href={ "/orders/" (number) } { "Leave it" } }
            }
        } @else {
            p { "Order " (number) " isn't paid, so there is no price to change. " a href={ "/orders/" (number) } { "Back to the order" } }
        }
    };
    checked(&app.page(&format!("Price order {number} anew"), &path, body).with_mistakes(mistakes))
}
