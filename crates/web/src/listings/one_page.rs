//! One listing: how it stands, changing it, what happened to it.

use axum::extract::{Path, State};
use axum::response::Response;
use books::LotId;
use maud::{Markup, html};
use shop::{HistoryRow, ListingIn, ListingState, Record};

use super::{fields, past};
use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::count;
use crate::shopdoor::NoAnswer;

/// What the page is made from.
struct Seen {
    state: ListingState,
    holds: Vec<(u64, String)>,
    history: Vec<HistoryRow>,
    venues: Vec<String>,
    venue: Option<String>,
}

async fn seen(app: &App, listing: u64) -> Result<Seen, Response> {
    app.read_shop(move |shop, _| {
        let state = shop.listing(LotId(listing))?;
        let holds = super::holds(shop, &state)?;
        let history = shop.history(Record::Listing, listing)?;
        let venues = fields::venues(shop)?;
        let venue = state.entered.venue.map(|number| shop.noted_one::<shop::Venue>(number)).transpose()?;
        Ok(Seen { state, holds, history, venues, venue: venue.map(|one| one.name) })
    })
    .await
}

impl Seen {
    /// The number of the last thing that happened to it.
    fn last(&self) -> String {
        self.history.last().map_or_else(String::new, |row| row.event.0.to_string())
    }

    /// The form as the listing stands.
    fn filled(&self) -> Filled {
        let entered = &self.state.entered;
        Filled::default()
            .with("title", entered.title.as_str())
            .with("lots", entered.lots.to_string())
            .with("price", entered.price.write())
            .with("floor", entered.floor.map_or_else(String::new, measure::Money::write))
            .with("venue", self.venue.clone().unwrap_or_default())
            .with(
                "grade",
                keeping::grade_of(&entered.card).map_or_else(String::new, |grade| format!("{grade:?}")),
            )
            .with("state", if entered.ended { "over" } else { "up" })
    }
}

pub(super) async fn show(State(app): State<App>, Path(listing): Path<u64>) -> Response {
    match seen(&app, listing).await {
        Ok(seen) => page(&app, &seen, &seen.filled(), &Mistakes::default(), &seen.last()),
        Err(page) => page,
    }
}

pub(super) async fn change(
    State(app): State<App>,
    Path(listing): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let mut before = match seen(&app, listing).await {
        Ok(seen) => seen,
        Err(page) => return page,
    };
    let read = fields::read_offered(&filled, true, &mut mistakes);
    let told = filled.text("seen").unwrap_or("").to_owned();
    if let (Some(read), true) = (read, mistakes.is_empty()) {
        let (ended, last) = (filled.text("state") == Some("over"), told.clone());
        let back = format!("/listings/{listing}");
        let done = back.clone();
        let stored = app
            .write_shop(&filled, "lots", &back, &mut mistakes, move |shop, _, stamp| {
                let history = shop.history(Record::Listing, listing)?;
                let newest = history.last().map_or_else(String::new, |row| row.event.0.to_string());
                if newest != last {
                    return Err(NoAnswer::Stop(keeping::Stop::input(CHANGED)));
                }
                let state = shop.listing(LotId(listing))?;
                let anew = ListingIn {
                    card: read.card(state.entered.card.clone()),
                    venue: None,
                    title: read.title.unwrap_or(state.entered.title),
                    lots: read.lots,
                    price: read.price,
                    floor: read.floor,
                    ended,
                    ..state.entered
                };
                keeping::put_listing(shop, stamp, Some(LotId(listing)), anew, read.venue.as_deref())?;
                Ok(done)
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
        before = match seen(&app, listing).await {
            Ok(seen) => seen,
            Err(page) => return page,
        };
    }
    let mut shown = told;
    if mistakes.of("lots") == Some(CHANGED) {
        // What changed is said, and the form sent again is then meant so.
        mistakes = Mistakes::default();
        mistakes.add("", format!("{CHANGED}. {}", meanwhile(&before, &shown)));
        shown = before.last();
    }
    page(&app, &before, &filled, &mistakes, &shown)
}

/// What is said when another window was quicker.
const CHANGED: &str = "This listing changed while you had it open, and nothing was stored";

/// What happened since the form was opened.
fn meanwhile(seen: &Seen, since: &str) -> String {
    let since = since.parse::<i64>().unwrap_or(i64::MAX);
    let told = past::told(&seen.history);
    let news = seen.history.iter().zip(told).filter(|(row, _)| row.event.0 > since);
    let words: Vec<String> = news.map(|(_, (when, words))| format!("{when}: {words}")).collect();
    let words = if words.is_empty() { String::from("look at what happened below") } else { words.join("; ") };
    format!("Meanwhile {words}. What you typed is kept: look at it, and store it again if it still holds")
}

fn page(app: &App, seen: &Seen, filled: &Filled, mistakes: &Mistakes, last: &str) -> Response {
    let (state, id) = (&seen.state, seen.state.id);
    let at = format!("/listings/{id}");
    let offered = fields::offered(&seen.venues, true);
    let body = html! {
        p { (state.entered.title) }
        p.verdict { (super::stands(state)) }
        p {
            (count(state.entered.lots, "lot")) " at " (state.entered.price)
            @if let Some(floor) = state.entered.floor { ", no offer under " (floor) }
            @if let (Some(venue), Some(number)) = (&seen.venue, state.entered.venue) { ", at " a href={ "/venues/" (number) } { (venue) } }
            ", since " (state.entered.listed_on) "."
        }
        ul {
            @for (find, words) in &seen.holds {
                li { (words) ": " a href={ "/finds/" (find) "/worth" } { "what it is worth" span.unseen { " (find " (find) ")" } } }
            }
        }
        div.actions {
            a.button href={ (at) "/card" } { "The card to copy" }
            @if let Some(split) = state.entered.card.get("split").and_then(serde_json::Value::as_u64) {
                a.quiet href={ "/listings/new?split=" (split) } { "The other lots of its split" }
            }
        }
        section aria-labelledby="change" {
            h2 #change { "Change it" }
            form method="post" action=(at) novalidate {
                (once_field(&app.form_key().unwrap_or_default()))
                input type="hidden" name="seen" value=(last);
                @for field in &offered { (draw(field, filled, mistakes, false)) }
                (draw(&fields::state(), filled, mistakes, true))
                div.actions { button type="submit" { "Store it" } }
            }
        }
        (happened(seen))
        (super::help())
    };
    let title = format!("Listing {id}");
    checked(&app.page(&title, &at, body).with_mistakes(mistakes))
}

fn happened(seen: &Seen) -> Markup {
    html! {
        details {
            summary { "What happened to it" }
            ol { @for (when, words) in past::told(&seen.history) { li { (when) ": " (words) } } }
        }
    }
}
