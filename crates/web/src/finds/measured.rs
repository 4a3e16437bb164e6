//! Measuring a find, or one piece of it: the same drawing as the page Measure, kept with the find.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use forms::Form;
use keeping::Desk;
use maud::html;
use measure::Units;
use shop::{Measured, Measurement, Shop, Stamp};

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::measure_page::{drawing, figures};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// The form of a find, and its measures as typed.
fn known(shop: &Shop, desk: &Desk, find: FindId, piece: Option<u32>) -> Result<(String, Filled), NoAnswer> {
    let form = form_of(shop, desk, find)?;
    let mut filled = Filled::default();
    for (_, one) in shop.noted_of::<Measurement>(find)?.into_iter().filter(|(_, one)| one.piece == piece) {
        let text = match one.figure {
            Measured::Length(length) => length.write(Units::UsCustomary),
            Measured::Mass(mass) => mass.write(Units::UsCustomary),
        };
        filled = filled.with(&one.name, text);
    }
    if let Some(piece) = piece {
        filled = filled.with("of-piece", piece.to_string());
    }
    Ok((form.name.clone(), filled))
}

fn form_of<'a>(shop: &Shop, desk: &'a Desk, find: FindId) -> Result<&'a Form, NoAnswer> {
    let text = shop.find_text(find)?;
    desk.forms.find(&text.form).map_err(|why| NoAnswer::Stop(keeping::Stop::input(why)))
}

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>, Posted(asked): Posted) -> Response {
    let piece = asked.text("piece").and_then(|text| text.parse().ok());
    let found = app.read_shop(move |shop, desk| known(shop, desk, FindId(number), piece)).await;
    match found {
        Ok((form, filled)) => page(&app, number, &form, &filled, &Mistakes::default()),
        Err(page) => page,
    }
}

pub(super) async fn take(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let find = FindId(number);
    let named = app.read_shop(move |shop, desk| Ok(form_of(shop, desk, find)?.name.clone())).await;
    let name = match named {
        Ok(name) => name,
        Err(page) => return page,
    };
    let mut mistakes = Mistakes::default();
    let Ok(form) = app.desk().forms.find(&name) else {
        return crate::refusal::nowhere().await;
    };
    let measures = figures::measures(form, &filled, &mut mistakes);
    if let Err(why) = form.piece(&measures) {
        figures::told(&why, &mut mistakes);
    }
    let piece = filled.whole("of-piece", 1..=100_000, &mut mistakes);
    if mistakes.is_empty() {
        let mut wanted = Vec::new();
        for (_, field) in figures::lettered(form) {
            let name = field.name();
            let figure = match field.quantity() {
                forms::Quantity::Mass => filled.mass(name, &mut mistakes).map(Measured::Mass),
                forms::Quantity::Length => filled.length(name, &mut mistakes).map(Measured::Length),
                // What is counted or turned is a part of the form, and no length or weight of a piece.
                forms::Quantity::Count | forms::Quantity::Angle | forms::Quantity::Volume => continue,
            };
            wanted.push((name.to_owned(), figure));
        }
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            shop.measure(stamp, find, piece, &wanted)?;
            Ok(format!("/finds/{number}#measures"))
        };
        let back = format!("/finds/{number}");
        if let Some(done) = app.write_shop(&filled, "", &back, &mut mistakes, work).await {
            return done;
        }
    }
    page(&app, number, &name, &filled, &mistakes)
}

fn page(app: &App, number: u64, name: &str, filled: &Filled, mistakes: &Mistakes) -> Response {
    let Ok(form) = app.desk().forms.find(name) else {
        return NoAnswer::Stop(keeping::Stop::input("the form of this find isn't known")).page();
    };
    let whole = Field::optional(
        "of-piece",
        "Of which piece",
        "Its number, where the pieces differ. Left out, it holds for all of them.",
        Kind::Whole,
    );
    let fields = figures::fields(form);
    let body = html! {
        div.beside {
            section #drawing aria-label="Drawing" tabindex="-1" { (drawing(form, filled, &mut Mistakes::default())) }
            form method="post" action={ "/finds/" (number) "/measure" } novalidate data-live="/measure/drawing" data-into="drawing" {
                p { "Type them as you read them: 3 1/4, 8.3 cm, 1 lb 3.5 oz. A bare figure is inches, or ounces. An emptied field is struck out." }
                @if let Ok(key) = app.form_key() { (once_field(&key)) }
                input type="hidden" name="form" value=(form.name);
                @for field in &fields { (draw(field, filled, mistakes, false)) }
                (draw(&whole, filled, mistakes, true))
                div.actions { button type="submit" { "Keep these measures" } }
            }
        }
        p.unseen role="status" #drawing-said {}
    };
    let title = format!("Measure find {number}: {}", form.name);
    checked(&app.page(&title, "/hauls/measure", body).with_mistakes(mistakes))
}
