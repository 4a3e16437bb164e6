//! Settings as a person types them, and what holds where none was set.

use jiff::civil::Date;
use shop::{Setting, Shop, Stamp};
use toml::{Table, Value};
use trade::Job;

use crate::{Desk, Stop, fitted, literal, setting};

/// One setting as it was typed beside how it was shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedSetting {
    /// The key of a job sheet.
    pub key: &'static str,
    /// What stood in the field when it was shown.
    pub shown: String,
    /// What stands there now; nothing strikes the setting out.
    pub typed: String,
}

/// A setting that was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedSetting {
    /// The key of a job sheet.
    pub key: &'static str,
    /// Its value as a job sheet writes it; nothing where it is struck out.
    pub value: Option<String>,
}

/// A setting that can't be as it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingWrong {
    /// The key of a job sheet.
    pub key: &'static str,
    /// Why, and what would be right.
    pub why: Stop,
}

/// A setting's value as it is typed: a text without quotes, a list of texts with commas between, anything else as it is
/// kept.
#[must_use]
pub fn setting_typed(value: &str) -> String {
    match literal(value) {
        Value::String(text) => text,
        Value::Array(list) if list.iter().all(Value::is_str) => {
            list.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", ")
        }
        _ => value.to_owned(),
    }
}

/// What is typed into a field as a setting keeps it: places may stand with commas or blanks between.
fn kept(key: &str, typed: &str) -> String {
    if key != "post.to" || typed.trim_start().starts_with('[') {
        return typed.to_owned();
    }
    let places = typed.split(|c: char| c == ',' || c.is_whitespace()).filter(|place| !place.is_empty());
    Value::Array(places.map(Value::from).collect()).to_string()
}

/// The settings among these that were changed, as they are kept; nothing for one that is struck out.
///
/// # Errors
/// Each that can't be, with its key: no job sheet has it so, or it was changed meanwhile by another window.
pub fn settings_changed(
    shop: &Shop,
    desk: &Desk,
    typed: &[TypedSetting],
    today: Date,
) -> Result<Vec<ChangedSetting>, Vec<SettingWrong>> {
    let (mut changed, mut wrong) = (Vec::new(), Vec::new());
    for TypedSetting { key, shown, typed } in typed.iter().filter(|one| one.typed.trim() != one.shown.trim())
    {
        let now =
            setting(shop, key).map(|value| value.map_or_else(String::new, |value| setting_typed(&value)));
        match now {
            Ok(now) if now.trim() == typed.trim() => {}
            Ok(now) if now.trim() != shown.trim() => {
                let is = if now.is_empty() { "struck out".to_owned() } else { format!("changed to {now}") };
                let why = Stop::Input(format!("it was {is} meanwhile; right would be to look once more"));
                wrong.push(SettingWrong { key, why });
            }
            Ok(_) if typed.trim().is_empty() => changed.push(ChangedSetting { key, value: None }),
            Ok(_) => match fitted(shop, desk, key, &kept(key, typed.trim()), today) {
                Ok(value) => changed.push(ChangedSetting { key, value: Some(value) }),
                Err(why) => wrong.push(SettingWrong { key, why }),
            },
            Err(why) => wrong.push(SettingWrong { key, why }),
        }
    }
    if wrong.is_empty() { Ok(changed) } else { Err(wrong) }
}

/// Stores changed settings: all of them or none.
///
/// # Errors
/// When the file refuses one.
pub fn put_changed(shop: &mut Shop, stamp: &Stamp, changed: &[ChangedSetting]) -> Result<(), Stop> {
    let put = changed.iter().filter_map(|one| {
        let value = one.value.clone()?;
        Some(Setting { name: one.key.to_owned(), value, source: "my own".to_owned() })
    });
    let struck = changed.iter().filter(|one| one.value.is_none()).map(|one| one.key.to_owned());
    Ok(shop.put_settings(stamp, &put.collect::<Vec<_>>(), &struck.collect::<Vec<_>>())?)
}

/// The job that holds where nothing is set, of one piece.
///
/// # Errors
/// When the published tables don't fit together.
pub fn usual_job(desk: &Desk, today: Date) -> Result<Job, Stop> {
    let mut sheet: Table = sheet::usual().parse().map_err(|e: toml::de::Error| Stop::outside(e))?;
    sheet.insert("find".to_owned(), Value::Array(vec![Value::Table(crate::setting::one_mug())]));
    let text = toml::to_string(&sheet).map_err(Stop::outside)?;
    desk.read(&text, today).map_err(|_| Stop::Outside(String::from("the published tables can't be read")))
}

#[cfg(test)]
mod tests {
    use super::{kept, setting_typed};

    #[test]
    fn a_value_is_shown_as_it_is_typed_and_kept_as_a_sheet_has_it() {
        for (value, typed) in [
            ("\"45300\"", "45300"),
            ("15.00", "15.00"),
            ("[\"100\", \"606\"]", "100, 606"),
            ("\"2 %\"", "2 %"),
            ("[{ zip = \"100\", share = 1 }]", "[{ zip = \"100\", share = 1 }]"),
        ] {
            assert_eq!(setting_typed(value), typed);
        }
        for typed in ["100, 606", "100 606", " 100,606, "] {
            assert_eq!(kept("post.to", typed), "[\"100\", \"606\"]");
        }
        assert_eq!(kept("post.to", "[\"100\"]"), "[\"100\"]");
        assert_eq!(kept("post.from", "453"), "453");
    }
}
