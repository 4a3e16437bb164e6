//! What happened, event by event: everything or of one record, and what was entered.

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use serde::Deserialize;
use shop::{EventId, LogRow, Record};

use crate::App;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, draw, short};
use crate::record_page::checked;
use crate::refusal::refusal;

/// Events of one page.
const ON_A_PAGE: u32 = 100;
/// Records named beside an event; an order of many lines is about as many pieces.
const MOST_ABOUT: usize = 6;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/history", get(show)).route("/history/{event}", get(one))
}

#[derive(Debug, Clone, Default, Deserialize)]
struct Asked {
    kind: Option<String>,
    number: Option<String>,
    before: Option<String>,
}

async fn show(State(app): State<App>, Query(asked): Query<Asked>) -> Response {
    let mut mistakes = Mistakes::default();
    let filled = Filled::default()
        .with("kind", asked.kind.unwrap_or_default())
        .with("number", asked.number.unwrap_or_default());
    let of = record_of(&filled, &mut mistakes);
    let before = match asked.before.as_deref().map(str::parse::<i64>) {
        None => None,
        Some(Ok(event)) => Some(EventId(event)),
        Some(Err(_)) => {
            mistakes.add("", "the address says no event to go back from; here are the latest");
            None
        }
    };
    // One more than is shown says whether there are earlier ones.
    let found = app.read_shop(move |shop, _| Ok(shop.log(of, before, ON_A_PAGE + 1)?)).await;
    let mut rows = match found {
        Ok(rows) => rows,
        Err(page) => return page,
    };
    let more = rows.len() > ON_A_PAGE as usize;
    rows.truncate(ON_A_PAGE as usize);
    let earlier = rows.last().filter(|_| more).map(|row| address(of, Some(row.event)));
    let body = html! {
        (asked_form(&filled, &mistakes))
        @if rows.is_empty() {
            @match of {
                Some((record, number)) => { p { "Nothing happened to " (record) " " (number) ": there is none of that number." } }
                None => { p { "Nothing happened yet. " a href="/hauls/new" { "Bring in a haul" } } }
            }
        } @else { (table(&rows)) }
        p.pages {
            @if before.is_some() { a.target href=(address(of, None)) { "The latest" } }
            @if let Some(earlier) = &earlier { a.target rel="next" href=(earlier) { "The " (ON_A_PAGE) " before these" } }
        }
        p { "Nothing here is ever changed or deleted: what was wrong is corrected by a later entry." }
        p { a href="/help#file" { "How to use this page" } }
    };
    checked(&app.page("What happened", "/history", body).with_mistakes(&mistakes))
}

/// The record that is asked for.
fn record_of(filled: &Filled, mistakes: &mut Mistakes) -> Option<(Record, u64)> {
    let word = filled.text("kind")?;
    let Some(record) = Record::ALL.iter().copied().find(|record| record.table() == word) else {
        mistakes
            .add("kind", format!("there is no kind of record \"{}\"; choose one of the list", short(word)));
        return None;
    };
    let text = filled.needed("number", &format!("say the number of the {record}"), mistakes)?;
    match text.parse::<u64>().ok().filter(|number| i64::try_from(*number).is_ok()) {
        Some(number) => Some((record, number)),
        None => {
            mistakes.add(
                "number",
                format!("\"{}\" is no number of a {record}; right would be one such as 3", short(text)),
            );
            None
        }
    }
}

fn asked_form(filled: &Filled, mistakes: &Mistakes) -> Markup {
    let mut kinds = vec![Choice::new("", "everything")];
    kinds.extend(Record::ALL.iter().map(|record| Choice::new(record.table(), record.word())));
    let fields = [
        Field::optional("kind", "Of", "", Kind::OneOf(kinds)),
        Field::optional("number", "Its number", "", Kind::Whole),
    ];
    html! {
        form.inline method="get" action="/history" {
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k == 1)) }
            button.quiet type="submit" { "Show" }
        }
    }
}

