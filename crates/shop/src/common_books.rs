//! The books as all handles of one program share them: read once, and brought up to what was written since.

use std::sync::Arc;
use std::time::Duration;

use books::Books;
use parking_lot::{ArcRwLockReadGuard, Mutex, MutexGuard, RawRwLock, RwLock, RwLockWriteGuard};
use rusqlite::Connection;

use crate::answers::Answers;
use crate::{EventId, ShopError, catching_up, ledger};

/// How long a write waits for pages that read the books before it goes on with a copy (judgement: most pages are
/// done by then, and a copy takes longer).
const GRACE: Duration = Duration::from_millis(100);

/// Events that another program wrote which the books are brought up to before anything is read; with more of them
/// only who needs the books waits (judgement).
pub(crate) const SOON: i64 = 1000;

/// The books after an event.
#[derive(Debug, Clone)]
pub(crate) struct Kept {
    pub(crate) at: EventId,
    pub(crate) books: Books,
}

/// Where they are kept; empty until they are first read.
pub(crate) type Place = RwLock<Option<Kept>>;

/// The books while they are read from; nobody changes them meanwhile.
pub(crate) type Held = ArcRwLockReadGuard<RawRwLock, Option<Kept>>;

/// What the handles of one program share.
#[derive(Debug, Default)]
pub(crate) struct Common {
    /// Writes of this program wait here, however long one takes.
    turn: Mutex<()>,
    /// One reads the books from the file; who needs them meanwhile waits for what it reads.
    reading: Mutex<()>,
    place: Mutex<Arc<Place>>,
    pub(crate) answers: Answers,
}

/// The books as a write takes them.
pub(crate) enum Taken<'a> {
    /// The ones that all share; nobody else has them now.
    Shared(RwLockWriteGuard<'a, Option<Kept>>),
    /// A copy that takes their place once it is stored.
    Copied,
}

impl Taken<'_> {
    /// Puts the books back for all; a copy is no longer needed.
    pub(crate) fn give_back(&mut self, kept: Option<Kept>) {
        match self {
            Self::Shared(place) => **place = kept,
            Self::Copied => {}
        }
    }
}

impl Common {
    pub(crate) fn turn(&self) -> MutexGuard<'_, ()> {
        self.turn.lock()
    }

    pub(crate) fn place(&self) -> Arc<Place> {
        Arc::clone(&self.place.lock())
    }

    /// Brings the books, if they were read, up to an event with what the connection sees of it: those that all share,
    /// or, where somebody reads them for long, a copy that takes their place.
    pub(crate) fn catch_up(
        &self,
        place: &Arc<Place>,
        conn: &Connection,
        last: EventId,
    ) -> Result<(), ShopError> {
        let upto = |kept: Option<Kept>| match kept {
            Some(behind) if behind.at < last => catching_up::upto(conn, behind, last).map(Some),
            other => Ok(other),
        };
        if let Some(mut kept) = place.try_write_for(GRACE) {
            // Where it fails they are read anew.
            *kept = upto(kept.take())?;
            return Ok(());
        }
        let copy = place.read().clone();
        let copy = upto(copy)?;
        let mut current = self.place.lock();
        if Arc::ptr_eq(&current, place) {
            *current = Arc::new(RwLock::new(copy));
        }
        Ok(())
    }

    /// The books as they were after an event, which is the last that the connection sees; waits where they are
    /// being read. None where they are past it already.
    pub(crate) fn held(&self, conn: &Connection, last: EventId) -> Result<Option<Held>, ShopError> {
        let _reading = self.reading.lock();
        loop {
            let place = self.place();
            let held = place.read_arc();
            let at = held.as_ref().map(|kept| kept.at);
            if at == Some(last) {
                return Ok(Some(held));
            }
            drop(held);
            match at {
                Some(at) if at > last => return Ok(None),
                Some(_) => self.catch_up(&place, conn, last)?,
                None => {
                    let read = Kept { at: last, books: ledger::read(conn)? };
                    place.write().get_or_insert(read);
                }
            }
        }
    }

    /// The books for a write after which `last` is followed by more. It has its turn, and the file can't change.
    /// A write that takes long goes on with a copy where others may want to read.
    pub(crate) fn take<'a>(
        &self,
        place: &'a Place,
        conn: &Connection,
        last: EventId,
        takes_long: bool,
    ) -> Result<(Books, Taken<'a>), ShopError> {
        // Reading them takes long, so that is done before the others have to wait.
        let reading = self.reading.lock();
        if place.read().is_none() {
            let read = Kept { at: last, books: ledger::read(conn)? };
            place.write().get_or_insert(read);
        }
        drop(reading);
        let shared = if takes_long { None } else { place.try_write_for(GRACE) };
        let Some(mut shared) = shared else {
            let copy = place.read().clone();
            return Ok((brought_up(conn, copy, last)?, Taken::Copied));
        };
        let kept = shared.take();
        Ok((brought_up(conn, kept, last)?, Taken::Shared(shared)))
    }

    /// Puts books in the place of those that all share, once `store` has stored what they came from: whoever begins
    /// to read sees both or neither.
    pub(crate) fn replace<T>(
        &self,
        kept: Kept,
        store: impl FnOnce() -> Result<T, ShopError>,
    ) -> Result<T, ShopError> {
        let mut place = self.place.lock();
        let done = store()?;
        *place = Arc::new(RwLock::new(Some(kept)));
        Ok(done)
    }
}

fn brought_up(conn: &Connection, kept: Option<Kept>, last: EventId) -> Result<Books, ShopError> {
    match kept {
        Some(kept) if kept.at == last => Ok(kept.books),
        Some(behind) if behind.at < last => Ok(catching_up::upto(conn, behind, last)?.books),
        Some(_) | None => ledger::read(conn),
    }
}
