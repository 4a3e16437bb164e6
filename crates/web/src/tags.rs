//! Place tags and thank-you labels on sheets of labels, printed by the browser to the sheet's own measures.

use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use books::{FindId, HaulId};
use maud::{DOCTYPE, Markup, html};
use shop::Shop;

use crate::App;
use crate::assets;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Sheets that are sold as 30 labels of 2 5/8 x 1 in on letter paper, and as 24 of 70 x 37 mm on A4 (common
/// practice). The style sheet holds their measures under the same names.
const SHEETS: [(&str, &str, u32); 2] =
    [("letter-30", "Letter, 30 of 2 5/8 x 1 in", 30), ("a4-24", "A4, 24 of 70 x 37 mm", 24)];
/// Most labels of one printing.
const MOST: u32 = 600;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/tags", get(ask)).route("/tags/sheet", get(sheet))
}

fn fields() -> [Field; 5] {
    let sheets = SHEETS
        .iter()
        .map(|(value, words, _)| Choice { value: (*value).to_owned(), words: (*words).to_owned() });
    [
        Field::optional("finds", "Place tags for finds", "Their numbers: 3, or 1, 4-6.", Kind::Code),
        Field::optional("copies", "Of each", "Left out, one.", Kind::Whole),
        Field::optional(
            "thanks",
            "Or the same text on each",
            "Thank-you labels: up to four lines. Left out, place tags.",
            Kind::Lines { rows: 4, sheet: false },
        ),
        Field::needed("paper", "Sheet of labels", "", Kind::OneOf(sheets.collect())),
        Field::optional(
            "first",
            "First free label",
            "Of a sheet begun before, counted row by row. Left out, 1.",
            Kind::Whole,
        ),
    ]
}

/// What is asked; a haul or a find that the address names is filled in.
async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let haul = filled.text("haul").and_then(|text| text.parse().ok()).map(HaulId);
    let mut filled = filled;
    if let Some(haul) = haul {
        let found = app.read_shop(move |shop, _| Ok(shop.finds_of(haul)?)).await;
        match found {
            Ok(finds) => {
                let numbers: Vec<String> = finds.iter().map(ToString::to_string).collect();
                filled = filled.with("finds", numbers.join(", "));
            }
            Err(page) => return page,
        }
    } else if let Some(find) = filled.text("find").map(ToOwned::to_owned) {
        filled = filled.with("finds", find);
    }
    page(&app, &filled, &Mistakes::default())
}

fn page(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let fields = fields();
    let body = html! {
        form method="get" action="/tags/sheet" novalidate {
            @for (k, field) in fields.iter().enumerate() {
                (draw(field, filled, mistakes, k + 1 == fields.len()))
            }
            button type="submit" { "Show the sheet" }
        }
        p { "Print at 100 %, without margins of the browser's own, on plain paper first: hold it against a sheet of labels." }
    };
    checked(&app.page("Place tags and labels", "/hauls/tags", body).with_mistakes(mistakes))
}

/// A label's lines, the first the largest.
type Label = Vec<String>;

async fn sheet(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let copies = filled.whole("copies", 1..=MOST, &mut mistakes).unwrap_or(1);
    let paper = SHEETS.iter().find(|(name, ..)| Some(*name) == filled.text("paper")).unwrap_or(&SHEETS[0]);
    let first = filled.whole("first", 1..=paper.2, &mut mistakes).unwrap_or(1);
    let thanks: Label = filled.lines("thanks").into_iter().take(4).map(|(_, line)| line.to_owned()).collect();
    let finds = crate::finds::numbers(&filled, "finds", &mut mistakes);
    let labels = if !thanks.is_empty() {
        let count = if filled.text("copies").is_some() { copies } else { paper.2 - (first - 1) };
        vec![thanks; usize::try_from(count).unwrap_or(0)]
    } else {
        let Some(finds) = finds else {
            mistakes.add("finds", "no find is named; right would be: 3, or 1, 4-6, or a text for each label");
            return page(&app, &filled, &mistakes);
        };
        if u32::try_from(finds.len()).unwrap_or(u32::MAX).saturating_mul(copies) > MOST {
            mistakes.add("copies", format!("these are over {MOST} labels; right would be fewer at once"));
            return page(&app, &filled, &mistakes);
        }
        let found = app
            .ask_shop(move |shop, _| finds.iter().map(|find| tag(shop, FindId(u64::from(*find)))).collect());
        match found.await {
            Ok(tags) => {
                let tags: Vec<Label> = tags;
                tags.into_iter().flat_map(|tag| vec![tag; usize::try_from(copies).unwrap_or(1)]).collect()
            }
            Err(NoAnswer::NotBegun) => return NoAnswer::NotBegun.page(),
            Err(NoAnswer::Stop(stop)) => {
                mistakes.add("finds", stop.to_string());
                return page(&app, &filled, &mistakes);
            }
        }
    };
    if !mistakes.is_empty() {
        return page(&app, &filled, &mistakes);
    }
    drawn(paper.0, paper.2, first, &labels).into_response()
}

/// What the tag of a find says: its place, its number, what it is.
fn tag(shop: &mut Shop, find: FindId) -> Result<Label, NoAnswer> {
    let text = shop.find_text(find)?;
    let pieces = shop.pieces(find)?;
    let on_hand = pieces.iter().filter(|piece| piece.fate == "on hand").count();
    let on_hand = crate::said::count(u32::try_from(on_hand).unwrap_or(u32::MAX), "piece");
    let place = if text.shelf.is_empty() { String::from("no place yet") } else { text.shelf };
    Ok(vec![place, format!("Find {find}: {on_hand}"), text.description])
}

fn drawn(name: &str, of: u32, first: u32, labels: &[Label]) -> Markup {
    let skipped = usize::try_from(first.saturating_sub(1)).unwrap_or(0);
    let all: Vec<Option<&Label>> =
        std::iter::repeat_n(None, skipped).chain(labels.iter().map(Some)).collect();
    let sheets: Vec<&[Option<&Label>]> = all.chunks(usize::try_from(of).unwrap_or(1).max(1)).collect();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Sheet of labels - Lotwright" }
                link rel="stylesheet" href=(assets::path("lotwright.css"));
                link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                script type="module" src=(assets::path("page.js")) {}
            }
            body.labels {
                nav.screen-only aria-label="This sheet" {
                    ul { li { a href="/tags" { "Other labels" } } li { a href="/hauls" { "Hauls" } } }
                    button type="button" data-print hidden { "Print" }
                }
                main #page tabindex="-1" {
                    h1.unseen { "Sheet of labels" }
                    @for (k, sheet) in sheets.iter().enumerate() {
                        div class={ "label-sheet " (name) } role="region" aria-label={ "Sheet " (k + 1) } tabindex="0" {
                            @for label in *sheet {
                                div.label {
                                    @if let Some(lines) = label {
                                        @for (k, line) in lines.iter().enumerate() {
                                            p.first[k == 0] { (line) }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
