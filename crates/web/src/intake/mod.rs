//! Tables in: what its rows are, which column is which, what would be stored and what not, and storing it.
//!
//! A table that was sent is held in memory under a key that can't be guessed, with what it comes to. What is stored
//! is what was shown: the form that stores names the preview it stands under, and an older one stores nothing.

mod held;
mod sent;
mod views;

use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use keeping::{Cells, DateOrder, IntakeError, IntakeOf, Reading, Remembered, look, remember, remembered};
use serde::Deserialize;
use shop::Stamp;

pub(crate) use held::HeldTables;
pub(crate) use sent::MOST_REQUEST;

use crate::App;
use crate::form::{Filled, Mistakes, Posted};
use crate::record_page::checked;
use crate::refusal::refusal;
use crate::shopdoor::NoAnswer;
use held::{Held, Outcome};
use sent::Sent;

/// The pages for what was sent.
pub(crate) fn routes() -> Router<App> {
    Router::new().route("/read/{key}", get(preview).post(mapped)).route("/read/{key}/store", post(store))
}

/// The page that a table is sent from and to; its requests are larger than any other's.
pub(crate) fn sending() -> Router<App> {
    Router::new().route("/read", get(ask).post(take)).layer(DefaultBodyLimit::disable())
}

async fn ask(State(app): State<App>) -> Response {
    match app.read_shop(|_, _| Ok(())).await {
        Ok(()) => asked(&app, &Filled::default(), &Mistakes::default()),
        Err(page) => page,
    }
}

fn asked(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    checked(&app.page("Read a table", "/read", views::sending(filled, mistakes)).with_mistakes(mistakes))
}

async fn take(State(app): State<App>, sent: Sent) -> Response {
    let Sent { filled, file } = sent;
    let mut mistakes = Mistakes::default();
    let of = IntakeOf::named(filled.typed("rows"));
    if of.is_none() {
        mistakes.add("rows", "Say what the rows of the table are");
    }
    let pasted = filled.text("table").is_some();
    let (bytes, field) = match (file, pasted) {
        (Some(_), true) => {
            mistakes.add("table", "A file was chosen and a table pasted; right would be one of them");
            (Vec::new(), "table")
        }
        (Some((_, bytes)), false) => (bytes, "file"),
        (None, true) => (filled.typed("table").as_bytes().to_vec(), "table"),
        (None, false) => {
            mistakes.add("file", "Choose a file, or paste the table below");
            (Vec::new(), "file")
        }
    };
    if field == "table" && bytes.len() > sent::MOST_PASTED {
        mistakes.add("table", "This is over a million bytes; right would be to send it as a file");
    }
    let (Some(of), true) = (of, mistakes.is_empty()) else { return asked(&app, &filled, &mistakes) };
    let page = filled.text("page").map(str::to_owned);
    let cells = app.work(move |_| Cells::read(&bytes, page.as_deref())).await;
    let cells = match cells {
        Some(Ok(cells)) => Arc::new(cells),
        Some(Err(why)) => {
            let field = match &why {
                IntakeError::NoPage { .. } | IntakeError::Pageless => "page",
                IntakeError::Table(_)
                | IntakeError::NotOfTheKind { .. }
                | IntakeError::NoSuchName { .. }
                | IntakeError::Missing { .. }
                | IntakeError::Stop(_) => field,
            };
            mistakes.add(field, why.to_string());
            return asked(&app, &filled, &mistakes);
        }
        None => {
            mistakes.add(field, "The table can't be read; nothing was stored");
            return asked(&app, &filled, &mistakes);
        }
    };
    let Ok(key) = app.form_key() else {
        mistakes.add("", "There is no key for the table now; send it again");
        return asked(&app, &filled, &mistakes);
    };
    let source = filled.text("source").unwrap_or("a table").to_owned();
    let told_dates = DateOrder::named(filled.typed("dates"));
    let (name, table) = (source.clone(), Arc::clone(&cells));
    let found = app
        .read_shop(move |shop, _| {
            let how = remembered(shop, of, &name)?.fitting(&table);
            Ok((how, shop.path().to_owned()))
        })
        .await;
    let (how, shop) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let how = Remembered { dates: told_dates.or(how.dates), ..how };
    let held = Held { of, source, cells, how, shop, shown: 0, outcome: Outcome::ToLook };
    match looked(&app, held).await {
        Ok(held) => {
            app.tables().put(&key, held);
            Redirect::to(&format!("/read/{key}")).into_response()
        }
        Err(page) => page,
    }
}

