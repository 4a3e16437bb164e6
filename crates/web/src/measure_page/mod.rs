//! Measuring a piece: its form, its figures, and a drawing that shows what each figure is taken from.

pub(crate) mod figures;

use std::fmt::Write as _;

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use forms::Form;
use maud::{Markup, PreEscaped, html};
use measure::Units;

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw};
use crate::layout::Page;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/measure", get(ask).post(check)).route("/measure/drawing", post(live))
}

/// The page for a form that is named in the address, or the question which form it is.
async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    respond(&app, &filled)
}

async fn check(State(app): State<App>, Posted(filled): Posted) -> Response {
    respond(&app, &filled)
}

fn respond(app: &App, filled: &Filled) -> Response {
    let mut mistakes = Mistakes::default();
    let form = named(app, filled, &mut mistakes);
    let drawing = form.map(|form| drawing(form, filled, &mut mistakes));
    let status = if mistakes.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    (status, page(app, form, filled, &mistakes, drawing.as_ref())).into_response()
}

/// The drawing alone, while typing; what is wrong is said quietly beside it.
async fn live(State(app): State<App>, Posted(filled): Posted) -> Markup {
    let mut mistakes = Mistakes::default();
    let Some(form) = named(&app, &filled, &mut mistakes) else { return html! {} };
    let drawn = drawing(form, &filled, &mut mistakes);
    html! {
        @if !mistakes.is_empty() {
            ul.quiet-words { @for (_, message) in mistakes.iter() { li { (message) } } }
        }
        (drawn)
    }
}

fn named<'a>(app: &'a App, filled: &Filled, mistakes: &mut Mistakes) -> Option<&'a Form> {
    let found = app.desk().forms.find(filled.text("form")?);
    found.inspect_err(|why| figures::told(why, mistakes)).ok()
}

/// The drawing with its table and what to do with them; the form's own figures where a measure can't be used.
pub(crate) fn drawing(form: &Form, filled: &Filled, mistakes: &mut Mistakes) -> Markup {
    let measures = figures::measures(form, filled, mistakes);
    let built = form.piece(&measures).or_else(|why| {
        figures::told(&why, mistakes);
        form.piece(&forms::Measures::default())
    });
    let Ok(built) = built else { return html! {} };
    let units = Units::UsCustomary;
    let svg = draw::piece_svg(&built.piece, &figures::drawn(form, &built.used), &form.name, units);
    let count = built.used.iter().filter(|figure| figure.measured).count();
    html! {
        figure.drawing.of-piece tabindex="0" aria-label={ "Drawing of one " (form.name) } data-said={ "Drawn with " (count) " measured" } {
            (PreEscaped(svg))
            figcaption { "~ is not measured: it is taken from the form. Hatched is a handle, grey a spout." }
        }
        details {
            summary { "The same in words" }
            table.figures {
                caption { "Each letter of the drawing" }
                thead { tr { th scope="col" { "Letter" } th scope="col" { "What" } th scope="col" { "Figure" } th scope="col" { "From" } } }
                tbody {
                    @for row in figures::table(form, &built.used, units) {
                        tr {
                            td { @if let Some(letter) = row.letter { (letter) } }
                            th scope="row" { (row.what) }
                            td { (row.value) }
                            td { (row.from) }
                        }
                    }
                }
            }
        }
        p { a href=(pack_link(form, filled)) { "Pack some of these" } }
        details {
            summary { "As lines of a job sheet" }
            pre tabindex="0" { (sheet_lines(form, filled)) }
        }
    }
}

/// The measures as they were typed, by their names in a sheet and in the packing page's form.
fn typed<'a>(form: &Form, filled: &'a Filled) -> Vec<(&'static str, &'a str)> {
    let lettered = figures::lettered(form);
    lettered.into_iter().filter_map(|(_, field)| Some((field.name(), filled.text(field.name())?))).collect()
}

fn sheet_lines(form: &Form, filled: &Filled) -> String {
    let mut out = format!("  [[find.piece]]\n  form = \"{}\"\n  count = 1\n", form.id);
    for (name, text) in typed(form, filled) {
        let figure = toml::Value::from(bare_unit(name, text)).to_string();
        let _ = writeln!(out, "  {name} = {figure}");
    }
    out
}

/// A figure with its unit, as a sheet without one would refuse it.
fn bare_unit(name: &str, text: &str) -> String {
    let has_unit =
        text.chars().any(|c| c.is_alphabetic() || matches!(c, '"' | '\'' | '\u{2033}' | '\u{2032}'));
    match (has_unit, name) {
        (true, _) | (_, "handles") => text.to_owned(),
        (false, "weight" | "lid_weight") => format!("{text} oz"),
        (false, _) => format!("{text} in"),
    }
}

fn pack_link(form: &Form, filled: &Filled) -> String {
    let mut link = format!("/pack?form-1={}", coded(&form.name));
    let told: Vec<String> = typed(form, filled)
        .into_iter()
        .map(|(name, text)| format!("{name}={}", bare_unit(name, text)))
        .collect();
    if !told.is_empty() {
        let _ = write!(link, "&measures-1={}", coded(&told.join("; ")));
    }
    link
}

/// A text as part of an address (published: RFC 3986, section 2.1).
fn coded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~') {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

fn page(
    app: &App,
    form: Option<&Form>,
    filled: &Filled,
    mistakes: &Mistakes,
    drawing: Option<&Markup>,
) -> Markup {
    let form_field = Field::needed(
        "form",
        "What it is",
        "Its form decides what there is to measure.",
        Kind::Words { known: app.desk().form_names() },
    );
    let body = html! {
        form.inline method="get" action="/measure" novalidate {
            (draw(&form_field, filled, mistakes, true))
            button type="submit" { @if form.is_some() { "Another form" } @else { "Show what to measure" } }
        }
        @if let Some(form) = form {
            div.beside {
                section #drawing aria-label="Drawing" tabindex="-1" { @if let Some(drawing) = drawing { (drawing) } }
                form method="post" action="/measure" novalidate data-live="/measure/drawing" data-into="drawing" {
                    h2 { "Measures of one " (form.name) }
                    p { "Type them as you read them: 3 1/4, 8.3 cm, 1 lb 3.5 oz. A bare figure is inches, or ounces." }
                    input type="hidden" name="form" value=(form.name);
                    @let fields = figures::fields(form);
                    @for (k, field) in fields.iter().enumerate() {
                        (draw(field, filled, mistakes, k + 1 == fields.len()))
                    }
                    div.actions { button type="submit" { "Draw it" } }
                }
            }
            p.unseen role="status" #drawing-said {}
        }
        p { a href="/help#measure" { "How to use this page" } }
    };
    Page::new("Measure a piece", "/measure", body).with_mistakes(mistakes).draw()
}

#[cfg(test)]
mod tests {
    use super::{bare_unit, coded};

    #[test]
    fn a_bare_figure_is_handed_on_with_the_unit_it_was_read_in() {
        assert_eq!(bare_unit("diameter", "3 1/4"), "3 1/4 in");
        assert_eq!(bare_unit("weight", "9.2"), "9.2 oz");
        assert_eq!(bare_unit("diameter", "8.3 cm"), "8.3 cm");
        assert_eq!(bare_unit("handles", "2"), "2");
    }

    #[test]
    fn a_text_in_an_address_is_coded_byte_by_byte() {
        assert_eq!(coded("mug, 11 fl oz & ä"), "mug%2C%2011%20fl%20oz%20%26%20%C3%A4");
    }
}
