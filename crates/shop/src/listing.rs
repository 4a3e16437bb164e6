//! Listings: so many like lots, each of so many pieces of one or more finds.

use books::{FindId, LotId};
use jiff::civil::Date;
use measure::Money;
use rusqlite::types::ValueRef;
use rusqlite::{named_params, params};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::event::Event;
use crate::fold::{Fold, fields_of, stored_id};
use crate::{Record, Shop, ShopError, Stamp, rows, stored};

/// Which pieces of a find a lot is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Which {
    /// Sound ones.
    Sound,
    /// Flawed ones.
    Flawed,
    /// Any, the sound ones first.
    Any,
}

/// What one lot holds of one find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListingPart {
    /// The find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// Pieces in one lot.
    pub pieces: u32,
    /// Which ones.
    pub which: Which,
}

/// A listing as it is entered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ListingIn {
    /// The venue, if it is one that was noted.
    pub venue: Option<u64>,
    /// Its title.
    pub title: String,
    /// Lots offered in all, those reserved and sold among them.
    pub lots: u32,
    /// Price of one lot.
    #[serde(with = "stored::cents")]
    pub price: Money,
    /// The least that an offer may be.
    #[serde(with = "stored::cents_opt")]
    pub floor: Option<Money>,
    /// Since when it is up.
    pub listed_on: Date,
    /// Whether it is over.
    #[serde(deserialize_with = "stored::flag")]
    pub ended: bool,
    /// Its text, photo list, stated weight and size, postage policy.
    #[serde(deserialize_with = "stored::from_text")]
    pub card: Value,
    /// What one lot holds.
    #[serde(default)]
    pub parts: Vec<ListingPart>,
}

/// A listing, new or told anew.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct ListingChange {
    #[serde(with = "stored::lot_opt")]
    pub(crate) listing: Option<LotId>,
    pub(crate) entered: ListingIn,
}

/// A listing as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct ListingState {
    /// Its number; each of its lots goes by it in the books.
    pub id: LotId,
    /// What was entered.
    pub entered: ListingIn,
    /// Lots promised to open orders.
    pub reserved: u32,
    /// Lots sent.
    pub sold: u32,
}

impl ListingState {
    /// Lots that can still be ordered.
    #[must_use]
    pub fn available(&self) -> u32 {
        let gone = self.reserved.saturating_add(self.sold);
        if self.entered.ended { 0 } else { self.entered.lots.saturating_sub(gone) }
    }
}

/// What a listing is called.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct ListingName {
    /// Its number.
    #[serde(with = "stored::lot")]
    pub id: LotId,
    /// Its title.
    pub title: String,
    /// Whether it is over.
    #[serde(deserialize_with = "stored::flag")]
    pub ended: bool,
    /// Its venue, if it is one that was noted.
    pub venue: Option<u64>,
}

impl Shop {
    /// Enters a listing.
    ///
    /// # Errors
    /// When a field breaks a rule, or its lots hold more pieces than are on hand and promised to nobody.
    pub fn list(&mut self, stamp: &Stamp, listing: &ListingIn) -> Result<LotId, ShopError> {
        let event = Event::ListingPut(ListingChange { listing: None, entered: listing.clone() });
        self.write(|writing| writing.enter(stamp, &event, None)).map(LotId)
    }