/// Looks at a table as it is to be read now; the preview gets a new number.
async fn looked(app: &App, held: Held) -> Result<Held, Response> {
    let stamp = app.stamp();
    app.read_shop(move |shop, _| {
        let reading = Reading {
            of: held.of,
            cells: &held.cells,
            map: &held.how.map,
            dates: held.how.dates,
            source: &held.source,
        };
        let outcome = match look(shop, &reading, &stamp) {
            Ok(found) => Outcome::Ready(Arc::new(found)),
            Err(IntakeError::Stop(stop)) => return Err(NoAnswer::Stop(stop)),
            Err(IntakeError::Missing { column, says, .. }) => {
                Outcome::Unclear(column.to_owned(), format!("Say which column is {column}: {says}"))
            }
            Err(IntakeError::NoSuchName { column, name, .. }) => {
                Outcome::Unclear(column.to_owned(), format!("There is no column \"{name}\""))
            }
            Err(
                why @ (IntakeError::Table(_)
                | IntakeError::NoPage { .. }
                | IntakeError::Pageless
                | IntakeError::NotOfTheKind { .. }),
            ) => Outcome::Unclear(String::new(), why.to_string()),
        };
        let shop = shop.path().to_owned();
        Ok(Held { outcome, shop, shown: held.shown.saturating_add(1), ..held })
    })
    .await
}

/// Which rejected rows a page shows.
#[derive(Debug, Deserialize)]
struct From {
    #[serde(default)]
    from: usize,
}

async fn preview(State(app): State<App>, Path(key): Path<String>, Query(from): Query<From>) -> Response {
    match app.tables().find(&key) {
        Some(held) => shown(&app, &key, &held, from.from, Mistakes::default()),
        None => gone(),
    }
}

fn shown(app: &App, key: &str, held: &Held, from: usize, mut mistakes: Mistakes) -> Response {
    // At the first look nobody has said yet which column is which: that is no mistake.
    if let Outcome::Unclear(column, why) = &held.outcome
        && held.shown > 1
    {
        let field = if column.is_empty() { String::new() } else { views::column_field(column) };
        mistakes.add(&field, why.clone());
    }
    let body = views::preview(key, held, from, &app.form_key().unwrap_or_default(), &mistakes);
    let title = format!("Read {}", held.of.word());
    let page = app.page(&title, "/read", body).with_mistakes(&mistakes);
    checked(&page)
}

fn gone() -> Response {
    refusal(
        StatusCode::NOT_FOUND,
        "This table isn't held any more",
        "Only the last few tables are held, until the program ends. Nothing of it is stored unless you were told \
         so. Send it again: rows that were stored are not stored twice.",
    )
}

async fn mapped(State(app): State<App>, Path(key): Path<String>, Posted(filled): Posted) -> Response {
    let Some(held) = app.tables().find(&key) else { return gone() };
    let mut how =
        Remembered { map: std::collections::BTreeMap::new(), dates: DateOrder::named(filled.typed("dates")) };
    for column in held.of.columns() {
        let place = filled.text(&views::column_field(column.name)).and_then(|place| place.parse().ok());
        if let Some(name) = place.and_then(|place: usize| held.cells.names().get(place)) {
            how.map.insert(column.name.to_owned(), name.clone());
        }
    }
    match looked(&app, Held { how, ..held }).await {
        Ok(held) => {
            app.tables().put(&key, held);
            Redirect::to(&format!("/read/{key}")).into_response()
        }
        Err(page) => page,
    }
}

async fn store(State(app): State<App>, Path(key): Path<String>, Posted(filled): Posted) -> Response {
    let Some(held) = app.tables().find(&key) else { return gone() };
    let here = format!("/read/{key}");
    let mut mistakes = Mistakes::default();
    let found = match &held.outcome {
        Outcome::Ready(found) => Arc::clone(found),
        // Sent twice: what was stored is told.
        Outcome::Stored(..) => return Redirect::to(&here).into_response(),
        Outcome::ToLook | Outcome::Unclear(..) => return shown(&app, &key, &held, 0, mistakes),
    };
    if filled.text("shown") != Some(held.shown.to_string().as_str()) {
        mistakes.add("", "The table was looked at anew meanwhile, so nothing was stored. Look at what stands below, then store it.");
        return shown(&app, &key, &held, 0, mistakes);
    }
    let (inside, wanted, place) = (app.clone(), held.clone(), key.clone());
    let done = app
        .write_shop(&filled, "", &here, &mut mistakes, move |shop, _, stamp| {
            if shop.path() != wanted.shop {
                return Err(NoAnswer::Stop(keeping::Stop::input(
                    "another shop was opened since this table was looked at; nothing was stored. Look again",
                )));
            }
            let count = shop.confirm(stamp, &found.staged)?;
            // The form's own key is for the first write alone.
            let stamp: Stamp = inside.stamp();
            remember(shop, &stamp, wanted.of, &wanted.source, &wanted.how)?;
            let outcome = Outcome::Stored(count, found.left_out.len());
            inside.tables().put(&place, Held { outcome, ..wanted });
            Ok(format!("/read/{place}"))
        })
        .await;
    match done {
        Some(response) => response,
        None => shown(&app, &key, &held, 0, mistakes),
    }
}
