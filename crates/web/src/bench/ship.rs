//! What the scale said: each parcel as it leaves, beside its plan.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{OrderId, Purse};
use keeping::{AtDoor, PartsGone};
use maud::{Markup, html};
use measure::{Mass, Money, Units};
use shop::{
    HistoryRow, OrderState, OutsideSize, ParcelActual, PieceRef, PlannedSupply, Record, Shop, StandingOrder,
    StandingParcel, Supply,
};

use super::compared::compared;
use super::seen::{meanwhile, seen};
use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, enter_sends, once_field};
use crate::orders::sent_in_parts;
use crate::orders::typed::{hidden, state_words};
use crate::record_page::checked;
use crate::said::{count, sides};
use crate::shopdoor::NoAnswer;

/// Parcels that one form takes.
const MOST_PARCELS: usize = 30;
/// Most minutes of packing a parcel, as the file keeps them.
const MOST_MINUTES: u32 = 10_000;
/// Most characters of a parcel's number with its carrier.
const LONGEST_NUMBER: usize = 100;

/// What the form is drawn from.
struct AtScale {
    order: StandingOrder,
    /// The parcels that wait.
    parcels: Vec<StandingParcel>,
    /// Their numbers among all parcels of the order, from 1.
    numbers: Vec<usize>,
    supplies: Vec<(u64, Supply)>,
    /// The pieces that each of them holds by its plan.
    by_plan: Vec<Vec<PieceRef>>,
    /// All pieces that wait.
    promised: Vec<PieceRef>,
    parts: PartsGone,
    /// The parcels that went before.
    sent: Vec<StandingParcel>,
    history: Vec<HistoryRow>,
}

async fn read(app: &App, number: u64) -> Result<AtScale, Response> {
    let id = OrderId(number);
    app.read_shop(move |shop, _| {
        let (order, all) = (shop.order(id)?, shop.parcels(id)?);
        let parts = PartsGone::read(shop, id, &all)?;
        let numbers = (1..).zip(&all).filter(|(_, parcel)| parcel.actual.is_none()).map(|(number, _)| number);
        let numbers = numbers.collect();
        let (sent, parcels): (Vec<_>, Vec<_>) = all.into_iter().partition(|parcel| parcel.actual.is_some());
        Ok(AtScale {
            by_plan: keeping::pieces_by_plan(&parcels, &shop.pull_list(id)?),
            promised: parts.waiting.clone(),
            supplies: shop.noted::<Supply>()?,
            history: shop.history(Record::Order, number)?,
            order,
            parcels,
            numbers,
            parts,
            sent,
        })
    })
    .await
}

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match read(&app, number).await {
        Ok(at) => form(&app, number, &at, &Filled::default(), &Mistakes::default(), &html! {}),
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
    let filled = if filled.has("add") {
        let more = (rows(&filled, &at) + 1).min(MOST_PARCELS);
        return form(
            &app,
            number,
            &at,
            &filled.with("parcels", more.to_string()),
            &Mistakes::default(),
            &html! {},
        );
    } else {
        filled
    };
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let told: Vec<Told> = (1..=told_rows(&filled, &at)).map(|k| told(&filled, k, &mut mistakes)).collect();
    let postage_from = purse(&filled, "from", Purse::Platform, &mut mistakes);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    // Supplies are looked up by their names in the file.
    let (used, aside) = (told.iter().map(|one| one.used.clone()).collect::<Vec<_>>(), set_aside(&at));
    let looked = app.read_shop(move |shop, _| Ok(supplies(shop, &used, &aside))).await;
    let supplies = match looked {
        Ok(looked) => looked,
        Err(page) => return page,
    };
    let mut at_door = Vec::new();
    for (k, (one, supplies)) in told.iter().zip(supplies).enumerate() {
        match supplies {
            Ok(supplies) => at_door.push(AtDoor {
                parcel: at.parcels.get(k).map(|parcel| parcel.id),
                goes: one.goes,
                pieces: one.pieces.clone(),
                actual: ParcelActual {
                    mass: one.mass,
                    size: one.size,
                    minutes: one.minutes,
                    postage: one.postage,
                    tracking: one.tracking.clone(),
                    supplies,
                },
            }),
            Err((field, why)) => mistakes.add(&field, why),
        }
    }
    let mut sending = None;
    if mistakes.is_empty() {
        let purse = (date, postage_from);
        match keeping::sending(OrderId(number), purse, &at_door, &at.by_plan, &at.promised) {
            Ok(put) => sending = Some(put),
            Err(wrong) => {
                let field =
                    wrong.parcel.map_or_else(|| String::from("goes-1"), |k| format!("pieces-{}", k + 1));
                mistakes.add(&field, wrong.why);
            }
        }
    }
    if filled.has("compare") || !mistakes.is_empty() {
        let beside = compared(&app, number, &at.parcels, &told).await;
        return form(&app, number, &at, &filled, &mistakes, &beside);
    }
    let Some(sending) = sending else {
        return form(&app, number, &at, &filled, &mistakes, &html! {});
    };
    let seen = filled.text("seen").map(str::to_owned);
    let path = format!("/orders/{number}");
    let done = path.clone();
    let stored = app
        .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
            let history = shop.history(Record::Order, number)?;
            let promised = keeping::promised(shop, OrderId(number))?;
            if let Some(why) = meanwhile(&history, &promised, seen.as_deref()) {
                return Err(NoAnswer::Stop(keeping::Stop::Input(why)));
            }
            keeping::send(shop, stamp, &sending)?;
            Ok(done)
        })
        .await;
    match stored {
        Some(done) => done,
        // Sent again, it is sent knowing what is drawn now.
        None => match read(&app, number).await {
            Ok(at) => form(&app, number, &at, &filled.with("seen", ""), &mistakes, &html! {}),
            Err(page) => page,
        },
    }
}

