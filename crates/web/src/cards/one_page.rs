//! One rate card: what it holds for, its prices asked for a parcel, using it from a day on, striking it out.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Response};
use jiff::civil::Date;
use keeping::{PriceAsked, RateCard, card_in_use, card_of, price_by};
use maud::{Markup, html};
use measure::Units;
use shop::{HistoryRow, RateCardText, Record};

use super::taking::newest;
use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::refusal::nowhere;
use crate::shopdoor::NoAnswer;

/// What is said when another window was quicker.
const CHANGED: &str = "This card was taken in anew while you had it open, and nothing was struck out. Look at it, and strike it out again if you still want to";

/// A card as its page shows it.
struct Shown {
    /// Its number, where it is the person's own.
    number: Option<u64>,
    name: String,
    card: Result<RateCard, String>,
    used: String,
    history: Vec<HistoryRow>,
    /// Nothing is left of it but what happened to it.
    is_gone: bool,
}

pub(super) async fn published(
    State(app): State<App>,
    Path(id): Path<String>,
    Posted(filled): Posted,
) -> Response {
    match of_program(&app, &id).await {
        Ok(Some(shown)) => page(&app, &shown, &filled, Mistakes::default()),
        Ok(None) => nowhere().await.into_response(),
        Err(page) => page,
    }
}

pub(super) async fn own(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    match of_own(&app, number).await {
        Ok(shown) => page(&app, &shown, &filled, Mistakes::default()),
        Err(page) => page,
    }
}

async fn of_program(app: &App, id: &str) -> Result<Option<Shown>, Response> {
    let Some(card) = RateCard::by_id(id) else { return Ok(None) };
    let today = app.now().day;
    let used = app.read_shop(move |shop, _| Ok(card_in_use(shop, today)?)).await?;
    let name = card.id().to_owned();
    Ok(Some(Shown { number: None, name, card: Ok(card), used, history: Vec::new(), is_gone: false }))
}

async fn of_own(app: &App, number: u64) -> Result<Shown, Response> {
    let today = app.now().day;
    app.read_shop(move |shop, _| {
        let history = shop.history(Record::RateCard, number)?;
        let used = card_in_use(shop, today)?;
        let (name, card, is_gone) = match shop.noted_one::<RateCardText>(number) {
            Ok(record) => (record.name.clone(), card_of(&record).map_err(|why| why.to_string()), false),
            Err(_) if !history.is_empty() => {
                (format!("card {number}"), Err(String::from("It was struck out")), true)
            }
            Err(why) => return Err(why.into()),
        };
        Ok(Shown { number: Some(number), name, card, used, history, is_gone })
    })
    .await
}

/// The page of a card by its name, with what was wrong with a form of it.
pub(super) async fn named(app: &App, name: &str, filled: &Filled, mistakes: &Mistakes) -> Response {
    match of_program(app, name).await {
        Ok(Some(shown)) => return page(app, &shown, filled, mistakes.clone()),
        Ok(None) => {}
        Err(page) => return page,
    }
    let wanted = name.to_owned();
    let number = app
        .read_shop(move |shop, _| {
            let all = shop.noted::<RateCardText>()?.into_iter();
            Ok(all.into_iter().find(|(_, one)| one.name == wanted).map(|(number, _)| number))
        })
        .await;
    match number {
        Ok(Some(number)) => match of_own(app, number).await {
            Ok(shown) => page(app, &shown, filled, mistakes.clone()),
            Err(page) => page,
        },
        Ok(None) => nowhere().await.into_response(),
        Err(page) => page,
    }
}

pub(super) async fn strike(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let since = filled.text("seen").unwrap_or("").to_owned();
    let stored = app
        .write_shop(&filled, "", "/rate-cards", &mut mistakes, move |shop, _, stamp| {
            shop.noted_one::<RateCardText>(number)?;
            if newest(shop, number)? != since {
                return Err(NoAnswer::Stop(keeping::Stop::input(CHANGED)));
            }
            keeping::strike_card(shop, stamp, number)?;
            Ok(String::from("/rate-cards"))
        })
        .await;
    if let Some(done) = stored {
        return done;
    }
    match of_own(&app, number).await {
        Ok(shown) => page(&app, &shown, &Filled::default(), mistakes),
        Err(page) => page,
    }
}

fn page(app: &App, shown: &Shown, filled: &Filled, mut mistakes: Mistakes) -> Response {
    let today = app.now().day;
    let asks = ["weight", "size", "zone", "day"].iter().any(|field| filled.text(field).is_some());
    let priced = match (&shown.card, asks) {
        (Ok(card), true) => Some(answer(card, filled, today, &mut mistakes)),
        (Ok(_) | Err(_), _) => None,
    };
    let at = match shown.number {
        Some(number) => format!("/rate-cards/own/{number}"),
        None => format!("/rate-cards/published/{}", shown.name),
    };
    let body = html! {
        @match &shown.card {
            Err(why) => p.caution { (why) "." },
            Ok(card) => {
                (facts(card, shown.name == shown.used))
                section aria-labelledby="price" {
                    h2 #price { "Ask it a price" }
                    @if let Some(priced) = priced { (priced) }
                    form method="get" action={ (at) "#price" } novalidate {
                        @let fields = fields(today);
                        @for (k, field) in fields.iter().enumerate() { (draw(field, filled, &mistakes, k + 1 == fields.len())) }
                        div.actions { button type="submit" { "What it costs" } }
                    }
                }
                section aria-labelledby="use" {
                    h2 #use { "Use it" }
                    form method="post" action="/rate-cards/use" novalidate {
                        (once_field(&app.form_key().unwrap_or_default()))
                        input type="hidden" name="card" value=(shown.name);
                        (draw(&from_field(today), filled, &mistakes, true))
                        div.actions { button type="submit" { "Use it from then on" } }
                    }
                }
            }
        }
        @match (shown.number, shown.is_gone) {
            (Some(number), false) => { (changes(app, shown, number)) },
            (Some(_), true) => { (past(&shown.history)) },
            (None, _) => {}
        }
        p { a href="/rate-cards" { "Other rate cards" } }
        (super::help())
    };
    let title = format!("Rate card: {}", super::called(&shown.name));
    checked(&app.page(&title, "/settings/rate-cards", body).with_mistakes(&mistakes))
}

