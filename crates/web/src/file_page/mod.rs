//! The shop file itself: where it lies, whether it is sound, its backups, putting one of them back, and everything
//! out of it.

mod looked_over;
mod removed;
mod restored;
mod sent;
mod streamed;
mod views;

use std::path::PathBuf;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use keeping::{Copy, Stop};
use serde::Deserialize;
use shop::{Glance, Shop};

use crate::App;
use crate::form::{Mistakes, Posted};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;
pub(crate) use sent::MOST_REQUEST;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/file", get(show))
        .route("/file/check", get(looked_over::check))
        .route("/file/clear", post(looked_over::clear))
        .route("/file/back-up", post(back_up))
        .route("/file/backups/{name}", get(carry_away))
        .route("/file/backups/{name}/restore", get(restored::ask).post(restored::restore))
        .route("/file/backups/{name}/remove", post(removed::copy))
        .route("/file/erase-demo", get(removed::ask_demo).post(removed::demo))
}

/// Where backups are sent in; these requests may be large.
pub(crate) fn sending() -> Router<App> {
    sent::routes()
}

/// What was just done, as the address says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Done {
    BackedUp,
    Restored,
    Removed,
    Cleared,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
struct Asked {
    done: Option<Done>,
}

/// What the page shows.
pub(super) struct Found {
    pub path: PathBuf,
    /// What it holds; `None` where there is none yet, the reason where it can't be read.
    pub shop: Option<Result<Glance, String>>,
    pub copies: Vec<Copy>,
    pub has_demo: bool,
}

async fn show(State(app): State<App>, Query(asked): Query<Asked>) -> Response {
    drawn(&app, &Mistakes::default(), asked.done).await
}

/// The page; it is there also when no shop was begun or the file is damaged, since it is what helps then.
async fn drawn(app: &App, mistakes: &Mistakes, done: Option<Done>) -> Response {
    let path = app.shop_door().where_it_lies();
    let has_demo = app.shop_door().has_demo();
    // Opened like any other page does, so that what keeps it from being opened is said.
    let opened = app.ask_shop(|_, _| Ok(())).await;
    let looked = app
        .work(move |_| {
            let shop = match opened {
                Ok(()) => Some(Shop::glance(&path).map_err(|why| why.to_string())),
                Err(NoAnswer::NotBegun) => None,
                Err(NoAnswer::Stop(why)) => Some(Err(why.to_string())),
            };
            Ok::<_, Stop>(Found { shop, copies: keeping::copies_of(&path)?, path, has_demo })
        })
        .await;
    match looked {
        Some(Ok(found)) => {
            let body = views::whole(&found, mistakes, done, &app.form_key().unwrap_or_default());
            checked(&app.page("The shop file", "/file", body).with_mistakes(mistakes))
        }
        Some(Err(stop)) => NoAnswer::Stop(stop).page(),
        None => broke(),
    }
}

/// The page for when a look at the file went wrong inside.
fn broke() -> Response {
    NoAnswer::Stop(Stop::outside("the look at the shop file broke; nothing was changed")).page()
}

/// Copies the file beside itself with what is attached; others may go on writing meanwhile.
async fn back_up(State(app): State<App>, Posted(filled): Posted) -> Response {
    let done = "/file?done=backed-up";
    // The work takes too long to hold the keys of all forms meanwhile.
    if let Ok(path) = app.once().run::<()>(&filled, || Err(())) {
        return Redirect::to(&path).into_response();
    }
    if let Err(NoAnswer::NotBegun) = app.ask_shop(|_, _| Ok(())).await {
        return NoAnswer::NotBegun.page();
    }
    let (path, now) = (app.shop_door().where_it_lies(), app.now().at);
    let made = app
        .work(move |_| -> Result<(), Stop> {
            // A handle of its own: no page waits for the copy.
            let shop = Shop::open(&path, now)?;
            keeping::back_up_now(&shop, now).map(|_| ())
        })
        .await;
    let mut mistakes = Mistakes::default();
    match made {
        Some(Ok(())) => {
            let _ = app.once().run::<()>(&filled, || Ok(done.to_owned()));
            return Redirect::to(done).into_response();
        }
        Some(Err(why)) => mistakes.add("", format!("No backup was made: {why}")),
        None => mistakes.add("", "No backup was made: the copying broke"),
    }
    drawn(&app, &mistakes, None).await
}

/// A backup with its receipts and photos as one file to carry away.
async fn carry_away(State(app): State<App>, Path(name): Path<String>) -> Response {
    let path = app.shop_door().where_it_lies();
    match app.work(move |_| keeping::copy_named(&path, &name)).await {
        Some(Ok(copy)) => {
            let stem: String = copy
                .name
                .chars()
                .map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '-' })
                .collect();
            let headers = [
                (header::CONTENT_TYPE, String::from("application/zip")),
                (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{stem}.zip\"")),
            ];
            (headers, streamed::streamed(move |out| keeping::bundle(&copy, out))).into_response()
        }
        Some(Err(stop)) => NoAnswer::Stop(stop).page(),
        None => broke(),
    }
}
