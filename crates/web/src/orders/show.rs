//! One order: what was bought, where its pieces are, its parcels, its money, and what happened to it.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Response};
use books::{BuyerTax, Earned, OrderId};
use keeping::PartsGone;
use maud::{Markup, html};
use measure::{Money, Units};
use shop::{
    Claim, ClaimState, HistoryRow, ListingState, OrderState, OutsideSize, PieceRef, PullRow, Record, Shop,
    StandingOrder, StandingParcel,
};

use super::typed::{due, state_words};
use crate::App;
use crate::said::{count, sides};
use crate::shopdoor::NoAnswer;

/// An order with all that its page shows.
struct Whole {
    order: StandingOrder,
    listings: Vec<Option<ListingState>>,
    pull: Vec<PullRow>,
    parcels: Vec<StandingParcel>,
    earned: Earned,
    claims: Vec<(u64, Claim)>,
    history: Vec<HistoryRow>,
    parts: PartsGone,
}

fn read(shop: &mut Shop, id: OrderId) -> Result<Whole, NoAnswer> {
    let (order, parcels) = (shop.order(id)?, shop.parcels(id)?);
    Ok(Whole {
        parts: PartsGone::read(shop, id, &parcels)?,
        listings: order.lines.iter().map(|line| shop.listing(line.listing).ok()).collect(),
        pull: shop.pull_list(id)?,
        parcels,
        earned: shop.order_earned(id)?,
        claims: shop.claims_of(id)?,
        history: shop.history(Record::Order, id.0)?,
        order,
    })
}

