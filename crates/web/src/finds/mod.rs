//! One find: its pieces, measures, flaws and place, and what becomes of it.

mod measured;
mod piece_list;
mod piece_page;
mod shown;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::{get, post};
use books::FindId;
use shop::{FindText, Flaw, FromShelf, Leaving, Shop, Stamp};

use crate::App;
use crate::form::{Filled, Mistakes, Posted};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Flaws that are suggested.
pub(crate) const FLAWS: [&str; 7] = ["chip", "flea bite", "hairline", "crazing", "crack", "wear", "stain"];

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/finds/{number}", get(show))
        .route("/finds/{number}/about", post(describe))
        .route("/finds/{number}/flaw", post(flaw))
        .route("/finds/{number}/flaw/{flaw}/strike", post(strike_flaw))
        .route("/finds/{number}/off-shelf", post(off_shelf))
        .route("/finds/{number}/pieces/{piece}", get(piece_page::show))
        .route("/finds/{number}/pieces/{piece}/flaw", post(piece_page::flaw))
        .route("/finds/{number}/pieces/{piece}/flaw/{flaw}/strike", post(piece_page::strike))
        .route("/finds/{number}/measure", get(measured::ask).post(measured::take))
}

async fn show(State(app): State<App>, Path(number): Path<u64>, Posted(asked): Posted) -> Response {
    let page = asked.text("pieces").and_then(|page| page.parse().ok()).unwrap_or(1);
    drawn_from(&app, number, Filled::default(), &Mistakes::default(), page).await
}

/// The page of a find, with what was typed into one of its forms.
async fn drawn(app: &App, number: u64, filled: Filled, mistakes: &Mistakes) -> Response {
    drawn_from(app, number, filled, mistakes, 1).await
}

/// The same with this page of its pieces.
async fn drawn_from(
    app: &App,
    number: u64,
    filled: Filled,
    mistakes: &Mistakes,
    pieces_page: usize,
) -> Response {
    let (key, told, today) = (app.form_key().unwrap_or_default(), mistakes.clone(), app.now().day);
    let found = app
        .read_shop(move |shop, desk| {
            shown::page(
                shop,
                desk,
                FindId(number),
                &shown::Form { filled, mistakes: told, key, today, pieces_page },
            )
        })
        .await;
    match found {
        Ok((title, body)) => checked(&app.page(&title, "/hauls/find", body).with_mistakes(mistakes)),
        Err(page) => page,
    }
}

async fn describe(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let form = filled.needed("form", "what they are is missing; right would be: diner mug", &mut mistakes);
    let form = form.and_then(|text| match app.desk().forms.find(text) {
        Ok(form) => Some(form.id.clone()),
        Err(why) => {
            mistakes.add("form", why.to_string());
            None
        }
    });
    let description = filled.needed(
        "called",
        "what they are called is missing; right would be: cups, plain",
        &mut mistakes,
    );
    if let (Some(form), Some(description)) = (form, description) {
        let shelf = filled.text("shelf").unwrap_or_default().to_owned();
        let anew = FindText { form, description: description.to_owned(), shelf };
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
            shop.describe_find(stamp, FindId(number), &anew)?;
            Ok(format!("/finds/{number}"))
        };
        let back = format!("/finds/{number}");
        if let Some(done) = app.write_shop(&filled, "called", &back, &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, number, filled, &mistakes).await
}

async fn flaw(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let kind = filled.needed("kind", "what it is is missing; right would be: hairline", &mut mistakes);
    let kind = kind.map(ToOwned::to_owned);
    let piece = filled.whole("piece", 1..=100_000, &mut mistakes);
    let size = filled.length("size", &mut mistakes);
    if let (Some(kind), true) = (kind, mistakes.is_empty()) {
        let position = filled.text("position").unwrap_or_default().to_owned();
        let flaw = Flaw { find: FindId(number), piece, kind, position, size };
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
            let pieces = shop.pieces(flaw.find)?.len();
            if let Some(piece) =
                flaw.piece.filter(|piece| usize::try_from(*piece).is_ok_and(|one| one > pieces))
            {
                return Err(NoAnswer::Stop(keeping::Stop::Input(format!(
                    "there is no piece {piece}; right would be 1 to {pieces}"
                ))));
            }
            shop.note(stamp, &flaw)?;
            Ok(format!("/finds/{number}#flaws"))
        };
        let back = format!("/finds/{number}");
        if let Some(done) = app.write_shop(&filled, "piece", &back, &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, number, filled, &mistakes).await
}

async fn strike_flaw(
    State(app): State<App>,
    Path((number, flaw)): Path<(u64, u64)>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
        shop.strike::<Flaw>(stamp, flaw)?;
        Ok(format!("/finds/{number}#flaws"))
    };
    let back = format!("/finds/{number}");
    match app.write_shop(&filled, "", &back, &mut mistakes, work).await {
        Some(done) => done,
        None => drawn(&app, number, filled, &mistakes).await,
    }
}

async fn off_shelf(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let date = crate::day_and_purse::day_or_today(&filled, "left-on", today, &mut mistakes);
    let pieces = pieces(&filled, &mut mistakes);
    let how = match filled.text("how") {
        Some("broken") => Some(Leaving::Broken),
        Some("given away") => Some(Leaving::GivenAway),
        Some("for oneself") => Some(Leaving::ForOneself),
        Some(_) | None => {
            mistakes.add("how", "what became of them isn't said; right would be one of the list");
            None
        }
    };
    if let (Some(date), Some(pieces), Some(how)) = (date, pieces, how) {
        let note = filled.text("note").unwrap_or_default().to_owned();
        let left = FromShelf { find: FindId(number), pieces, date, how, note };
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
            shop.leave_shelf(stamp, &left)?;
            Ok(format!("/finds/{number}"))
        };
        let back = format!("/finds/{number}");
        if let Some(done) = app.write_shop(&filled, "pieces", &back, &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, number, filled, &mistakes).await
}

/// Pieces by their numbers.
fn pieces(filled: &Filled, mistakes: &mut Mistakes) -> Option<Vec<u32>> {
    if filled.text("pieces").is_none() {
        mistakes.add("pieces", "which pieces is missing; right would be: 3, or 1, 4-6");
    }
    numbers(filled, "pieces", mistakes)
}

/// Numbers as typed, "3" or "1, 4-6"; `None` where the field is empty or wrong.
pub(crate) fn numbers(filled: &Filled, name: &str, mistakes: &mut Mistakes) -> Option<Vec<u32>> {
    let text = filled.text(name)?;
    let mut numbers = Vec::new();
    for part in text.split(',') {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        let read = (from.trim().parse::<u32>(), to.trim().parse::<u32>());
        match read {
            (Ok(from), Ok(to)) if 1 <= from && from <= to && to - from < 100_000 => numbers.extend(from..=to),
            (Ok(_) | Err(_), Ok(_) | Err(_)) => {
                let what = crate::form::short(text);
                mistakes.add(name, format!("\"{what}\" names none; right would be: 3, or 1, 4-6"));
                return None;
            }
        }
    }
    Some(numbers)
}
