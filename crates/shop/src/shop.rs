//! The file: made, opened, written to.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use books::Books;
use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use crate::answers::Answers;
use crate::common_books::{Common, Held, Kept, SOON, Taken};
use crate::connecting::{FURTHER_CACHE_KIB, connect, recognise, settle};
use crate::known::Known;
use crate::schema::{self, VERSION};
use crate::writing::Writing;
use crate::{EventId, ShopError, backup, catching_up, ledger};

/// The one door to the file. Two programs may have it open at once; each write waits for its turn. In one program,
/// [`Shop::another`] gives further handles that read at the same time.
#[derive(Debug)]
pub struct Shop {
    conn: Connection,
    path: PathBuf,
    common: Arc<Common>,
    /// The last event that is seen, while this handle looks at the file as it is at one moment.
    moment: Option<EventId>,
    view: Option<View>,
}

/// The books that a handle reads.
#[derive(Debug)]
enum View {
    /// Those of all handles.
    Shared(Held),
    /// Its own, where the others are past its moment.
    Own(Box<Books>),
}

impl View {
    fn books(&self) -> Option<&Books> {
        match self {
            Self::Shared(held) => held.as_ref().map(|kept| &kept.books),
            Self::Own(books) => Some(books),
        }
    }
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
        Ok(Self::over(conn, path.to_owned()))
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
        Ok(Self::over(conn, path.to_owned()))
    }

    /// A shop that lies in memory only, for trying out.
    ///
    /// # Errors
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, ShopError> {
        let mut conn = Connection::open_in_memory()?;
        settle(&conn)?;
        schema::migrate(&mut conn)?;
        Ok(Self::over(conn, PathBuf::new()))
    }

    /// Where it lies.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    pub(crate) fn conn(&self) -> &Connection {
        &self.conn
    }

    fn over(conn: Connection, path: PathBuf) -> Self {
        Self { conn, path, common: Arc::default(), moment: None, view: None }
    }

    /// A further handle on the same file, for another thread: it shares the books and what else was worked out, and
    /// reads while others read or write.
    ///
    /// # Errors
    /// When the shop lies in memory only, or the file can't be opened once more.
    pub fn another(&self) -> Result<Self, ShopError> {
        if self.path.as_os_str().is_empty() {
            let reason = "the shop lies in memory only, so it has one handle".to_owned();
            return Err(ShopError::File { path: self.path.clone(), reason });
        }
        let conn = connect(&self.path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        conn.pragma_update(None, "cache_size", -FURTHER_CACHE_KIB)?;
        Ok(Self { common: Arc::clone(&self.common), ..Self::over(conn, self.path.clone()) })
    }

    /// Looks at the file as it is at one moment: whatever `work` asks, each answer is of the same last event, and
    /// what others write meanwhile is seen afterwards. What `work` writes itself is seen at once.
    ///
    /// # Errors
    /// Those of `work`, and when the file can't be read.
    pub fn at_one_moment<T, E: From<ShopError>>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        self.begin()?;
        let done = work(self);
        self.end();
        done
    }

    /// The last event that is seen, while the file is looked at as it is at one moment.
    pub(crate) fn moment(&self) -> Option<EventId> {
        self.moment
    }

    /// The same within a longer look, or as one by itself.
    pub(crate) fn moment_of<T>(
        &mut self,
        work: impl FnOnce(&mut Self, EventId) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        match self.moment {
            Some(at) => work(self, at),
            None => self.at_one_moment(|shop| {
                let at = shop.moment.unwrap_or(EventId(0));
                work(shop, at)
            }),
        }
    }

    pub(crate) fn answers(&self) -> Answering {
        Answering(Arc::clone(&self.common))
    }

    /// The books as they are now; within one look, as they were at its moment.
    ///
    /// # Errors
    /// When the file can't be read, or its entries don't fit each other.
    pub fn books(&mut self) -> Result<&Books, ShopError> {
        if self.moment.is_some() {
            self.see_books()?;
        } else {
            self.begin()?;
            let seen = self.see_books();
            self.close();
            seen?;
        }
        // It was seen just now.
        self.view
            .as_ref()
            .and_then(View::books)
            .ok_or_else(|| ShopError::damaged("the books went away while they were read".to_owned()))
    }

    /// Begins to look at the file as it is now. The books are taken along where that costs nothing; else they are
    /// read once they are asked for.
    fn begin(&mut self) -> Result<(), ShopError> {
        self.end();
        loop {
            let place = self.common.place();
            // First the books, then the file: no write of this program can come between.
            let held = place.read_arc();
            self.conn.prepare_cached("BEGIN")?.execute([])?;
            let last = match last_event(&self.conn) {
                Ok(last) => last,
                Err(error) => {
                    self.close();
                    return Err(error);
                }
            };
            self.moment = Some(last);
            let Some(at) = held.as_ref().map(|kept| kept.at) else { return Ok(()) };
            if at == last {
                self.view = Some(View::Shared(held));
                return Ok(());
            }
            drop(held);
            if !Arc::ptr_eq(&place, &self.common.place()) {
                self.end();
            } else if at < last && last.0.saturating_sub(at.0) <= SOON {
                // Another program wrote. Where that can't be read, who needs the books hears of it.
                if self.common.catch_up(&place, &self.conn, last).is_err() {
                    return Ok(());
                }
                self.end();
            } else {
                return Ok(());
            }
        }
    }

    fn see_books(&mut self) -> Result<(), ShopError> {
        if self.view.is_some() {
            return Ok(());
        }
        let last = self.moment.unwrap_or(EventId(0));
        self.view = Some(match self.common.held(&self.conn, last)? {
            Some(held) => View::Shared(held),
            None => View::Own(Box::new(ledger::read(&self.conn)?)),
        });
        Ok(())
    }

    /// Ends the look at the file; the books are still held.
    fn close(&mut self) {
        self.moment = None;
        if !self.conn.is_autocommit() {
            // It only read, so there is nothing that could be lost.
            let _ = self.conn.execute_batch("ROLLBACK");
        }
    }

    fn end(&mut self) {
        self.rest();
        self.close();
    }

    /// Lets go of the books that were last read, which a handle otherwise holds until it is next used; a write of
    /// another handle would go on with a copy of them.
    pub fn rest(&mut self) {
        self.view = None;
    }

    /// Does one piece of work: all of it, or, when it fails, nothing.
    pub(crate) fn write<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        self.attempt(work, true, false)
    }

    /// The same for work that may take long: who reads meanwhile doesn't wait for it.
    pub(crate) fn write_at_length<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        self.attempt(work, true, true)
    }

    /// Does work only to see what it would come to; nothing stays. Who reads meanwhile doesn't wait for it.
    pub(crate) fn rehearse<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        self.attempt(work, false, true)
    }

    fn attempt<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
        keep: bool,
        takes_long: bool,
    ) -> Result<T, ShopError> {
        let looking = self.moment.is_some();
        self.end();
        let done = self.attempt_alone(work, keep, takes_long);
        if looking && self.begin().is_err() {
            // It is stored all the same; whatever is read next says what is wrong.
            self.end();
        }
        done
    }

    fn attempt_alone<T>(
        &mut self,
        work: impl FnOnce(&mut Writing<'_>) -> Result<T, ShopError>,
        keep: bool,
        takes_long: bool,
    ) -> Result<T, ShopError> {
        let common = Arc::clone(&self.common);
        // A single handle has nobody to wait for it.
        let takes_long = takes_long && Arc::strong_count(&common) > HANDLE_AND_HERE;
        let _turn = common.turn();
        // Taking the lock first means that what is read next can't change before the commit.
        let tx = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let last = last_event(&tx)?;
        let place = common.place();
        let (books, mut taken) = common.take(&place, &tx, last, takes_long)?;
        let mut writing = Writing { conn: &tx, books, last, renamed: false, known: Known::default() };
        let mark = writing.books.mark();
        let done = work(&mut writing).and_then(|done| {
            if writing.renamed && keep {
                catching_up::call_places(&tx, &mut writing.books)?;
            }
            Ok(done)
        });
        let Writing { mut books, last: newest, renamed, .. } = writing;
        match done {
            Ok(done) if keep => {
                let stored = match &mut taken {
                    Taken::Shared(_) => finish(tx),
                    Taken::Copied => {
                        books.keep(mark);
                        let kept = Kept { at: newest, books };
                        return common.replace(kept, || finish(tx)).map(|()| done);
                    }
                };
                match stored {
                    Ok(()) => books.keep(mark),
                    Err(error) => {
                        books.back_to(mark);
                        // Names are not taken back by a mark; the books are read anew.
                        taken.give_back((!renamed).then_some(Kept { at: last, books }));
                        return Err(error);
                    }
                }
                taken.give_back(Some(Kept { at: newest, books }));
                Ok(done)
            }
            other => {
                drop(tx);
                books.back_to(mark);
                taken.give_back((!renamed).then_some(Kept { at: last, books }));
                other
            }
        }
    }
}

/// What all handles share, for work that needs the handle meanwhile.
pub(crate) struct Answering(Arc<Common>);

impl std::ops::Deref for Answering {
    type Target = Answers;

    fn deref(&self) -> &Answers {
        &self.0.answers
    }
}

/// One handle has what is shared once, and a write of it once more.
const HANDLE_AND_HERE: usize = 2;

fn finish(tx: Transaction<'_>) -> Result<(), ShopError> {
    Ok(tx.commit()?)
}

fn last_event(conn: &Connection) -> Result<EventId, ShopError> {
    let sql = "SELECT ifnull(max(id), 0) FROM event";
    Ok(EventId(conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?))
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
