//! Copies of the shop file: those made on purpose, those set aside, and those that were sent in.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::civil::DateTime;
use shop::{BackedUp, Shop, erase_files};

use super::disk;
use crate::Stop;

/// What is added to the name of a shop file for the folder of its copies.
const FOLDER: &str = ".backups";
/// How a copy's name begins and ends.
const MADE: &str = "shop-";
pub(super) const SENT: &str = "sent-";
pub(super) const ENDING: &str = ".lotwright";
/// How names in the middle say what was set aside beside the file.
const BEFORE_RESTORE: &str = "before-restore-";
const BEFORE_UPGRADE: &str = "version-";
/// How a moment stands in a name: 20260307T100000Z.
const MOMENT: &str = "%Y%m%dT%H%M%SZ";
/// Letters of a moment in a name.
const MOMENT_LONG: usize = 16;
/// Endings in the folder that are no copies: what the database or an interrupted write has left.
const NO_COPIES: [&str; 5] = ["-wal", "-shm", "-journal", ".half", ".zip"];

/// Where a copy comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CopyOrigin {
    /// Made on purpose.
    Backup,
    /// What was there before a restore.
    BeforeRestore,
    /// What was there before the file was taken to a newer version.
    BeforeUpgrade,
    /// Sent in to be put back.
    Sent,
    /// Put into the folder by hand.
    ByHand,
}

impl CopyOrigin {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Backup => "backup",
            Self::BeforeRestore => "set aside before a restore",
            Self::BeforeUpgrade => "set aside before a newer version",
            Self::Sent => "sent in",
            Self::ByHand => "put here by hand",
        }
    }
}

/// A copy of the shop file, with the files beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copy {
    /// The name of its file, without a folder; no other copy has it.
    pub name: String,
    /// Where it lies.
    pub path: PathBuf,
    /// Where it comes from.
    pub origin: CopyOrigin,
    /// When it was made, in UTC, as its name says; `None` where that says nothing.
    pub made: Option<DateTime>,
    /// Its size without what lies beside it, bytes.
    pub bytes: u64,
}

/// The folder of the copies of a shop file: beside it, with `.backups` after its name.
#[must_use]
pub fn copies_folder(shop_file: &Path) -> PathBuf {
    let mut name = shop_file.file_name().unwrap_or_default().to_owned();
    name.push(FOLDER);
    shop_file.with_file_name(name)
}

/// All copies of a shop file, the newest first: those in its folder, and those set aside beside it.
///
/// # Errors
/// When a folder can't be read.
pub fn copies_of(shop_file: &Path) -> Result<Vec<Copy>, Stop> {
    let mut found = Vec::new();
    let own = shop_file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for (name, path, bytes) in files_in(&copies_folder(shop_file))? {
        let origin = match name.as_str() {
            made if made.starts_with(MADE) => CopyOrigin::Backup,
            sent if sent.starts_with(SENT) => CopyOrigin::Sent,
            _ => CopyOrigin::ByHand,
        };
        found.push(Copy { made: moment(&name), name, path, origin, bytes });
    }
    let beside = shop_file.parent().filter(|folder| !folder.as_os_str().is_empty());
    for (name, path, bytes) in files_in(beside.unwrap_or(Path::new(".")))? {
        let Some(added) = name.strip_prefix(&own).and_then(|rest| rest.strip_prefix('.')) else { continue };
        let origin = if added.starts_with(BEFORE_RESTORE) {
            CopyOrigin::BeforeRestore
        } else if added.starts_with(BEFORE_UPGRADE) {
            CopyOrigin::BeforeUpgrade
        } else {
            continue;
        };
        // The same name in both places would be one name for two files.
        if found.iter().all(|known: &Copy| known.name != name) {
            found.push(Copy { made: moment(&name), name, path, origin, bytes });
        }
    }
    found.sort_by(|a, b| b.made.cmp(&a.made).then_with(|| a.name.cmp(&b.name)));
    Ok(found)
}

/// The copy of a name, which is looked for among those that are there and never taken for a path.
///
/// # Errors
/// When there is none of that name.
pub fn copy_named(shop_file: &Path, name: &str) -> Result<Copy, Stop> {
    copies_of(shop_file)?.into_iter().find(|copy| copy.name == name).ok_or_else(|| {
        Stop::Input(format!(
            "there is no backup \"{}\" of this shop; right would be one of the list",
            name.chars().take(80).collect::<String>()
        ))
    })
}

/// Copies the shop file and what is attached into the folder of its copies, also while it is in use.
///
/// # Errors
/// When something can't be written, or one was made in this very second.
pub fn back_up_now(shop: &Shop, now: Timestamp) -> Result<(Copy, BackedUp), Stop> {
    let folder = copies_folder(shop.path());
    make(&folder)?;
    let name = format!("{MADE}{}{ENDING}", compact(now));
    let backed_up = shop.back_up(folder.join(&name))?;
    Ok((copy_named(shop.path(), &name)?, backed_up))
}

/// Removes a copy, with the files beside it.
///
/// # Errors
/// When there is none of that name, or it can't be removed.
pub fn remove_copy(shop_file: &Path, name: &str) -> Result<(), Stop> {
    let copy = copy_named(shop_file, name)?;
    erase_with_files(&copy.path)
}

/// Removes a shop file that isn't in use, and everything that lies beside it.
pub(super) fn erase_with_files(path: &Path) -> Result<(), Stop> {
    for added in ["", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(added);
        match fs::remove_file(PathBuf::from(name)) {
            Ok(()) => {}
            Err(why) if why.kind() == ErrorKind::NotFound => {}
            Err(why) => return Err(disk(path, "can't be erased", why)),
        }
    }
    Ok(erase_files(path)?)
}

/// Makes the folder of copies.
pub(super) fn make(folder: &Path) -> Result<(), Stop> {
    fs::create_dir_all(folder).map_err(|why| disk(folder, "the folder can't be made", why))
}

/// A moment as it stands in the name of a file.
pub(super) fn compact(now: Timestamp) -> String {
    now.strftime(MOMENT).to_string()
}

/// The moment that stands in a name, before its ending.
fn moment(name: &str) -> Option<DateTime> {
    let stem = name.strip_suffix(ENDING).or_else(|| name.strip_suffix(".backup")).unwrap_or(name);
    let text = stem.get(stem.len().checked_sub(MOMENT_LONG)?..)?;
    DateTime::strptime(MOMENT, text).ok()
}

/// Name, path and size of every plain file in a folder; nothing where there is no folder.
fn files_in(folder: &Path) -> Result<Vec<(String, PathBuf, u64)>, Stop> {
    let unread = |why: std::io::Error| disk(folder, "can't be read", why);
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(why) => return Err(unread(why)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let entry = entry.map_err(unread)?;
        // Gone meanwhile, or a name that can't stand in an address.
        let (Ok(about), Ok(name)) = (entry.metadata(), entry.file_name().into_string()) else { continue };
        if about.is_file() && !NO_COPIES.iter().any(|ending| name.ends_with(ending)) {
            found.push((name, entry.path(), about.len()));
        }
    }
    Ok(found)
}
