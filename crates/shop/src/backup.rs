//! Copies of the file, made while it is in use.

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::Connection;
use rusqlite::backup::Backup;

use crate::{Shop, ShopError};

/// Pages copied in one go; between goes others may write (judgement).
const PAGES_AT_ONCE: i32 = 256;
const PAUSE: Duration = Duration::from_millis(5);

impl Shop {
    /// Copies the file as it is at one moment, also while others write to it.
    ///
    /// # Errors
    /// When there is a file of that name already, or it can't be written.
    pub fn back_up(&self, to: impl AsRef<Path>) -> Result<(), ShopError> {
        copy(self.conn(), to.as_ref())
    }
}

/// The name of the copy made before a file is taken from an older version to the newest.
pub(crate) fn name_beside(path: &Path, version: i64, now: Timestamp) -> PathBuf {
    beside(path, &format!("version-{version}-{}.backup", compact(now)))
}

/// A name beside a file: its own with something added.
pub(crate) fn beside(path: &Path, added: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".");
    name.push(added);
    path.with_file_name(name)
}

/// A moment as it can stand in the name of a file.
pub(crate) fn compact(now: Timestamp) -> String {
    now.strftime("%Y%m%dT%H%M%SZ").to_string()
}

pub(crate) fn copy(from: &Connection, to: &Path) -> Result<(), ShopError> {
    if to.exists() {
        let reason = "the file exists already; choose another name".to_owned();
        return Err(ShopError::File { path: to.to_owned(), reason });
    }
    let copied = copy_pages(from, to);
    if copied.is_err() {
        // Half a copy must not be taken for one; the reason is what matters, not whether it could be removed.
        let _ = std::fs::remove_file(to);
    }
    copied
}

fn copy_pages(from: &Connection, to: &Path) -> Result<(), ShopError> {
    let mut target = Connection::open(to)?;
    Backup::new(from, &mut target)?.run_to_completion(PAGES_AT_ONCE, PAUSE, None)?;
    // The copy stands alone, without files beside it.
    target.pragma_update(None, "journal_mode", "delete")?;
    Ok(())
}