pub(super) async fn show(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let id = OrderId(number);
    let whole = match app.read_shop(move |shop, _| read(shop, id)).await {
        Ok(whole) => whole,
        Err(page) => return page,
    };
    let path = format!("/orders/{id}");
    let order = &whole.order;
    let state = match whole.parts.is_partly_sent() {
        true => String::from("sent in part, the rest to pack"),
        false => state_words(order.state, order.paid_on, order.sent_on),
    };
    let body = html! {
        p.verdict { (capital(&state)) "." }
        p {
            "Taken on " (order.ordered_on) ", to " (order.destination) "."
            @match order.state {
                OrderState::Open => { " Promised: " (due(order.promise_by, app.now().day)) "." },
                OrderState::Sent | OrderState::Cancelled => @if let Some(day) = order.promise_by { " Promised by " (day) "." },
            }
            @if !order.note.is_empty() { " Reference: " (order.note) "." }
        }
        (actions(&path, order, !whole.parcels.is_empty()))
        (bought(&whole))
        @if !whole.pull.is_empty() { (fetch(&whole.pull)) }
        (parcels(&whole))
        (money(&whole))
        @if !whole.claims.is_empty() { (claims(&path, &whole.claims)) }
        details {
            summary { "What happened, step by step" }
            ol { @for row in &whole.history { li { (row.at.get(..10).unwrap_or(&row.at)) ": " (keeping::happened(&row.kind)) } } }
        }
        p { a href="/orders" { "Back to the orders" } " " a href="/help#orders" { "How to use this page" } }
    };
    app.page(&format!("Order {id}"), &path, body).draw().into_response()
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What can be done with it now.
fn actions(path: &str, order: &StandingOrder, planned: bool) -> Markup {
    let bench = format!("/bench/{}", order.id);
    html! {
        div.actions {
            @match (order.state, order.paid_on) {
                (OrderState::Open, None) => {
                    a.button href={ (path) "/pay" } { "It was paid" }
                    a.quiet href=(bench) { "Plan its parcels" }
                    a.quiet href={ (path) "/cancel" } { "Cancel it" }
                }
                (OrderState::Open, Some(_)) => {
                    a.button href=(bench) { @if planned { "Pack it" } @else { "Plan its parcels" } }
                    a.quiet href={ (bench) "/ship" } { "It is packed: write it down" }
                    a.quiet href={ (path) "/price" } { "Price it anew" }
                    a.quiet href={ (path) "/cancel" } { "Cancel it" }
                }
                (OrderState::Sent, _) => {
                    a.button href={ (path) "/back" } { "Something came back" }
                    a.quiet href={ (path) "/claim" } { "Open a claim" }
                    a.quiet href={ (path) "/price" } { "Price it anew" }
                    @if planned { a.quiet href=(bench) { "How it was packed" } }
                }
                (OrderState::Cancelled, _) => a.quiet href="/orders/new" { "Take another order" },
            }
        }
    }
}

fn bought(whole: &Whole) -> Markup {
    let order = &whole.order;
    html! {
        h2 { "What was bought" }
        table.figures {
            thead { tr { th scope="col" { "Listing" } th.num scope="col" { "Lots" } th.num scope="col" { "Price" } } }
            tbody {
                @for (line, listing) in order.lines.iter().zip(&whole.listings) {
                    tr {
                        th scope="row" { (line.listing) @if let Some(state) = listing { ": " (state.entered.title) } }
                        td.num { (line.lots) }
                        td.num { (line.item) }
                    }
                }
                tr { th scope="row" { "Shipping charged" } td.num {} td.num { (order.shipping) } }
                @match order.tax {
                    BuyerTax::None => {},
                    BuyerTax::ByVenue(tax) => tr { th scope="row" { "Sales tax that the venue remits" } td.num {} td.num { (tax) } },
                    BuyerTax::ByMe(tax) => tr { th scope="row" { "Sales tax that you remit" } td.num {} td.num { (tax) } },
                }
            }
        }
    }
}

fn fetch(pull: &[PullRow]) -> Markup {
    html! {
        h2 { "Its pieces, by place" }
        ul {
            @for row in pull {
                li {
                    strong { @if row.shelf.is_empty() { "no place noted" } @else { (row.shelf) } } ": "
                    (row.description) ", " (keeping::which_pieces(row))
                }
            }
        }
    }
}

fn parcels(whole: &Whole) -> Markup {
    html! {
        h2 { "Parcels" }
        @if whole.parcels.is_empty() {
            p {
                @match whole.order.state {
                    OrderState::Open => { "None planned yet. " a href={ "/bench/" (whole.order.id) } { "Plan them" } },
                    OrderState::Sent => "None was noted.",
                    OrderState::Cancelled => "None.",
                }
            }
        }
        (sent_in_parts(&whole.parts, &whole.parcels))
        @for (k, parcel) in (1..).zip(&whole.parcels) {
            @let waits = if whole.parts.is_partly_sent() && parcel.actual.is_none() { ", waits" } else { "" };
            (side_by_side(&format!("Parcel {k}{waits}"), parcel))
        }
        @if whole.order.state != OrderState::Cancelled {
            p.actions {
                @if !whole.parcels.is_empty() { a.quiet href={ "/bench/" (whole.order.id) "#parcel-1" } { "What a drop does to its pieces" } }
                a.quiet href={ "/insure?order=" (whole.order.id) } { "Is cover worth its premium?" }
            }
        }
    }
}

/// What of an order went in parts, and what still waits; nothing where it goes as a whole.
pub(crate) fn sent_in_parts(parts: &PartsGone, parcels: &[StandingParcel]) -> Markup {
    let pieces = |pieces: &[PieceRef]| {
        let many = count(u32::try_from(pieces.len()).unwrap_or(u32::MAX), "piece");
        format!("{many} ({})", keeping::pieces_written(pieces))
    };
    html! {
        @if !parts.gone.is_empty() {
            ul {
                @for (k, parcel) in (1..).zip(parcels) {
                    @let k: usize = k;
                    @if let (Some(gone), Some((day, _))) = (parts.gone.get(&parcel.id), &parcel.actual) {
                        li { "Parcel " (k) ", sent " (day) ": " (pieces(gone)) }
                    }
                }
                @if !parts.waiting.is_empty() { li { strong { "Still waits: " } (pieces(&parts.waiting)) } }
            }
        }
    }
}

/// What was planned of a parcel, and what it was once it is sent.
pub(crate) fn side_by_side(caption: &str, parcel: &StandingParcel) -> Markup {
    let units = Units::UsCustomary;
    let plan = &parcel.plan;
    let was = parcel.actual.as_ref().map(|(_, actual)| actual);
    let size = |size: Option<OutsideSize>| {
        size.map(|size| sides([size.length, size.width, size.height], units)).unwrap_or_default()
    };
    let mass = |mass: Option<measure::Mass>| mass.map(|mass| mass.write(units)).unwrap_or_default();
    let whole = |minutes: Option<u32>| minutes.map(|minutes| format!("{minutes} min")).unwrap_or_default();
    let paid = |postage: Option<Money>| postage.map(|postage| postage.to_string()).unwrap_or_default();
    let heavier = plan.mass.zip(was.and_then(|was| was.mass));
    let heavier = heavier.map(|(planned, was)| format!("{:+.1} oz", was.ounces() - planned.ounces()));
    let longer = plan.minutes.zip(was.and_then(|was| was.minutes));
    let longer = longer.map(|(planned, was)| format!("{:+} min", i64::from(was) - i64::from(planned)));
    let dearer = plan.postage.zip(was.and_then(|was| was.postage));
    let dearer = dearer.map(|(planned, was)| format!("{:+.2}", (was - planned).currency()));
    let row = |what: &str, planned: String, was: String, more: Option<String>| {
        html! {
            tr {
                th scope="row" { (what) }
                td.num { (planned) }
                @if parcel.actual.is_some() { td.num { (was) } td.num { (more.unwrap_or_default()) } }
            }
        }
    };
    html! {
        div.scroll role="region" aria-label={ (caption) ", plan and parcel" } tabindex="0" {
            table.narrow {
                caption {
                    (caption)
                    @if let Some((sent, actual)) = &parcel.actual {
                        ", sent " (sent)
                        @if !actual.tracking.is_empty() { ", number " (actual.tracking) }
                    }
                }
                thead {
                    tr {
                        th scope="col" { "What" } th.num scope="col" { "Planned" }
                        @if parcel.actual.is_some() { th.num scope="col" { "Was" } th.num scope="col" { "More" } }
                    }
                }
                tbody {
                    (row("Weight", mass(plan.mass), mass(was.and_then(|was| was.mass)), heavier))
                    (row("Outside", size(plan.size), size(was.and_then(|was| was.size)), None))
                    (row("Time", whole(plan.minutes), whole(was.and_then(|was| was.minutes)), longer))
                    (row("Postage", paid(plan.postage), paid(was.and_then(|was| was.postage)), dearer))
                }
            }
        }
    }
}

fn money(whole: &Whole) -> Markup {
    let earned = &whole.earned;
    let rows = [
        ("Price of the lots", earned.items, false),
        ("Shipping charged", earned.shipping, false),
        ("Given back", earned.refunds, true),
        ("Claims paid", earned.other_income, false),
        ("Fees", earned.fees, true),
        ("Advertising", earned.advertising, true),
        ("Postage", earned.postage, true),
        ("Packing supplies", earned.materials, true),
        ("Basis of what the buyer has", earned.basis, true),
        ("Basis of what broke or was lost", earned.losses, true),
        ("Other", earned.other, true),
    ];
    let rows: Vec<_> = rows.into_iter().filter(|(_, amount, _)| *amount != Money::ZERO).collect();
    let hour = earned.net_per_hour();
    // Until all is sent, what it costs is not all booked.
    let left = match whole.order.state {
        OrderState::Open => "So far; its postage, packing and goods come off as it is sent",
        OrderState::Sent | OrderState::Cancelled => "Left",
    };
    html! {
        h2 { "Money" }
        @if rows.is_empty() {
            p { "Nothing is booked yet." }
        } @else {
            table.figures {
                tbody {
                    @for (what, amount, cost) in &rows {
                        tr { th scope="row" { (what) } td.num { (if *cost { -*amount } else { *amount }) } }
                    }
                    tr.sum { th scope="row" { (left) } td.num { (earned.net()) } }
                    @if let (Some(hour), OrderState::Sent | OrderState::Cancelled) = (hour, whole.order.state) { tr { th scope="row" { "Left for an hour of packing" } td.num { (hour) } } }
                }
            }
        }
    }
}

fn claims(path: &str, claims: &[(u64, Claim)]) -> Markup {
    html! {
        h2 { "Claims" }
        ul {
            @for (number, claim) in claims {
                li {
                    "Claim " (number) " of " (claim.opened_on) ": " (claim.asked) " asked, "
                    @match claim.state {
                        ClaimState::Open => {
                            "open"
                            @if let Some(day) = claim.deadline { ", evidence until " (day) }
                            ". " a.target href={ (path) "/claim/" (number) } { "Decide claim " (number) }
                        },
                        ClaimState::Paid => "paid",
                        ClaimState::Refused => "refused",
                    }
                    @if !claim.reference.is_empty() { " (" (claim.reference) ")" }
                }
            }
        }
        p { (count(u32::try_from(claims.len()).unwrap_or(u32::MAX), "claim")) " in all." }
    }
}

/// The title and the state of an order, for the head of a form about it; or the page that says why there is none.
pub(super) async fn about(app: &App, id: OrderId) -> Result<(StandingOrder, Vec<HistoryRow>), Response> {
    app.read_shop(move |shop, _| Ok((shop.order(id)?, shop.history(Record::Order, id.0)?))).await
}
