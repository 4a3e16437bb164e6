//! One piece of a find: where it is, its flaws and its photos.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use maud::{Markup, html};
use shop::{About, Flaw, PieceRef, PieceRow, Shop, Stamp};

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::papers_page::papers_of;
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

pub(super) async fn show(State(app): State<App>, Path(at): Path<(u64, u32)>) -> Response {
    drawn(&app, at, Filled::default(), &Mistakes::default()).await
}

/// Notes a flaw of this piece.
pub(super) async fn flaw(
    State(app): State<App>,
    Path((find, number)): Path<(u64, u32)>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let kind = filled.needed("kind", "what it is is missing; right would be: hairline", &mut mistakes);
    let kind = kind.map(ToOwned::to_owned);
    let size = filled.length("size", &mut mistakes);
    let back = format!("/finds/{find}/pieces/{number}");
    if let (Some(kind), true) = (kind, mistakes.is_empty()) {
        let position = filled.text("position").unwrap_or_default().to_owned();
        let flaw = Flaw { find: FindId(find), piece: Some(number), kind, position, size };
        let done = format!("{back}#flaws");
        let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
            shop.note(stamp, &flaw)?;
            Ok(done)
        };
        if let Some(done) = app.write_shop(&filled, "kind", &back, &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, (find, number), filled, &mistakes).await
}

/// Strikes out a flaw of this piece.
pub(super) async fn strike(
    State(app): State<App>,
    Path((find, number, flaw)): Path<(u64, u32, u64)>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let back = format!("/finds/{find}/pieces/{number}");
    let done = format!("{back}#flaws");
    let work = move |shop: &mut Shop, _: &keeping::Desk, stamp: &Stamp| {
        let known: Flaw = shop.noted_one(flaw)?;
        if (known.find, known.piece) != (FindId(find), Some(number)) {
            return Err(NoAnswer::Stop(keeping::Stop::Input(format!(
                "flaw {flaw} isn't of piece {number} of find {find}; right would be one of the list"
            ))));
        }
        shop.strike::<Flaw>(stamp, flaw)?;
        Ok(done)
    };
    match app.write_shop(&filled, "", &back, &mut mistakes, work).await {
        Some(done) => done,
        None => drawn(&app, (find, number), Filled::default(), &mistakes).await,
    }
}

/// Where a piece is, in words; `None` for an order where it has to do with none.
pub(super) fn whereabouts(piece: &PieceRow) -> (String, Option<books::OrderId>) {
    match (piece.promised_to, piece.sold_in) {
        (Some(order), _) => (String::from("on the shelf, promised"), Some(order)),
        (None, Some(order)) => (String::from("sent"), Some(order)),
        (None, None) if piece.fate == "on hand" => (String::from("on the shelf"), None),
        (None, None) => (piece.fate.clone(), None),
    }
}

async fn drawn(app: &App, (find, number): (u64, u32), filled: Filled, mistakes: &Mistakes) -> Response {
    let (key, told) = (app.form_key().unwrap_or_default(), mistakes.clone());
    let found = app.read_shop(move |shop, _| page(shop, (find, number), &filled, &told, &key)).await;
    let title = format!("Piece {number} of find {find}");
    match found {
        Ok(body) => checked(&app.page(&title, "/hauls/find", body).with_mistakes(mistakes)),
        Err(page) => page,
    }
}

fn page(
    shop: &mut Shop,
    (find, number): (u64, u32),
    filled: &Filled,
    mistakes: &Mistakes,
    key: &str,
) -> Result<Markup, NoAnswer> {
    let id = FindId(find);
    let text = shop.find_text(id)?;
    let pieces = shop.pieces(id)?;
    let Some(piece) = pieces.iter().find(|piece| piece.number == number) else {
        return Err(NoAnswer::Stop(keeping::Stop::Input(format!(
            "find {find} has no piece {number}; right would be 1 to {}",
            pieces.len()
        ))));
    };
    let flaws: Vec<(u64, Flaw)> =
        shop.noted_of::<Flaw>(id)?.into_iter().filter(|(_, one)| one.piece == Some(number)).collect();
    let papers = papers_of(shop, About::Piece(PieceRef { find: id, number }))?;
    let (place, order) = whereabouts(piece);
    let base = format!("/finds/{find}/pieces/{number}");
    let fields = fields();
    Ok(html! {
        p.verdict {
            (text.description) ": " (place)
            @if let Some(order) = order { " with " a href={ "/orders/" (order) } { "order " (order) } }
            @if piece.flawed { ", flawed when it came" } "."
        }
        @if order.is_none() && piece.fate == "on hand" && !text.shelf.trim().is_empty() { p { "Its place: " (text.shelf) "." } }
        p.actions {
            a.quiet href={ "/finds/" (find) } { "All of find " (find) }
            a.quiet href={ "/finds/" (find) "/measure?piece=" (number) } { "Measure this piece" }
            @if let Some(order) = piece.promised_to { a.quiet href={ "/bench/" (order) "/swap?out=" (find) ":" (number) } { "Send another instead" } }
        }
        section aria-labelledby="flaws" {
            h2 #flaws { "Flaws" }
            @if flaws.is_empty() { p { "None noted." } } @else {
                ul {
                    @for (flaw, one) in &flaws {
                        li {
                            (super::shown::flaw_words(one))
                            form.strike method="post" action={ (base) "/flaw/" (flaw) "/strike" } {
                                (once_field(&format!("{key}-{flaw}")))
                                button.quiet type="submit" { "Strike out" span.unseen { " flaw " (flaw) } }
                            }
                        }
                    }
                }
            }
            form method="post" action={ (base) "/flaw" } novalidate {
                (once_field(key))
                @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
                button type="submit" { "Note this flaw" }
            }
        }
        (papers)
        p { a href="/help#pieces" { "How to use this page" } }
    })
}

fn fields() -> [Field; 3] {
    let kinds = Kind::Words { known: super::FLAWS.map(ToOwned::to_owned).to_vec() };
    [
        Field::needed("kind", "A flaw of it", "Chip, flea bite, hairline, crazing.", kinds),
        Field::optional("position", "Where", "Inside the rim.", Kind::Words { known: Vec::new() }),
        Field::optional("size", "How large", "1/2 in", Kind::Measure),
    ]
}