/// A parcel as it was typed.
pub(super) struct Told {
    goes: bool,
    pieces: Option<Vec<PieceRef>>,
    pub(super) mass: Option<Mass>,
    pub(super) size: Option<OutsideSize>,
    pub(super) minutes: Option<u32>,
    pub(super) postage: Option<Money>,
    tracking: String,
    used: Vec<String>,
}

fn told(filled: &Filled, k: usize, mistakes: &mut Mistakes) -> Told {
    let of = |name: &str| format!("{name}-{k}");
    let size = filled
        .text(&of("size"))
        .and_then(|text| keeping::outside_size(text).map_err(|why| mistakes.add(&of("size"), why)).ok());
    let tracking = filled.text(&of("tracking")).unwrap_or_default().to_owned();
    if tracking.chars().count() > LONGEST_NUMBER {
        mistakes.add(
            &of("tracking"),
            format!("it is longer than {LONGEST_NUMBER} characters; right would be the number on the label"),
        );
    }
    let goes = match filled.text(&of("goes")) {
        None | Some("now") => true,
        Some("later") => false,
        Some(other) => {
            let other = crate::form::short(other);
            mistakes.add(&of("goes"), format!("\"{other}\" is neither; right would be now or later"));
            true
        }
    };
    let pieces = filled.text(&of("pieces")).filter(|_| goes);
    let pieces = pieces
        .and_then(|text| keeping::pieces_of_finds(text).map_err(|why| mistakes.add(&of("pieces"), why)).ok());
    Told {
        goes,
        pieces,
        mass: filled.mass(&of("weight"), mistakes),
        size,
        minutes: filled.whole(&of("minutes"), 0..=MOST_MINUTES, mistakes),
        postage: filled.money(&of("postage"), mistakes),
        tracking,
        used: filled.lines(&of("used")).into_iter().map(|(_, line)| line.to_owned()).collect(),
    }
}

/// Parcels that the form shows: those planned, at least one, and those added.
fn rows(filled: &Filled, at: &AtScale) -> usize {
    let asked = filled.text("parcels").and_then(|text| text.parse().ok()).unwrap_or(0);
    at.parcels.len().max(1).max(asked).min(MOST_PARCELS.max(at.parcels.len()))
}

/// The parcels that are told: one that was added and about which nothing was written is none.
fn told_rows(filled: &Filled, at: &AtScale) -> usize {
    let names = ["weight", "size", "minutes", "postage", "tracking", "used", "pieces"];
    let is_told = |k: &usize| names.iter().any(|name| filled.text(&format!("{name}-{k}")).is_some());
    let planned = at.parcels.len().max(1);
    (planned..=rows(filled, at)).rev().find(|k| *k == planned || is_told(k)).unwrap_or(planned)
}

