//! The person's own defaults, kept as settings.

use jiff::civil::Date;
use shop::{Setting, Shop, Stamp};
use toml::{Table, Value};

use crate::card_days::{CARD_DAYS, POST_CARD};
use crate::{Desk, OwnTables, Stop, literal, set};

/// The setting that marks a file as a demo.
pub const DEMO_MARK: &str = "demo";

/// Whether the program keeps a setting for itself: it says how something is remembered and is no key of a job sheet.
#[must_use]
pub fn is_own(name: &str) -> bool {
    let own = ["read.", "tuned.", "books.", "cards."];
    name == DEMO_MARK || own.into_iter().any(|prefix| name.starts_with(prefix))
}

/// What a demo shop is a demo of; `None` for a real one.
///
/// # Errors
/// When the file can't be read.
pub fn demo_of(shop: &Shop) -> Result<Option<String>, Stop> {
    setting(shop, DEMO_MARK)
}

/// Enters a setting, or enters it anew. A rate card that is set so is used at once and for good: what was said of later
/// days is struck out.
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
    let strike = if name == POST_CARD { vec![CARD_DAYS.to_owned()] } else { Vec::new() };
    Ok(shop.put_settings(stamp, &[new], &strike)?)
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

/// A value as a setting keeps it: as a job sheet writes it, tried in one. What can't be a number is taken as a text: a
/// ZIP Code looks like one.
///
/// # Errors
/// When no job sheet with it can be read; the message says why and what would be right.
pub fn fitted(shop: &Shop, desk: &Desk, name: &str, value: &str, today: Date) -> Result<String, Stop> {
    let quoted = Value::from(value).to_string();
    match fits(shop, desk, name, value, today) {
        Ok(()) => Ok(value.to_owned()),
        Err(wrong) => fits(shop, desk, name, &quoted, today).map(|()| quoted).map_err(|_| wrong),
    }
}

/// A find of one piece: a job sheet needs one.
pub(crate) fn one_mug() -> Table {
    let keys = [
        ("name", Value::from("mug")),
        ("form", Value::from("diner_mug")),
        ("count", Value::from(1)),
        ("per_lot", Value::from(1)),
    ];
    keys.into_iter().map(|(key, told)| (key.to_owned(), told)).collect()
}

fn fits(shop: &Shop, desk: &Desk, name: &str, value: &str, today: Date) -> Result<(), Stop> {
    let mut sheet: Table = sheet::usual().parse().map_err(|e: toml::de::Error| Stop::outside(e))?;
    put_settings(shop, &mut sheet)?;
    set(&mut sheet, name, literal(value))?;
    sheet.insert("find".to_owned(), Value::Array(vec![Value::Table(one_mug())]));
    let own = OwnTables::of(shop)?;
    own.put_named(&mut sheet)?;
    let text = toml::to_string(&sheet).map_err(Stop::outside)?;
    desk.read_with(&text, today, &|name| own.file(name)).map(|_| ()).map_err(|problems| {
        let told: Vec<String> =
            problems.iter().map(|one| format!("{}; right would be: {}", one.message, one.right)).collect();
        Stop::Input(told.join("; "))
    })
}
