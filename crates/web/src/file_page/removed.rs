//! A backup removed, and the demo erased.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::html;

use super::{broke, drawn};
use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::record_page::checked;
use crate::refusal;
use crate::shopdoor::NoAnswer;

/// Removes a copy; the page with this button says what is in it.
pub(super) async fn copy(
    State(app): State<App>,
    Path(name): Path<String>,
    Posted(filled): Posted,
) -> Response {
    let done = "/file?done=removed#backups";
    if let Ok(path) = app.once().run::<()>(&filled, || Err(())) {
        return Redirect::to(&path).into_response();
    }
    let path = app.shop_door().where_it_lies();
    match app.work(move |_| keeping::remove_copy(&path, &name)).await {
        Some(Ok(())) => {
            let _ = app.once().run::<()>(&filled, || Ok(done.to_owned()));
            Redirect::to(done).into_response()
        }
        Some(Err(why)) => {
            let mut mistakes = Mistakes::default();
            mistakes.add("", why.to_string());
            drawn(&app, &mistakes, None).await
        }
        None => broke(),
    }
}

pub(super) async fn ask_demo(State(app): State<App>) -> Response {
    if !app.shop_door().has_demo() {
        return refusal::nowhere().await;
    }
    asked(&app, &Mistakes::default())
}

fn asked(app: &App, mistakes: &Mistakes) -> Response {
    let body = html! {
        p { "The demo shop and everything in it goes, with what you changed in it and the backups that were made of it. Your own shop isn't touched. You can have a new demo made up whenever you like." }
        form method="post" action="/file/erase-demo" {
            (once_field(&app.form_key().unwrap_or_default()))
            div.actions {
                button type="submit" { "Erase the demo" }
                a.quiet href="/file" { "Keep it" }
            }
        }
    };
    checked(&app.page("Erase the demo?", "/file/erase-demo", body).with_mistakes(mistakes))
}

pub(super) async fn demo(State(app): State<App>, Posted(_): Posted) -> Response {
    let inside = app.clone();
    let done = tokio::task::spawn_blocking(move || inside.shop_door().erase_demo()).await;
    let mut mistakes = Mistakes::default();
    match done {
        Ok(Ok(())) => return Redirect::to("/begin").into_response(),
        Ok(Err(NoAnswer::NotBegun)) => return NoAnswer::NotBegun.page(),
        // Sent twice, or erased by another program: what was wanted is so.
        Ok(Err(NoAnswer::Stop(_))) if !app.shop_door().has_demo() => {
            return Redirect::to("/begin").into_response();
        }
        Ok(Err(NoAnswer::Stop(why))) => mistakes.add("", why.to_string()),
        Err(why) => {
            tracing::error!(%why, "a demo could not be erased");
            return broke();
        }
    }
    asked(&app, &mistakes)
}
