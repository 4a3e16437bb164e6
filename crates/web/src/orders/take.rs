//! Taking an order: which lots, to where, and what was paid.

use std::sync::{Arc, Mutex, PoisonError};

use axum::extract::State;
use axum::response::Response;
use books::{BuyerTax, LotId, Purse};
use keeping::Stop;
use maud::{Markup, html};
use measure::Money;
use shop::{ListingState, OrderIn, OrderLine, Payment, ShopError};

use super::typed::tick;
use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, enter_sends, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Lines that one form takes.
const MOST_LINES: usize = 20;
/// Listings that are suggested; any other can be typed by its number.
const SUGGESTED: u32 = 200;
/// Listings whose rest is shown under the form.
const SHOWN: usize = 50;
/// Most lots of one line.
const MOST_LOTS: u32 = 100_000;
/// Most characters of a reference.
const LONGEST_NOTE: usize = 500;

pub(super) async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let filled = if filled.has("lots-1") { filled } else { filled.with("lots-1", "1") };
    let filled = if filled.has("into") { filled } else { filled.with("paid", "yes") };
    form(&app, &filled, &Mistakes::default()).await
}

/// The row that a refusal is about, as the work on the file finds it.
type At = Arc<Mutex<Option<String>>>;

pub(super) async fn send(State(app): State<App>, Posted(filled): Posted) -> Response {
    if filled.has("add") {
        return form(&app, &filled, &Mistakes::default()).await;
    }
    let mut mistakes = Mistakes::default();
    let lines = lines(&filled, &mut mistakes);
    let told = told(&app, &filled, &mut mistakes);
    let asked: Vec<(LotId, u32, usize)> =
        lines.iter().map(|line| (line.listing, line.lots, line.row)).collect();
    let found = app.read_shop(move |shop, _| Ok(left(shop, &asked))).await;
    let prices = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let mut entered = Vec::new();
    for (line, price) in lines.iter().zip(prices) {
        match price {
            Ok(price) => {
                let listed = || {
                    let cents = price.cents().checked_mul(i64::from(line.lots));
                    cents.map(Money::from_cents)
                };
                match line.item.or_else(listed) {
                    Some(item) => entered.push(OrderLine { listing: line.listing, lots: line.lots, item }),
                    None => mistakes.add(&format!("lots-{}", line.row), "that many lots cost too much"),
                }
            }
            Err((field, why)) => mistakes.add(&field, why),
        }
    }
    if let (true, Some((order, fee))) = (mistakes.is_empty(), told) {
        let order = OrderIn { lines: entered, ..order };
        let rows: Vec<(u64, usize)> = lines.iter().map(|line| (line.listing.0, line.row)).collect();
        let at = At::default();
        let at_row = Arc::clone(&at);
        let mut refused = Mistakes::default();
        let stored = app
            .write_shop(&filled, "lots-1", "/orders", &mut refused, move |shop, _, stamp| {
                let taken = shop.take_order_with_fee(stamp, &order, fee).inspect_err(|why| {
                    let row = match why {
                        ShopError::BeforeHaul { .. } => Some("ordered".to_owned()),
                        _ => row_of(shop, why, &rows).map(|row| format!("lots-{row}")),
                    };
                    *at_row.lock().unwrap_or_else(PoisonError::into_inner) = row;
                });
                Ok::<_, NoAnswer>(format!("/orders/{}", taken.map_err(Stop::from)?))
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
        let at = at.lock().unwrap_or_else(PoisonError::into_inner).clone();
        for (field, why) in refused.iter() {
            mistakes.add(at.as_deref().unwrap_or(field), why);
        }
    }
    form(&app, &filled, &mistakes).await
}

/// The row of the form that the file refused.
fn row_of(shop: &shop::Shop, why: &ShopError, rows: &[(u64, usize)]) -> Option<usize> {
    let listing = match why {
        ShopError::TooFewLots { listing, .. } => *listing,
        ShopError::TooFewPieces { find, .. } => {
            let holds = |listing: &u64| {
                let parts =
                    shop.listing(LotId(*listing)).map(|state| state.entered.parts).unwrap_or_default();
                parts.iter().any(|part| part.find.0 == *find)
            };
            rows.iter().map(|(listing, _)| *listing).rfind(|listing| holds(listing))?
        }
        // Any other refusal is about no line in particular.
        _ => return None,
    };
    rows.iter().find(|(of, _)| *of == listing).map(|(_, row)| *row)
}

/// A line as it was typed.
struct Told {
    row: usize,
    listing: LotId,
    lots: u32,
    item: Option<Money>,
}

fn named(row: usize) -> [String; 3] {
    ["listing", "lots", "price"].map(|name| format!("{name}-{row}"))
}

fn lines(filled: &Filled, mistakes: &mut Mistakes) -> Vec<Told> {
    let mut found: Vec<Told> = Vec::new();
    for row in 1..=MOST_LINES {
        let [listing, lots, price] = named(row);
        let empty = [&listing, &price].iter().all(|name| filled.text(name).is_none());
        if empty && row > 1 {
            continue;
        }
        let number = filled.needed(&listing, "Say which listing it is, by its number", mistakes);
        let number = number.and_then(|text| {
            listing_number(text).or_else(|| {
                let short = crate::form::short(text);
                mistakes.add(
                    &listing,
                    format!(
                        "\"{short}\" doesn't begin with a listing's number; right would be, for example: 1"
                    ),
                );
                None
            })
        });
        if filled.text(&lots).is_none() {
            mistakes.add(&lots, "Say how many lots, for example: 1");
        }
        let count = filled.whole(&lots, 1..=MOST_LOTS, mistakes);
        let item = filled.money(&price, mistakes);
        let (Some(number), Some(lots)) = (number, count) else { continue };
        if let Some(before) = found.iter().find(|line| line.listing.0 == number) {
            mistakes.add(
                &listing,
                format!(
                    "listing {number} stands in line {} too; right would be one line with all its lots",
                    before.row
                ),
            );
            continue;
        }
        found.push(Told { row, listing: LotId(number), lots, item });
    }
    found
}

/// The number that a suggestion or a typed number begins with.
fn listing_number(text: &str) -> Option<u64> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    text.get(..end)?.parse().ok().filter(|number| *number > 0)
}

/// The listed price of each line's listing, or the field that is wrong and why.
fn left(shop: &shop::Shop, asked: &[(LotId, u32, usize)]) -> Vec<Result<Money, (String, String)>> {
    let one = |&(listing, lots, row): &(LotId, u32, usize)| {
        let [of, count, _] = named(row);
        let state =
            shop.listing(listing).map_err(|why| (of, format!("{why}; right would be one of those below")))?;
        let left = state.available();
        if lots <= left {
            return Ok(state.entered.price);
        }
        Err((
            count,
            match left {
                0 => format!("listing {listing} has no lots left; nothing can be ordered of it"),
                left => {
                    format!("{lots} are more than listing {listing} has left; right would be at most {left}")
                }
            },
        ))
    };
    asked.iter().map(one).collect()
}

type Order = (OrderIn, Option<(Money, books::Purse)>);

fn told(app: &App, filled: &Filled, mistakes: &mut Mistakes) -> Option<Order> {
    let today = app.now().day;
    let zip = filled.needed(
        "to",
        "Say where it goes: the first three digits of the buyer's ZIP, or all five",
        mistakes,
    );
    let zip = zip.and_then(|zip| {
        let right = (3..=5).contains(&zip.len()) && zip.bytes().all(|b| b.is_ascii_digit());
        if !right {
            let short = crate::form::short(zip);
            mistakes.add("to", format!("\"{short}\" is not a postal code; right would be its first three digits or all five, such as 606"));
        }
        right.then(|| zip.to_owned())
    });
    let ordered_on = day(filled, "ordered", today, mistakes).unwrap_or(today);
    let promise_by = day(filled, "promise", today, mistakes);
    if promise_by.is_some_and(|promise| promise < ordered_on) {
        mistakes.add("promise", format!("it lies before the order; right would be {ordered_on} or later"));
    }
    let shipping = filled.money("shipping", mistakes).unwrap_or(Money::ZERO);
    let by_venue = filled.money("tax", mistakes).filter(|tax| *tax > Money::ZERO);
    let by_me = filled.money("tax-held", mistakes).filter(|tax| *tax > Money::ZERO);
    let tax = match (by_venue, by_me) {
        (Some(_), Some(_)) => {
            mistakes.add("tax-held", "tax is told twice; right would be one of the two");
            BuyerTax::None
        }
        (Some(tax), None) => BuyerTax::ByVenue(tax),
        (None, Some(tax)) => BuyerTax::ByMe(tax),
        (None, None) => BuyerTax::None,
    };
    let into = purse(filled, "into", Purse::Platform, mistakes);
    let fee = filled.money("fee", mistakes).filter(|fee| *fee > Money::ZERO);
    let note = filled.text("note").unwrap_or_default().to_owned();
    if note.chars().count() > LONGEST_NOTE {
        mistakes.add(
            "note",
            format!(
                "it is longer than {LONGEST_NOTE} characters; right would be the number it has at the venue"
            ),
        );
    }
    let paid = filled.has("paid").then_some(Payment { date: ordered_on, into });
    let order = OrderIn {
        venue: None,
        ordered_on,
        promise_by,
        destination: zip?,
        lines: Vec::new(),
        shipping,
        tax,
        paid,
        note,
    };
    Some((order, fee.map(|fee| (fee, into))))
}

/// Lines that the form shows.
fn rows(filled: &Filled) -> usize {
    let holds = |row: &usize| {
        let [listing, _, price] = named(*row);
        filled.text(&listing).is_some() || filled.text(&price).is_some()
    };
    let shown = (1..=MOST_LINES).rev().find(holds).unwrap_or(1);
    if filled.has("add") { (shown + 1).min(MOST_LINES) } else { shown }
}

fn suggestion(state: &ListingState) -> String {
    format!("{}: {}, {} left at {}", state.id, state.entered.title, state.available(), state.entered.price)
}

fn fields(row: usize, offered: &[ListingState], typed: &str) -> [Field; 3] {
    let [listing, lots, price] = named(row);
    let many = u32::try_from(offered.len()).unwrap_or(u32::MAX) >= SUGGESTED;
    let known = |state: &ListingState| state.id.to_string() == typed;
    let kind = if many || (!typed.is_empty() && !offered.iter().any(known)) {
        Kind::Words { known: offered.iter().map(suggestion).collect() }
    } else {
        let choice = |state: &ListingState| Choice { value: state.id.to_string(), words: suggestion(state) };
        let none = Choice { value: String::new(), words: String::from("choose one") };
        Kind::OneOf(std::iter::once(none).chain(offered.iter().map(choice)).collect())
    };
    [
        Field::needed(&listing, "Listing", "", kind),
        Field::needed(&lots, "Lots", "", Kind::Whole),
        Field::optional(&price, "Paid for these lots together", "Left out, the listed price.", Kind::Money),
    ]
}

async fn form(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let offered = match app.read_shop(|shop, _| Ok(shop.listings_left(SUGGESTED)?)).await {
        Ok(offered) => offered,
        Err(page) => return page,
    };
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let today = app.now().day;
    let line = |field: Field, last: bool| draw(&field, filled, mistakes, last);
    let body = html! {
        @if offered.is_empty() {
            p { "Nothing is listed that has lots left. List lots first; then they can be ordered." }
        }
        form method="post" action="/orders/new" novalidate {
            (once_field(&key))
            (enter_sends())
            @for row in 1..=rows(filled) {
                fieldset {
                    legend { "Line " (row) }
                    @for field in fields(row, &offered, filled.typed(&format!("listing-{row}")).trim()) { (line(field, false)) }
                }
            }
            p { button.quiet type="submit" name="add" value="line" { "Add another listing" } }
            (line(Field::needed("to", "Buyer's ZIP", "Its first three digits are enough. No names or addresses are kept.", Kind::Code), false))
            (line(day_field("promise", "Promised by", &format!("The day by which it is to be handed over, such as {today}."), true), false))
            (line(Field::optional("note", "Reference", "The number it has at the venue, or anything to find it by.", Kind::Measure), false))
            fieldset {
                legend { "What was paid" }
                (tick("paid", "yes", "It is paid", filled))
                (line(Field::optional("shipping", "Shipping charged", "", Kind::Money), false))
                (line(Field::optional("fee", "Fee that was kept", "What the venue keeps of this order. A bill that comes later is entered then.", Kind::Money), false))
                (line(Field::optional("tax", "Sales tax, kept by the venue", "The venue collects and remits it; it is never yours.", Kind::Money), false))
                (line(Field::optional("tax-held", "Sales tax, kept by you", "You collect it and must remit it.", Kind::Money), false))
                (line(purse_field("into", "Where the money went", Purse::Platform), false))
                (line(day_field("ordered", "Ordered on", &format!("Left out, today, {today}."), true), true))
            }
            div.actions { button type="submit" { "Take the order" } a.quiet href="/orders" { "Back to the orders" } }
        }
        @if !offered.is_empty() { (rest(&offered)) }
        p { a href="/help#orders" { "How to use this page" } }
    };
    checked(&app.page("Take an order", "/orders/new", body).with_mistakes(mistakes))
}

/// What is left of the listings.
fn rest(offered: &[ListingState]) -> Markup {
    html! {
        details {
            summary { "What is left" }
            div.scroll role="region" aria-label="What is left" tabindex="0" {
                table {
                    caption { "Listings with lots left, the latest first" @if offered.len() > SHOWN { " (" (SHOWN) " of them; any other goes by its number)" } }
                    thead { tr { th scope="col" { "Listing" } th.num scope="col" { "Left" } th.num scope="col" { "Promised" } th.num scope="col" { "Price of a lot" } } }
                    tbody {
                        @for state in offered.iter().take(SHOWN) {
                            tr {
                                th scope="row" { a.target href={ "/orders/new?listing-1=" (state.id) } { (state.id) ": " (state.entered.title) } }
                                td.num { (state.available()) }
                                td.num { (state.reserved) }
                                td.num { (state.entered.price) }
                            }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{lines, listing_number};
    use crate::form::{Filled, Mistakes};

    #[test]
    fn a_suggestion_is_read_by_the_number_it_begins_with() {
        assert_eq!(listing_number("12: six goblets, 3 left at 40.00"), Some(12));
        assert_eq!(listing_number("7"), Some(7));
        for wrong in ["", "goblets", "0", "-1", "99999999999999999999999"] {
            assert_eq!(listing_number(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_listing_stands_in_one_line() {
        let filled = Filled::default()
            .with("listing-1", "3")
            .with("lots-1", "1")
            .with("listing-2", "3")
            .with("lots-2", "2");
        let mut mistakes = Mistakes::default();
        assert_eq!(lines(&filled, &mut mistakes).len(), 1);
        assert!(mistakes.of("listing-2").is_some());
    }
}
