//! The shop file as the pages reach it: one handle, opened when it is first needed, used by one page at a time.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;
use keeping::Stop;
use shop::Shop;

/// The year that a demo makes up: the tables of rates and forms have it.
const DEMO_YEAR: i16 = 2025;
/// The demo that is made up from a page; the terminal can make others.
const DEMO_SEED: u64 = 1;

/// Where the shop files lie.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopFiles {
    /// The person's own; made when they begin.
    pub own: PathBuf,
    /// The demo; made when it is first opened.
    pub demo: PathBuf,
}

/// Which file is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Which {
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

struct Open {
    which: Which,
    shop: Option<Shop>,
    demo_of: Option<String>,
}

pub(crate) struct ShopDoor {
    files: ShopFiles,
    open: Mutex<Open>,
}

impl ShopDoor {
    pub(crate) fn new(files: ShopFiles) -> Self {
        Self { files, open: Mutex::new(Open { which: Which::Own, shop: None, demo_of: None }) }
    }

    fn path(&self, which: Which) -> &Path {
        match which {
            Which::Own => &self.files.own,
            Which::Demo => &self.files.demo,
        }
    }

    /// Does something with the file that is in use. It blocks: for threads that may wait.
    pub(crate) fn with<T>(
        &self,
        now: Timestamp,
        work: impl FnOnce(&mut Shop) -> Result<T, NoAnswer>,
    ) -> Result<T, NoAnswer> {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        if open.shop.is_none() {
            let path = self.path(open.which);
            if !path.exists() {
                return Err(NoAnswer::NotBegun);
            }
            let shop = Shop::open(path, now)?;
            open.demo_of = keeping::demo_of(&shop)?;
            open.shop = Some(shop);
        }
        open.shop.as_mut().map_or(Err(NoAnswer::NotBegun), work)
    }

    /// What the file in use is a demo of, as far as it was opened.
    pub(crate) fn demo_of(&self) -> Option<String> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner).demo_of.clone()
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
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        *open = Open { which, shop: None, demo_of: None };
        drop(open);
        self.with(now, |_| Ok(()))
    }
}
