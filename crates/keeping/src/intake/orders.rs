//! Orders from a venue's table: one row a line of an order.
//!
//! Shipping, tax and fee are added up over the rows of an order, so they may stand on one row or be split over all.
//! Date, ZIP code, promised day and venue may stand on one row or on all, but not differ. Lines of the same listing
//! are one. All are taken as paid into the venue's balance on their day, and wait to be packed, where the table has no
//! columns that say when they were paid and sent.

use std::collections::BTreeMap;

use books::{BuyerTax, LotId, Purse};
use jiff::civil::Date;
use measure::{Mass, MassUnit, Money};
use shop::{ImportContent, ImportItem, ImportedOrder, ListingName, OrderIn, OrderLine, Payment, SentBefore};

use super::LeftOut;
use super::cell::{DateOrder, amount, day, quoted, whole, zip};
use super::columns::{Places, Told};
use super::grouped::{Member, groups, leave_out, one, one_needed};

const WORD: &str = "order";

/// What orders are matched with.
pub(super) struct Known {
    listings: BTreeMap<u64, ListingName>,
    titles: BTreeMap<String, Vec<u64>>,
    venues: Vec<(u64, String)>,
}

impl Known {
    pub(super) fn new(listings: Vec<ListingName>, venues: Vec<(u64, String)>) -> Self {
        let mut titles: BTreeMap<String, Vec<u64>> = BTreeMap::new();
        for listing in &listings {
            titles.entry(listing.title.trim().to_owned()).or_default().push(listing.id.0);
        }
        let listings = listings.into_iter().map(|listing| (listing.id.0, listing)).collect();
        Self { listings, titles, venues }
    }

    /// The listing of a number, or else of an exact title; of several with the same title the one that isn't over.
    fn listing(&self, text: &str) -> Result<LotId, String> {
        if let Some(listing) = text.parse().ok().and_then(|number| self.listings.get(&number)) {
            return Ok(listing.id);
        }
        let titled = self.titles.get(text).map(Vec::as_slice).unwrap_or_default();
        let open: Vec<u64> = titled
            .iter()
            .copied()
            .filter(|number| self.listings.get(number).is_some_and(|listing| !listing.ended))
            .collect();
        match (titled, &open[..]) {
            ([only], _) | (_, [only]) => Ok(LotId(*only)),
            ([], _) => Err(format!(
                "there is no listing {}; right would be its number here, or its title to the letter",
                quoted(text)
            )),
            (several, _) => {
                let numbers: Vec<String> = several.iter().map(u64::to_string).collect();
                Err(format!(
                    "several listings are called {}; right would be the number of one: {}",
                    quoted(text),
                    numbers.join(", ")
                ))
            }
        }
    }

    fn venue(&self, name: &str) -> Result<u64, String> {
        let wanted = measure::plain(name);
        let known = self.venues.iter().find(|(_, known)| measure::plain(known) == wanted);
        known.map(|(number, _)| *number).ok_or_else(|| {
            let names: Vec<&str> = self.venues.iter().map(|(_, name)| name.as_str()).collect();
            let right = if names.is_empty() {
                String::from("to leave it out")
            } else {
                format!("one of: {}", names.join(", "))
            };
            format!("there is no venue {}; right would be {right}", quoted(name))
        })
    }
}

struct Line {
    line: OrderLine,
    shipping: Option<Money>,
    tax: Option<Money>,
    fee: Option<Money>,
    postage: Option<Money>,
}

/// What orders are taken as, by the columns of their table.
pub(super) fn taken_as(places: &Places) -> String {
    let paid = if places.has("paid") {
        "An order is paid into the venue's balance on the day under paid, and not paid yet where nothing or no \
         stands there."
    } else {
        "Every order is taken as paid into the venue's balance on its day."
    };
    let sent = if places.has("sent") {
        "One with a day under sent was sent then, without a plan and without supplies; its postage comes from the \
         venue's balance. The others wait to be packed."
    } else {
        "It waits to be packed: where your orders were sent before, add a column sent with the day."
    };
    format!(
        "Rows with the same number are one order. Shipping, tax and fee are added up over its rows. {paid} {sent}"
    )
}

