//! A backup that is sent in, to be put back.

use axum::Router;
use axum::extract::multipart::MultipartError;
use axum::extract::{DefaultBodyLimit, Multipart, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;
use keeping::{Arriving, Copy, MOST_SENT};

use super::{broke, drawn, views};
use crate::App;
use crate::form::Mistakes;

/// Most bytes of a request: the largest backup, and room for how a form is coded.
pub(crate) const MOST_REQUEST: usize = MOST_SENT as usize + (1 << 20);

pub(super) fn routes() -> Router<App> {
    Router::new().route("/file/send", post(take)).layer(DefaultBodyLimit::max(MOST_REQUEST))
}

async fn take(State(app): State<App>, form: Multipart) -> Response {
    let arrived = match arrived(&app, form).await {
        Ok(arriving) => {
            let now = app.now().at;
            match app.work(move |_| arriving.finish(now)).await {
                Some(finished) => finished.map_err(|why| why.to_string()),
                None => return broke(),
            }
        }
        Err(why) => Err(why),
    };
    match arrived {
        Ok(copy) => led_on(&copy),
        Err(why) => {
            let mut mistakes = Mistakes::default();
            mistakes.add("backup", format!("It can't be put back: {why}"));
            drawn(&app, &mistakes, None).await
        }
    }
}

fn led_on(copy: &Copy) -> Response {
    Redirect::to(&views::address(copy, "restore")).into_response()
}

/// Writes what comes in to the disk as it comes.
async fn arrived(app: &App, mut form: Multipart) -> Result<Arriving, String> {
    let unread = |why: MultipartError| {
        format!("the sending can't be read: {}; at most {} MB at once", why.body_text(), MOST_SENT >> 20)
    };
    while let Some(mut field) = form.next_field().await.map_err(unread)? {
        if field.name() != Some("backup") {
            continue;
        }
        let key = app.form_key().map_err(|why| why.to_string())?;
        let path = app.shop_door().where_it_lies();
        let mut arriving = Arriving::begin(&path, &key).map_err(|why| why.to_string())?;
        while let Some(piece) = field.chunk().await.map_err(unread)? {
            arriving.take(&piece).map_err(|why| why.to_string())?;
        }
        return Ok(arriving);
    }
    Err(String::from("no file was chosen; right would be a backup of a shop"))
}
