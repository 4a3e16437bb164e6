//! Orders from a venue's table: one row a line of an order.
//!
//! Shipping, tax and fee are added up over the rows of an order, so they may stand on one row or be split over all.
//! Date, ZIP code, promised day and venue may stand on one row or on all, but not differ. Lines of the same listing
//! are one. All are taken as paid into the venue's balance on their day.

use std::collections::BTreeMap;

use books::{BuyerTax, LotId, Purse};
use measure::Money;
use shop::{ImportContent, ImportItem, ListingName, OrderIn, OrderLine, Payment};

use super::LeftOut;
use super::cell::{DateOrder, amount, day, quoted, whole, zip};
use super::columns::Told;
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
        })
    };
    let (mut items, mut repeating) = (Vec::new(), 0);
    for (number, members) in groups(WORD, rows, read, left_out) {
        match order(&members, dates, known) {
            Ok((order, fee)) => {
                repeating += usize::from(repeats(&members));
                let mut lines: Vec<u64> = members.iter().map(|member| member.told.row.line).collect();
                lines.sort_unstable();
                let content = ImportContent::Order(Box::new(order), fee);
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
        ImportContent::Order(order, _) => Some(order.ordered_on),
        ImportContent::Haul(haul, _) => Some(haul.date),
        ImportContent::Place(_) | ImportContent::Comp(_) | ImportContent::Money(_) => None,
    }
}

type Wrong = (u64, String);

fn order(
    members: &[Member<'_, Line>],
    dates: Option<DateOrder>,
    known: &Known,
) -> Result<(OrderIn, Money), Wrong> {
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
        paid: Some(Payment { date, into: Purse::Platform }),
        note: String::new(),
    };
    Ok((order, sum(|line| line.fee)))
}

/// Whether each of several rows has the same amount above nothing, as where a table repeats that of the order.
fn repeats(members: &[Member<'_, Line>]) -> bool {
    let same = |of: fn(&Line) -> Option<Money>| {
        let first = members.first().and_then(|member| of(&member.read)).filter(|money| *money > Money::ZERO);
        first.is_some() && members.iter().all(|member| of(&member.read) == first)
    };
    members.len() > 1 && (same(|line| line.shipping) || same(|line| line.tax) || same(|line| line.fee))
}