fn address(of: Option<(Record, u64)>, before: Option<EventId>) -> String {
    let of = of.map(|(record, number)| format!("kind={}&number={number}", record.table()));
    let before = before.map(|event| format!("before={event}"));
    let query: Vec<String> = of.into_iter().chain(before).collect();
    if query.is_empty() { String::from("/history") } else { format!("/history?{}", query.join("&")) }
}

fn table(rows: &[LogRow]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="What happened" {
            table {
                thead { tr { th.num scope="col" { "No." } th scope="col" { "When (UTC)" } th scope="col" { "What" } th scope="col" { "Of" } } }
                tbody {
                    @for row in rows {
                        tr {
                            th.num scope="row" { a href={ "/history/" (row.event) } { (row.event) } }
                            td { (when(row)) }
                            td { (what(row)) }
                            td { (about(row)) }
                        }
                    }
                }
            }
        }
    }
}

fn what(row: &LogRow) -> Markup {
    html! {
        (keeping::happened_in(row))
        @if let Some(before) = row.corrects { ", corrects " a href={ "/history/" (before) } { "number " (before) } }
    }
}

/// The records an event is about, those that a person knows by number first.
fn about(row: &LogRow) -> Markup {
    let mut about = row.about.clone();
    about.sort_by_key(|(record, number)| (place(*record).is_none(), *record, *number));
    let hidden = about.len().saturating_sub(MOST_ABOUT);
    html! {
        @for (k, (record, number)) in about.iter().take(MOST_ABOUT).enumerate() {
            @if k > 0 { ", " }
            @match place(*record) {
                Some(place) => { a href={ (place) (number) } { (record) " " (number) } }
                // The log's numbers and those of the books are two things.
                None => { @if *record == Record::Entry { "entry of the books " } @else { (record) " " } (number) }
            }
        }
        @if hidden > 0 { " and " (hidden) " more" }
    }
}

/// Where records of a kind are shown, by number.
const fn place(record: Record) -> Option<&'static str> {
    match record {
        Record::Haul => Some("/hauls/"),
        Record::Find => Some("/finds/"),
        Record::Listing => Some("/listings/"),
        Record::Order => Some("/orders/"),
        Record::Place
        | Record::Measurement
        | Record::Flaw
        | Record::Comp
        | Record::Split
        | Record::Attachment
        | Record::OrderLine
        | Record::Parcel
        | Record::Supply
        | Record::ComingBack
        | Record::Swap
        | Record::Claim
        | Record::Venue
        | Record::RateCard
        | Record::Setting
        | Record::Tuning
        | Record::Entry => None,
    }
}

fn when(row: &LogRow) -> String {
    let (day, clock) = (row.at.get(..10), row.at.get(11..16));
    day.zip(clock).map_or_else(|| row.at.clone(), |(day, clock)| format!("{day} {clock}"))
}

/// One event with all that was entered.
async fn one(State(app): State<App>, Path(event): Path<i64>) -> Response {
    let found = app.read_shop(move |shop, _| Ok(shop.logged(EventId(event))?)).await;
    let (row, entered) = match found {
        Ok(Some(found)) => found,
        Ok(None) => {
            let words = "What happened has numbers from 1 on; this one isn't among them.";
            return refusal(StatusCode::NOT_FOUND, "There is nothing of that number", words);
        }
        Err(page) => return page,
    };
    let pretty = serde_json::to_string_pretty(&entered).unwrap_or_default();
    let body = html! {
        p { (when(&row)) " UTC: " (what(&row)) }
        p { "Of: " (about(&row)) }
        h2 { "As it was entered" }
        p.hint { "Money in whole cents, lengths in micrometres, weights in milligrams." }
        pre tabindex="0" aria-label="As it was entered" { code { (pretty) } }
        p { a href="/history" { "All that happened" } }
    };
    checked(&app.page(&format!("What happened, number {event}"), "/history/entry", body))
}
