//! One venue: its terms, changing them, striking it out, what happened to it.

use axum::extract::{Path, State};
use axum::response::Response;
use keeping::{venue_file, venue_terms};
use listing::Venues;
use maud::{Markup, html};
use measure::Money;
use shop::{HistoryRow, Record, Venue};

use super::{fields, past};
use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// An order that a fee is shown for: price and shipping, cents (judgement: a lot of a few cups).
const EXAMPLE: (i64, i64) = (3000, 950);

/// What the page is made from; no venue where it was struck out.
struct Seen {
    venue: Option<Venue>,
    history: Vec<HistoryRow>,
}

async fn seen(app: &App, number: u64) -> Result<Seen, Response> {
    app.read_shop(move |shop, _| {
        let history = shop.history(Record::Venue, number)?;
        let venue = shop.noted_one::<Venue>(number);
        match venue {
            Ok(venue) => Ok(Seen { venue: Some(venue), history }),
            Err(_) if !history.is_empty() => Ok(Seen { venue: None, history }),
            Err(why) => Err(why.into()),
        }
    })
    .await
}

/// The number of the last thing that happened to it.
fn last(history: &[HistoryRow]) -> String {
    history.last().map_or_else(String::new, |row| row.event.0.to_string())
}

/// The form as the venue stands.
fn stands(venue: &Venue) -> Filled {
    match venue_terms(venue) {
        Some(terms) => fields::filled(&venue.name, &terms),
        None => match Venues::published().find(&venue.name) {
            Ok(terms) => fields::filled(&venue.name, terms).with("source", "").with("flag", "published"),
            Err(_) => Filled::default().with("name", venue.name.as_str()).with("flag", "published"),
        },
    }
}

pub(super) async fn show(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let seen = match seen(&app, number).await {
        Ok(seen) => seen,
        Err(page) => return page,
    };
    let filled = seen.venue.as_ref().map_or_else(Filled::default, stands);
    let newest = last(&seen.history);
    page(&app, number, &seen, &filled, &Mistakes::default(), &newest)
}

/// What is said when another window was quicker.
const CHANGED: &str = "This venue changed while you had it open, and nothing was stored";

