//! A new venue: typed in, or read from a file of venues.

use axum::extract::State;
use axum::response::Response;
use keeping::known_venue;
use listing::Venues;
use maud::html;
use shop::Venue;

use super::fields;
use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Longest file of venues that is pasted, bytes (judgement: a hundred venues).
const LONGEST_FILE: usize = 100_000;

/// What is asked; with `like` the terms of a published venue are filled in, with `name` its name.
pub(super) async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    if let Err(page) = app.read_shop(|_, _| Ok(())).await {
        return page;
    }
    let published = Venues::published();
    let like = filled.text("like").and_then(|id| published.find(id).ok());
    let mut shown = match like {
        Some(terms) => fields::filled("", terms).with("source", "").with("flag", "published"),
        None => Filled::default().with("flag", "published"),
    };
    if let Some(name) = filled.text("name") {
        shown = shown.with("name", name);
    }
    page(&app, &shown, &Mistakes::default())
}

fn page(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let fields = fields::fields();
    let file = file_field();
    let body = html! {
        p { "Take the figures from the page where the venue publishes its fees." }
        form method="post" action="/venues/new" novalidate {
            (once_field(&app.form_key().unwrap_or_default()))
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
            div.actions { button type="submit" { "Add it" } a.quiet href="/venues" { "Back to the venues" } }
        }
        details open[mistakes.of("file").is_some()] {
            summary { "Or paste a file of venues" }
            form method="post" action="/venues/read" novalidate {
                (once_field(&app.form_key().unwrap_or_default()))
                (draw(&file, filled, mistakes, true))
                button type="submit" { "Take them in" }
            }
            p { "One venue as such a file has it:" }
            pre tabindex="0" role="region" aria-label="A venue as a file" { (template()) }
        }
        (super::help())
    };
    checked(&app.page("Add a venue", "/listings/venues", body).with_mistakes(mistakes))
}

fn file_field() -> Field {
    Field::needed(
        "file",
        "File of venues",
        "As the terminal prints it. A venue that is known is taken in anew. Where a line is wrong, none is stored.",
        Kind::Lines { rows: 8, sheet: true },
    )
}

/// The template without the marks that make its lines comments.
fn template() -> String {
    let lines = Venues::template().lines().filter_map(|line| line.strip_prefix("# "));
    lines.filter(|line| line.starts_with('[') || line.contains(" = ")).collect::<Vec<_>>().join("\n")
}

pub(super) async fn enter(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    if let Some(venue) = fields::read(&filled, &mut mistakes) {
        let stored = app
            .write_shop(&filled, "name", "/venues", &mut mistakes, move |shop, _, stamp| {
                let known = known_venue(shop, &venue.name)?;
                // One that a listing noted by its name alone is given its terms.
                let bare = known.filter(|number| {
                    shop.noted_one::<Venue>(*number).is_ok_and(|one| keeping::venue_file(&one).is_none())
                });
                let number = keeping::put_terms(shop, stamp, bare, &venue)?;
                Ok::<_, NoAnswer>(format!("/venues/{number}"))
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    page(&app, &filled, &mistakes)
}

/// Takes in what was pasted: all of it, or nothing.
pub(super) async fn read(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let missing = "Paste a file of venues, such as the one below";
    let text = filled.needed("file", missing, &mut mistakes).map(|_| filled.typed("file").to_owned());
    if text.as_ref().is_some_and(|text| text.len() > LONGEST_FILE) {
        mistakes
            .add("file", format!("this is over {LONGEST_FILE} bytes; right would be some of them at once"));
    }
    let rows = text.filter(|_| mistakes.is_empty()).and_then(|text| {
        keeping::read_venues(&text).map_err(|why| mistakes.add("file", why.to_string())).ok()
    });
    if let Some(rows) = rows {
        let writer = app.clone();
        let stored = app
            .write_shop(&filled, "file", "/venues", &mut mistakes, move |shop, _, stamp| {
                keeping::put_venues(shop, stamp, &|| writer.stamp(), rows)?;
                Ok::<_, NoAnswer>(String::from("/venues"))
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    page(&app, &filled, &mistakes)
}
