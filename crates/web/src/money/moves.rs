//! Money that moves by itself: expenses, trips, income, what is put in and taken out.

use axum::extract::State;
use axum::response::Response;
use books::{Expense, HaulId, OrderId, Purse, TripUse};
use keeping::Desk;
use maud::html;
use shop::{MoneyMoved, Movement, Shop, Stamp};

use crate::App;
use crate::day_and_purse::{purse, purse_field};
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;

/// What it was for: the value, and the words.
const WHATS: [(&str, &str); 17] = [
    ("other", "Other expense"),
    ("fee", "Selling or payment fee"),
    ("advertising", "Advertising"),
    ("postage", "Postage charged afterwards (with the order)"),
    ("office", "Office supplies"),
    ("insurance", "Insurance"),
    ("parking", "Parking and tolls"),
    ("taxes", "Taxes and licences"),
    ("equipment", "Equipment that lasts over a year"),
    ("haul", "A haul that cost more afterwards (with the haul)"),
    ("trip", "Miles driven for business"),
    ("payout", "The venue paid out"),
    ("income", "Other income"),
    ("put in", "Own money put in"),
    ("take out", "Taken out for oneself"),
    ("sales tax", "Sales tax remitted by you"),
    ("commuting", "Miles that don't count"),
];

fn fields() -> [Field; 8] {
    let whats = Kind::OneOf(WHATS.iter().map(|(value, words)| Choice::new(value, words)).collect());
    [
        Field::needed("what", "What it was", "", whats),
        Field::optional("amount", "Amount", "12.50; for a trip leave it out.", Kind::Money),
        Field::optional("miles", "Miles", "For a trip.", Kind::Code),
        purse_field("purse", "Paid with, or received into", Purse::Cash),
        Field::optional("day", "Day", "Left out, today.", Kind::Code),
        Field::optional("order", "For order", "Its number: fees, advertising, postage.", Kind::Whole),
        Field::optional("haul", "For haul", "Its number.", Kind::Whole),
        Field::optional("note", "Note, or purpose of a trip", "", Kind::Words { known: Vec::new() }),
    ]
}

pub(super) async fn ask(State(app): State<App>) -> Response {
    page(&app, &Filled::default(), &Mistakes::default())
}

fn page(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let fields = fields();
    let body = html! {
        p { "Orders, hauls and supplies enter their own money. This is for the rest." }
        form method="post" action="/books/moves" novalidate {
            @if let Ok(key) = app.form_key() { (once_field(&key)) }
            @for (k, field) in fields.iter().enumerate() {
                (draw(field, filled, mistakes, k + 1 == fields.len()))
            }
            div.actions { button type="submit" { "Enter it" } a.quiet href="/books" { "Books" } }
        }
    };
    checked(&app.page("Enter an expense, trip or income", "/books/moves", body).with_mistakes(mistakes))
}

pub(super) async fn take(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let date = crate::day_and_purse::day_or_today(&filled, "day", today, &mut mistakes);
    let movement = movement(&filled, &mut mistakes);
    let purse = purse(&filled, "purse", Purse::Cash, &mut mistakes);
    if let (Some(date), Some(movement), true) = (date, movement, mistakes.is_empty()) {
        let note = match movement {
            Movement::Trip { .. } => String::new(),
            _ => filled.text("note").unwrap_or_default().to_owned(),
        };
        let moved = MoneyMoved { date, purse, movement, note };
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            shop.move_money(stamp, &moved)?;
            Ok(String::from("/books/entries"))
        };
        if let Some(done) = app.write_shop(&filled, "amount", "/books/entries", &mut mistakes, work).await {
            return done;
        }
    }
    page(&app, &filled, &mistakes)
}

fn movement(filled: &Filled, mistakes: &mut Mistakes) -> Option<Movement> {
    let what = filled.text("what").unwrap_or("other");
    let order = filled.whole("order", 1..=u32::MAX, mistakes).map(|number| OrderId(u64::from(number)));
    let haul = filled.whole("haul", 1..=u32::MAX, mistakes).map(|number| HaulId(u64::from(number)));
    let is_trip = matches!(what, "trip" | "commuting");
    // What is typed and not taken would be lost without a word.
    if is_trip && filled.text("amount").is_some() {
        mistakes.add(
            "amount",
            "a trip has miles and no amount; right would be nothing here (tolls are an entry of their own)",
        );
    }
    if !is_trip && filled.text("miles").is_some() {
        mistakes.add("miles", "only a trip has miles; right would be nothing here, or a trip chosen above");
    }
    if is_trip {
        let miles = filled.needed("miles", "how many miles is missing; right would be: 12.5", mistakes)?;
        let Some(miles) = crate::quantities::miles(miles) else {
            let typed = crate::form::short(miles);
            mistakes.add("miles", format!("\"{typed}\" is no number of miles; right would be: 12.5"));
            return None;
        };
        let purpose = filled.needed(
            "note",
            "what the trip was for is missing; right would be: post office",
            mistakes,
        )?;
        let counts = if what == "trip" { TripUse::Business } else { TripUse::Commuting };
        return Some(Movement::Trip { hundredths: miles.hundredths(), purpose: purpose.to_owned(), counts });
    }
    let amount = filled.money("amount", mistakes);
    if filled.text("amount").is_none() {
        mistakes.add("amount", "the amount is missing; right would be: 12.50");
    }
    let amount = amount?;
    let expense = |what| Some(Movement::Expense { what, amount });
    match what {
        "fee" | "advertising" => Some(Movement::Fee { order, amount, advertising: what == "advertising" }),
        "postage" => match order {
            Some(order) => Some(Movement::PostageAdjusted { order, amount, back: false }),
            None => {
                mistakes.add("order", "the order is missing; right would be its number");
                None
            }
        },
        "haul" => match haul {
            Some(haul) => Some(Movement::HaulAdjusted { haul, amount, back: false }),
            None => {
                mistakes.add("haul", "the haul is missing; right would be its number");
                None
            }
        },
        "office" => expense(Expense::Office),
        "insurance" => expense(Expense::Insurance),
        "parking" => expense(Expense::ParkingAndTolls),
        "taxes" => expense(Expense::TaxesAndLicences),
        "equipment" => expense(Expense::Equipment),
        "payout" => Some(Movement::Payout { amount }),
        "income" => Some(Movement::OtherIncome { amount }),
        "put in" => Some(Movement::OwnerPutIn { amount }),
        "take out" => Some(Movement::OwnerTookOut { amount }),
        "sales tax" => Some(Movement::TaxRemitted { amount }),
        _ => expense(Expense::Other),
    }
}