/// The number of a row's parcel among all of the order, those that went before counted.
fn number_of(at: &AtScale, k: usize) -> usize {
    let more = k.saturating_sub(at.numbers.len());
    let planned = k.checked_sub(1).and_then(|index| at.numbers.get(index)).copied();
    planned.unwrap_or_else(|| at.parcels.len().saturating_add(at.sent.len()).saturating_add(more))
}

fn set_aside(at: &AtScale) -> Vec<Vec<PlannedSupply>> {
    at.parcels.iter().map(|parcel| parcel.plan.supplies.clone()).collect()
}

/// What each parcel took: as typed, or what was set aside for it; else the field that is wrong and why.
fn supplies(
    shop: &Shop,
    used: &[Vec<String>],
    aside: &[Vec<PlannedSupply>],
) -> Vec<Result<Vec<PlannedSupply>, (String, String)>> {
    let mut of_each = Vec::new();
    for (k, lines) in used.iter().enumerate() {
        if lines.is_empty() {
            of_each.push(Ok(aside.get(k).cloned().unwrap_or_default()));
            continue;
        }
        let field = format!("used-{}", k + 1);
        let read: Result<Vec<PlannedSupply>, keeping::Stop> = lines
            .iter()
            .map(|line| keeping::supply_used(shop, line, "to enter your supplies first"))
            .collect();
        of_each.push(read.map_err(|why| (field.clone(), why.to_string())).and_then(|read| {
            let mut ids: Vec<u64> = read.iter().map(|one| one.supply.0).collect();
            ids.sort_unstable();
            ids.dedup();
            if ids.len() == read.len() {
                Ok(read)
            } else {
                Err((
                    field,
                    String::from("a supply stands in two lines; right would be one line with all of it"),
                ))
            }
        }));
    }
    of_each
}

/// Which parcel goes now and what is in it: asked where the order may go in parts.
fn part_fields(k: usize) -> [Field; 2] {
    let when = Kind::OneOf(vec![
        Choice::new("now", "it goes now"),
        Choice::new("later", "it waits for another day"),
    ]);
    [
        Field::needed(&format!("goes-{k}"), "Now or later", "", when),
        Field::optional(
            &format!("pieces-{k}"),
            "Pieces in it",
            "1:1-4; 2:3 is pieces 1 to 4 of find 1 and piece 3 of find 2. What lies in no parcel that goes waits.",
            Kind::Code,
        ),
    ]
}

fn fields(k: usize) -> [Field; 6] {
    let of = |name: &str| format!("{name}-{k}");
    [
        Field::optional(
            &of("weight"),
            "The scale says",
            "Such as 5 lb 3 oz; a bare figure is ounces.",
            Kind::Measure,
        ),
        Field::optional(
            &of("size"),
            "Outside, measured",
            "Such as 12.4 x 12.4 x 8.7 in; bare figures are inches.",
            Kind::Measure,
        ),
        Field::optional(&of("minutes"), "Minutes it took", "", Kind::Whole),
        Field::optional(
            &of("postage"),
            "Postage bought",
            "Left out, where the buyer or the venue bought it.",
            Kind::Money,
        ),
        Field::optional(&of("tracking"), "Its number with the carrier", "", Kind::Code),
        Field::optional(
            &of("used"),
            "What was used instead",
            "Left out, what was set aside. Else all that it took, one supply a line: 14 x 14 x 8=1",
            Kind::Lines { rows: 3, sheet: false },
        ),
    ]
}

