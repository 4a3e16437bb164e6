//! All rate cards, and which one is used from when on.

use axum::extract::State;
use axum::response::{IntoResponse as _, Response};
use jiff::civil::Date;
use keeping::{CardDay, Desk, RateCard, Stop, card_days, card_in_use, card_of};
use maud::{Markup, html};
use shop::{RateCardText, Shop, Stamp};

use super::one_page;
use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::record_page::checked;

struct Found {
    own: Vec<(u64, RateCardText)>,
    days: Vec<CardDay>,
    used: String,
}

pub(super) async fn show(State(app): State<App>) -> Response {
    page(&app, &Mistakes::default()).await
}

async fn page(app: &App, mistakes: &Mistakes) -> Response {
    let today = app.now().day;
    let found = app
        .read_shop(move |shop, _| {
            Ok(Found { own: shop.noted()?, days: card_days(shop)?, used: card_in_use(shop, today)? })
        })
        .await;
    let found = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let published = RateCard::published();
    let body = html! {
        p.verdict { "Parcels go by " (super::called(&found.used)) " now." }
        @if let Some(why) = doubt(&found, &published, today) { p.caution { (why) } }
        (later(app, &found.days, today))
        section aria-labelledby="own" {
            h2 #own { "Your own cards" }
            @if found.own.is_empty() {
                p { "None yet. Another carrier, or newer prices? Read its rules and prices in." }
            } @else {
                ul.plain {
                    @for (number, one) in &found.own {
                        li {
                            p {
                                a href={ "/rate-cards/own/" (number) } { (one.name) } ": "
                                @match card_of(one) {
                                    Ok(card) => { (line(&card)) },
                                    Err(why) => { (why.to_string()) "." }
                                }
                                @if one.name == found.used { " " strong { "In use." } }
                            }
                        }
                    }
                }
            }
            div.actions { a.button href="/rate-cards/new" { "Read a card in" } }
        }
        section aria-labelledby="published" {
            h2 #published { "Cards that come with the program" }
            ul.plain {
                @for card in &published {
                    li {
                        p {
                            a href={ "/rate-cards/published/" (card.id()) } { (super::called(card.id())) } ": " (line(card))
                            @if card.id() == found.used { " " strong { "In use." } }
                        }
                        p.hint { "Source: " (card.source()) "." }
                    }
                }
            }
        }
        (super::help())
    };
    checked(&app.page("Rate cards", "/settings/rate-cards", body).with_mistakes(mistakes))
}

fn line(card: &RateCard) -> String {
    format!("{}, {}; holds {}.", card.service(), card.class(), super::holds(card))
}

/// Why the card in use is doubtful on a day.
fn doubt(found: &Found, published: &[RateCard], today: Date) -> Option<String> {
    let own = found.own.iter().find(|(_, one)| one.name == found.used);
    let own = own.map(|(_, one)| card_of(one));
    let card = match (&own, published.iter().find(|card| card.id() == found.used)) {
        (Some(Ok(card)), _) | (None, Some(card)) => card,
        (Some(Err(why)), _) => return Some(format!("{why}.")),
        (None, None) => {
            return Some(String::from("There is no card of that name any more: choose another one below."));
        }
    };
    let to = card.effective_to()?;
    (today > to).then(|| format!("It held until {to}: read the newer prices in, and use them."))
}

/// What is used from later days on.
fn later(app: &App, days: &[CardDay], today: Date) -> Markup {
    html! {
        @if !days.is_empty() {
            section aria-labelledby="days" {
                h2 #days { "From a day on" }
                ul.plain {
                    @for one in days {
                        li {
                            form.beside-words method="post" action="/rate-cards/unuse" {
                                (once_field(&app.form_key().unwrap_or_default()))
                                input type="hidden" name="from" value=(one.from);
                                span { "From " (one.from) " on: " (super::called(&one.card)) @if one.from <= today { " (that day has come)" } }
                                button.quiet type="submit" { "Take it back" span.unseen { ": from " (one.from) } }
                            }
                        }
                    }
                }
                p.hint { "Setting post.card on the page Settings ends this." }
            }
        }
    }
}

/// Uses a card from a day on.
pub(super) async fn use_it(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let Some(name) = filled.text("card").map(str::to_owned) else {
        return crate::refusal::nowhere().await.into_response();
    };
    let from = crate::day_and_purse::day_or_today(&filled, "from", today, &mut mistakes);
    if let Some(from) = from {
        let card = name.clone();
        let work = move |shop: &mut Shop, desk: &Desk, stamp: &Stamp| {
            keeping::use_card(shop, desk, stamp, &card, from, today)?;
            Ok(String::from("/rate-cards"))
        };
        if let Some(done) = app.write_shop(&filled, "from", "/rate-cards", &mut mistakes, work).await {
            return done;
        }
    }
    one_page::named(&app, &name, &filled, &mistakes).await
}

/// Takes back that a card is used from a day on.
pub(super) async fn unuse(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let from = filled.text("from").and_then(|text| text.parse::<Date>().ok());
    let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
        let from = from.ok_or_else(|| Stop::input("that is no day; right would be one of the list"))?;
        keeping::unuse_card(shop, stamp, from)?;
        Ok(String::from("/rate-cards"))
    };
    match app.write_shop(&filled, "", "/rate-cards", &mut mistakes, work).await {
        Some(done) => done,
        None => page(&app, &mistakes).await,
    }
}
