//! One piece of work on the file: events appended, tables brought up to them.

use books::Books;
use rusqlite::{Connection, OptionalExtension, named_params, params};

use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::known::Known;
use crate::{EventId, Record, ShopError, Stamp};

/// The file while one piece of work is written.
pub(crate) struct Writing<'a> {
    pub(crate) conn: &'a Connection,
    pub(crate) books: Books,
    /// The last event that is in the log.
    pub(crate) last: EventId,
    /// Whether names that the books hold were changed.
    pub(crate) renamed: bool,
    pub(crate) known: Known,
}

impl<'a> Writing<'a> {
    pub(crate) fn over(conn: &'a Connection) -> Self {
        let known = Known::default();
        Self { conn, books: Books::default(), last: EventId(0), renamed: false, known }
    }

    /// Appends an event and brings the tables up to it; gives the number of its record.
    pub(crate) fn enter(
        &mut self,
        stamp: &Stamp,
        event: &Event,
        corrects: Option<EventId>,
    ) -> Result<u64, ShopError> {
        let (kind, body) = event
            .written()
            .map_err(|error| ShopError::Unwritable { record: event.record(), reason: error.to_string() })?;
        if let Some((source, external)) = &stamp.key {
            self.check_key(source, external)?;
        }
        let id = EventId(self.last.0.saturating_add(1));
        let key = stamp.key.as_ref();
        self.conn
            .prepare_cached(
                "INSERT INTO event (id, at, kind, body, corrects, source, external)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                id.0,
                stamp.at.to_string(),
                kind,
                body,
                corrects.map(|event| event.0),
                key.map(|(source, _)| source),
                key.map(|(_, external)| external),
            ])?;
        self.fold(id, event)
    }

    /// Brings the tables up to an event that is in the log.
    pub(crate) fn fold(&mut self, id: EventId, event: &Event) -> Result<u64, ShopError> {
        let mut fold = Fold::new(self.conn, &mut self.books, &mut self.known, id);
        let number = fold.apply(event)?;
        self.renamed |= fold.renamed;
        self.last = id;
        Ok(number)
    }

    /// Does a part of the work that may fail by itself and then leaves nothing.
    pub(crate) fn part<T>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        let (last, renamed) = (self.last, self.renamed);
        self.conn.prepare_cached("SAVEPOINT part")?.execute([])?;
        // A copy of the books would cost as much as they hold, for every part.
        let mark = self.books.mark();
        match work(self) {
            Ok(done) => {
                self.books.keep(mark);
                self.conn.prepare_cached("RELEASE part")?.execute([])?;
                Ok(done)
            }
            Err(error) => {
                self.books.back_to(mark);
                (self.last, self.renamed) = (last, renamed);
                self.known.forget();
                self.conn.execute_batch("ROLLBACK TO part; RELEASE part")?;
                Err(error)
            }
        }
    }

    fn check_key(&self, source: &str, external: &str) -> Result<(), ShopError> {
        let sql = "SELECT id FROM event WHERE source = ?1 AND external = ?2";
        let known: Option<i64> =
            self.conn.prepare_cached(sql)?.query_row([source, external], |row| row.get(0)).optional()?;
        known.map_or(Ok(()), |event| {
            Err(ShopError::Twice { source_name: source.to_owned(), external: external.to_owned(), event })
        })
    }

    /// The last event about a record.
    pub(crate) fn last_event(&self, record: Record, number: u64) -> Result<Option<EventId>, ShopError> {
        let sql = "SELECT max(event) FROM event_record WHERE record = :record AND number = :number";
        let event: Option<i64> =
            self.conn.prepare_cached(sql)?.query_row(
                named_params! { ":record": record.table(), ":number": stored_id(number)? },
                |row| row.get(0),
            )?;
        Ok(event.map(EventId))
    }

    pub(crate) fn must_exist(&self, record: Record, number: u64) -> Result<(), ShopError> {
        let sql = format!("SELECT 1 FROM {} WHERE id = ?1", record.table());
        if self.conn.prepare_cached(&sql)?.exists([stored_id(number)?])? {
            Ok(())
        } else {
            Err(ShopError::Missing { record, number })
        }
    }
}
