//! The file: made, opened, written to.

use std::path::{Path, PathBuf};
use std::time::Duration;

use books::Books;
use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags, OptionalExtension, Transaction, TransactionBehavior, named_params};

use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::schema::{self, APPLICATION_ID, VERSION};
use crate::{EventId, Record, ShopError, Stamp, backup, ledger};

/// How long a write waits for another program to finish its own (judgement).
const PATIENCE: Duration = Duration::from_secs(5);

/// Statements that are kept ready. An order takes about thirty; with fewer places than that each would be prepared
/// anew for every order (judgement: all that one piece of work takes, with room).
const STATEMENTS: usize = 128;

/// Pages of the file that are kept in memory, KiB; with fewer, a large import writes the same pages to disk again and
/// again before it is confirmed (judgement).
const CACHE_KIB: i64 = 64 * 1024;

/// The one door to the file. Two programs may have it open at once; each write waits for its turn.
#[derive(Debug)]
pub struct Shop {
    conn: Connection,
    path: PathBuf,
    books: Option<(EventId, Books)>,
}

impl Shop {
    /// Makes a new file.
    ///
    /// # Errors
    /// When there is one of that name already, or it can't be made.
    pub fn create(path: impl AsRef<Path>) -> Result<Self, ShopError> {
        let path = path.as_ref();
        if path.exists() {
            let reason = "the file exists already; choose another name, or open it".to_owned();
            return Err(ShopError::File { path: path.to_owned(), reason });
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
        let mut conn = connect(path, flags)?;
        schema::migrate(&mut conn)?;
        Ok(Self { conn, path: path.to_owned(), books: None })
    }

    /// Opens a file. One of an older version is taken to the newest after a copy of it was made beside it, with
    /// `now` in its name.
    ///
    /// # Errors
    /// When it isn't there, belongs to another program, or was written by a newer version; it is then unchanged.
    pub fn open(path: impl AsRef<Path>, now: Timestamp) -> Result<Self, ShopError> {
        let path = path.as_ref();
        recognise(path)?;
        let mut conn = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        let found = schema::version_of(&conn)?;
        if found < VERSION {
            backup::copy(&conn, &backup::name_beside(path, found, now))?;
            schema::migrate(&mut conn)?;
        }
        Ok(Self { conn, path: path.to_owned(), books: None })
    }

    /// A shop that lies in memory only, for trying out.
    ///
    /// # Errors
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, ShopError> {
        let mut conn = Connection::open_in_memory()?;
        settle(&conn)?;
        schema::migrate(&mut conn)?;
        Ok(Self { conn, path: PathBuf::new(), books: None })
    }

    /// Where it lies.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    pub(crate) fn conn(&self) -> &Connection {
        &self.conn
    }

    /// The books as they are now.
    ///
    /// # Errors
    /// When the file can't be read, or its entries don't fit each other.
    pub fn books(&mut self) -> Result<&Books, ShopError> {
        // One snapshot for the number of the last event and for what it led to.
        let tx = self.conn.transaction()?;
        let last = last_event(&tx)?;
        let books = match self.books.take() {
            Some((at, books)) if at == last => books,
            Some(_) | None => ledger::read(&tx)?,
        };
        drop(tx);
        Ok(&self.books.insert((last, books)).1)
    }

    /// Does one piece of work: all of it, or, when it fails, nothing.
    pub(crate) fn write<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        self.attempt(work, true)
    }

    /// Does work only to see what it would come to; nothing stays.
    pub(crate) fn rehearse<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        self.attempt(work, false)
    }

    fn attempt<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
        keep: bool,
    ) -> Result<T, ShopError> {
        let kept = self.books.take();
        // Taking the lock first means that what is read next can't change before the commit.
        let tx = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let last = last_event(&tx)?;
        let books = match kept {
            Some((at, books)) if at == last => books,
            Some(_) | None => ledger::read(&tx)?,
        };
        let mut writing = Writing { conn: &tx, books, last, renamed: false };
        let mark = writing.books.mark();
        let done = work(&mut writing)?;
        let Writing { mut books, last: newest, renamed, .. } = writing;
        if keep {
            finish(tx)?;
            books.keep(mark);
            self.books = (!renamed).then_some((newest, books));
        } else {
            tx.rollback()?;
            books.back_to(mark);
            self.books = Some((last, books));
        }
        Ok(done)
    }
}

fn finish(tx: Transaction<'_>) -> Result<(), ShopError> {
    Ok(tx.commit()?)
}

fn last_event(conn: &Connection) -> Result<EventId, ShopError> {
    let sql = "SELECT ifnull(max(id), 0) FROM event";
    Ok(EventId(conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?))
}

fn settle(conn: &Connection) -> Result<(), ShopError> {
    conn.set_prepared_statement_cache_capacity(STATEMENTS);
    conn.pragma_update(None, "cache_size", -CACHE_KIB)?;
    conn.busy_timeout(PATIENCE)?;
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.pragma_update(None, "trusted_schema", false)?;
    Ok(())
}

fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, ShopError> {
    let conn = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
        .map_err(|error| file_error(path, &error))?;
    settle(&conn)?;
    conn.pragma_update(None, "journal_mode", "wal")?;
    // What was confirmed survives also a power cut.
    conn.pragma_update(None, "synchronous", "full")?;
    Ok(conn)
}

fn file_error(path: &Path, error: &rusqlite::Error) -> ShopError {
    ShopError::File { path: path.to_owned(), reason: format!("can't be opened: {error}") }
}