pub(super) async fn change(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let told = filled.text("seen").unwrap_or("").to_owned();
    if let Some(venue) = fields::read(&filled, &mut mistakes) {
        let (back, since) = (format!("/venues/{number}"), told.clone());
        let done = back.clone();
        let stored = app
            .write_shop(&filled, "name", &back, &mut mistakes, move |shop, _, stamp| {
                unchanged(shop, number, &since)?;
                keeping::put_terms(shop, stamp, Some(number), &venue)?;
                Ok(done)
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    anew(&app, number, &filled, mistakes, &told).await
}

/// That nothing happened to the venue since a page of it was opened.
fn unchanged(shop: &shop::Shop, number: u64, since: &str) -> Result<(), NoAnswer> {
    // One that isn't there is said first.
    shop.noted_one::<Venue>(number)?;
    if last(&shop.history(Record::Venue, number)?) == since {
        Ok(())
    } else {
        Err(NoAnswer::Stop(keeping::Stop::input(CHANGED)))
    }
}

/// The page again after a form of it was refused.
async fn anew(app: &App, number: u64, filled: &Filled, mut mistakes: Mistakes, told: &str) -> Response {
    let seen = match seen(app, number).await {
        Ok(seen) => seen,
        Err(page) => return page,
    };
    let mut shown = told.to_owned();
    if mistakes.iter().any(|(_, message)| message == CHANGED) {
        // What changed is said, and the form sent again is then meant so.
        mistakes = Mistakes::default();
        mistakes.add("", format!("{CHANGED}. {}", meanwhile(&seen.history, told)));
        shown = last(&seen.history);
    }
    page(app, number, &seen, filled, &mistakes, &shown)
}

/// What happened since the form was opened.
fn meanwhile(history: &[HistoryRow], since: &str) -> String {
    let since = since.parse::<i64>().unwrap_or(i64::MAX);
    let news = history.iter().zip(past::told(history)).filter(|(row, _)| row.event.0 > since);
    let words: Vec<String> = news.map(|(_, (when, words))| format!("{when}: {words}")).collect();
    let words = if words.is_empty() { String::from("look at what happened below") } else { words.join("; ") };
    format!("Meanwhile {words}. What you typed is kept: look at it, and store it again if it still holds")
}

pub(super) async fn strike(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let told = filled.text("seen").unwrap_or("").to_owned();
    let since = told.clone();
    let stored = app
        .write_shop(&filled, "", "/venues", &mut mistakes, move |shop, _, stamp| {
            unchanged(shop, number, &since)?;
            keeping::strike_venue(shop, stamp, number)?;
            Ok(String::from("/venues"))
        })
        .await;
    if let Some(done) = stored {
        return done;
    }
    let filled = match seen(&app, number).await {
        Ok(seen) => seen.venue.as_ref().map_or_else(Filled::default, stands),
        Err(page) => return page,
    };
    anew(&app, number, &filled, mistakes, &told).await
}

fn page(app: &App, number: u64, seen: &Seen, filled: &Filled, mistakes: &Mistakes, last: &str) -> Response {
    let at = format!("/venues/{number}");
    let body = html! {
        @match &seen.venue {
            None => p { "It was struck out. " a href="/venues" { "Other venues" } },
            Some(venue) => {
                (terms(venue))
                section aria-labelledby="change" {
                    h2 #change { @if venue_file(venue).is_some() { "Change its terms" } @else { "Say its terms" } }
                    form method="post" action=(at) novalidate {
                        (once_field(&app.form_key().unwrap_or_default()))
                        input type="hidden" name="seen" value=(last);
                        @let fields = fields::fields();
                        @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
                        div.actions { button type="submit" { "Store it" } a.quiet href="/venues" { "Back to the venues" } }
                    }
                }
                details {
                    summary { "Strike it out" }
                    form method="post" action={ (at) "/strike" } {
                        (once_field(&app.form_key().unwrap_or_default()))
                        input type="hidden" name="seen" value=(last);
                        p { "It can be struck out as long as nothing was listed or sold there. What happened to it is kept." }
                        button.quiet type="submit" { "Strike it out" }
                    }
                }
                @if let Some(file) = venue_file(venue) {
                    details {
                        summary { "As a file" }
                        p { "For the terminal, or to keep elsewhere." }
                        pre tabindex="0" role="region" aria-label="The venue as a file" { (file) }
                    }
                }
            }
        }
        details open[seen.venue.is_none()] {
            summary { "What happened to it" }
            ol { @for (when, words) in past::told(&seen.history) { li { (when) ": " (words) } } }
        }
        (super::help())
    };
    let title = match &seen.venue {
        Some(venue) => format!("Venue: {}", venue.name),
        None => format!("Venue {number}"),
    };
    checked(&app.page(&title, "/listings/venues", body).with_mistakes(mistakes))
}

fn terms(venue: &Venue) -> Markup {
    let Some(terms) = venue_terms(venue) else {
        return html! {
            p.caution {
                @if Venues::published().find(&venue.name).is_ok() {
                    "Its terms are the made-up ones that come with the program, until you say its own."
                } @else {
                    "Its terms aren't known: the usual venue's stand for them until you say them."
                }
            }
        };
    };
    let (price, shipping) = (Money::from_cents(EXAMPLE.0), Money::from_cents(EXAMPLE.1));
    let rule = trade::Market::usual(terms.clone()).fees();
    let (none, alone) = (Money::ZERO, selling::FeeRule { fixed: Money::ZERO, ..rule });
    let (on_price, on_shipping) = (alone.fee(price, none, none), alone.fee(none, shipping, none));
    html! {
        p.verdict { (super::fees(&terms)) "." }
        p {
            "Titles of up to " (terms.title_limit) " characters, up to " (terms.photo_limit) " pictures"
            @if let Some(limit) = terms.description_limit { ", descriptions of up to " (limit) " characters" }
            ". " @if terms.offers { "A buyer may offer less. " } @else { "Offers are not taken. " }
            @match terms.sales_tax_by {
                listing::TaxBy::Venue => "The venue sends the sales tax to the state.",
                listing::TaxBy::Seller => "You send the sales tax to the state.",
            }
        }
        p { "Source: " (terms.source) " (" (terms.flag.word()) ")." }
        details {
            summary { "What it takes of an order" }
            table.figures {
                caption { "Of a lot at " (price) " with " (shipping) " of shipping, without sales tax" }
                tbody {
                    tr { th scope="row" { (terms.fee_on_item) " of the price" } td.num { (on_price) } }
                    tr { th scope="row" { (terms.fee_on_shipping) " of the shipping" } td.num { (on_shipping) } }
                    tr { th scope="row" { "Once an order" } td.num { (terms.fixed_fee) } }
                    tr.sum { th scope="row" { "In all" } td.num { (rule.fee(price, shipping, none)) } }
                }
            }
        }
    }
}
