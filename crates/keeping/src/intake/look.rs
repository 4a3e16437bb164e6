//! A table looked at: what is ready, and what is left out and why.

use std::collections::BTreeMap;

use shop::{ImportItem, Shop, ShopError, Staged, Stamp, Venue};

use super::cell::DateOrder;
use super::cells::Cells;
use super::columns::{Places, Told};
use super::grouped::leave_out;
use super::plain_rows::{Plain, plain};
use super::{IntakeError, IntakeOf, hauls, orders};

/// How a table is to be read.
#[derive(Debug, Clone, Copy)]
pub struct Reading<'a> {
    /// What its rows are.
    pub of: IntakeOf,
    /// Its cells.
    pub cells: &'a Cells,
    /// Columns that have another name in it: column, name.
    pub map: &'a BTreeMap<String, String>,
    /// How days such as 03/07/2026 are written in it, if it was said.
    pub dates: Option<DateOrder>,
    /// Where it comes from; rows of one source are stored once.
    pub source: &'a str,
}

/// A row that is left out.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeftOut {
    /// Its line in the table, from 1, the line of names counted.
    pub line: u64,
    /// Why, and what would be right.
    pub reason: String,
}

/// What a table comes to.
#[derive(Debug, Clone)]
pub struct Looked {
    /// What would be stored.
    pub staged: Staged,
    /// Rows in all.
    pub rows: usize,
    /// Rows that would be stored.
    pub ready: usize,
    /// Rows that were stored before.
    pub known: usize,
    /// Rows that are left out, by line.
    pub left_out: Vec<LeftOut>,
    /// What to know before storing, a sentence each.
    pub notes: Vec<String>,
}

/// Looks at a table: reads every row and tries it on the shop file as it is. Nothing is stored.
///
/// # Errors
/// When a column is missing, or the shop file can't be used.
pub fn look(shop: &mut Shop, reading: &Reading<'_>, stamp: &Stamp) -> Result<Looked, IntakeError> {
    read(shop, reading, |shop, items| shop.stage(reading.source, items, stamp))
}

/// Looks at a table and stores at once what is ready: what looking and then confirming come to.
///
/// # Errors
/// As of [`look`]; nothing is stored then.
pub fn look_and_store(shop: &mut Shop, reading: &Reading<'_>, stamp: &Stamp) -> Result<Looked, IntakeError> {
    read(shop, reading, |shop, items| shop.take_in(reading.source, items, stamp))
}

fn read(
    shop: &mut Shop,
    reading: &Reading<'_>,
    tried: impl FnOnce(&mut Shop, Vec<ImportItem>) -> Result<Staged, ShopError>,
) -> Result<Looked, IntakeError> {
    let places = Places::find(reading.cells, reading.of, reading.map)?;
    let rows: Vec<Told<'_>> = reading.cells.rows().iter().map(|row| Told { row, places: &places }).collect();
    let (mut left_out, mut notes) = (Vec::new(), Vec::new());
    let plainly = |kind, left_out: &mut Vec<LeftOut>| {
        let (items, wrong) = plain(kind, &rows, reading.dates);
        left_out.extend(wrong);
        items
    };
    let items = match reading.of {
        IntakeOf::Places => plainly(Plain::Places, &mut left_out),
        IntakeOf::Comps => plainly(Plain::Comps, &mut left_out),
        IntakeOf::Expenses => plainly(Plain::Expenses, &mut left_out),
        IntakeOf::Trips => plainly(Plain::Trips, &mut left_out),
        IntakeOf::Supplies => plainly(Plain::Supplies, &mut left_out),
        IntakeOf::Orders => {
            let venues = shop.noted::<Venue>()?.into_iter().map(|(number, venue)| (number, venue.name));
            let known = orders::Known::new(shop.listing_names()?, venues.collect());
            let read = orders::orders(&rows, reading.dates, &known, &mut left_out);
            notes.push(orders::taken_as(&places));
            let what =
                if places.has("postage") { "shipping, tax, fee or postage" } else { "shipping, tax or fee" };
            notes.extend(repeated(read.repeating, "order", what));
            read.items
        }
        IntakeOf::Hauls => {
            let read = hauls::hauls(&rows, reading.dates, &forms::Catalogue::published(), &mut left_out);
            notes.push(String::from(
                "Rows with the same number are one haul. What was paid, tax and freight are added up over its \
                 rows and taken as paid in cash.",
            ));
            notes.extend(repeated(read.repeating, "haul", "paid"));
            read.items
        }
    };
    let staged = tried(shop, items)?;
    let mut known: usize = 0;
    for rejected in &staged.rejected {
        if rejected.known {
            known = known.saturating_add(rejected.lines.len());
            continue;
        }
        let Some(&first) = rejected.lines.iter().min() else { continue };
        let wrong = [(first, rejected.reason.clone())];
        leave_out(&rejected.external, &rejected.lines, &wrong, &mut left_out);
    }
    left_out.sort();
    let ready = staged.ready().iter().map(|item| item.lines.len()).sum();
    Ok(Looked { staged, rows: rows.len(), ready, known, left_out, notes })
}

fn repeated(count: usize, word: &str, what: &str) -> Option<String> {
    (count > 0).then(|| {
        format!(
            "{} {} the same {what} on each row, and it is added up. Where your table repeats the amount of the \
             whole {word}, leave it on one row.",
            measure::counted(u32::try_from(count).unwrap_or(u32::MAX), word),
            if count == 1 { "has" } else { "have" }
        )
    })
}
