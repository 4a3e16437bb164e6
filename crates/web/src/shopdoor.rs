//! The shop file as the pages reach it: opened when it is first needed, with a handle for each page that reads or
//! writes at the time.

use std::path::{Path, PathBuf};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use jiff::Timestamp;
use keeping::Stop;
use shop::Shop;

/// The year that a demo makes up: the tables of rates and forms have it.
const DEMO_YEAR: i16 = 2025;
/// The demo that is made up from a page; the terminal can make others.
const DEMO_SEED: u64 = 1;

/// Pages that use the shop file at once; the others wait their turn (judgement: more than there are processors, as
/// one may wait for the disk, for another program, or for the books).
pub(crate) const READING_AT_ONCE: usize = 8;

/// How long to wait for pages that use the file, for who needs it alone (judgement: packing is over by then).
const PATIENCE: Duration = Duration::from_secs(60);

/// Where the shop files lie.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopFiles {
    /// The person's own; made when they begin.
    pub own: PathBuf,
    /// The demo; made when it is first opened.
    pub demo: PathBuf,
}

/// Which file is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Which {
    #[default]
    Own,
    Demo,
}

/// Why there is no answer from the shop file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NoAnswer {
    /// None was begun yet.
    NotBegun,
    /// It refused, or something failed.
    Stop(Stop),
}

impl<E: Into<Stop>> From<E> for NoAnswer {
    fn from(error: E) -> Self {
        Self::Stop(error.into())
    }
}

/// Handles that are kept for the next pages (judgement: as many as are used at once).
const KEPT: usize = READING_AT_ONCE;

#[derive(Default)]
struct Open {
    which: Which,
    /// The handle that further ones are made from; pages don't use it.
    first: Option<Shop>,
    /// Handles that wait for the next page.
    idle: Vec<Shop>,
    /// Handles that pages use now.
    lent: usize,
    /// Whether somebody waits to have the file alone.
    closing: bool,
    /// How often another file was taken: handles on one that is no longer in use aren't kept.
    taken: u64,
    demo_of: Option<String>,
}

pub(crate) struct ShopDoor {
    files: ShopFiles,
    open: Mutex<Open>,
    /// Told whenever a page gives its handle back.
    back: Condvar,
}

/// A handle that a page uses; it goes back by itself, unless the page broke.
struct Lent<'a> {
    door: &'a ShopDoor,
    shop: Option<Shop>,
    taken: u64,
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        let mut shop = self.shop.take().filter(|_| !std::thread::panicking());
        if let Some(shop) = &mut shop {
            shop.rest();
        }
        let mut open = self.door.open();
        open.lent = open.lent.saturating_sub(1);
        if open.taken == self.taken && open.idle.len() < KEPT {
            open.idle.extend(shop);
        }
        drop(open);
        self.door.back.notify_all();
    }
}

impl ShopDoor {
    pub(crate) fn new(files: ShopFiles) -> Self {
        Self { files, open: Mutex::default(), back: Condvar::new() }
    }

    fn path(&self, which: Which) -> &Path {
        match which {
            Which::Own => &self.files.own,
            Which::Demo => &self.files.demo,
        }
    }

    fn open(&self) -> MutexGuard<'_, Open> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Does something with the file that is in use. It blocks: for threads that may wait.
    pub(crate) fn with<T>(
        &self,
        now: Timestamp,
        work: impl FnOnce(&mut Shop) -> Result<T, NoAnswer>,
    ) -> Result<T, NoAnswer> {
        let mut lent = self.lend(now)?;
        lent.shop.as_mut().map_or(Err(NoAnswer::NotBegun), work)
    }

