//! Sets with pieces of other finds: what a set holds, and into which lots of sets they are split.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use keeping::{SetDecision, SetPart};
use maud::{Markup, html};

use super::typed_lots::read_lots;
use crate::App;
use crate::enter::unable;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::count;

/// Most pieces of the leading find in a set.
const MOST_EACH: u32 = 1000;
/// Finds of the same haul that are shown (judgement).
const SHOWN: usize = 30;
/// Most characters of a note.
const LONGEST_NOTE: usize = 500;

/// A find that may go into the sets.
struct Other {
    find: FindId,
    description: String,
    free: u32,
}

pub(super) async fn show(State(app): State<App>, Path(find): Path<u64>) -> Response {
    page(&app, find, &Filled::default(), &Mistakes::default()).await
}

pub(super) async fn decide(
    State(app): State<App>,
    Path(find): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let lead = FindId(find);
    let each = filled.whole("each", 1..=MOST_EACH, &mut mistakes).unwrap_or(1);
    let missing = "Say what else is in a set, for example: 1 of 3";
    let others = filled.needed("with", missing, &mut mistakes).map(str::to_owned);
    let others = others.and_then(|_| {
        keeping::set_parts_told(filled.typed("with"), lead).map_err(|why| mistakes.add("with", why)).ok()
    });
    let missing = "Say which lots of sets, for example: 2 x 4 + 1 x 3";
    let lots = filled.needed("lots", missing, &mut mistakes).map(str::to_owned);
    let lots = lots.and_then(|text| read_lots(&text).map_err(|why| mistakes.add("lots", why)).ok());
    let spare = filled.whole("spare", 0..=1000, &mut mistakes).unwrap_or(0);
    let note = filled.text("note").unwrap_or_default().to_owned();
    if note.chars().count() > LONGEST_NOTE {
        mistakes.add(
            "note",
            format!("it is longer than {LONGEST_NOTE} characters; right would be a shorter one"),
        );
    }
    if let (Some(others), Some(lots), true) = (others, lots, mistakes.is_empty()) {
        let mut parts = vec![SetPart { find: lead, each }];
        parts.extend(others);
        let decision = SetDecision { parts, lots, spare, date: app.now().day, note };
        let back = format!("/finds/{find}/sets");
        let stored = app
            .write_shop(&filled, "lots", &back, &mut mistakes, move |shop, _, stamp| {
                let numbers = keeping::keep_sets(shop, stamp, &decision)?;
                let with: String = numbers.iter().skip(1).map(|number| format!("&with={number}")).collect();
                let first = numbers.first().copied().unwrap_or_default();
                Ok(format!("/listings/new?split={first}{with}"))
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    page(&app, find, &filled, &mistakes).await
}

async fn page(app: &App, find: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let lead = FindId(find);
    let found = app
        .read_shop(move |shop, _| {
            let (text, free) = (shop.find_text(lead)?, keeping::sound_and_free(shop, lead)?);
            let haul = shop.books()?.haul_of(lead).map_err(shop::ShopError::from)?.id();
            let mut others = Vec::new();
            for other in shop.finds_of(haul)?.into_iter().filter(|other| *other != lead).take(SHOWN) {
                let free = keeping::sound_and_free(shop, other)?;
                others.push(Other { find: other, description: shop.find_text(other)?.description, free });
            }
            Ok((text, free, others))
        })
        .await;
    let (text, free, others) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let path = format!("/finds/{find}/sets");
    let fields = fields();
    let body: Markup = html! {
        p { (text.description) ": " (count(free, "sound piece")) " free. A set is made of them and of pieces of other finds: cups with their saucers." }
        @if others.is_empty() {
            p { "Its haul has no other find; a set may be made with a find of any haul." }
        } @else {
            table.figures {
                caption { "Other finds of the same haul" }
                thead { tr { th scope="col" { "Find" } th.num scope="col" { "Sound and free" } } }
                tbody { @for other in &others { tr { th scope="row" { (other.find) ": " (other.description) } td.num { (other.free) } } } }
            }
        }
        form method="post" action=(path) novalidate {
            (once_field(&key))
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
            div.actions {
                button type="submit" { "Keep it, and list these sets" }
                a.quiet href={ "/finds/" (find) "/split" } { "Lots of this find alone" }
            }
        }
        p.hint { "What sets sell for isn't reckoned from the comps of one find: the price is yours, and the listing's page then says what its orders cost to send." }
        p { a href="/help#split" { "How to use this page" } }
    };
    let title = format!("Sets with find {find}");
    checked(&app.page(&title, "/stock/find", body).with_mistakes(mistakes))
}

fn fields() -> [Field; 5] {
    let words = || Kind::Words { known: Vec::new() };
    [
        Field::optional("each", "Pieces of this find in a set", "Left out, one.", Kind::Whole),
        Field::needed(
            "with",
            "And of other finds",
            "1 of 3 is one piece of find 3 in each set; a line for each find.",
            Kind::Lines { rows: 3, sheet: false },
        ),
        Field::needed(
            "lots",
            "Lots of sets",
            "2 x 4 + 1 x 3 is two lots of four sets and one of three.",
            words(),
        ),
        Field::optional("spare", "Sets kept back for one that breaks", "", Kind::Whole),
        Field::optional("note", "Why", "For yourself, later.", words()),
    ]
}
