//! What a shelf check rests on beneath what is typed: the person's settings, rate cards and venues.

use std::collections::BTreeMap;

use jiff::civil::Date;
use shop::{Shop, Venue};
use toml::Table;

use crate::card_days::card_days;
use crate::find_records::EmptySheet;
use crate::{Stop, venue_terms};

/// A venue of the person's own, as a job sheet names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfVenue {
    /// What the person calls it.
    pub name: String,
    /// Its id and the name of the text with its terms; nothing where they aren't known.
    pub terms: Option<(String, String)>,
}

/// Job sheets without a find, by the day from which each holds, and what they name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShelfUsual {
    /// The sheets, the earliest first: that of the day asked for, and one for each later day with another rate card.
    pub sheets: Vec<(Date, Table)>,
    /// The person's own venues.
    pub venues: Vec<ShelfVenue>,
    /// Terms and rate cards that the sheets and venues name.
    pub texts: BTreeMap<String, String>,
}

/// What a shelf check rests on from a day on.
///
/// # Errors
/// When the file can't be read, or its settings make no job sheet.
pub fn shelf_usual(shop: &Shop, day: Date) -> Result<ShelfUsual, Stop> {
    let EmptySheet { table, own, .. } = EmptySheet::read(shop, day)?;
    let mut out = ShelfUsual::default();
    let later = card_days(shop)?.into_iter().map(|one| one.from).filter(|from| *from > day);
    for from in std::iter::once(day).chain(later) {
        let mut sheet = table.clone();
        // The day is told with the question.
        if let Some(post) = sheet.get_mut("post").and_then(toml::Value::as_table_mut) {
            post.remove("date");
        }
        own.put(&mut sheet, from)?;
        out.texts.extend(own.texts_of(&sheet));
        out.sheets.push((from, sheet));
    }
    for (_, venue) in shop.noted::<Venue>()? {
        let terms = venue_terms(&venue).and_then(|_| own.venues.named(&venue.name));
        if let Some((_, text)) = &terms
            && let Some(bytes) = own.file(text)
        {
            out.texts.insert(text.clone(), String::from_utf8_lossy(&bytes).into_owned());
        }
        out.venues.push(ShelfVenue { name: venue.name, terms });
    }
    Ok(out)
}
