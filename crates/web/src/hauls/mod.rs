//! Hauls: what was bought, where and for how much, with the finds it holds.

mod asked;
mod shown;

pub(crate) use shown::history;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use books::HaulId;
use maud::{Markup, html};
use measure::Money;
use serde::Deserialize;
use shop::{Record, Shop};

use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::count;
use crate::shopdoor::NoAnswer;

/// Hauls on one page.
const ON_A_PAGE: usize = 50;
/// One more is read, to know whether there are older ones.
const MOST_READ: u32 = ON_A_PAGE as u32 + 1;
/// Rows for finds when a form is opened, and how many more a press gives.
const ROWS: u32 = 3;
/// Most rows of a form (judgement: a haul has a dozen finds).
const MOST_ROWS: u32 = 60;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/hauls", get(list))
        .route("/hauls/new", get(ask).post(bring_in))
        .route("/hauls/{number}", get(show))
        .route("/hauls/{number}/anew", get(ask_anew).post(anew))
}

#[derive(Deserialize)]
struct From {
    before: Option<u64>,
}

async fn list(State(app): State<App>, Query(from): Query<From>) -> Response {
    let before = from.before.unwrap_or(u64::MAX);
    let found = app.read_shop(move |shop, _| Ok(shop.hauls_before(HaulId(before), MOST_READ)?));
    let mut hauls = match found.await {
        Ok(hauls) => hauls,
        Err(page) => return page,
    };
    let more = hauls.len() > ON_A_PAGE;
    hauls.truncate(ON_A_PAGE);
    let body = html! {
        p.actions { a.button href="/hauls/new" { "Bring in a haul" } }
        @if hauls.is_empty() && from.before.is_none() {
            p { "No haul yet. A haul is one buying occasion: what was paid, and the finds it holds." }
        } @else {
            div.scroll tabindex="0" role="region" aria-label="Hauls" {
                table.stacks role="table" {
                    thead role="rowgroup" {
                        tr role="row" {
                            @for head in ["Haul", "Day", "Where"] { th role="columnheader" scope="col" { (head) } }
                            @for head in ["Pieces", "Cost"] { th.num role="columnheader" scope="col" { (head) } }
                        }
                    }
                    tbody role="rowgroup" {
                        @for line in &hauls {
                            tr role="row" {
                                th role="rowheader" scope="row" { a.target href={ "/hauls/" (line.haul) } { "Haul " (line.haul) } }
                                td.day role="cell" data-head="Day" { (line.date) }
                                td role="cell" data-head="Where" { (line.place) }
                                td.num role="cell" data-head="Pieces" { (line.pieces) }
                                td.num role="cell" data-head="Cost" { (line.cost) }
                            }
                        }
                    }
                }
            }
            @if let (true, Some(last)) = (more, hauls.last()) {
                p { a href={ "/hauls?before=" (last.haul) } { "Older hauls" } }
            }
        }
        p { a href="/help#hauls" { "How to use this page" } }
    };
    checked(&app.page("Hauls", "/hauls", body))
}

/// What a form suggests: places, and the names of forms.
struct Known {
    places: Vec<String>,
    forms: Vec<String>,
}

async fn known(app: &App) -> Result<Known, Response> {
    app.read_shop(|shop, desk| {
        let places = shop.noted::<shop::Place>()?.into_iter().map(|(_, one)| one.name).collect();
        Ok(Known { places, forms: desk.form_names() })
    })
    .await
}

/// What a shelf check already said of a haul, by the names of this form.
const FROM_A_CHECK: [&str; 4] = ["form-1", "count-1", "flawed-1", "paid"];

async fn ask(State(app): State<App>, Posted(asked): Posted) -> Response {
    let today = Filled::default().with("date", app.now().day.to_string());
    let filled = FROM_A_CHECK.iter().fold(today, |filled, name| match asked.text(name) {
        Some(words) => filled.with(name, words),
        None => filled,
    });
    new_page(&app, &filled, &Mistakes::default()).await
}

async fn new_page(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let known = match known(app).await {
        Ok(known) => known,
        Err(page) => return page,
    };
    let body = form(app, filled, mistakes, &known, "/hauls/new", "Bring it in");
    checked(&app.page("Bring in a haul", "/hauls/new", body).with_mistakes(mistakes))
}