/// Looks at a file without changing it: a shop file of a version known here, or an error.
pub(crate) fn recognise(path: &Path) -> Result<i64, ShopError> {
    if !path.is_file() {
        let reason = "there is no such file; check the name, or make a new one".to_owned();
        return Err(ShopError::File { path: path.to_owned(), reason });
    }
    let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .map_err(|error| file_error(path, &error))?;
    conn.busy_timeout(PATIENCE)?;
    let not_a_shop = |found: String| ShopError::NotAShop { path: path.to_owned(), found };
    let application = match schema::application_of(&conn) {
        Ok(application) => application,
        Err(ShopError::Damaged { what }) => return Err(not_a_shop(what)),
        Err(other) => return Err(other),
    };
    if application != APPLICATION_ID {
        return Err(not_a_shop(format!("its application number is {application}")));
    }
    let found = schema::version_of(&conn)?;
    if found > VERSION {
        return Err(ShopError::Newer { path: path.to_owned(), found, known: VERSION });
    }
    if found < 1 {
        return Err(not_a_shop(format!("its version is {found}")));
    }
    Ok(found)
}

/// The file while one piece of work is written.
pub(crate) struct Writing<'a> {
    pub(crate) conn: &'a Connection,
    pub(crate) books: Books,
    last: EventId,
    renamed: bool,
}

impl<'a> Writing<'a> {
    pub(crate) fn over(conn: &'a Connection) -> Self {
        Self { conn, books: Books::default(), last: EventId(0), renamed: false }
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
                 VALUES (:id, :at, :kind, :body, :corrects, :source, :external)",
            )?
            .execute(named_params! {
                ":id": id.0, ":at": stamp.at.to_string(), ":kind": kind, ":body": body,
                ":corrects": corrects.map(|event| event.0),
                ":source": key.map(|(source, _)| source), ":external": key.map(|(_, external)| external),
            })?;
        self.fold(id, event)
    }

    /// Brings the tables up to an event that is in the log.
    pub(crate) fn fold(&mut self, id: EventId, event: &Event) -> Result<u64, ShopError> {
        let mut fold = Fold::new(self.conn, &mut self.books, id);
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
                self.conn.execute_batch("ROLLBACK TO part; RELEASE part")?;
                Err(error)
            }
        }
    }

    fn check_key(&self, source: &str, external: &str) -> Result<(), ShopError> {
        let sql = "SELECT id FROM event WHERE source = :source AND external = :external";
        let known: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row(named_params! { ":source": source, ":external": external }, |row| row.get(0))
            .optional()?;
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

#[cfg(test)]
mod tests {
    use crate::event::Event;
    use crate::{MoneyMoved, Movement, Place, Shop, ShopError, Stamp};

    fn stamp() -> Stamp {
        Stamp::at("2026-03-07T10:00:00Z".parse().unwrap())
    }

    fn place(note: &str) -> Place {
        Place { name: "hall".to_owned(), note: note.to_owned() }
    }

    #[test]
    fn a_part_that_fails_leaves_the_books_as_they_were() {
        let mut shop = Shop::in_memory().unwrap();
        let movement =
            Movement::Expense { what: books::Expense::Other, amount: measure::Money::from_cents(350) };
        let date = jiff::civil::date(2026, 3, 7);
        let moved = MoneyMoved { date, purse: books::Purse::Cash, movement, note: String::new() };
        let work = |writing: &mut super::Writing<'_>| {
            let before = writing.books.clone();
            let failed = writing.part(|writing| {
                writing.enter(&stamp(), &Event::MoneyMoved(moved.clone()), None)?;
                Err::<(), _>(ShopError::DiskFull)
            });
            assert!(matches!(failed, Err(ShopError::DiskFull)));
            assert_eq!(writing.books, before);
            writing.enter(&stamp(), &Event::MoneyMoved(moved.clone()), None)
        };
        shop.write(work).unwrap();
        assert_eq!(shop.books().unwrap().entries().len(), 1);
        assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    }

    #[test]
    fn a_full_disk_says_so_and_stores_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let mut shop = Shop::create(folder.path().join("trade.shop")).unwrap();
        shop.note(&stamp(), &place("")).unwrap();
        let before = shop.export_json().unwrap();
        let pages: i64 = shop.conn.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
        shop.conn.query_row(&format!("PRAGMA max_page_count = {pages}"), [], |_| Ok(())).unwrap();
        let error = shop.note(&stamp(), &place(&"x".repeat(200_000))).unwrap_err();
        assert!(matches!(error, ShopError::DiskFull), "{error:?}");
        assert!(error.to_string().contains("nothing was stored"));
        assert_eq!(shop.export_json().unwrap(), before);
    }

    #[test]
    fn work_that_fails_or_is_dropped_midway_leaves_nothing() {
        let mut shop = Shop::in_memory().unwrap();
        shop.note(&stamp(), &place("first")).unwrap();
        let before = shop.export_json().unwrap();
        let half = |writing: &mut super::Writing<'_>| -> Result<(), ShopError> {
            let entered = serde_json::json!({ "name": "half", "note": "" });
            let noted =
                crate::event::NotedRecord { record: crate::Record::Place, number: 2, entered: Some(entered) };
            writing.enter(&stamp(), &crate::event::Event::Noted(noted), None).map(|_| ())
        };
        let failed = shop.write(|writing| half(writing).and(Err::<(), _>(ShopError::Busy)));
        assert!(matches!(failed, Err(ShopError::Busy)));
        assert_eq!(shop.export_json().unwrap(), before);
        let dropped = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            shop.write(|writing| -> Result<(), ShopError> {
                half(writing)?;
                panic!("the program ends here")
            })
        }));
        assert!(dropped.is_err());
        assert_eq!(shop.export_json().unwrap(), before);
        shop.rehearse(half).unwrap();
        assert_eq!(shop.export_json().unwrap(), before);
        shop.write(half).unwrap();
        assert_ne!(shop.export_json().unwrap(), before);
    }
}