    /// Enters a listing as it is now: other price, other number of lots, ended.
    ///
    /// # Errors
    /// As [`Shop::list`]; also when fewer lots are told than are reserved and sold, or what a lot holds changes
    /// after one was ordered.
    pub fn relist(&mut self, stamp: &Stamp, listing: LotId, anew: &ListingIn) -> Result<(), ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Listing, listing.0)?;
            let before = writing.last_event(Record::Listing, listing.0)?;
            let event = Event::ListingPut(ListingChange { listing: Some(listing), entered: anew.clone() });
            writing.enter(stamp, &event, before).map(|_| ())
        })
    }

    /// A listing as it stands.
    ///
    /// # Errors
    /// When there is no such listing.
    pub fn listing(&self, listing: LotId) -> Result<ListingState, ShopError> {
        state(self.conn(), listing)
    }

    /// Listings with lots that can still be ordered, the latest first: at most `most` of them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listings_left(&self, most: u32) -> Result<Vec<ListingState>, ShopError> {
        let sql =
            "SELECT id FROM listing WHERE ended = 0 AND lots > reserved + sold ORDER BY id DESC LIMIT ?1";
        let mut statement = self.conn().prepare_cached(sql)?;
        let ids: Result<Vec<i64>, _> = statement.query_map([most], |row| row.get(0))?.collect();
        let ids = ids?.into_iter().filter_map(|id| u64::try_from(id).ok());
        ids.map(|id| state(self.conn(), LotId(id))).collect()
    }

    /// What all listings are called, by number: for matching what comes in from elsewhere.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listing_names(&self) -> Result<Vec<ListingName>, ShopError> {
        rows::read(self.conn(), "SELECT id, title, ended, venue FROM listing ORDER BY id", [])
    }

    /// All listings by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listings(&self) -> Result<Vec<ListingState>, ShopError> {
        #[derive(Deserialize)]
        struct PartRow {
            listing: u64,
            #[serde(flatten)]
            part: ListingPart,
        }
        let listings: Vec<Row> = rows::read(self.conn(), "SELECT * FROM listing ORDER BY id", [])?;
        let sql = "SELECT listing, find, pieces, which FROM listing_part ORDER BY listing, find";
        let mut parts = rows::read::<PartRow>(self.conn(), sql, [])?.into_iter().peekable();
        let with_parts = |row: Row| {
            let mut own = Vec::new();
            while let Some(next) = parts.next_if(|next| next.listing <= row.id) {
                own.push(next.part);
            }
            row.state(own)
        };
        Ok(listings.into_iter().map(with_parts).collect())
    }
}

#[derive(Deserialize)]
struct Row {
    id: u64,
    reserved: u32,
    sold: u32,
    #[serde(flatten)]
    entered: ListingIn,
}

impl Row {
    fn state(self, parts: Vec<ListingPart>) -> ListingState {
        ListingState {
            id: LotId(self.id),
            entered: ListingIn { parts, ..self.entered },
            reserved: self.reserved,
            sold: self.sold,
        }
    }
}

pub(crate) fn state(conn: &rusqlite::Connection, listing: LotId) -> Result<ListingState, ShopError> {
    let id = stored_id(listing.0)?;
    let row: Row = rows::first(conn, "SELECT * FROM listing WHERE id = ?1", [id])?
        .ok_or(ShopError::Missing { record: Record::Listing, number: listing.0 })?;
    Ok(row.state(parts(conn, listing)?))
}

/// What can still be ordered of a listing.
pub(crate) struct Left {
    pub(crate) lots: u32,
    pub(crate) parts: Vec<ListingPart>,
}

pub(crate) fn left(conn: &rusqlite::Connection, listing: LotId) -> Result<Left, ShopError> {
    let sql = "SELECT CASE ended WHEN 0 THEN max(lots - reserved - sold, 0) ELSE 0 END, find, pieces, which
               FROM listing LEFT JOIN listing_part ON listing_part.listing = listing.id
               WHERE listing.id = ?1 ORDER BY find";
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query([stored_id(listing.0)?])?;
    let mut left: Option<Left> = None;
    while let Some(row) = rows.next()? {
        let lots = row.get(0)?;
        let left = left.get_or_insert_with(|| Left { lots, parts: Vec::new() });
        if row.get_ref(1)? != ValueRef::Null {
            left.parts.push(part(row, 1)?);
        }
    }
    left.ok_or(ShopError::Missing { record: Record::Listing, number: listing.0 })
}

fn part(row: &rusqlite::Row<'_>, at: usize) -> Result<ListingPart, ShopError> {
    let find: i64 = row.get(at)?;
    let which = match row.get_ref(at.saturating_add(2))? {
        ValueRef::Text(b"sound") => Which::Sound,
        ValueRef::Text(b"flawed") => Which::Flawed,
        ValueRef::Text(b"any") => Which::Any,
        other @ (ValueRef::Null
        | ValueRef::Integer(_)
        | ValueRef::Real(_)
        | ValueRef::Text(_)
        | ValueRef::Blob(_)) => {
            return Err(ShopError::damaged(format!("a part of a listing can't be of {other:?} pieces")));
        }
    };
    Ok(ListingPart { find: FindId(find.unsigned_abs()), pieces: row.get(at.saturating_add(1))?, which })
}

