//! What a find is called and where it stands.

use books::FindId;
use serde::{Deserialize, Serialize};

use crate::event::{Event, FindDescribed};
use crate::fold::{Fold, fields_of, stored_id};
use crate::{Record, Shop, ShopError, Stamp, rows};

/// What a find is called and where it stands; it can change at any time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FindText {
    /// Its form: mug, plate, goblet.
    pub form: String,
    /// What it is, in the person's words.
    pub description: String,
    /// Its place on the shelf.
    pub shelf: String,
}

impl Shop {
    /// Describes a find anew, or puts it elsewhere.
    ///
    /// # Errors
    /// When there is no such find, or its form is empty.
    pub fn describe_find(&mut self, stamp: &Stamp, find: FindId, text: &FindText) -> Result<(), ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Find, find.0)?;
            let before = writing.last_event(Record::Find, find.0)?;
            let event = Event::FindDescribed(FindDescribed { find, text: text.clone() });
            writing.enter(stamp, &event, before).map(|_| ())
        })
    }

    /// What a find is called and where it stands.
    ///
    /// # Errors
    /// When there is no such find.
    pub fn find_text(&self, find: FindId) -> Result<FindText, ShopError> {
        let sql = "SELECT form, description, shelf FROM find WHERE id = ?1";
        rows::first(self.conn(), sql, [stored_id(find.0)?])?
            .ok_or(ShopError::Missing { record: Record::Find, number: find.0 })
    }
}

impl Fold<'_> {
    pub(crate) fn find_described(&mut self, described: &FindDescribed) -> Result<u64, ShopError> {
        let number = described.find.0;
        self.touch(Record::Find, number);
        let text = fields_of(Record::Find, &described.text)?;
        self.run(
            "UPDATE find SET form = :text ->> 'form', description = :text ->> 'description',
                    shelf = :text ->> 'shelf' WHERE id = :id",
            rusqlite::named_params! {
                ":text": serde_json::Value::Object(text).to_string(), ":id": stored_id(number)?,
            },
        )?;
        Ok(number)
    }
}
