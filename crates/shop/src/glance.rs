//! A shop file looked at from the outside: what it holds and how far it goes, without changing a byte of it.

use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use crate::connecting::recognise;
use crate::{EventId, Record, Shop, ShopError};

/// What is counted of a file, in the order of the trade.
const COUNTED: [Record; 6] =
    [Record::Haul, Record::Find, Record::Listing, Record::Order, Record::Parcel, Record::Attachment];

/// What a shop file holds, at a glance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Glance {
    /// The version it was written by.
    pub version: i64,
    /// Its size without what lies beside it, bytes.
    pub bytes: u64,
    /// Records by kind: hauls, finds, listings, orders, parcels, attached files.
    pub counts: Vec<(Record, u64)>,
    /// Events in its log.
    pub events: u64,
    /// The last of them; 0 where nothing happened yet.
    pub last: EventId,
    /// When that was entered, in UTC.
    pub last_at: Option<String>,
    /// Its settings, name and value.
    pub settings: Vec<(String, String)>,
}

impl Shop {
    /// Looks at a shop file of any version known here, without opening it to be written to.
    ///
    /// # Errors
    /// When it isn't there, isn't a shop file, was written by a newer version, or can't be read.
    pub fn glance(path: impl AsRef<Path>) -> Result<Glance, ShopError> {
        let path = path.as_ref();
        let version = recognise(path)?;
        let bytes = std::fs::metadata(path).map(|about| about.len()).unwrap_or_default();
        let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let tx = conn.unchecked_transaction()?;
        let count = |table: &str| -> Result<u64, ShopError> {
            let counted: i64 =
                tx.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))?;
            Ok(counted.unsigned_abs())
        };
        let mut counts = Vec::with_capacity(COUNTED.len());
        for record in COUNTED {
            counts.push((record, count(record.table())?));
        }
        let (last, last_at) = tx.query_row(
            "SELECT ifnull(max(id), 0), (SELECT at FROM event ORDER BY id DESC LIMIT 1) FROM event",
            [],
            |row| Ok((EventId(row.get(0)?), row.get(1)?)),
        )?;
        let mut statement = tx.prepare("SELECT name, value FROM setting ORDER BY id")?;
        let settings = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let settings = settings.collect::<Result<_, _>>()?;
        let events = count("event")?;
        Ok(Glance { version, bytes, counts, events, last, last_at, settings })
    }
}