    fn lend(&self, now: Timestamp) -> Result<Lent<'_>, NoAnswer> {
        let open = self.open();
        let mut open =
            self.back.wait_while(open, |open| open.closing).unwrap_or_else(PoisonError::into_inner);
        if open.first.is_none() {
            let path = self.path(open.which);
            if !path.exists() {
                return Err(NoAnswer::NotBegun);
            }
            let shop = Shop::open(path, now)?;
            open.demo_of = keeping::demo_of(&shop)?;
            open.first = Some(shop);
        }
        let shop = match (open.idle.pop(), &open.first) {
            (Some(shop), _) => shop,
            (None, Some(first)) => first.another()?,
            (None, None) => return Err(NoAnswer::NotBegun),
        };
        open.lent += 1;
        Ok(Lent { door: self, shop: Some(shop), taken: open.taken })
    }

    /// What the file in use is a demo of, as far as it was opened.
    pub(crate) fn demo_of(&self) -> Option<String> {
        self.open().demo_of.clone()
    }

    /// Whether the person has begun a shop of their own.
    pub(crate) fn has_own(&self) -> bool {
        self.files.own.exists()
    }

    /// Begins the person's own file, or goes back to it.
    pub(crate) fn begin(&self, now: Timestamp) -> Result<(), NoAnswer> {
        self.take(Which::Own, now, |path| Shop::create(path).map(|_| ()).map_err(NoAnswer::from))
    }

    /// Opens the demo; makes it up when it isn't there.
    pub(crate) fn open_demo(&self, now: Timestamp) -> Result<(), NoAnswer> {
        self.take(Which::Demo, now, |path| {
            let mut made = Shop::in_memory()?;
            keeping::fill_demo(&mut made, DEMO_SEED, DEMO_YEAR)?;
            made.back_up(path)?;
            Ok(())
        })
    }

    fn take(
        &self,
        which: Which,
        now: Timestamp,
        make: impl FnOnce(&Path) -> Result<(), NoAnswer>,
    ) -> Result<(), NoAnswer> {
        let path = self.path(which);
        if !path.exists() {
            if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
                std::fs::create_dir_all(folder).map_err(|e| {
                    NoAnswer::Stop(Stop::Outside(format!(
                        "the folder {} can't be made: {e}",
                        folder.display()
                    )))
                })?;
            }
            make(path)?;
        }
        self.open().forget(which);
        self.with(now, |_| Ok(()))
    }

    /// Where the file in use lies, or would.
    pub(crate) fn where_it_lies(&self) -> PathBuf {
        self.path(self.open().which).to_owned()
    }

    /// Does something with the file in use that needs it to be in nobody's hands; it is opened anew afterwards,
    /// whatever became of it. It blocks until pages are done with it, and they wait meanwhile: never ask from within
    /// one that has it.
    pub(crate) fn while_closed<T>(
        &self,
        work: impl FnOnce(&Path) -> Result<T, NoAnswer>,
    ) -> Result<T, NoAnswer> {
        let open = self.closed()?;
        work(self.path(open.which))
    }

    /// Whether a demo was made up.
    pub(crate) fn has_demo(&self) -> bool {
        self.files.demo.exists()
    }

    /// Erases the demo; where it was in use, the person's own file is afterwards. It blocks as
    /// [`ShopDoor::while_closed`] does.
    pub(crate) fn erase_demo(&self) -> Result<(), NoAnswer> {
        let mut open = self.closed()?;
        keeping::erase_demo(&self.files.demo)?;
        open.which = Which::Own;
        Ok(())
    }

    /// The door while nobody has the file.
    fn closed(&self) -> Result<MutexGuard<'_, Open>, NoAnswer> {
        let mut open = self.open();
        open.closing = true;
        let waited = self.back.wait_timeout_while(open, PATIENCE, |open| open.lent > 0);
        let (mut open, waited) = waited.unwrap_or_else(PoisonError::into_inner);
        open.closing = false;
        self.back.notify_all();
        if waited.timed_out() {
            return Err(NoAnswer::Stop(Stop::Outside(String::from(
                "pages still use the shop file, so nothing was done; try again in a moment",
            ))));
        }
        let which = open.which;
        open.forget(which);
        Ok(open)
    }
}

