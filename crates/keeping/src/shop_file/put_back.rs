//! A copy takes the place of the shop file.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use shop::{EventId, Glance, Shop};

use super::{Copy, copies::make};
use crate::{DEMO_MARK, Stop};

/// What a copy would replace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replacing {
    /// The file that is there; `None` where there is none, the reason where it can't be looked at.
    pub present: Option<Result<Glance, String>>,
    /// The copy.
    pub copy: Glance,
}

impl Replacing {
    /// The last event of the file that is there, for [`put_back`] to know it by; `None` where there is none that
    /// could be lost.
    #[must_use]
    pub fn last(&self) -> Option<EventId> {
        self.present.as_ref().and_then(|present| present.as_ref().ok()).map(|present| present.last)
    }
}

/// What a glance says the file is a demo of; `None` for a real one.
#[must_use]
pub fn demo_in(glance: &Glance) -> Option<&str> {
    glance.settings.iter().find(|(name, _)| name == DEMO_MARK).map(|(_, of)| of.as_str())
}

/// Looks at a copy and at what it would replace; neither is changed.
///
/// # Errors
/// When the copy is no shop file, or of a newer version, or one of the two is a demo and the other a real shop.
pub fn replacing(shop_file: &Path, copy: &Copy) -> Result<Replacing, Stop> {
    let glance = Shop::glance(&copy.path)?;
    let present = shop_file.exists().then(|| Shop::glance(shop_file).map_err(|why| why.to_string()));
    if let Some(Ok(there)) = &present {
        match (demo_in(there).is_some(), demo_in(&glance).is_some()) {
            (true, false) => {
                return Err(Stop::input(
                    "the demo is open and this is a backup of a real shop; right would be to open your own shop first",
                ));
            }
            (false, true) => {
                return Err(Stop::input(
                    "this is a backup of a demo, and it would take the place of your own shop; right would be to open the demo first",
                ));
            }
            (true, true) | (false, false) => {}
        }
    }
    Ok(Replacing { present, copy: glance })
}

/// Puts a copy in the place of the shop file, which nobody else may have open. What was there is kept beside it
/// under another name, which is given back. `seen` is the last event that the person saw of what is replaced
/// ([`Replacing::last`]).
///
/// # Errors
/// When the file has changed since it was seen, is in use, or the copy isn't sound; nothing has changed then.
pub fn put_back(
    shop_file: &Path,
    copy: &Copy,
    seen: Option<EventId>,
    now: Timestamp,
) -> Result<Option<PathBuf>, Stop> {
    let found = replacing(shop_file, copy)?;
    if found.last() != seen {
        return Err(Stop::input(
            "the shop changed since this page was drawn; look at what would be replaced, then send it again",
        ));
    }
    if let Some(folder) = shop_file.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        make(folder)?;
    }
    Ok(Shop::restore(&copy.path, shop_file, now)?.1)
}
