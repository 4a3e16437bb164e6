//! Minutes of packing by parcel and by day, read on as parcels are sent.

use std::collections::BTreeMap;

use books::OrderId;
use jiff::civil::Date;
use rusqlite::{Connection, Row};

use crate::answers::{OneWork, touched};
use crate::fold::stored_id;
use crate::{EventId, Record, ShopError};

const SQL: &str = "SELECT id, order_id, sent_on, actual_minutes FROM parcel
                   WHERE sent_on IS NOT NULL AND actual_minutes IS NOT NULL";

/// The work of packing after an event.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct WorkDone {
    at: Option<EventId>,
    parcels: BTreeMap<u64, OneWork>,
    days: BTreeMap<Date, u64>,
}

impl WorkDone {
    /// The work as of an event, the last that the connection sees: read on from what is known, where that is older.
    pub(crate) fn read_on(&mut self, conn: &Connection, last: EventId) -> Result<(), ShopError> {
        match self.at {
            Some(at) if at == last => {}
            Some(at) if at < last => {
                for parcel in touched(conn, Record::Parcel, at)? {
                    self.forget(parcel);
                    let sql = format!("{SQL} AND id = ?1");
                    let mut statement = conn.prepare_cached(&sql)?;
                    let mut rows = statement.query([stored_id(parcel)?])?;
                    while let Some(row) = rows.next()? {
                        let (parcel, work) = one(row)?;
                        self.learn(parcel, work);
                    }
                }
                self.at = Some(last);
            }
            Some(_) | None => *self = Self::read(conn, last)?,
        }
        Ok(())
    }

    /// Read from all parcels.
    pub(crate) fn read(conn: &Connection, last: EventId) -> Result<Self, ShopError> {
        let mut done = Self { at: Some(last), ..Self::default() };
        let mut statement = conn.prepare_cached(SQL)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (parcel, work) = one(row)?;
            done.learn(parcel, work);
        }
        Ok(done)
    }

    /// Whether what is known is as of a later event.
    pub(crate) fn is_past(&self, last: EventId) -> bool {
        self.at.is_some_and(|at| at > last)
    }

    /// By parcel.
    pub(crate) fn parcels(&self) -> impl Iterator<Item = &OneWork> {
        self.parcels.values()
    }

    /// Minutes by day.
    pub(crate) fn days(&self) -> &BTreeMap<Date, u64> {
        &self.days
    }

    fn learn(&mut self, parcel: u64, work: OneWork) {
        let day = self.days.entry(work.1).or_default();
        *day = day.saturating_add(u64::from(work.2));
        self.parcels.insert(parcel, work);
    }

    fn forget(&mut self, parcel: u64) {
        let Some((_, day, minutes)) = self.parcels.remove(&parcel) else { return };
        if let Some(sum) = self.days.get_mut(&day) {
            *sum = sum.saturating_sub(u64::from(minutes));
            if *sum == 0 {
                self.days.remove(&day);
            }
        }
    }
}

fn one(row: &Row<'_>) -> Result<(u64, OneWork), ShopError> {
    let (parcel, order): (i64, i64) = (row.get(0)?, row.get(1)?);
    let day = day(row.get_ref(2)?.as_str().unwrap_or_default())?;
    Ok((parcel.unsigned_abs(), (OrderId(order.unsigned_abs()), day, row.get(3)?)))
}

/// A day as the file keeps it.
pub(crate) fn day(text: &str) -> Result<Date, ShopError> {
    text.parse().map_err(|_| ShopError::damaged(format!("«{text}» is no day")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_read_on_is_what_is_read_anew_whatever_became_of_a_parcel() {
        let conn = Connection::open_in_memory().unwrap();
        conn.execute_batch(
            "CREATE TABLE parcel (id INTEGER PRIMARY KEY, order_id, sent_on, actual_minutes);
             CREATE TABLE event_record (event, record, number);",
        )
        .unwrap();
        let mut done = WorkDone::default();
        let happens = [
            "INSERT INTO parcel VALUES (1, 1, NULL, NULL), (2, 1, '2026-03-07', 12)",
            "UPDATE parcel SET sent_on = '2026-03-07', actual_minutes = 20 WHERE id = 1",
            "UPDATE parcel SET actual_minutes = 8 WHERE id = 2",
            "UPDATE parcel SET sent_on = '2026-03-09' WHERE id = 1",
            "UPDATE parcel SET actual_minutes = NULL WHERE id = 1",
            "DELETE FROM parcel WHERE id = 2",
        ];
        for (event, sql) in (1..).zip(happens) {
            conn.execute_batch(sql).unwrap();
            let about = "INSERT INTO event_record VALUES (?1, 'parcel', 1), (?1, 'parcel', 2)";
            conn.execute(about, [event]).unwrap();
            done.read_on(&conn, EventId(event)).unwrap();
            assert_eq!(done, WorkDone::read(&conn, EventId(event)).unwrap(), "{sql}");
        }
        assert_eq!(done.parcels().count(), 0);
        assert!(done.is_past(EventId(2)) && !done.is_past(EventId(6)));
    }
}
