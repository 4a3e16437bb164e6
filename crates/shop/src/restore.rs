//! A backup takes the place of the file.

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags};

use crate::backup::{beside, compact, copy, copy_noted};
use crate::connecting::recognise;
use crate::file_folder::FileFolder;
use crate::{Shop, ShopError, check};

impl Shop {
    /// Puts a backup in the place of a shop file and opens it. The backup is copied beside the file and checked
    /// there; only then the names change. What was there before is kept under another name, which is given back.
    /// The receipts, photos and evidence beside the backup are copied before that, each held against its hash; one
    /// that is missing there and here is told by [`Shop::kept_files`]. Those of the file that was there before are
    /// kept beside it under its new name as well.
    ///
    /// # Errors
    /// When the backup isn't a sound shop file, or the file is in use; nothing has changed then.
    pub fn restore(
        backup: impl AsRef<Path>,
        path: impl AsRef<Path>,
        now: Timestamp,
    ) -> Result<(Self, Option<PathBuf>), ShopError> {
        let (backup, path) = (backup.as_ref(), path.as_ref());
        recognise(backup)?;
        let trial = beside(path, &format!("restoring-{}", compact(now)));
        copy(&Connection::open_with_flags(backup, OpenFlags::SQLITE_OPEN_READ_ONLY)?, &trial)?;
        let put = prove(&trial, now)
            .and_then(|()| bring_files(&trial, backup, path))
            .and_then(|()| put_in_place(&trial, path, now));
        if put.is_err() {
            // The reason is what matters, not whether the trial copy could be removed.
            let _ = std::fs::remove_file(&trial);
        }
        let before = put?;
        Ok((Self::open(path, now)?, before))
    }
}

/// Checks a copy. One of an older version is taken to the newest in memory to be checked; it is itself unchanged.
fn prove(trial: &Path, now: Timestamp) -> Result<(), ShopError> {
    recognise(trial)?;
    let kept = Connection::open_with_flags(trial, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let mut tried = Connection::open_in_memory()?;
    rusqlite::backup::Backup::new(&kept, &mut tried)?.run_to_completion(i32::MAX, Duration::ZERO, None)?;
    crate::schema::migrate(&mut tried)?;
    let findings = check::check(&tried)?;
    match findings.found.first() {
        None => Ok(()),
        Some(first) => Err(ShopError::damaged(format!("the backup tried at {now} has a flaw: {first}"))),
    }
}

/// Copies the files that the backup speaks of beside the file that it is to become. They are called by their hashes,
/// so none of those that are there is spoilt, whether the names are changed afterwards or not.
fn bring_files(trial: &Path, backup: &Path, path: &Path) -> Result<(), ShopError> {
    let (from, to) = (FileFolder::of(backup), FileFolder::of(path));
    copy_noted(trial, &[&from, &to], &to).map(|_| ())
}

fn put_in_place(trial: &Path, path: &Path, now: Timestamp) -> Result<Option<PathBuf>, ShopError> {
    let moving = |from: &Path, to: &Path| {
        std::fs::rename(from, to).map_err(|error| ShopError::File {
            path: to.to_owned(),
            reason: format!("can't take that name: {error}"),
        })
    };
    if !path.exists() {
        moving(trial, path)?;
        return Ok(None);
    }
    // Leaving write-ahead mode needs the file to be in nobody's hands, and folds what lies beside into it.
    // A file that isn't a database any more is put aside as it is.
    let old = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    match old.pragma_update(None, "journal_mode", "delete").map_err(ShopError::from) {
        Ok(()) | Err(ShopError::Damaged { .. }) => {}
        Err(other) => return Err(other),
    }
    drop(old);
    let aside = beside(path, &format!("before-restore-{}", compact(now)));
    if aside.exists() {
        let reason = "the file exists already; wait a second and try again".to_owned();
        return Err(ShopError::File { path: aside, reason });
    }
    FileFolder::of(path).share_with(&FileFolder::of(&aside))?;
    moving(path, &aside)?;
    // What a damaged file has left beside it goes along: the restored one would take it for its own.
    for added in ["-wal", "-shm"] {
        let with = |file: &Path| {
            let mut name = file.as_os_str().to_owned();
            name.push(added);
            PathBuf::from(name)
        };
        if with(path).exists() {
            moving(&with(path), &with(&aside))?;
        }
    }
    if let Err(error) = moving(trial, path) {
        moving(&aside, path)?;
        return Err(error);
    }
    Ok(Some(aside))
}
