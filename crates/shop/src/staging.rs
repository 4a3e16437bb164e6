//! What comes in from elsewhere, tried before anything is stored.

use books::{OrderId, Purse};
use measure::Money;
use rusqlite::named_params;

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::movement::{MoneyMoved, Movement};
use crate::shop::Writing;
use crate::{Comp, HaulIn, Noted, OrderIn, Place, Shop, ShopError, Stamp};

/// One thing that comes in: what it is, its number where it comes from, and the lines it was told on.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportItem {
    /// Its number where it comes from; the same number of the same source is never stored twice.
    pub external: String,
    /// The lines of its table, from 1, the line of names counted.
    pub lines: Vec<u64>,
    /// What it is.
    pub content: ImportContent,
}

/// What can come in.
#[derive(Debug, Clone, PartialEq)]
pub enum ImportContent {
    /// A place to buy.
    Place(Place),
    /// A comparable sale.
    Comp(Comp),
    /// Money that moved.
    Money(MoneyMoved),
    /// An order, and what the venue kept of it as its fee, 0.00 for none.
    Order(Box<OrderIn>, Money),
    /// A haul from a place of that name; a place that isn't known yet is noted with it.
    Haul(Box<HaulIn>, String),
}

/// Something that can't be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejected {
    /// Its number where it comes from.
    pub external: String,
    /// The lines of its table.
    pub lines: Vec<u64>,
    /// Why, and what would be right.
    pub reason: String,
    /// Whether it is only that it was stored before.
    pub known: bool,
}

/// An import that has been looked at and not stored.
#[derive(Debug, Clone, Default)]
pub struct Staged {
    source: String,
    items: Vec<ImportItem>,
    /// What would be left out.
    pub rejected: Vec<Rejected>,
}

impl Staged {
    /// What would be stored, in the order of its first line.
    #[must_use]
    pub fn ready(&self) -> &[ImportItem] {
        &self.items
    }
}

impl Shop {
    /// Tries everything on the file as it is now, one after another; nothing is stored.
    ///
    /// # Errors
    /// When the file can't be used.
    pub fn stage(&mut self, source: &str, items: Vec<ImportItem>, at: &Stamp) -> Result<Staged, ShopError> {
        let mut rejected = Vec::new();
        let ready = self.rehearse(|writing| {
            let mut ready = Vec::with_capacity(items.len());
            for item in items {
                match writing.part(|writing| enter(writing, at, source, &item)) {
                    Ok(()) => ready.push(item),
                    Err(error @ (ShopError::Busy | ShopError::DiskFull | ShopError::ReadOnly)) => {
                        return Err(error);
                    }
                    Err(error) => {
                        let known = matches!(error, ShopError::Twice { .. });
                        let ImportItem { external, lines, .. } = item;
                        rejected.push(Rejected { external, lines, reason: error.to_string(), known });
                    }
                }
            }
            Ok(ready)
        })?;
        Ok(Staged { source: source.to_owned(), items: ready, rejected })
    }

    /// Stores what was ready: all of it, or nothing. Gives how much that was.
    ///
    /// # Errors
    /// When some of it can't be stored any more.
    pub fn confirm(&mut self, stamp: &Stamp, staged: &Staged) -> Result<usize, ShopError> {
        self.write(|writing| {
            for item in &staged.items {
                enter(writing, stamp, &staged.source, item)?;
            }
            Ok(staged.items.len())
        })
    }
}

fn enter(writing: &mut Writing<'_>, stamp: &Stamp, source: &str, item: &ImportItem) -> Result<(), ShopError> {
    let keyed = Stamp::at(stamp.at).imported(source, item.external.clone());
    let bare = Stamp::at(stamp.at);
    match &item.content {
        ImportContent::Place(place) => note(writing, &keyed, place).map(|_| ()),
        ImportContent::Comp(comp) => note(writing, &keyed, comp).map(|_| ()),
        ImportContent::Money(moved) => {
            writing.enter(&keyed, &Event::MoneyMoved(moved.clone()), None).map(|_| ())
        }
        ImportContent::Order(order, fee) => {
            let number = writing.enter(&keyed, &Event::OrderTaken(OrderIn::clone(order)), None)?;
            if *fee == Money::ZERO {
                return Ok(());
            }
            let fee = Movement::Fee { order: Some(OrderId(number)), amount: *fee, advertising: false };
            let note = String::new();
            let moved = MoneyMoved { date: order.ordered_on, purse: Purse::Platform, movement: fee, note };
            writing.enter(&bare, &Event::MoneyMoved(moved), None).map(|_| ())
        }
        ImportContent::Haul(haul, place) => {
            let place = match place_named(writing, place)? {
                Some(place) => place,
                None => note(writing, &bare, &Place { name: place.clone(), note: String::new() })?,
            };
            let haul = HaulIn { place: Some(place), ..HaulIn::clone(haul) };
            writing.enter(&keyed, &Event::HaulBought(haul), None).map(|_| ())
        }
    }
}

fn note<R: Noted>(writing: &mut Writing<'_>, stamp: &Stamp, record: &R) -> Result<u64, ShopError> {
    let entered = Some(fields_of(R::RECORD, record)?.into());
    let number = next_number(writing.conn, R::RECORD)?;
    let noted = NotedRecord { record: R::RECORD, number, entered };
    writing.enter(stamp, &Event::Noted(noted), None)
}

/// The place of a name, however it is spelt: case, blanks and dots don't count.
fn place_named(writing: &Writing<'_>, name: &str) -> Result<Option<u64>, ShopError> {
    let exact = "SELECT min(id) FROM place WHERE name = :name";
    let number: Option<i64> =
        writing.conn.prepare_cached(exact)?.query_row(named_params! { ":name": name }, |row| row.get(0))?;
    if let Some(number) = number {
        return Ok(u64::try_from(number).ok());
    }
    let mut statement = writing.conn.prepare_cached("SELECT id, name FROM place ORDER BY id")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (number, known): (i64, String) = (row.get(0)?, row.get(1)?);
        if measure::plain(&known) == measure::plain(name) {
            return Ok(u64::try_from(number).ok());
        }
    }
    Ok(None)
}
