//! Settings.

use serde::{Deserialize, Serialize};

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::{Noted, Record, Shop, ShopError, Stamp};

/// A default that the person changed, or confirmed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Setting {
    /// Its name; no two have the same.
    pub name: String,
    /// Its value, as typed.
    pub value: String,
    /// Where the value comes from.
    pub source: String,
}

impl Noted for Setting {
    const RECORD: Record = Record::Setting;
}

impl Shop {
    /// Enters settings, or enters them anew, and strikes out others by name: all of it or nothing. A name to strike
    /// that isn't there is passed over.
    ///
    /// # Errors
    /// When the file refuses one of them.
    pub fn put_settings(
        &mut self,
        stamp: &Stamp,
        put: &[Setting],
        strike: &[String],
    ) -> Result<(), ShopError> {
        let known = self.noted::<Setting>()?;
        let number_of =
            |name: &str| known.iter().find(|(_, one)| one.name == name).map(|(number, _)| *number);
        let put =
            put.iter().map(|one| Ok((number_of(&one.name), Some(fields_of(Record::Setting, one)?.into()))));
        let put = put.collect::<Result<Vec<_>, ShopError>>()?;
        let strike = strike.iter().filter_map(|name| number_of(name)).map(|number| (Some(number), None));
        // The number of an import belongs to one event.
        let mut first = Some(stamp.clone());
        self.write(|writing| {
            for (number, entered) in put.into_iter().chain(strike) {
                let (number, before) = match number {
                    Some(number) => (number, writing.last_event(Record::Setting, number)?),
                    None => (next_number(writing.conn, Record::Setting)?, None),
                };
                let noted = NotedRecord { record: Record::Setting, number, entered };
                let stamp = first.take().unwrap_or(Stamp::at(stamp.at));
                writing.enter(&stamp, &Event::Noted(noted), before)?;
            }
            Ok(())
        })
    }
}
