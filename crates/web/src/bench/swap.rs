//! A piece that proved flawed, broken or missing at the bench, and the one that goes instead.

use std::collections::BTreeSet;

use axum::extract::{Path, State};
use axum::response::Response;
use books::{FindId, OrderId};
use keeping::{FreePiece, Proved, Swapping};
use maud::{Markup, html};
use shop::{HistoryRow, OrderState, PieceRef, PullRow, Record, StandingOrder};

use super::seen::{meanwhile, seen};
use crate::App;
use crate::enter::unable;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field, short};
use crate::orders::typed::{hidden, state_words};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Most characters of a note or a flaw.
const LONGEST_NOTE: usize = 200;
/// Free pieces of a find that the list shows; others are typed (judgement).
const SHOWN: usize = 40;
/// What stands for the next sound piece of the same find.
const NEXT: &str = "next";

/// What the form is drawn from.
struct AtSwap {
    order: StandingOrder,
    pull: Vec<PullRow>,
    free: Vec<(FindId, String, Vec<FreePiece>)>,
    promised: Vec<PieceRef>,
    history: Vec<HistoryRow>,
}

async fn read(app: &App, number: u64) -> Result<AtSwap, Response> {
    let id = OrderId(number);
    app.read_shop(move |shop, _| {
        let (order, pull) = (shop.order(id)?, shop.pull_list(id)?);
        let finds: BTreeSet<FindId> = pull.iter().map(|row| row.find).collect();
        let mut free = Vec::new();
        for find in finds {
            let mut pieces = keeping::free_pieces(shop, find)?;
            // Sound ones first; the sort keeps their numbers in order.
            pieces.sort_by_key(|one| !one.is_sound());
            pieces.truncate(SHOWN);
            free.push((find, shop.find_text(find)?.description, pieces));
        }
        let (promised, history) = (keeping::promised(shop, id)?, shop.history(Record::Order, id.0)?);
        Ok(AtSwap { order, pull, free, promised, history })
    })
    .await
}

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>, Posted(asked): Posted) -> Response {
    match read(&app, number).await {
        Ok(at) => {
            let filled =
                asked.text("out").map_or_else(Filled::default, |out| Filled::default().with("out", out));
            form(&app, number, &at, &filled, &Mistakes::default())
        }
        Err(page) => page,
    }
}

