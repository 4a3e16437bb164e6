//! What came back of an order: pieces, breakage, money.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{FindId, LotId, OrderId, Purse};
use keeping::{Back, GivenBack};
use maud::{Markup, html};
use shop::{PieceRef, SentPiece};

use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;

/// Most characters of a note.
const LONGEST_NOTE: usize = 2000;

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>) -> Response {
    form(&app, number, &Filled::default(), &Mistakes::default()).await
}

pub(super) async fn send(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let id = OrderId(number);
    let sent = match app.read_shop(move |shop, _| Ok(shop.sent_pieces(id)?)).await {
        Ok(sent) => sent,
        Err(page) => return page,
    };
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let (mut returned, mut broken) = (Vec::new(), Vec::new());
    for piece in &sent {
        let at = PieceRef { find: piece.find, number: piece.number };
        match filled.text(&field_name(piece)) {
            None | Some("kept") => {}
            Some("returned") => returned.push(at),
            Some("broken") => broken.push(at),
            Some(other) => mistakes.add(
                &field_name(piece),
                format!(
                    "\"{}\" is nothing that a piece can be; right would be kept, returned or broken",
                    crate::form::short(other)
                ),
            ),
        }
    }
    let amount = filled.money("refund", &mut mistakes).filter(|amount| *amount > measure::Money::ZERO);
    let tax = filled.money("tax", &mut mistakes).filter(|amount| *amount > measure::Money::ZERO);
    if tax.is_some() && amount.is_none() && mistakes.of("refund").is_none() {
        mistakes.add(
            "refund",
            "tax goes back with money only; right would be the amount given back without its tax",
        );
    }
    let mut which = |name: &str, what: &str| {
        let text = filled.text(name)?;
        let read = text.parse::<u64>().ok().filter(|number| *number > 0);
        if read.is_none() {
            mistakes.add(
                name,
                format!(
                    "\"{}\" is not the number of a {what}; right would be one of this order",
                    crate::form::short(text)
                ),
            );
        }
        read
    };
    let listing = which("listing", "listing").map(LotId);
    let find = which("find", "find").map(FindId);
    let from = purse(&filled, "from", Purse::Platform, &mut mistakes);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    let note = filled.note("note", LONGEST_NOTE, &mut mistakes);
    let refund = amount.map(|amount| GivenBack { amount, tax, listing, find, from });
    if returned.is_empty() && broken.is_empty() && refund.is_none() && mistakes.is_empty() {
        mistakes.add(
            "refund",
            "nothing is told; right would be pieces that came back or broke, or money given back",
        );
    }
    if mistakes.is_empty() {
        let back = Back { order: id, date, returned, broken, refund, note };
        let path = format!("/orders/{number}");
        let done = path.clone();
        let stored = app
            .write_shop(&filled, "refund", &path, &mut mistakes, move |shop, _, stamp| {
                keeping::settle_back(shop, stamp, &back)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    form(&app, number, &filled, &mistakes).await
}

fn field_name(piece: &SentPiece) -> String {
    format!("piece-{}-{}", piece.find, piece.number)
}

fn piece_field(piece: &SentPiece) -> Field {
    let choice = |(value, words): (&str, &str)| Choice { value: value.to_owned(), words: words.to_owned() };
    let choices = [
        ("kept", "the buyer has it"),
        ("returned", "it came back and is on the shelf again"),
        ("broken", "it broke or was lost on the way"),
    ];
    let label = format!("{}, piece {} of find {}", piece.description, piece.number, piece.find);
    Field::needed(&field_name(piece), &label, "", Kind::OneOf(choices.map(choice).to_vec()))
}

async fn form(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let id = OrderId(number);
    let found = app.read_shop(move |shop, _| Ok((shop.order(id)?, shop.sent_pieces(id)?))).await;
    let (order, sent) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let today = app.now().day;
    let path = format!("/orders/{number}/back");
    let line = |field: Field, last: bool| -> Markup { draw(&field, filled, mistakes, last) };
    let listings: Vec<Choice> = std::iter::once((String::new(), String::from("the whole order")))
        .chain(order.lines.iter().map(|line| (line.listing.to_string(), format!("listing {}", line.listing))))
        .map(|(value, words)| Choice { value, words })
        .collect();
    let body = html! {
        @if order.paid_on.is_none() {
            p { "Order " (number) " isn't paid and was not sent: nothing can come back of it." }
        } @else {
            p { "Say what became of each piece, what you gave back, or both. All of it is stored together." }
            form method="post" action=(path) novalidate {
                (once_field(&key))
                @if !sent.is_empty() {
                    fieldset {
                        legend { "Pieces" }
                        @for piece in &sent { (line(piece_field(piece), false)) }
                    }
                } @else { p { "The buyer has no pieces of it." } }
                fieldset {
                    legend { "Money" }
                    (line(Field::optional("refund", "Given back, without tax", "", Kind::Money), false))
                    @match order.tax {
                        books::BuyerTax::None => {},
                        books::BuyerTax::ByVenue(_) | books::BuyerTax::ByMe(_) => (line(Field::optional("tax", "Sales tax given back with it", "", Kind::Money), false)),
                    }
                    @if order.lines.len() > 1 { (line(Field::optional("listing", "What it is for", "", Kind::OneOf(listings)), false)) }
                    (line(purse_field("from", "What pays it", Purse::Platform), false))
                }
                (line(day_field("day", "On", &format!("Left out, today, {today}."), true), false))
                (line(Field::optional("note", "Anything to remember", "", Kind::Measure), true))
                div.actions { button type="submit" { "Enter it" } a.quiet href={ "/orders/" (number) } { "Leave it" } }
            }
        }
        p { a href={ "/orders/" (number) } { "Back to the order" } }
    };
    checked(&app.page(&format!("What came back of order {number}"), &path, body).with_mistakes(mistakes))
}
