//! Comps of a find: pasted, a line each, and struck again.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Response};
use books::FindId;
use jiff::civil::Date;
use shop::Comp;

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted};
use crate::shopdoor::NoAnswer;

/// Most comps that are pasted at once.
const MOST_LINES: usize = 200;

/// The field that comps are pasted into.
pub(super) fn field() -> Field {
    Field::needed(
        "comps",
        "What like ones sold for or were offered at, one a line",
        "2 for 17.50 + 8.25, 10d ago is two pieces for 17.50 with 8.25 of shipping, ten days ago. offer <24 was \
         sold below an ask of 24. unsold 35 for 90d stood at 35 and nobody took it. Shipping that is left out counts \
         as not known.",
        Kind::Lines { rows: 5, sheet: true },
    )
}

/// The lines that are comps, each as it was typed; mistakes say their line.
fn read(filled: &Filled, today: Date, mistakes: &mut Mistakes) -> Vec<String> {
    const NOTHING: &str = "Type at least one, for example: 2 for 17.50 + 8.25, 10d ago";
    if filled.needed("comps", NOTHING, mistakes).is_none() {
        return Vec::new();
    }
    let text = filled.typed("comps");
    let (comps, errors) = pricing::read_lines(text, today);
    if let Some((line, error)) = errors.first() {
        let more =
            if errors.len() > 1 { format!(" ({} lines are wrong)", errors.len()) } else { String::new() };
        mistakes.add(
            "comps",
            format!("Line {line}: {}{more}. Right would be, for example: {}", error.fault, error.right),
        );
    } else if comps.is_empty() {
        mistakes.add("comps", NOTHING);
    } else if comps.len() > MOST_LINES {
        mistakes.add(
            "comps",
            format!("{} lines are too many; right would be at most {MOST_LINES} at once", comps.len()),
        );
    }
    let lines: Vec<&str> = text.strip_prefix('\u{feff}').unwrap_or(text).lines().collect();
    let line = |number: usize| lines.get(number.checked_sub(1)?).map(|line| line.trim().to_owned());
    comps.iter().filter_map(|(number, _)| line(*number)).collect()
}

/// Adds what was pasted: all of it or, where a line is wrong, nothing.
pub(super) async fn add(State(app): State<App>, Path(find): Path<u64>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let date = app.now().day;
    let lines = read(&filled, date, &mut mistakes);
    let said = super::beside::read(&filled, &mut Mistakes::default());
    let page = format!("/finds/{find}/worth{}", super::beside::query(&said, "?"));
    if mistakes.is_empty() {
        let done = page.clone();
        let stored = app
            .write_shop(&filled, "comps", &page, &mut mistakes, move |shop, _, stamp| {
                shop.find_text(FindId(find))?;
                let comps = lines.into_iter().map(|typed| Comp { find: FindId(find), typed, date });
                shop.note_all(stamp, &comps.collect::<Vec<_>>())?;
                Ok(done)
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    super::worth_page::page(&app, find, &filled, &mistakes).await
}

/// Takes a comp off the find.
pub(super) async fn strike(
    State(app): State<App>,
    Path(find): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let said = super::beside::read(&filled, &mut Mistakes::default());
    let page = format!("/finds/{find}/worth{}", super::beside::query(&said, "?"));
    let Some(number) = filled.text("comp").and_then(|number| number.parse::<u64>().ok()) else {
        return crate::refusal::nowhere().await.into_response();
    };
    let done = page.clone();
    let struck = app
        .write_shop(&filled, "comps", &page, &mut mistakes, move |shop, _, stamp| {
            let known: Comp = shop.noted_one(number)?;
            if known.find != FindId(find) {
                return Err(NoAnswer::Stop(keeping::Stop::Input(format!(
                    "comp {number} is of find {}; right would be one of find {find}",
                    known.find
                ))));
            }
            shop.strike::<Comp>(stamp, number)?;
            Ok(done)
        })
        .await;
    match struck {
        Some(response) => response,
        None => super::worth_page::page(&app, find, &filled, &mistakes).await,
    }
}
