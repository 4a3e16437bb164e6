//! Copies of the shop file and of the files beside it, made while it is in use.

use std::collections::BTreeSet;
use std::iter;
use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use crate::file_folder::{FileFolder, Found};
use crate::kept_files::noted_names;
use crate::{Shop, ShopError};

/// Pages copied in one go; between goes others may write (judgement).
const PAGES_AT_ONCE: i32 = 256;
const PAUSE: Duration = Duration::from_millis(5);
/// What the copy is called in addition while it isn't whole.
const HALF: &str = "half";

/// What went into a backup.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BackedUp {
    /// Receipts, photos and evidence that were copied, each once.
    pub files: usize,
    /// Attachments whose file is missing or has other bytes than were stored; the backup is without them.
    pub without: Vec<u64>,
}

impl Shop {
    /// Copies the shop file as it is at one moment, also while others write to it, and the receipts, photos and
    /// evidence that it speaks of into the folder beside the copy ([`crate::files_folder`]). The copy has its name
    /// only when all is there. A file that is missing or damaged is told and left out: the rest is worth keeping.
    ///
    /// # Errors
    /// When there is a file of that name already, or something can't be written.
    pub fn back_up(&self, to: impl AsRef<Path>) -> Result<BackedUp, ShopError> {
        let to = to.as_ref();
        must_be_free(to)?;
        let half = beside(to, HALF);
        // Left by a backup that was interrupted.
        let _ = std::fs::remove_file(&half);
        let copied = copy(self.conn(), &half).and_then(|()| {
            let backed_up = self.copy_files(&half, to)?;
            must_be_free(to)?;
            std::fs::rename(&half, to).map_err(|error| ShopError::File {
                path: to.to_owned(),
                reason: format!("can't take that name: {error}"),
            })?;
            Ok(backed_up)
        });
        if copied.is_err() {
            // The reason is what matters, not whether the half could be removed. Files that were copied do no harm.
            let _ = std::fs::remove_file(&half);
        }
        copied
    }

    fn copy_files(&self, copy: &Path, to: &Path) -> Result<BackedUp, ShopError> {
        if self.path().as_os_str().is_empty() {
            return Ok(BackedUp::default());
        }
        copy_noted(copy, &[&self.file_folder()?], &FileFolder::of(to))
    }
}

/// Copies the files that a database speaks of, each from the first of the folders that has it with its own bytes.
pub(crate) fn copy_noted(
    database: &Path,
    from: &[&FileFolder],
    to: &FileFolder,
) -> Result<BackedUp, ShopError> {
    let noted = noted_names(&Connection::open_with_flags(database, OpenFlags::SQLITE_OPEN_READ_ONLY)?)?;
    let (mut copied, mut without) = (BTreeSet::new(), Vec::new());
    for one in noted {
        let Some(name) = one.name else {
            without.push(one.attachment);
            continue;
        };
        if copied.contains(&name) {
            continue;
        }
        let mut found = false;
        for folder in from {
            if let Found::Sound(bytes) = folder.find(&name)? {
                to.keep(&name, &bytes)?;
                if let Some(preview) = folder.preview(&name) {
                    to.keep_preview(&name, &preview)?;
                }
                found = true;
                break;
            }
        }
        if found {
            copied.insert(name);
        } else {
            without.push(one.attachment);
        }
    }
    Ok(BackedUp { files: copied.len(), without })
}

/// The name of the copy made before a file is taken from an older version to the newest: one that is free, as another
/// program may be about the same in the same second.
pub(crate) fn name_beside(path: &Path, version: i64, now: Timestamp) -> PathBuf {
    let moment = compact(now);
    let named = |more: &str| beside(path, &format!("version-{version}-{moment}{more}.backup"));
    let numbered = (2..).map(|number| named(&format!("-{number}")));
    iter::once(named("")).chain(numbered).find(|name| !name.exists()).unwrap_or_else(|| named(""))
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

fn must_be_free(to: &Path) -> Result<(), ShopError> {
    if to.exists() {
        let reason = "the file exists already; choose another name".to_owned();
        return Err(ShopError::File { path: to.to_owned(), reason });
    }
    Ok(())
}

pub(crate) fn copy(from: &Connection, to: &Path) -> Result<(), ShopError> {
    must_be_free(to)?;
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