/// What one lot of a listing holds, by find.
pub(crate) fn parts(conn: &rusqlite::Connection, listing: LotId) -> Result<Vec<ListingPart>, ShopError> {
    let sql = "SELECT find, pieces, which FROM listing_part WHERE listing = ?1 ORDER BY find";
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query([stored_id(listing.0)?])?;
    let mut parts = Vec::new();
    while let Some(row) = rows.next()? {
        parts.push(part(row, 0)?);
    }
    Ok(parts)
}

impl Fold<'_> {
    pub(crate) fn listing_put(&mut self, change: &ListingChange) -> Result<u64, ShopError> {
        let entered = &change.entered;
        let before = change.listing.map(|listing| state(self.conn, listing)).transpose()?;
        let number = match change.listing {
            Some(listing) => listing.0,
            None => self.next(Record::Listing)?,
        };
        self.touch(Record::Listing, number);
        let mut parts = entered.parts.clone();
        parts.sort_unstable_by_key(|part| part.find);
        if parts.is_empty() || parts.windows(2).any(|two| matches!(two, [a, b] if a.find == b.find)) {
            return Err(ShopError::Wrong {
                record: Record::Listing,
                field: "parts",
                found: format!("{} finds", parts.len()),
                right: "at least one find, each named once",
            });
        }
        if let Some(before) = &before
            && before.entered.parts != parts
            && before.reserved.saturating_add(before.sold) > 0
        {
            let is = "ordered from".to_owned();
            let wanted = "not ordered from yet; end it and list anew";
            return Err(ShopError::State { record: Record::Listing, number, is, wanted });
        }
        let mut fields = fields_of(Record::Listing, entered)?;
        fields.remove("parts");
        self.put("listing", number, &fields)?;
        let id = stored_id(number)?;
        self.run("DELETE FROM listing_part WHERE listing = ?1", [id])?;
        for part in &parts {
            let which = fields_of(Record::Listing, part)?.remove("which").unwrap_or_default();
            self.run(
                "INSERT INTO listing_part (listing, find, pieces, which) VALUES (:listing, :find, :pieces, :which)",
                named_params! {
                    ":listing": id, ":find": stored_id(part.find.0)?, ":pieces": part.pieces,
                    ":which": which.as_str().unwrap_or_default(),
                },
            )?;
        }
        let now = state(self.conn, LotId(number))?;
        let raised = before.as_ref().is_none_or(|before| now.available() > before.available());
        if raised {
            for part in &parts {
                let wanted = part.pieces.saturating_mul(now.available());
                let free = self.free_pieces(part.find, part.which, wanted)?;
                let left = u32::try_from(free.len()).unwrap_or(u32::MAX);
                if left < wanted {
                    return Err(ShopError::TooFewPieces { find: part.find.0, wanted, left });
                }
            }
        }
        Ok(number)
    }

    /// Pieces of a find that are on hand and promised to nobody, sound ones first; `most` of them, as a find may
    /// have a hundred thousand, and none below the least number that can be free.
    pub(crate) fn free_pieces(&self, find: FindId, which: Which, most: u32) -> Result<Vec<u32>, ShopError> {
        let sql = "SELECT number FROM piece
                   WHERE find = ?1 AND number >= ?2 AND fate = 'on hand' AND reserved_for IS NULL
                     AND (?3 IS NULL OR flawed = ?3)
                   ORDER BY number LIMIT ?4";
        let flawed = match which {
            Which::Sound => Some(0),
            Which::Flawed => Some(1),
            Which::Any => None,
        };
        let mut statement = self.conn.prepare_cached(sql)?;
        let params = params![stored_id(find.0)?, self.known.free_from(find, which), flawed, most];
        let numbers = statement.query_map(params, |row| row.get(0))?;
        Ok(numbers.collect::<Result<_, _>>()?)
    }
}