fn fields(today: Date) -> [Field; 4] {
    [
        Field::needed("weight", "Weight of the parcel", "2 lb 3 oz; a bare figure is ounces.", Kind::Measure),
        Field::needed("size", "Its outside", "12 x 10 x 8 in", Kind::Measure),
        Field::needed("zone", "Zone", "1 is near, 8 or 9 far.", Kind::Whole),
        Field::optional("day", "Day it is mailed", &format!("Left out, today, {today}."), Kind::Measure),
    ]
}

fn from_field(today: Date) -> Field {
    Field::optional(
        "from",
        "From which day on",
        &format!("Left out, from today, {today}. What is used until then stays."),
        Kind::Measure,
    )
}

fn facts(card: &RateCard, used: bool) -> Markup {
    let units = Units::UsCustomary;
    let zones = card.zones();
    html! {
        p.verdict { (card.service()) ", " (card.class()) "." @if used { " Parcels go by it now." } }
        dl.words {
            div { dt { "Holds" } dd { (super::holds(card)) } }
            div { dt { "Parcels up to" } dd {
                (card.weight_limit().write(units))
                @if let Some(limit) = card.length_plus_girth_limit() { ", length and girth together up to " (limit.write(units)) }
            } }
            div { dt { "Zones" } dd { "1 to " (zones) } }
            div { dt { "Prices in" } dd { (card.currency()) } }
            div { dt { "Source" } dd { (card.source()) } }
        }
        @if let Some(check) = card.check_line() { p { (check) } }
        @for warning in card.warnings() { p.caution { (warning) } }
    }
}

/// What a parcel costs by the card, or mistakes.
fn answer(card: &RateCard, filled: &Filled, today: Date, mistakes: &mut Mistakes) -> Markup {
    filled.needed("weight", "Say what the parcel weighs, for example: 2 lb 3 oz", mistakes);
    filled.needed("size", "Say its three sides, for example: 12 x 10 x 8 in", mistakes);
    filled.needed("zone", "Say the zone, from 1 to 9", mistakes);
    let gross = filled.mass("weight", mistakes);
    let outside = filled.text("size").and_then(|text| match keeping::three_sides(text) {
        Ok(sides) => Some(sides),
        Err(why) => {
            mistakes.add("size", why);
            None
        }
    });
    let zone = filled.whole("zone", 1..=9, mistakes);
    let day = crate::day_and_purse::day_or_today(filled, "day", today, mistakes);
    let (Some(gross), Some(outside), Some(zone), Some(day)) = (gross, outside, zone, day) else {
        return html! {};
    };
    let quote = match price_by(card, &PriceAsked { gross, outside, zone, day }) {
        Ok(quote) => quote,
        Err(why) => return html! { p.caution { "It has no price for this: " (why) "." } },
    };
    html! {
        p.verdict { (quote.total) ", billed as " (quote.billed_row) "." }
        @for caution in &quote.cautions { p.caution { (caution) } }
        details open {
            summary { "How this was reckoned" }
            ul { @for step in &quote.steps { li { (step) } } }
            p { "Source: " (card.source()) "." }
        }
    }
}

fn changes(app: &App, shown: &Shown, number: u64) -> Markup {
    let last = shown.history.last().map_or_else(String::new, |row| row.event.0.to_string());
    html! {
        section aria-labelledby="change" {
            h2 #change { "Change it" }
            div.actions { a.quiet href={ "/rate-cards/own/" (number) "/anew" } { "Take it in anew" } }
            details {
                summary { "Strike it out" }
                form method="post" action={ "/rate-cards/own/" (number) "/strike" } {
                    (once_field(&app.form_key().unwrap_or_default()))
                    input type="hidden" name="seen" value=(last);
                    p { "A card that parcels go by, or are to go by, can't be struck out. What happened to it is kept." }
                    button.quiet type="submit" { "Strike it out" }
                }
            }
            (past(&shown.history))
        }
    }
}

fn past(history: &[HistoryRow]) -> Markup {
    let lines = (0..).zip(history).map(|(k, row): (usize, &HistoryRow)| {
        let words = match (k, row.entered.get("entered").is_some_and(|entered| entered.is_object())) {
            (0, _) => "read in",
            (_, true) => "taken in anew",
            (_, false) => "struck out",
        };
        (row.at.chars().take(10).collect::<String>(), words)
    });
    html! {
        details {
            summary { "What happened to it" }
            ol { @for (when, words) in lines { li { (when) ": " (words) } } }
        }
    }
}
