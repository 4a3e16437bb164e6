//! The folder of receipts, photos and evidence beside the shop file.
//!
//! A file in it is called by its hash, so the same bytes are one file, no name comes from what anybody typed, and
//! putting a file there twice, or copying it from elsewhere, can spoil nothing.

use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use papers::{Name, sha256};

use crate::ShopError;
use crate::backup::beside;

/// More bytes than any file has that is stored (the largest picture, a receipt of 3200 x 3200 pixels of 8 bytes,
/// has 82 million before it is packed).
const MOST_KEPT: u64 = 128 * 1024 * 1024;
/// What is added to the name of a shop file for its folder of files.
const FOLDER: &str = "files";
/// What a file is called in addition while it is being written.
const HALF: &str = ".half";

/// The folder of files that belongs to a shop file: beside it, with `.files` after its name.
#[must_use]
pub fn files_folder(shop_file: &Path) -> PathBuf {
    beside(shop_file, FOLDER)
}

/// Whether a name in such a folder is one that a receipt, photo or evidence, or its preview, has: a hash and an ending,
/// which can lead nowhere else.
#[must_use]
pub fn is_kept_name(name: &str) -> bool {
    matches!(lying(name), Lying::File(_) | Lying::Preview)
}

/// The folder, whether it is there or not.
#[derive(Debug, Clone)]
pub(crate) struct FileFolder {
    path: PathBuf,
}

/// How a file is found.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// Its bytes, which hash to its name.
    Sound(Vec<u8>),
    /// Not there.
    Missing,
    /// There, with other bytes than those that were stored.
    Changed,
}

/// What lies in the folder under a name.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Lying {
    /// A file.
    File(Name),
    /// The preview of a file with such a hash.
    Preview,
    /// What a write that was interrupted has left.
    Half,
    /// Nothing of ours.
    Foreign,
}

impl FileFolder {
    pub(crate) fn of(shop_file: &Path) -> Self {
        Self { path: files_folder(shop_file) }
    }

    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    /// Reads a file and holds it against its name.
    pub(crate) fn find(&self, name: &Name) -> Result<Found, ShopError> {
        let path = self.at(&name.to_string());
        match fs::metadata(&path) {
            // What is longer was never stored, and isn't worth its memory.
            Ok(about) if about.len() > MOST_KEPT || !about.is_file() => return Ok(Found::Changed),
            Ok(_) => {}
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Missing),
            Err(error) => return Err(failed(&path, "can't be read", &error)),
        }
        let bytes = fs::read(&path).map_err(|error| failed(&path, "can't be read", &error))?;
        Ok(if sha256(&bytes) == name.sha256() { Found::Sound(bytes) } else { Found::Changed })
    }

    /// The preview of a file, if it is there.
    pub(crate) fn preview(&self, name: &Name) -> Option<Vec<u8>> {
        // Any failure means that it is made anew.
        fs::read(self.at(&name.of_preview())).ok()
    }

    /// Puts a file into the folder, unless it is there already with these bytes. It has its name only when all of
    /// it is on the disk.
    pub(crate) fn keep(&self, name: &Name, bytes: &[u8]) -> Result<(), ShopError> {
        match self.find(name)? {
            Found::Sound(_) => Ok(()),
            Found::Missing | Found::Changed => self.put(&name.to_string(), bytes),
        }
    }

    /// Puts the preview of a file into the folder.
    pub(crate) fn keep_preview(&self, name: &Name, bytes: &[u8]) -> Result<(), ShopError> {
        let path = self.at(&name.of_preview());
        if path.is_file() { Ok(()) } else { self.put(&name.of_preview(), bytes) }
    }

    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), ShopError> {
        let (path, half) = (self.at(name), self.at(&format!("{name}{HALF}")));
        fs::create_dir_all(&self.path).map_err(|error| failed(&self.path, "can't be made", &error))?;
        let written = File::create(&half)
            .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
            .and_then(|()| fs::rename(&half, &path))
            .and_then(|()| self.sync());
        written.map_err(|error| {
            // The reason is what matters, not whether the half could be removed.
            let _ = fs::remove_file(&half);
            failed(&path, "can't be written", &error)
        })
    }

    /// Makes the names themselves survive a power cut, where the system can do that for a folder.
    fn sync(&self) -> std::io::Result<()> {
        if cfg!(unix) { File::open(&self.path)?.sync_all() } else { Ok(()) }
    }

    /// Everything in the folder by name; nothing where there is no folder.
    pub(crate) fn names(&self) -> Result<Vec<String>, ShopError> {
        let entries = match fs::read_dir(&self.path) {
            Ok(entries) => entries,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(failed(&self.path, "can't be read", &error)),
        };
        let mut names = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| failed(&self.path, "can't be read", &error))?;
            names.push(entry.file_name().to_string_lossy().into_owned());
        }
        names.sort();
        Ok(names)
    }

    /// Removes one of ours; gone already is as good.
    pub(crate) fn remove(&self, name: &str) -> Result<(), ShopError> {
        let path = self.at(name);
        match fs::remove_file(&path) {
            Ok(()) => Ok(()),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            Err(error) => Err(failed(&path, "can't be removed", &error)),
        }
    }

    /// Removes the folder if nothing is in it.
    pub(crate) fn remove_if_empty(&self) {
        // A folder that isn't empty, or isn't there, stays as it is.
        let _ = fs::remove_dir(&self.path);
    }

    /// Gives another folder all files of this one, as further names of the same bytes where the disk can do that.
    pub(crate) fn share_with(&self, other: &Self) -> Result<(), ShopError> {
        for text in self.names()? {
            let Lying::File(name) = lying(&text) else { continue };
            fs::create_dir_all(&other.path).map_err(|error| failed(&other.path, "can't be made", &error))?;
            let (from, to) = (self.at(&text), other.at(&text));
            if to.exists() || fs::hard_link(&from, &to).is_ok() {
                continue;
            }
            if let Found::Sound(bytes) = self.find(&name)? {
                other.keep(&name, &bytes)?;
            }
        }
        Ok(())
    }
}

/// What a name in the folder stands for.
pub(crate) fn lying(text: &str) -> Lying {
    let of_ours = |text: &str| Name::read(text).is_some() || Name::is_preview(text);
    if let Some(name) = Name::read(text) {
        Lying::File(name)
    } else if Name::is_preview(text) {
        Lying::Preview
    } else if text.strip_suffix(HALF).is_some_and(of_ours) {
        Lying::Half
    } else {
        Lying::Foreign
    }
}

fn failed(path: &Path, what: &str, error: &std::io::Error) -> ShopError {
    if error.kind() == ErrorKind::StorageFull {
        return ShopError::DiskFull;
    }
    ShopError::File { path: path.to_owned(), reason: format!("{what}: {error}") }
}
