//! Whether the files beside the shop file are those that were noted, and what nobody speaks of any more.

use std::collections::BTreeSet;
use std::fmt;
use std::path::Path;

use papers::Name;
use rusqlite::Connection;
use serde::Deserialize;

use crate::file_folder::{FileFolder, Found, Lying, lying};
use crate::{Shop, ShopError, rows};

/// What is wrong with the file of an attachment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FileWrong {
    /// It isn't there.
    Missing,
    /// It has other bytes than were stored.
    Changed,
    /// What was noted is no name of a file that was stored here.
    Misnamed,
}

/// An attachment whose file isn't as it was stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFlaw {
    /// The attachment.
    pub attachment: u64,
    /// The name that was noted.
    pub name: String,
    /// What is wrong.
    pub wrong: FileWrong,
}

impl fmt::Display for FileFlaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { attachment, name, wrong } = self;
        let how = match wrong {
            FileWrong::Missing => "isn't there",
            FileWrong::Changed => "has other bytes than were stored",
            FileWrong::Misnamed => "is named as none that was stored here",
        };
        write!(f, "the file of attachment {attachment} {how}: {name}")
    }
}

/// The files beside the shop file, held against what was noted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct KeptFiles {
    /// Files that are there with the bytes that were stored; each counts once, however often it is attached.
    pub sound: usize,
    /// Attachments whose file isn't as it was stored.
    pub flawed: Vec<FileFlaw>,
    /// Names of files that no attachment speaks of: left by a write that didn't come to its end, or of an attachment
    /// that was struck out. They do no harm ([`Shop::clear_loose_files`]).
    pub loose: Vec<String>,
    /// Names in the folder that aren't ours; nothing here touches them.
    pub foreign: Vec<String>,
}

impl Shop {
    /// Holds the files beside the shop file against what was noted, byte for byte.
    ///
    /// # Errors
    /// When the shop file or the folder can't be read.
    pub fn kept_files(&self) -> Result<KeptFiles, ShopError> {
        let noted = noted_names(self.conn())?;
        if self.path().as_os_str().is_empty() {
            return Ok(KeptFiles::default());
        }
        let folder = self.file_folder()?;
        let mut kept = KeptFiles::default();
        let mut seen = BTreeSet::new();
        for NotedName { attachment, name, text } in &noted {
            let wrong = match name {
                None => Some(FileWrong::Misnamed),
                Some(name) => match folder.find(name)? {
                    Found::Sound(_) => {
                        kept.sound += usize::from(seen.insert(name));
                        None
                    }
                    Found::Missing => Some(FileWrong::Missing),
                    Found::Changed => Some(FileWrong::Changed),
                },
            };
            kept.flawed.extend(wrong.map(|wrong| FileFlaw {
                attachment: *attachment,
                name: text.clone(),
                wrong,
            }));
        }
        (kept.loose, kept.foreign) = unspoken(&folder, &noted)?;
        Ok(kept)
    }

    /// Removes the files that no attachment speaks of; gives their names.
    ///
    /// # Errors
    /// When another program keeps the shop file busy, or a file can't be removed.
    pub fn clear_loose_files(&mut self) -> Result<Vec<String>, ShopError> {
        let folder = self.file_folder()?;
        // Under the lock, so that a file that is just being attached isn't taken for a loose one.
        self.write(|writing| {
            let (loose, _) = unspoken(&folder, &noted_names(writing.conn)?)?;
            for name in &loose {
                folder.remove(name)?;
            }
            Ok(loose)
        })
    }
}

/// Removes the folder of files of a shop file that was erased: every file that was stored there, and the folder
/// itself unless something else is in it.
///
/// # Errors
/// When a file can't be removed.
pub fn erase_files(shop_file: &Path) -> Result<(), ShopError> {
    let folder = FileFolder::of(shop_file);
    for name in folder.names()? {
        match lying(&name) {
            Lying::File(_) | Lying::Preview | Lying::Half => folder.remove(&name)?,
            Lying::Foreign => {}
        }
    }
    folder.remove_if_empty();
    Ok(())
}

/// What an attachment calls its file.
pub(crate) struct NotedName {
    pub(crate) attachment: u64,
    /// The name, where it is one that was given here and its hash the one that was noted.
    pub(crate) name: Option<Name>,
    text: String,
}

/// What all attachments of a database call their files.
pub(crate) fn noted_names(conn: &Connection) -> Result<Vec<NotedName>, ShopError> {
    #[derive(Deserialize)]
    struct Row {
        id: u64,
        name: String,
        sha256: String,
    }
    let all: Vec<Row> = rows::read(conn, "SELECT id, name, sha256 FROM attachment ORDER BY id", [])?;
    Ok(all
        .into_iter()
        .map(|row| NotedName {
            attachment: row.id,
            name: stored_name(&row.name, &row.sha256),
            text: row.name,
        })
        .collect())
}

/// The name of a file that was stored here; `None` where what was noted is no such name, or its hash another.
pub(crate) fn stored_name(noted: &str, sha256: &str) -> Option<Name> {
    Name::read(noted).filter(|name| name.sha256() == sha256)
}

/// Names in the folder that no attachment speaks of: ours, and others.
fn unspoken(folder: &FileFolder, noted: &[NotedName]) -> Result<(Vec<String>, Vec<String>), ShopError> {
    let spoken: BTreeSet<String> = noted
        .iter()
        .filter_map(|one| one.name.as_ref())
        .flat_map(|name| [name.to_string(), name.of_preview()])
        .collect();
    let (mut loose, mut foreign) = (Vec::new(), Vec::new());
    for name in folder.names()? {
        match lying(&name) {
            Lying::File(_) | Lying::Preview if spoken.contains(&name) => {}
            Lying::File(_) | Lying::Preview | Lying::Half => loose.push(name),
            Lying::Foreign => foreign.push(name),
        }
    }
    Ok((loose, foreign))
}
