//! Books that are behind are brought up to the file by reading only what came after them.

use books::{BoughtFind, EntryId, FindId, HaulId};
use measure::Money;
use rusqlite::Connection;
use serde::Deserialize;

use crate::common_books::Kept;
use crate::ledger::{self, HaulRow};
use crate::{EventId, Record, ShopError, rows, stored};

/// Brings books up to an event, the last that the connection sees. Entries tell all but three things: hauls that
/// came, which are read with their finds; what places are called; and hauls that were entered anew, with which the
/// books are read anew as well.
pub(crate) fn upto(conn: &Connection, kept: Kept, last: EventId) -> Result<Kept, ShopError> {
    let Kept { at, mut books } = kept;
    if happened(conn, "haul_amended", at)? {
        return Ok(Kept { at: last, books: ledger::read(conn)? });
    }
    let known = books.hauls().next_back().map_or(0, |haul| haul.id().0);
    for haul in hauls_after(conn, known)? {
        books.add_haul(haul)?;
    }
    let known = books.entries().last().map_or(EntryId(0), books::Entry::id);
    for entry in ledger::entries_after(conn, known)? {
        books.post(entry)?;
    }
    if places_told(conn, at)? {
        call_places(conn, &mut books)?;
    }
    Ok(Kept { at: last, books })
}

fn happened(conn: &Connection, kind: &str, after: EventId) -> Result<bool, ShopError> {
    let sql = "SELECT 1 FROM event WHERE id > ?1 AND kind = ?2";
    Ok(conn.prepare_cached(sql)?.exists(rusqlite::params![after.0, kind])?)
}

fn places_told(conn: &Connection, after: EventId) -> Result<bool, ShopError> {
    let sql = "SELECT 1 FROM event_record WHERE event > ?1 AND record = ?2";
    Ok(conn.prepare_cached(sql)?.exists(rusqlite::params![after.0, Record::Place.table()])?)
}

fn hauls_after(conn: &Connection, known: u64) -> Result<Vec<books::Haul>, ShopError> {
    #[derive(Deserialize)]
    struct Row {
        id: u64,
        sound: u32,
        flawed: u32,
        #[serde(with = "stored::cents")]
        value: Money,
    }
    let known = crate::fold::stored_id(known)?;
    let sql = "SELECT haul.*, place.name AS place_name FROM haul LEFT JOIN place ON place.id = haul.place
               WHERE haul.id > ?1 ORDER BY haul.id";
    let mut hauls = Vec::new();
    for row in rows::read::<HaulRow>(conn, sql, [known])? {
        let sql = "SELECT id, sound, flawed, value FROM find WHERE haul = ?1 ORDER BY id";
        let finds: Vec<Row> = rows::read(conn, sql, [crate::fold::stored_id(row.id)?])?;
        let told = |find: Row| BoughtFind {
            id: FindId(find.id),
            sound: find.sound,
            flawed: find.flawed,
            value: find.value,
        };
        hauls.push(ledger::haul(&row, finds.into_iter().map(told).collect())?);
    }
    Ok(hauls)
}

/// Takes what places are called now into the books.
pub(crate) fn call_places(conn: &Connection, books: &mut books::Books) -> Result<(), ShopError> {
    let sql = "SELECT haul.id, place.name FROM haul JOIN place ON place.id = haul.place";
    let mut statement = conn.prepare_cached(sql)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let haul = HaulId(row.get::<_, i64>(0)?.unsigned_abs());
        if let Ok(name) = row.get_ref(1)?.as_str() {
            books.call_place(haul, name)?;
        }
    }
    Ok(())
}
