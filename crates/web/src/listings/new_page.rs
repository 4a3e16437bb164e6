//! A new listing: from a decision how a find is split, or by hand.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::State;
use axum::response::Response;
use books::FindId;
use jiff::civil::Date;
use keeping::{Desk, FindQuestion, LotsAsked, RecordJob, SetQuestion, SetTold};
use maud::{Markup, html};
use measure::Money;
use serde_json::json;
use shop::{ListingIn, Shop, Split};

use super::fields;
use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::lots::{Answer, Kind};
use crate::record_page::checked;
use crate::said::count;
use crate::shopdoor::NoAnswer;

/// A decision whose lots are listed.
struct Decided {
    number: u64,
    split: Split,
    /// Decisions on the other finds of its sets, in step with its own lots.
    with: Vec<(u64, Split)>,
    /// What the find is.
    words: String,
    /// Lots by pieces in them that no listing was made of yet, the largest first.
    left: Vec<(u32, u32)>,
    all_flawed: bool,
    /// The find as a job, where it makes one: its prices may be known.
    job: Option<Arc<RecordJob>>,
}

impl Decided {
    /// What a lot with so many pieces of the leading find holds, a line for each find.
    fn holds(&self, pieces: u32) -> String {
        let mut lines = vec![format!("{pieces} of {}", self.split.find)];
        let place = self.split.lots.iter().position(|size| *size == pieces);
        for (_, other) in &self.with {
            if let Some(size) = place.and_then(|place| other.lots.get(place)) {
                lines.push(format!("{size} of {}", other.find));
            }
        }
        lines.join("\n")
    }
}

/// Decisions on other finds that were made together with one.
fn with(filled: &Filled) -> Vec<u64> {
    filled.all("with").into_iter().take(keeping::MOST_IN_SET).filter_map(|text| text.parse().ok()).collect()
}

/// What the page needs to know.
struct Known {
    venues: Vec<String>,
    decided: Option<Decided>,
}

async fn known(app: &App, filled: &Filled) -> Result<Known, Response> {
    let day = app.now().day;
    let number = filled.text("split").and_then(|text| text.parse::<u64>().ok());
    // The prices that the split was decided by were reckoned with the same.
    let said = LotsAsked {
        venue: filled.text("venue").map(str::to_owned),
        grade: filled.text("grade").and_then(keeping::grade_named),
        flawed_grade: filled.text("flawed-grade").and_then(keeping::grade_named),
    };
    let (others, alone) = (with(filled), filled.typed("alone").to_owned());
    app.read_shop(move |shop, desk| {
        let venues = fields::venues(shop)?;
        let Some(number) = number else { return Ok(Known { venues, decided: None }) };
        let split: Split = shop.noted_one(number)?;
        let mut question = FindQuestion::read(shop, split.find, day)?;
        question.asks(said.clone())?;
        let mut lots: BTreeMap<u32, u32> = BTreeMap::new();
        for size in &split.lots {
            let many = lots.entry(*size).or_default();
            *many = many.saturating_add(1);
        }
        for state in shop.listings_of(split.find)? {
            if state.entered.card.get("split").and_then(serde_json::Value::as_u64) == Some(number) {
                for part in state.entered.parts.iter().filter(|part| part.find == split.find) {
                    lots.remove(&part.pieces);
                }
            }
        }
        let mut with = Vec::new();
        for other in others {
            let found: Split = shop.noted_one(other)?;
            // Only decisions that were made together have lots in step.
            if found.lots.len() == split.lots.len() && found.find != split.find {
                with.push((other, found));
            }
        }
        let job = if with.is_empty() {
            question.job(desk).ok()
        } else {
            let mut decisions = vec![&split];
            decisions.extend(with.iter().map(|(_, other)| other));
            sets_as_reckoned(shop, desk, &decisions, &alone, said, day)
        };
        let job = job.map(Arc::new);
        let decided = Decided {
            number,
            words: question.records.text.description.clone(),
            left: lots.into_iter().rev().collect(),
            all_flawed: question.is_all_flawed(),
            job,
            split,
            with,
        };
        Ok(Known { venues, decided: Some(decided) })
    })
    .await
}

/// The sets of these decisions as they were reckoned, where they could be.
fn sets_as_reckoned(
    shop: &mut Shop,
    desk: &Desk,
    decisions: &[&Split],
    alone: &str,
    said: LotsAsked,
    day: Date,
) -> Option<RecordJob> {
    let parts = keeping::set_of(decisions)?;
    let alone = keeping::alone_told(alone, &parts).ok()?;
    let mut question = SetQuestion::read(shop, &SetTold { parts, alone }, day).ok()?;
    question.asks(said).ok()?;
    question.job(desk).ok().filter(|_| question.has_comps())
}

pub(super) async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let known = match known(&app, &filled).await {
        Ok(known) => known,
        Err(page) => return page,
    };
    let filled = prefilled(&app, &known, &filled);
    page(&app, &known, &filled, &Mistakes::default())
}

