//! What is taken where nothing is typed: the rest of the job, as it comes with the program or as the person set it.

use std::collections::BTreeMap;

use jiff::civil::Date;
use toml::{Table, Value};

use crate::{Question, whole};
use fields::{Filled, Mistakes};

/// A venue of the person's own, as a job sheet names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsualVenue {
    /// Its id among its terms.
    pub id: String,
    /// The name of the text with its terms, one of [`Usual::texts`].
    pub text: String,
}

/// The job sheet beneath a shelf check, with the texts that it names.
///
/// A phone takes it along as text ([`Usual::write`], [`Usual::read`]), so that it answers as home does.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Usual {
    /// The sheet of each day from which another one holds, the earliest first; before all of them the first one holds.
    /// None: the one that comes with the program.
    pub sheets: Vec<(Date, Table)>,
    /// Venues of the person's own, by [`measure::plain`] name; nothing for one whose terms aren't known.
    pub venues: BTreeMap<String, Option<UsualVenue>>,
    /// Terms of venues and rate cards, by the names that the sheets have for them.
    pub texts: BTreeMap<String, String>,
}

impl Usual {
    /// Reads it from text.
    ///
    /// # Errors
    /// Why it can't be read.
    pub fn read(text: &str) -> Result<Self, String> {
        let told: Table = text.parse().map_err(|e: toml::de::Error| e.to_string())?;
        let part = |name: &str| told.get(name).and_then(Value::as_table).cloned().unwrap_or_default();
        let words = |value: Value| value.as_str().map(str::to_owned).ok_or("a text was expected");
        let mut out = Self::default();
        for (day, sheet) in part("sheets") {
            let day = day.parse().map_err(|_| format!("\"{day}\" is no day"))?;
            let sheet = words(sheet)?.parse().map_err(|e: toml::de::Error| e.to_string())?;
            // A table has its keys in order, and days as text are in order as days.
            out.sheets.push((day, sheet));
        }
        for (name, venue) in part("venues") {
            let venue = venue.as_table().ok_or("a venue was expected")?;
            let of = |key: &str| venue.get(key).cloned().map(words).transpose();
            let known = of("id")?.zip(of("text")?).map(|(id, text)| UsualVenue { id, text });
            out.venues.insert(name, known);
        }
        for (name, text) in part("texts") {
            out.texts.insert(name, words(text)?);
        }
        Ok(out)
    }

    /// The text that [`Usual::read`] reads.
    #[must_use]
    pub fn write(&self) -> String {
        let sheets = self.sheets.iter().map(|(day, sheet)| (day.to_string(), Value::from(sheet.to_string())));
        let venues = self.venues.iter().map(|(name, venue)| {
            let told = venue.iter().flat_map(|venue| {
                [("id", &venue.id), ("text", &venue.text)]
                    .map(|(key, word)| (key.to_owned(), Value::from(word.as_str())))
            });
            (name.clone(), Value::Table(told.collect()))
        });
        let texts = self.texts.iter().map(|(name, text)| (name.clone(), Value::from(text.as_str())));
        let mut out = Table::new();
        out.insert(String::from("sheets"), Value::Table(sheets.collect()));
        out.insert(String::from("venues"), Value::Table(venues.collect()));
        out.insert(String::from("texts"), Value::Table(texts.collect()));
        out.to_string()
    }

    /// The sheet of a day.
    ///
    /// # Errors
    /// Never for a sheet that comes with the program; the mistake is one of the whole form.
    pub(crate) fn sheet(&self, day: Date) -> Result<Table, Mistakes> {
        let of_day = self.sheets.iter().rfind(|(from, _)| *from <= day).or_else(|| self.sheets.first());
        match of_day {
            Some((_, sheet)) => Ok(sheet.clone()),
            None => sheet::usual().parse().map_err(|e: toml::de::Error| whole(&e.to_string())),
        }
    }

    /// Puts a venue that was chosen into a sheet. One whose terms aren't known leaves the usual one there.
    pub(crate) fn choose(&self, sheet: &mut Table, venue: &str) {
        let known = self.venues.get(&measure::plain(venue));
        if known == Some(&None) {
            return;
        }
        let market = sheet.entry("market").or_insert_with(|| Value::Table(Table::new()));
        let Some(market) = market.as_table_mut() else { return };
        market.remove("venues");
        let id = known.and_then(Option::as_ref).map_or(venue, |own| own.id.as_str());
        market.insert(String::from("venue"), Value::from(id));
        if let Some(Some(own)) = known {
            market.insert(String::from("venues"), Value::from(own.text.as_str()));
        }
    }

    /// The bytes of a text that a sheet names.
    pub(crate) fn text(&self, name: &str) -> Option<Vec<u8>> {
        self.texts.get(name).map(|text| text.as_bytes().to_vec())
    }

    /// The question of a form for a day, over this.
    ///
    /// # Errors
    /// The mistakes, each at its field.
    pub fn asks(&self, filled: &Filled, day: Date) -> Result<Question, Mistakes> {
        Question::over(self, filled, day)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test fails by panicking.
mod tests {
    use super::{Usual, UsualVenue};
    use jiff::civil::date;
    use toml::{Table, Value};

    fn own() -> Usual {
        let sheet = |wage: f64| {
            let mut table: Table = sheet::usual().parse().unwrap();
            let packing = Table::from_iter([("wage".to_owned(), Value::from(wage))]);
            table.insert("packing".to_owned(), Value::Table(packing));
            table
        };
        let hall = UsualVenue { id: "hall".to_owned(), text: "terms of the hall".to_owned() };
        Usual {
            sheets: vec![(date(2026, 3, 1), sheet(11.0)), (date(2026, 7, 1), sheet(12.0))],
            venues: [(measure::plain("the hall"), Some(hall)), (measure::plain("a stall"), None)].into(),
            texts: [("terms of the hall".to_owned(), "[venues.hall]\nname = \"a \\\"hall\\\"\"".to_owned())]
                .into(),
        }
    }

    #[test]
    fn what_was_written_is_read_again_and_what_is_none_of_it_is_refused() {
        assert_eq!(Usual::read(&own().write()).unwrap(), own());
        assert_eq!(Usual::read(&Usual::default().write()).unwrap(), Usual::default());
        for wrong in
            ["[", "[sheets]\nsoon = \"\"", "[sheets]\n2026-03-01 = 3", "[venues]\nhall = 3", "[texts]\na = 3"]
        {
            assert!(Usual::read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_sheet_is_that_of_the_day() {
        let wage = |month| own().sheet(date(2026, month, 1)).unwrap()["packing"]["wage"].as_float();
        assert_eq!([1, 3, 6, 7, 12].map(wage), [11.0, 11.0, 11.0, 12.0, 12.0].map(Some));
        assert!(!Usual::default().sheet(date(2026, 1, 1)).unwrap().contains_key("packing"));
    }

    #[test]
    fn a_venue_that_is_chosen_takes_the_place_of_the_usual_one_with_its_terms() {
        let mut sheet: Table =
            "market = { venue = \"hall\", venues = \"terms of the hall\", damage = 1 }".parse().unwrap();
        own().choose(&mut sheet, "A stall");
        assert_eq!(sheet["market"]["venues"].as_str(), Some("terms of the hall"));
        own().choose(&mut sheet, "open_market");
        assert_eq!(sheet["market"].as_table().unwrap().len(), 2, "its damage stays, the terms don't");
        own().choose(&mut sheet, "The Hall");
        assert_eq!(sheet["market"]["venue"].as_str(), Some("hall"));
        assert_eq!(sheet["market"]["venues"].as_str(), Some("terms of the hall"));
    }
}
