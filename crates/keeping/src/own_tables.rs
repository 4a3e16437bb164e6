//! Tables of the person's own that a job sheet may name: rate cards, and the terms of venues.

use jiff::civil::Date;
use shop::Shop;
use toml::{Table, Value};

use crate::card_days::{CardDay, card_days, card_of_day};
use crate::{OwnCards, OwnVenues, Stop, set};

/// The person's own rate cards, with the days from which they are used, and their venues' terms.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnTables {
    cards: OwnCards,
    days: Vec<CardDay>,
    /// The venues.
    pub venues: OwnVenues,
}

impl OwnTables {
    /// Those of a file.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn of(shop: &Shop) -> Result<Self, Stop> {
        Ok(Self { cards: OwnCards::of(shop)?, days: card_days(shop)?, venues: OwnVenues::of(shop)? })
    }

    /// Names the rate card that is used on a day, where one is; then, where a job sheet names a card or a venue of the
    /// person's own, names their texts.
    ///
    /// # Errors
    /// When the sheet's `post` or `market` is no table.
    pub fn put(&self, sheet: &mut Table, day: Date) -> Result<(), Stop> {
        if let Some(used) = card_of_day(&self.days, day) {
            set(sheet, "post.card", Value::from(used))?;
        }
        self.put_named(sheet)
    }

    /// The same for the cards and venues that the sheet names itself.
    ///
    /// # Errors
    /// When the sheet's `post` or `market` is no table.
    pub fn put_named(&self, sheet: &mut Table) -> Result<(), Stop> {
        self.cards.put(sheet)?;
        self.venues.put(sheet)
    }

    /// The bytes behind a name that [`OwnTables::put`] writes.
    #[must_use]
    pub fn file(&self, name: &str) -> Option<Vec<u8>> {
        self.cards.file(name).or_else(|| self.venues.file(name))
    }

    /// The texts that a sheet names, so that a sheet is the same only where they are.
    #[must_use]
    pub fn named_by(&self, sheet: &Table) -> String {
        self.texts_of(sheet).map(|(_, text)| format!("# {text}\n")).collect()
    }

    /// The texts that a sheet names, with their names.
    pub(crate) fn texts_of(&self, sheet: &Table) -> impl Iterator<Item = (String, String)> {
        let card = sheet.get("post").and_then(|post| post.get("card")).and_then(Value::as_table);
        let parts = card.into_iter().flat_map(|card| card.values());
        let venues = sheet.get("market").and_then(|market| market.get("venues"));
        let names = parts.chain(venues).filter_map(Value::as_str);
        names.filter_map(|name| {
            let bytes = self.file(name)?;
            Some((name.to_owned(), String::from_utf8_lossy(&bytes).into_owned()))
        })
    }
}