pub(super) async fn send(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let at = match read(&app, number).await {
        Ok(at) => at,
        Err(page) => return page,
    };
    let mut mistakes = Mistakes::default();
    let out =
        filled.needed("out", "which piece stays is missing; right would be one of the list", &mut mistakes);
    let out = out.and_then(|text| piece("out", text, &mut mistakes));
    let instead = match (filled.text("other"), filled.text("in")) {
        (Some(other), _) => piece("other", other, &mut mistakes).map(Some),
        (None, None | Some(NEXT)) => Some(None),
        (None, Some(chosen)) => piece("in", chosen, &mut mistakes).map(Some),
    };
    let proved = proved(&filled, &mut mistakes);
    let [why, _, _] = ["why", "kind", "position"].map(|name| filled.note(name, LONGEST_NOTE, &mut mistakes));
    if let (Some(out), Some(instead), Some(proved), true) = (out, instead, proved, mistakes.is_empty()) {
        let asked = Swapping { order: OrderId(number), out, instead, proved, why, day: app.now().day };
        let path = format!("/bench/{number}");
        let (done, told) = (path.clone(), filled.text("seen").map(str::to_owned));
        let field = if instead_is_typed(&filled) { "other" } else { "in" };
        let stored = app
            .write_shop(&filled, field, &path, &mut mistakes, move |shop, _, stamp| {
                let history = shop.history(Record::Order, number)?;
                let promised = keeping::promised(shop, OrderId(number))?;
                if let Some(why) = meanwhile(&history, &promised, told.as_deref()) {
                    return Err(NoAnswer::Stop(keeping::Stop::Input(why)));
                }
                keeping::swap_at_bench(shop, stamp, &asked)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
        // Sent again, it is sent knowing what is drawn now.
        return match read(&app, number).await {
            Ok(at) => form(&app, number, &at, &filled.with("seen", ""), &mistakes),
            Err(page) => page,
        };
    }
    form(&app, number, &at, &filled, &mistakes)
}

fn instead_is_typed(filled: &Filled) -> bool {
    filled.text("other").is_some()
}

fn piece(name: &str, text: &str, mistakes: &mut Mistakes) -> Option<PieceRef> {
    keeping::one_piece(&short(text)).map_err(|why| mistakes.add(name, why)).ok()
}

/// What proved to be with the piece that stays.
fn proved(filled: &Filled, mistakes: &mut Mistakes) -> Option<Proved> {
    match filled.text("proved") {
        Some("broken") => Some(Proved::Broken),
        Some("sound") => Some(Proved::Sound),
        Some("flawed") => {
            let missing = "what flaw it has is missing; right would be: chip";
            let kind = filled.needed("kind", missing, mistakes)?.to_owned();
            let position = filled.text("position").unwrap_or_default().to_owned();
            let size = filled.length("size", mistakes);
            Some(Proved::Flawed { kind, position, size })
        }
        Some(_) | None => {
            mistakes.add("proved", "what proved to be with it isn't said; right would be one of the list");
            None
        }
    }
}

fn fields(at: &AtSwap) -> [Field; 8] {
    let promised = at.pull.iter().flat_map(|row| {
        row.pieces.iter().map(|number| {
            let place = if row.shelf.is_empty() { "no place noted" } else { &row.shelf };
            let words = format!("{}, piece {number} of find {} ({place})", row.description, row.find);
            Choice::new(&format!("{}:{number}", row.find), &words)
        })
    });
    let free = at.free.iter().flat_map(|(find, description, pieces)| {
        pieces.iter().map(move |one| {
            let state = match (one.flawed, one.flaws.as_slice()) {
                (false, []) => String::from("sound"),
                (true, []) => String::from("flawed"),
                (_, flaws) => flaws.join("; "),
            };
            let words = format!("{state}: {description}, piece {} of find {find}", one.piece.number);
            Choice::new(&format!("{find}:{}", one.piece.number), &words)
        })
    });
    let next = Choice::new(NEXT, "the next sound one");
    [
        Field::needed("out", "The piece that stays", "", Kind::OneOf(promised.collect())),
        Field::needed(
            "proved",
            "What is with it",
            "",
            Kind::OneOf(vec![
                Choice::new("flawed", "flawed: back to its place"),
                Choice::new("broken", "broken or not there: off the shelf"),
                Choice::new("sound", "nothing: back to its place"),
            ]),
        ),
        Field::optional(
            "kind",
            "Its flaw",
            "Chip, hairline, crazing; where it has one.",
            Kind::Words { known: crate::finds::FLAWS.map(ToOwned::to_owned).to_vec() },
        ),
        Field::optional("position", "Where on it", "Inside the rim.", Kind::Words { known: Vec::new() }),
        Field::optional("size", "How large", "1/2 in", Kind::Measure),
        Field::needed(
            "in",
            "What goes instead",
            "The next sound one is of the same find.",
            Kind::OneOf(std::iter::once(next).chain(free).collect()),
        ),
        Field::optional(
            "other",
            "Or a piece of another find",
            "7:2 is piece 2 of find 7. Filled in, it goes before the list.",
            Kind::Code,
        ),
        Field::optional("why", "Anything to remember", "", Kind::Words { known: Vec::new() }),
    ]
}

fn form(app: &App, number: u64, at: &AtSwap, filled: &Filled, mistakes: &Mistakes) -> Response {
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let path = format!("/bench/{number}/swap");
    let open = match at.order.state {
        OrderState::Open => !at.pull.is_empty(),
        OrderState::Sent | OrderState::Cancelled => false,
    };
    let body: Markup = html! {
        @if open {
            p { "A piece that proves flawed, broken or missing gives its place in the order to another. Both are stored together, or neither." }
            form method="post" action=(path) novalidate {
                (once_field(&key))
                (hidden("seen", &filled.text("seen").map_or_else(|| seen(&at.history, &at.promised), str::to_owned)))
                @let fields = fields(at);
                @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
                p.hint { "A plan of the order stands. Where the other piece is of another find, or measured otherwise, plan the order anew." }
                div.actions { button type="submit" { "Swap them" } a.quiet href={ "/bench/" (number) } { "Leave it" } }
            }
        } @else {
            p { "Order " (number) " is " (state_words(at.order.state, at.order.paid_on, at.order.sent_on)) "; no piece waits to be swapped." }
            p { a href={ "/bench/" (number) } { "Back to its plan" } }
        }
        p { a href="/help#swap" { "How to use this page" } }
    };
    let title = format!("Swap a piece of order {number}");
    checked(&app.page(&title, &path, body).with_mistakes(mistakes))
}