fn form(
    app: &App,
    number: u64,
    at: &AtScale,
    filled: &Filled,
    mistakes: &Mistakes,
    beside: &Markup,
) -> Response {
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let order = &at.order;
    let today = app.now().day;
    let path = format!("/bench/{number}/ship");
    let rows = rows(filled, at);
    let filled = &prefilled(filled, at, rows);
    let line = |field: &Field, last: bool| draw(field, filled, mistakes, last);
    let in_parts = at.promised.len() > 1;
    let ready = match order.state {
        OrderState::Open => order.paid_on.is_some(),
        OrderState::Sent | OrderState::Cancelled => false,
    };
    let body = html! {
        @if ready {
            p { "Write down what you read off the sheet. Plan against parcel is what makes the next plan better." }
            @if !at.parts.gone.is_empty() {
                section aria-labelledby="gone" { h2 #gone { "Sent before" } (sent_in_parts(&at.parts, &at.sent)) }
            }
            (beside)
            form method="post" action=(path) novalidate {
                (once_field(&key))
                (enter_sends())
                (hidden("parcels", &rows.to_string()))
                (hidden("seen", filled.typed("seen")))
                @for k in 1..=rows {
                    fieldset {
                        @let all = rows + at.sent.len();
                        legend { "Parcel " (number_of(at, k)) @if all > 1 { " of " (all) } }
                        (planned(at, k))
                        @if in_parts && rows > 1 { @for field in part_fields(k) { (line(&field, false)) } }
                        @else if in_parts {
                            details open[mistakes.of("pieces-1").is_some() || filled.text("goes-1") == Some("later")] {
                                summary { "Only some of its pieces go now" }
                                (line(&part_fields(k)[1], false))
                            }
                        }
                        @for field in fields(k) { (line(&field, false)) }
                    }
                }
                p { button.quiet type="submit" name="add" value="parcel" { "Another parcel was needed" } }
                @if rows > at.parcels.len().max(1) { p.hint { "A parcel about which nothing is written is left out." } }
                (line(&purse_field("from", "What paid the postage", Purse::Platform), false))
                (line(&day_field("day", "Handed over on", &format!("Left out, today, {today}."), true), true))
                div.actions {
                    button.quiet type="submit" name="compare" value="yes" { "Compare with the plan" }
                    button type="submit" { "It is handed over" }
                }
            }
        } @else {
            p {
                "Order " (number) " is " (state_words(order.state, order.paid_on, order.sent_on)) "; "
                @if order.state == OrderState::Open { "it goes out when it is paid." } @else { "there is nothing to write down." }
            }
        }
        p { a href={ "/bench/" (number) } { "Back to its plan" } " " a href={ "/orders/" (number) } { "The order" } }
    };
    checked(&app.page(&format!("Order {number} is packed"), &path, body).with_mistakes(mistakes))
}

/// The form as it is drawn: with the pieces that lie in each parcel by its plan, and what was seen of the order.
fn prefilled(filled: &Filled, at: &AtScale, rows: usize) -> Filled {
    let mut out = filled.clone();
    if out.text("seen").is_none() {
        out = out.with("seen", seen(&at.history, &at.promised));
    }
    for k in 1..=rows {
        let name = format!("pieces-{k}");
        let pieces = k.checked_sub(1).and_then(|index| at.by_plan.get(index));
        // With one parcel all goes unless it is said otherwise.
        if let (Some(pieces), false, true) = (pieces, out.has(&name), rows > 1) {
            out = out.with(&name, keeping::pieces_written(pieces));
        }
    }
    out
}

/// What was planned of a parcel, in a line, with what was set aside.
fn planned(at: &AtScale, k: usize) -> Markup {
    let Some(parcel) = k.checked_sub(1).and_then(|index| at.parcels.get(index)) else {
        return html! { p.hint { "It was not planned." } };
    };
    let (plan, units) = (&parcel.plan, Units::UsCustomary);
    let parts = [
        plan.mass.map(|mass| mass.write(units)),
        plan.size.map(|size| sides([size.length, size.width, size.height], units)),
        plan.minutes.map(|minutes| count(minutes, "minute")),
        plan.postage.map(|postage| format!("{postage} of postage")),
    ];
    let aside: Vec<String> = plan
        .supplies
        .iter()
        .filter_map(|one| {
            let (_, supply) = at.supplies.iter().find(|(id, _)| *id == one.supply.0)?;
            Some(format!("{}={}", supply.name, crate::quantities::units(one.quantity)))
        })
        .collect();
    html! {
        p.hint {
            "Planned: " (parts.into_iter().flatten().collect::<Vec<_>>().join(", ")) "."
            @if !aside.is_empty() { " Set aside: " (aside.join("; ")) "." }
        }
    }
}
