//! The entries of the books: the latest first; a wrong one is taken back by another, and both stay.

use axum::extract::{Path, Query, State};
use axum::response::Response;
use books::{Entry, EntryId, Memo, Side, TripUse};
use keeping::Desk;
use maud::{Markup, html};
use serde::Deserialize;
use shop::{Shop, Stamp};

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;

/// Entries on one page.
const ON_A_PAGE: usize = 50;

#[derive(Deserialize)]
pub(super) struct From {
    before: Option<u64>,
}

pub(super) async fn list(State(app): State<App>, Query(from): Query<From>) -> Response {
    let before = from.before.unwrap_or(u64::MAX);
    let found = app
        .read_shop(move |shop, _| {
            let books = shop.books()?;
            let upto = books.entries().partition_point(|entry| entry.id().0 < before);
            let older = books.entries().iter().take(upto).rev();
            let some: Vec<(Entry, Option<EntryId>)> = older
                .take(ON_A_PAGE + 1)
                .map(|entry| (entry.clone(), books.correction_of(entry.id())))
                .collect();
            Ok(some)
        })
        .await;
    let mut entries = match found {
        Ok(entries) => entries,
        Err(page) => return page,
    };
    let more = entries.len() > ON_A_PAGE;
    entries.truncate(ON_A_PAGE);
    let body = html! {
        p { "Every entry has two sides of one sum. Nothing is changed or deleted: what was wrong is taken back by another entry." }
        @if entries.is_empty() { p { "No entries." } }
        @for (entry, corrected) in &entries { (one(entry, *corrected)) }
        @if let (true, Some((last, _))) = (more, entries.last()) {
            p { a href={ "/books/entries?before=" (last.id()) } { "Older entries" } }
        }
        p { a href="/books" { "Books" } }
    };
    checked(&app.page("Entries of the books", "/books/entries", body))
}

fn one(entry: &Entry, corrected: Option<EntryId>) -> Markup {
    html! {
        section.entry {
            h2 { "Entry " (entry.id()) ", " span.day { (entry.date()) } ": " (entry.kind()) }
            @if !entry.note().is_empty() { p { (entry.note()) } }
            @for memo in entry.memos() {
                @if let Memo::Trip(trip) = memo {
                    p { (trip.miles) @if trip.counts == TripUse::Commuting { " that don't count" } ": " (trip.purpose) }
                }
            }
            @if !entry.lines().is_empty() {
                table.figures {
                    thead { tr { th scope="col" { "Account" } th.num scope="col" { "Debit" } th.num scope="col" { "Credit" } } }
                    tbody {
                        @for line in entry.lines() {
                            tr {
                                th scope="row" { (line.account) }
                                td.num { @if line.side == Side::Debit { (line.amount) } }
                                td.num { @if line.side == Side::Credit { (line.amount) } }
                            }
                        }
                    }
                }
            }
            p {
                @if let Some(of) = entry.corrects() { "Takes back entry " (of) "." }
                @else if let Some(by) = corrected { "Taken back by entry " (by) "." }
                @else { a href={ "/books/entries/" (entry.id()) "/take-back" } { "Take back" span.unseen { " entry " (entry.id()) } } }
            }
        }
    }
}

pub(super) async fn ask_back(State(app): State<App>, Path(number): Path<u64>) -> Response {
    back_page(&app, number, &Filled::default(), &Mistakes::default()).await
}

async fn back_page(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let found = app
        .read_shop(move |shop, _| {
            let books = shop.books()?;
            let entry = books.entry(EntryId(number)).map_err(shop::ShopError::from)?.clone();
            Ok((entry.clone(), books.correction_of(entry.id())))
        })
        .await;
    let (entry, corrected) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let why = Field::needed("why", "Why", "Typed twice, wrong amount.", Kind::Words { known: Vec::new() });
    let body = html! {
        (one(&entry, corrected))
        form method="post" action={ "/books/entries/" (number) "/take-back" } novalidate {
            @if let Ok(key) = app.form_key() { (once_field(&key)) }
            (draw(&why, filled, mistakes, true))
            div.actions { button type="submit" { "Take it back" } a.quiet href="/books/entries" { "Leave it" } }
        }
    };
    let title = format!("Take back entry {number}");
    checked(&app.page(&title, "/books/entries/back", body).with_mistakes(mistakes))
}

pub(super) async fn take_back(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let why = filled.needed("why", "why is missing; right would be: typed twice", &mut mistakes);
    if let Some(why) = why.map(ToOwned::to_owned) {
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            shop.take_back(stamp, EntryId(number), today, &why)?;
            Ok(String::from("/books/entries"))
        };
        if let Some(done) = app.write_shop(&filled, "why", "/books/entries", &mut mistakes, work).await {
            return done;
        }
    }
    back_page(&app, number, &filled, &mistakes).await
}