/// What was read: the orders, oldest first, and how many repeat an amount on each of their rows.
pub(super) struct Read {
    pub(super) items: Vec<ImportItem>,
    pub(super) repeating: usize,
}

pub(super) fn orders(
    rows: &[Told<'_>],
    dates: Option<DateOrder>,
    known: &Known,
    left_out: &mut Vec<LeftOut>,
) -> Read {
    let read = |row: &Told<'_>| -> Result<Line, String> {
        let money = |column: &str| row.given(column).map(|text| amount(column, text)).transpose();
        let listing = known.listing(row.needed("listing", "its number here, or its exact title")?)?;
        let lots = row.given("lots").map_or(Ok(1), |text| whole("lots", text, 1))?;
        let item = amount("items", row.text("items"))?;
        Ok(Line {
            line: OrderLine { listing, lots, item },
            shipping: money("shipping")?,
            tax: money("tax")?,
            fee: money("fee")?,
            postage: money("postage")?,
        })
    };
    let (mut items, mut repeating) = (Vec::new(), 0);
    for (number, members) in groups(WORD, rows, read, left_out) {
        match order(&members, dates, known) {
            Ok(order) => {
                repeating += usize::from(repeats(&members));
                let mut lines: Vec<u64> = members.iter().map(|member| member.told.row.line).collect();
                lines.sort_unstable();
                let content = ImportContent::Order(Box::new(order));
                items.push(ImportItem { external: format!("{WORD} {number}"), lines, content });
            }
            Err(wrong) => {
                let lines: Vec<u64> = members.iter().map(|member| member.told.row.line).collect();
                leave_out(&format!("{WORD} {number}"), &lines, &[wrong], left_out);
            }
        }
    }
    // Oldest first, so that the order of the rows changes nothing.
    items.sort_by(|a, b| (date_of(a), &a.external).cmp(&(date_of(b), &b.external)));
    Read { items, repeating }
}

fn date_of(item: &ImportItem) -> Option<jiff::civil::Date> {
    match &item.content {
        ImportContent::Order(told) => Some(told.order.ordered_on),
        ImportContent::Haul(haul, _) => Some(haul.date),
        ImportContent::Place(_) | ImportContent::Comp(_) | ImportContent::Money(_) => None,
    }
}

type Wrong = (u64, String);

