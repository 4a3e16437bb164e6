//! The person's own defaults, kept as settings.

use shop::{Setting, Shop, Stamp};
use toml::Table;

use crate::{Stop, literal, set};

/// The setting that marks a file as a demo.
pub const DEMO_MARK: &str = "demo";

/// Whether the program keeps a setting for itself: it says how something is remembered and is no key of a job sheet.
#[must_use]
pub fn is_own(name: &str) -> bool {
    let own = ["read.", "tuned.", "books."];
    name == DEMO_MARK || own.into_iter().any(|prefix| name.starts_with(prefix))
}

/// What a demo shop is a demo of; `None` for a real one.
///
/// # Errors
/// When the file can't be read.
pub fn demo_of(shop: &Shop) -> Result<Option<String>, Stop> {
    setting(shop, DEMO_MARK)
}

/// Enters a setting, or enters it anew.
///
/// # Errors
/// When the file refuses it.
pub fn put_setting(
    shop: &mut Shop,
    stamp: &Stamp,
    name: &str,
    value: &str,
    source: &str,
) -> Result<(), Stop> {
    let new = Setting { name: name.to_owned(), value: value.to_owned(), source: source.to_owned() };
    let known = shop.noted::<Setting>()?.into_iter().find(|(_, one)| one.name == name);
    match known {
        Some((number, _)) => shop.amend(stamp, number, &new)?,
        None => shop.note(stamp, &new).map(|_| ())?,
    }
    Ok(())
}

/// The value of a setting.
///
/// # Errors
/// When the file can't be read.
pub fn setting(shop: &Shop, name: &str) -> Result<Option<String>, Stop> {
    let known = shop.noted::<Setting>()?;
    Ok(known.into_iter().find(|(_, one)| one.name == name).map(|(_, one)| one.value))
}

/// Puts the settings that are keys of a job sheet into one.
///
/// # Errors
/// When the file can't be read, or a setting doesn't fit the sheet.
pub fn put_settings(shop: &Shop, sheet: &mut Table) -> Result<(), Stop> {
    for (_, one) in shop.noted::<Setting>()? {
        if !is_own(&one.name) {
            set(sheet, &one.name, literal(&one.value))?;
        }
    }
    Ok(())
}