impl Open {
    /// Lets go of the file, so that it is opened when it is next needed.
    fn forget(&mut self, which: Which) {
        let Self { lent, closing, taken, .. } = *self;
        *self = Self { which, lent, closing, taken: taken + 1, ..Self::default() };
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicBool, Ordering};

    use super::*;

    fn door(folder: &tempfile::TempDir) -> ShopDoor {
        let at = |name: &str| folder.path().join(name);
        ShopDoor::new(ShopFiles { own: at("own.shop"), demo: at("demo.shop") })
    }

    /// Handles that wait, and those that pages use.
    fn handles(door: &ShopDoor) -> (usize, usize) {
        let open = door.open();
        (open.idle.len(), open.lent)
    }

    fn now() -> Timestamp {
        Timestamp::UNIX_EPOCH
    }

    fn noted(shop: &mut Shop) -> Result<usize, NoAnswer> {
        Ok(shop.noted::<shop::Place>()?.len())
    }

    fn note(shop: &mut Shop) -> Result<u64, NoAnswer> {
        let place = shop::Place { name: String::from("hall"), note: String::new() };
        Ok(shop.note(&shop::Stamp::at(now()), &place)?)
    }

    #[test]
    fn two_pages_use_the_file_at_the_same_time_and_handles_are_used_again() {
        let folder = tempfile::tempdir().unwrap();
        let door = door(&folder);
        assert_eq!(door.with(now(), noted), Err(NoAnswer::NotBegun));
        door.begin(now()).unwrap();
        let seen = door.with(now(), |one| {
            door.with(now(), note)?;
            noted(one)
        });
        assert_eq!(seen, Ok(1));
        assert_eq!(handles(&door), (2, 0));
        let broke = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            door.with(now(), |_| -> Result<(), NoAnswer> { panic!("the page breaks") })
        }));
        assert!(broke.is_err());
        assert_eq!(handles(&door), (1, 0), "what a broken page had isn't used again");
        assert_eq!(door.with(now(), noted), Ok(1));
    }

    #[test]
    fn a_file_that_is_replaced_is_in_nobodys_hands_and_its_handles_are_not_used_again() {
        let folder = tempfile::tempdir().unwrap();
        let door = door(&folder);
        door.begin(now()).unwrap();
        door.with(now(), note).unwrap();
        let (begun, waits) = std::sync::mpsc::channel();
        let replaced = AtomicBool::new(false);
        std::thread::scope(|scope| {
            let page = scope.spawn(|| {
                door.with(now(), |shop| {
                    begun.send(()).unwrap();
                    while !door.open().closing {
                        std::thread::yield_now();
                    }
                    std::thread::sleep(Duration::from_millis(20));
                    assert!(!replaced.load(Ordering::SeqCst), "not under the hands of a page");
                    noted(shop)
                })
            });
            waits.recv().unwrap();
            door.while_closed(|path| {
                replaced.store(true, Ordering::SeqCst);
                std::fs::remove_file(path).unwrap();
                Shop::create(path)?;
                Ok(())
            })
            .unwrap();
            assert_eq!(page.join().unwrap(), Ok(1));
        });
        assert_eq!(door.with(now(), noted), Ok(0), "the new file");
        assert_eq!(door.with(now(), note), Ok(1));
    }

    #[test]
    fn what_a_page_had_of_one_file_is_no_handle_of_another() {
        let folder = tempfile::tempdir().unwrap();
        let door = door(&folder);
        door.begin(now()).unwrap();
        door.with(now(), note).unwrap();
        let seen = door.with(now(), |own| {
            door.open_demo(now())?;
            noted(own)
        });
        assert_eq!(seen, Ok(1));
        assert!(door.demo_of().is_some());
        assert_ne!(door.with(now(), noted), Ok(1), "the demo has its own places");
        door.begin(now()).unwrap();
        assert_eq!((door.demo_of(), door.with(now(), noted)), (None, Ok(1)));
    }
}
