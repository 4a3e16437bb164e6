//! A backup put back: first what would be replaced, by counts and last day, then done.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use keeping::{Copy, Replacing, Stop};
use maud::{Markup, html};
use shop::{EventId, Glance};

use super::views::{bytes, day_of, moment, record_word};
use super::{broke, views};
use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

pub(super) async fn ask(State(app): State<App>, Path(name): Path<String>) -> Response {
    asked(&app, name, &Mistakes::default()).await
}

async fn asked(app: &App, name: String, mistakes: &Mistakes) -> Response {
    let path = app.shop_door().where_it_lies();
    let looked = app
        .work(move |_| {
            let copy = keeping::copy_named(&path, &name)?;
            let found = keeping::replacing(&path, &copy);
            Ok::<_, Stop>((copy, found))
        })
        .await;
    let (copy, found) = match looked {
        Some(Ok(looked)) => looked,
        Some(Err(stop)) => return NoAnswer::Stop(stop).page(),
        None => return broke(),
    };
    let key = app.form_key().unwrap_or_default();
    let mut mistakes = mistakes.clone();
    let body = match &found {
        Ok(found) => html! { (question(&copy, found, &key)) (or_remove(&copy, &key)) },
        Err(why) => {
            if mistakes.is_empty() {
                mistakes.add("", why.to_string());
            }
            html! {
                p { "Nothing was changed." }
                (or_remove(&copy, &key))
            }
        }
    };
    let called = copy.made.map_or_else(|| copy.name.clone(), |made| format!("of {}", moment(made)));
    let title = format!("Put back the backup {called}?");
    checked(&app.page(&title, "/file/restore", body).with_mistakes(&mistakes))
}

fn question(copy: &Copy, found: &Replacing, key: &str) -> Markup {
    let lost = match (&found.present, &found.copy) {
        (None, _) => html! { p { "There is no shop yet: nothing is replaced." } },
        (Some(Err(why)), _) => html! {
            p.caution { "What is there now can't be read: " (why) ". It is kept under another name." }
        },
        (Some(Ok(present)), copy) => {
            let newer = present.last.0.saturating_sub(copy.last.0);
            html! {
                p {
                    "What is there now is replaced, and kept beside it under another name; it then stands in the list of backups. "
                    @if newer > 0 {
                        strong { "It has " (newer) @if newer == 1 { " entry" } @else { " entries" } " more than the backup" }
                        ", the last of " (day_of(present)) "; you would have to enter them again."
                    } @else { "It has no entry more than the backup." }
                }
            }
        }
    };
    let seen = found.last().map_or_else(String::new, |last| last.0.to_string());
    html! {
        p { code { (copy.name) } " (" (copy.origin.words()) @if copy.made.is_some() { ", its time in UTC" } ")" }
        (lost)
        (side_by_side(found.present.as_ref().and_then(|present| present.as_ref().ok()), &found.copy))
        p { "No other program may have the shop open meanwhile. The backup is checked before anything is replaced." }
        form method="post" action=(views::address(copy, "restore")) {
            (once_field(key))
            input type="hidden" name="seen" value=(seen);
            div.actions {
                button type="submit" { "Put it back" }
                a.quiet href="/file" { "Leave everything as it is" }
            }
        }
    }
}

/// What is there and what is in the backup.
fn side_by_side(present: Option<&Glance>, copy: &Glance) -> Markup {
    let row = |what: &str, of: &dyn Fn(&Glance) -> String| {
        html! {
            tr {
                th scope="row" { (what) }
                td.num { @if let Some(present) = present { (of(present)) } @else { "-" } }
                td.num { (of(copy)) }
            }
        }
    };
    html! {
        table.figures {
            caption { "What is replaced by what" }
            thead { tr { th scope="col" { "What" } th.num scope="col" { "Now" } th.num scope="col" { "Backup" } } }
            tbody {
                (row("Last entry", &day_of))
                (row("Entries", &|one| one.events.to_string()))
                @for (at, (record, _)) in copy.counts.iter().enumerate() {
                    (row(record_word(*record), &|one| one.counts.get(at).map_or_else(String::new, |(_, n)| n.to_string())))
                }
                (row("Size", &|one| bytes(one.bytes)))
                (row("Version", &|one| one.version.to_string()))
            }
        }
    }
}

fn or_remove(copy: &Copy, key: &str) -> Markup {
    html! {
        details {
            summary { "Remove this backup instead" }
            p { "It is gone then, with the photos beside it. The shop itself isn't touched." }
            form method="post" action=(views::address(copy, "remove")) {
                (once_field(&format!("{key}-r")))
                button.quiet type="submit" { "Remove " (copy.name) }
            }
        }
    }
}

pub(super) async fn restore(
    State(app): State<App>,
    Path(name): Path<String>,
    Posted(filled): Posted,
) -> Response {
    let done = "/file?done=restored";
    if let Ok(path) = app.once().run::<()>(&filled, || Err(())) {
        return Redirect::to(&path).into_response();
    }
    let seen = filled.text("seen").and_then(|text| text.parse().ok()).map(EventId);
    let (inside, wanted, now) = (app.clone(), name.clone(), app.now().at);
    let put = tokio::task::spawn_blocking(move || {
        inside.shop_door().while_closed(|path| {
            let copy = keeping::copy_named(path, &wanted)?;
            keeping::put_back(path, &copy, seen, now)?;
            Ok(())
        })
    });
    let mut mistakes = Mistakes::default();
    match put.await {
        Ok(Ok(())) => {
            // What forms stored, and what was worked out, was of the file that is gone.
            app.forget();
            let _ = app.once().run::<()>(&filled, || Ok(done.to_owned()));
            return Redirect::to(done).into_response();
        }
        Ok(Err(NoAnswer::NotBegun)) => return NoAnswer::NotBegun.page(),
        Ok(Err(NoAnswer::Stop(why))) => mistakes.add("", format!("Nothing was replaced: {why}")),
        Err(why) => {
            tracing::error!(%why, "a backup could not be put back");
            mistakes.add("", "the restoring broke; look over the file before you go on");
        }
    }
    asked(&app, name, &mistakes).await
}