fn order(
    members: &[Member<'_, Line>],
    dates: Option<DateOrder>,
    known: &Known,
) -> Result<ImportedOrder, Wrong> {
    let at = |column: &str| {
        let filled = members.iter().find(|member| member.told.given(column).is_some()).or(members.first());
        filled.map_or(0, |member| member.told.row.line)
    };
    let date = day("date", one_needed(WORD, members, "date")?, dates).map_err(|why| (at("date"), why))?;
    let promise_by = one(WORD, members, "promise")?
        .map(|text| day("promise", text, dates))
        .transpose()
        .map_err(|why| (at("promise"), why))?;
    let destination = zip("zip", one_needed(WORD, members, "zip")?).map_err(|why| (at("zip"), why))?;
    let mut lines: BTreeMap<u64, OrderLine> = BTreeMap::new();
    for member in members {
        let told = member.read.line;
        let line = lines.entry(told.listing.0).or_insert(OrderLine { lots: 0, item: Money::ZERO, ..told });
        line.lots = line.lots.saturating_add(told.lots);
        line.item += told.item;
    }
    let venue = match one(WORD, members, "venue")? {
        Some(name) => Some(known.venue(name).map_err(|why| (at("venue"), why))?),
        None => {
            // That of its listings, where they have the same.
            let mut venues =
                lines.keys().map(|listing| known.listings.get(listing).and_then(|one| one.venue));
            let first = venues.next().flatten();
            first.filter(|_| venues.all(|venue| venue == first))
        }
    };
    let sum = |of: fn(&Line) -> Option<Money>| -> Money {
        members.iter().filter_map(|member| of(&member.read)).sum()
    };
    let tax = sum(|line| line.tax);
    let order = OrderIn {
        venue,
        ordered_on: date,
        promise_by,
        destination,
        lines: lines.into_values().collect(),
        shipping: sum(|line| line.shipping),
        tax: if tax > Money::ZERO { BuyerTax::ByVenue(tax) } else { BuyerTax::None },
        paid: paid(members, date, dates, at)?,
        note: String::new(),
    };
    let postage = members.iter().any(|member| member.read.postage.is_some());
    let postage = postage.then(|| sum(|line| line.postage));
    let sent = sent(members, &order, postage, dates, at)?;
    Ok(ImportedOrder { order, fee: sum(|line| line.fee), sent })
}

/// When an order was paid: on its day where the table doesn't say, and not yet where nothing or no stands there.
fn paid(
    members: &[Member<'_, Line>],
    ordered_on: Date,
    dates: Option<DateOrder>,
    at: impl Fn(&str) -> u64,
) -> Result<Option<Payment>, Wrong> {
    let told = members.iter().any(|member| member.told.places.has("paid"));
    let date = match one(WORD, members, "paid")? {
        None if told => return Ok(None),
        None => ordered_on,
        Some(word) if word.eq_ignore_ascii_case("no") => return Ok(None),
        Some(word) if word.eq_ignore_ascii_case("yes") => ordered_on,
        Some(text) => day("paid", text, dates)
            .map_err(|why| (at("paid"), format!("{why}, or yes for the day of the order, or no")))?,
    };
    if date < ordered_on {
        let why = format!(
            "paid is {date}, before the order of {ordered_on}; right would be that day or a later one"
        );
        return Err((at("paid"), why));
    }
    Ok(Some(Payment { date, into: Purse::Platform }))
}

/// How an order was sent, if it was.
fn sent(
    members: &[Member<'_, Line>],
    order: &OrderIn,
    postage: Option<Money>,
    dates: Option<DateOrder>,
    at: impl Fn(&str) -> u64,
) -> Result<Option<SentBefore>, Wrong> {
    let weight = one(WORD, members, "weight")?;
    let Some(text) = one(WORD, members, "sent")? else {
        // In a table that doesn't tell when orders were sent they are something else.
        let told = members.iter().any(|member| member.told.places.has("sent"));
        for (column, given) in [("postage", postage.is_some()), ("weight", weight.is_some())] {
            if told && given {
                let right = "right would be the day under sent, or nothing here";
                return Err((at(column), format!("{column} is that of an order that was sent; {right}")));
            }
        }
        return Ok(None);
    };
    let wrong = |why: String| (at("sent"), why);
    let date = day("sent", text, dates).map_err(wrong)?;
    let ordered_on = order.ordered_on;
    if date < ordered_on {
        let why = "right would be that day or a later one";
        return Err(wrong(format!("sent is {date}, before the order of {ordered_on}; {why}")));
    }
    if order.paid.is_none() {
        let why = "right would be the day it was paid, or no day under sent";
        return Err(wrong(format!("sent is {date}, but the order isn't paid; {why}")));
    }
    let mass = weight.map(|text| Mass::read_positive(text, Some(MassUnit::Ounces)));
    let mass = mass.transpose().map_err(|why| (at("weight"), format!("weight: {why}")))?;
    Ok(Some(SentBefore { date, postage, mass }))
}

/// Whether each of several rows has the same amount above nothing, as where a table repeats that of the order.
fn repeats(members: &[Member<'_, Line>]) -> bool {
    let same = |of: fn(&Line) -> Option<Money>| {
        let first = members.first().and_then(|member| of(&member.read)).filter(|money| *money > Money::ZERO);
        first.is_some() && members.iter().all(|member| of(&member.read) == first)
    };
    members.len() > 1
        && (same(|line| line.shipping)
            || same(|line| line.tax)
            || same(|line| line.fee)
            || same(|line| line.postage))
}