/// What a decision or a find already says of the listing.
fn prefilled(app: &App, known: &Known, filled: &Filled) -> Filled {
    let mut out = filled.clone();
    let put =
        |out: Filled, name: &str, value: String| if filled.has(name) { out } else { out.with(name, value) };
    if let Some(decided) = &known.decided {
        let size = filled.text("size").and_then(|text| text.parse::<u32>().ok());
        let group = decided.left.iter().find(|(pieces, _)| size == Some(*pieces)).or(decided.left.first());
        if let Some((pieces, lots)) = group {
            out = put(out, "holds", decided.holds(*pieces));
            out = put(out, "lots", lots.to_string());
            if decided.all_flawed {
                out = put(out, "which", String::from("flawed"));
                if let Some(grade) = filled.text("flawed-grade") {
                    out = out.with("grade", grade);
                }
            }
            if let Some(price) = price(app, decided, *pieces, *lots) {
                out = put(out, "price", price.write());
            }
        }
    } else if let Some(find) = filled.text("find").and_then(|text| text.parse::<u64>().ok()) {
        out = put(out, "holds", format!("1 of {find}"));
        out = put(out, "lots", String::from("1"));
    }
    out
}

/// The price of one lot, where it was worked out a moment ago.
fn price(app: &App, decided: &Decided, pieces: u32, lots: u32) -> Option<Money> {
    let answer = app.answered(&Kind::Worth, decided.job.as_ref()?)?;
    match answer.as_ref() {
        Answer::Worth(worth) => {
            worth.price_of(&trade::Listing { find: 0, per_lot: vec![pieces], lots, price: None })
        }
        Answer::Ladder(_) | Answer::Whole(_) => None,
    }
}

pub(super) async fn enter(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let parts = fields::read_contents(&filled, &mut mistakes);
    let read = fields::read_offered(&filled, false, &mut mistakes);
    if let Some(0) = read.as_ref().map(|read| read.lots) {
        mistakes.add("lots", "\"0\" lots are nothing to list; right would be 1 or more");
    }
    if let (Some(read), true) = (read, mistakes.is_empty()) {
        let listed_on = app.now().day;
        let split = filled.text("split").and_then(|text| text.parse::<u64>().ok());
        let with = with(&filled);
        let card = read.card(split.map_or_else(
            || json!({}),
            |split| match with.as_slice() {
                [] => json!({ "split": split }),
                with => json!({ "split": split, "with": with }),
            },
        ));
        let stored = app
            .write_shop(&filled, "lots", "/listings", &mut mistakes, move |shop, _, stamp| {
                keeping::pieces_suffice(shop, &parts, read.lots)?;
                let title = match read.title {
                    Some(title) => title,
                    None => keeping::listing_title(shop, &parts)?,
                };
                let new = ListingIn {
                    venue: None,
                    title,
                    lots: read.lots,
                    price: read.price,
                    floor: read.floor,
                    listed_on,
                    ended: false,
                    card,
                    parts,
                };
                let listing = keeping::put_listing(shop, stamp, None, new, read.venue.as_deref())?;
                Ok::<_, NoAnswer>(format!("/listings/{listing}"))
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    match known(&app, &filled).await {
        Ok(known) => page(&app, &known, &filled, &mistakes),
        Err(page) => page,
    }
}

fn page(app: &App, known: &Known, filled: &Filled, mistakes: &Mistakes) -> Response {
    let offered = fields::offered(&known.venues, false);
    let body = html! {
        @if let Some(decided) = &known.decided { (groups(decided, filled)) }
        @else {
            p { "A listing is so many like lots, each of so many pieces. To find out which lots pay best, split a find first: the page " a href="/stock#shelf" { "Stock" } " has them all." }
        }
        form method="post" action="/listings/new" novalidate {
            (once_field(&app.form_key().unwrap_or_default()))
            @if let Some(decided) = &known.decided {
                input type="hidden" name="split" value=(decided.number);
                @for (other, _) in &decided.with { input type="hidden" name="with" value=(other); }
            }
            @for field in fields::contents() { (draw(&field, filled, mistakes, false)) }
            @for (k, field) in offered.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == offered.len())) }
            div.actions { button type="submit" { "List these lots" } }
        }
        (super::help())
    };
    checked(&app.page("List lots", "/listings/new", body).with_mistakes(mistakes))
}

/// The lots of a decision that are still to be listed.
fn groups(decided: &Decided, filled: &Filled) -> Markup {
    let said: String = ["venue", "grade", "flawed-grade", "alone"]
        .into_iter()
        .filter_map(|name| Some(format!("&{name}={}", crate::spelled::in_address(filled.text(name)?))))
        .collect();
    let find: FindId = decided.split.find;
    html! {
        p {
            @if !decided.with.is_empty() { "Sets with " @for (k, (_, other)) in decided.with.iter().enumerate() { @if k > 0 { ", " } "find " (other.find) } ". " }
            "Find " (find) ", " (decided.words) ", as decided on " (decided.split.date) "."
            @if decided.split.spare > 0 { " " (decided.split.spare) " kept back." }
        }
        @if decided.left.is_empty() { p { "All lots of this split are listed." } }
        @else if decided.left.len() > 1 {
            p { "Each size is a listing of its own; begin with any:" }
            nav.sizes aria-label="Lots of this split" {
                ul {
                    @for (pieces, lots) in &decided.left {
                        li { a href={ "/listings/new?split=" (decided.number) @for (other, _) in &decided.with { "&with=" (other) } "&size=" (pieces) (said) } { (count(*lots, "lot")) " of " (pieces) } }
                    }
                }
            }
        }
    }
}
