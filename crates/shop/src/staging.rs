//! What comes in from elsewhere, tried before anything is stored.

use books::{OrderId, Purse};
use jiff::civil::Date;
use measure::{Mass, Money};
use rusqlite::named_params;

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::movement::{MoneyMoved, Movement};
use crate::shipping::{ParcelActual, Shipped};
use crate::writing::Writing;
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
    /// An order, with its fee and how it was sent.
    Order(Box<ImportedOrder>),
    /// A haul from a place of that name; a place that isn't known yet is noted with it.
    Haul(Box<HaulIn>, String),
}

/// An order that comes in, with what became of it before.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedOrder {
    /// The order.
    pub order: OrderIn,
    /// What the venue kept of it as its fee, 0.00 for none.
    pub fee: Money,
    /// How it was sent; none where it is still to be sent.
    pub sent: Option<SentBefore>,
}

/// An order that was sent before it came in: without a plan, and without supplies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SentBefore {
    /// The day.
    pub date: Date,
    /// Postage, paid from the venue's balance.
    pub postage: Option<Money>,
    /// Gross weight of its parcel.
    pub mass: Option<Mass>,
}

impl SentBefore {
    /// As it is entered: with a parcel where something is known of it.
    fn shipped(self, order: OrderId) -> Shipped {
        let Self { date, postage, mass } = self;
        let parcel = ParcelActual {
            mass,
            size: None,
            minutes: None,
            postage,
            tracking: String::new(),
            supplies: Vec::new(),
        };
        let parcels = if postage.is_some() || mass.is_some() { vec![parcel] } else { Vec::new() };
        Shipped { order, date, postage_from: Purse::Platform, parcels }
    }
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
        // Mostly all of it comes in. Then no part has to be such that it could be put back by itself, which costs each
        // page that it changes once more.
        match self.rehearse(|writing| all(writing, at, source, &items)) {
            Ok(()) => Ok(Staged { source: source.to_owned(), items, rejected: Vec::new() }),
            Err(error) if is_of_the_file(&error) => Err(error),
            Err(_) => self.rehearse(|writing| each_by_itself(writing, at, source, items)),
        }
    }

    /// Stores whatever can be stored, one after another: what [`Shop::stage`] and then [`Shop::confirm`] come to, in
    /// one go. Gives what was stored and what was left out.
    ///
    /// # Errors
    /// When the file can't be used; nothing is stored then.
    pub fn take_in(
        &mut self,
        source: &str,
        items: Vec<ImportItem>,
        stamp: &Stamp,
    ) -> Result<Staged, ShopError> {
        match self.write_at_length(|writing| all(writing, stamp, source, &items)) {
            Ok(()) => Ok(Staged { source: source.to_owned(), items, rejected: Vec::new() }),
            Err(error) if is_of_the_file(&error) => Err(error),
            Err(_) => self.write_at_length(|writing| each_by_itself(writing, stamp, source, items)),
        }
    }

    /// Stores what was ready: all of it, or nothing. Gives how much that was.
    ///
    /// # Errors
    /// When some of it can't be stored any more.
    pub fn confirm(&mut self, stamp: &Stamp, staged: &Staged) -> Result<usize, ShopError> {
        self.write_at_length(|writing| all(writing, stamp, &staged.source, &staged.items))?;
        Ok(staged.items.len())
    }
}

/// Whether it is the file that can't be used, and not the item.
const fn is_of_the_file(error: &ShopError) -> bool {
    matches!(error, ShopError::Busy | ShopError::DiskFull | ShopError::ReadOnly)
}

/// Enters what can be entered; what can't leaves nothing.
fn each_by_itself(
    writing: &mut Writing<'_>,
    stamp: &Stamp,
    source: &str,
    items: Vec<ImportItem>,
) -> Result<Staged, ShopError> {
    let mut rejected = Vec::new();
    let mut ready = Vec::with_capacity(items.len());
    for item in items {
        match writing.part(|writing| enter(writing, stamp, source, &item)) {
            Ok(()) => ready.push(item),
            Err(error) if is_of_the_file(&error) => return Err(error),
            Err(error) => {
                let known = matches!(error, ShopError::Twice { .. });
                let ImportItem { external, lines, .. } = item;
                rejected.push(Rejected { external, lines, reason: error.to_string(), known });
            }
        }
    }
    Ok(Staged { source: source.to_owned(), items: ready, rejected })
}

fn all(
    writing: &mut Writing<'_>,
    stamp: &Stamp,
    source: &str,
    items: &[ImportItem],
) -> Result<(), ShopError> {
    items.iter().try_for_each(|item| enter(writing, stamp, source, item))
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
        ImportContent::Order(told) => {
            let ImportedOrder { order, fee, sent } = &**told;
            let number = writing.take_order(&keyed, order)?;
            if *fee != Money::ZERO {
                let movement = Movement::Fee { order: Some(number), amount: *fee, advertising: false };
                let date = order.paid.map_or(order.ordered_on, |paid| paid.date);
                let moved = MoneyMoved { date, purse: Purse::Platform, movement, note: String::new() };
                writing.enter(&bare, &Event::MoneyMoved(moved), None)?;
            }
            if let Some(sent) = sent {
                writing.enter(&bare, &Event::OrderSent(sent.shipped(number)), None)?;
            }
            Ok(())
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
