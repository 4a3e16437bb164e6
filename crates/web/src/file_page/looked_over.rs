//! The file looked over from end to end.

use axum::extract::State;
use axum::response::Response;
use keeping::{Checkup, Desk, Stop};
use maud::{Markup, html};
use shop::{Shop, Stamp};

use super::{Done, broke, drawn};
use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::record_page::checked;
use crate::said::count;
use crate::shopdoor::NoAnswer;

/// Most flaws, and most loose files, that are listed.
const MOST_LISTED: usize = 100;

pub(super) async fn check(State(app): State<App>) -> Response {
    if let Err(NoAnswer::NotBegun) = app.ask_shop(|_, _| Ok(())).await {
        return NoAnswer::NotBegun.page();
    }
    let (path, now) = (app.shop_door().where_it_lies(), app.now().at);
    let looked =
        app.work(move |_| -> Result<Checkup, Stop> { keeping::checkup(&Shop::open(&path, now)?) }).await;
    let body = match looked {
        Some(Ok(found)) => told(&found, &app.form_key().unwrap_or_default()),
        // A file that can't even be read is what this page is to say.
        Some(Err(why)) => unsound(&[why.to_string()]),
        None => return broke(),
    };
    checked(&app.page("The shop file, looked over", "/file/check", body))
}

fn told(found: &Checkup, key: &str) -> Markup {
    let files = |number: usize| count(u32::try_from(number).unwrap_or(u32::MAX), "file");
    html! {
        @if found.is_sound() {
            p.verdict { "Sound" }
            p {
                "Its pages and references hold, books, stock and promises agree, and all tables are what the events add up to."
                @if found.files.sound > 0 { " " (files(found.files.sound)) " beside it, as stored." }
            }
        } @else { (unsound(&found.flaws)) }
        @if !found.files.loose.is_empty() {
            section aria-labelledby="loose" {
                h2 #loose { "Files that nothing speaks of" }
                p { (files(found.files.loose.len())) " of photos that were struck out, or of a sending that was cut off. They do no harm." }
                ul { @for name in found.files.loose.iter().take(MOST_LISTED) { li { code { (name) } } } }
                form method="post" action="/file/clear" {
                    (once_field(key))
                    button.quiet type="submit" { "Clear them away" }
                }
            }
        }
        p { a href="/file" { "The shop file" } }
    }
}

fn unsound(flaws: &[String]) -> Markup {
    html! {
        p.verdict { "Not sound" }
        ul { @for flaw in flaws.iter().take(MOST_LISTED) { li { (flaw) } } }
        @if flaws.len() > MOST_LISTED { p { "And " (flaws.len() - MOST_LISTED) " more." } }
        p { "Write nothing more to it. " a href="/file#backups" { "Put a backup back" } " from before this began; what is there now is kept beside it." }
    }
}

pub(super) async fn clear(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let done = "/file?done=cleared";
    let work = |shop: &mut Shop, _: &Desk, _: &Stamp| {
        shop.clear_loose_files()?;
        Ok(String::from("/file?done=cleared"))
    };
    match app.write_shop(&filled, "", done, &mut mistakes, work).await {
        Some(done) => done,
        None => drawn(&app, &mistakes, None::<Done>).await,
    }
}