fn form(
    app: &App,
    filled: &Filled,
    mistakes: &Mistakes,
    known: &Known,
    action: &str,
    button: &str,
) -> Markup {
    let rows = asked::rows(filled);
    html! {
        form method="post" action=(action) novalidate {
            @if let Ok(key) = app.form_key() { (once_field(&key)) }
            input type="hidden" name="rows" value=(rows);
            @if let Some(seen) = filled.text("seen") { input type="hidden" name="seen" value=(seen); }
            @for field in asked::haul_fields(known) { (draw(&field, filled, mistakes, false)) }
            @for row in 1..=rows {
                fieldset {
                    legend { "Find " (row) }
                    @for (k, field) in asked::find_fields(row, known).iter().enumerate() {
                        (draw(field, filled, mistakes, k == 5))
                    }
                }
            }
            div.actions {
                button type="submit" { (button) }
                button.quiet type="submit" name="more" value="1" { "More finds" }
            }
        }
        p { a href="/help#hauls" { "How to use this page" } }
    }
}

async fn bring_in(State(app): State<App>, Posted(filled): Posted) -> Response {
    if filled.has("more") {
        let rows = (asked::rows(&filled) + ROWS).min(MOST_ROWS);
        return new_page(&app, &filled.with("rows", rows.to_string()), &Mistakes::default()).await;
    }
    let mut mistakes = Mistakes::default();
    let read = asked::read(&filled, app.desk(), app.now().day, &mut mistakes);
    if let Some((place, haul)) = read {
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &shop::Stamp| {
            let bought = shop.bring_in(stamp, &place, &haul)?;
            Ok(format!("/hauls/{}", bought.haul))
        };
        if let Some(done) = app.write_shop(&filled, "", "/hauls", &mut mistakes, work).await {
            return done;
        }
    }
    new_page(&app, &filled, &mistakes).await
}

async fn show(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match app.read_shop(move |shop, _| shown::page(shop, HaulId(number))).await {
        Ok(body) => checked(&app.page(&format!("Haul {number}"), "/hauls/one", body)),
        Err(page) => page,
    }
}

/// The number of the last event about a haul, as a form carries it.
fn seen(shop: &Shop, number: u64) -> Result<String, NoAnswer> {
    let last = shop.history(Record::Haul, number)?.last().map(|row| row.event.0);
    Ok(last.map_or_else(String::new, |event| event.to_string()))
}

async fn ask_anew(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let filled = app.read_shop(move |shop, desk| {
        let filled = asked::told(shop, desk, HaulId(number))?;
        Ok(filled.with("seen", seen(shop, number)?))
    });
    match filled.await {
        Ok(filled) => anew_page(&app, number, &filled, &Mistakes::default()).await,
        Err(page) => page,
    }
}

async fn anew_page(app: &App, number: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let known = match known(app).await {
        Ok(known) => known,
        Err(page) => return page,
    };
    let title = format!("Haul {number} as it should have been");
    let body = html! {
        p { "Finds stay in their order; new ones come after them. Both what was entered and this correction stay in the history." }
        (form(app, filled, mistakes, &known, &format!("/hauls/{number}/anew"), "Enter it anew"))
    };
    checked(&app.page(&title, "/hauls/anew", body).with_mistakes(mistakes))
}

async fn anew(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    if filled.has("more") {
        let rows = (asked::rows(&filled) + ROWS).min(MOST_ROWS);
        return anew_page(&app, number, &filled.with("rows", rows.to_string()), &Mistakes::default()).await;
    }
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    if let Some((place, haul)) = asked::read(&filled, app.desk(), today, &mut mistakes) {
        let looked_at = filled.text("seen").unwrap_or_default().to_owned();
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &shop::Stamp| {
            if seen(shop, number)? != looked_at {
                return Err(NoAnswer::Stop(keeping::Stop::input(
                    "the haul was entered anew elsewhere meanwhile, so nothing was stored; open it again in \
                     another tab and compare",
                )));
            }
            shop.amend_haul_at(stamp, HaulId(number), today, &place, &haul)?;
            Ok(format!("/hauls/{number}"))
        };
        if let Some(done) = app.write_shop(&filled, "", "/hauls", &mut mistakes, work).await {
            return done;
        }
    }
    anew_page(&app, number, &filled, &mistakes).await
}

/// "6 pieces for 12.00".
fn pieces_for(pieces: u32, cost: Money) -> String {
    format!("{} for {cost}", count(pieces, "piece"))
}
