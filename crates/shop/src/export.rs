//! Every table as CSV and as JSON.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde_json::Value;

use crate::rebuild::tables;
use crate::{Shop, ShopError, rows};

/// What a spreadsheet may take for the beginning of a formula (OWASP, CSV Injection).
const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A text that a spreadsheet won't take for a formula: an apostrophe goes before one that begins like it.
pub(crate) fn harmless(text: &str) -> Cow<'_, str> {
    if text.starts_with(FORMULA_STARTS) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

impl Shop {
    /// Every table as CSV, by name: a line of column names, then its rows. Texts that begin like a formula are made
    /// harmless; figures stay figures.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn export_csv(&self) -> Result<BTreeMap<String, String>, ShopError> {
        let mut files = BTreeMap::new();
        for table in tables(self.conn())? {
            let text = csv_of(self, &table)?;
            files.insert(table, text);
        }
        Ok(files)
    }

    /// Every table as a JSON object by name, each a list of rows, unchanged.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn export_json(&self) -> Result<Value, ShopError> {
        let mut all = serde_json::Map::new();
        for table in tables(self.conn())? {
            let rows = rows::objects(self.conn(), &format!("SELECT * FROM {table}"), [])?;
            all.insert(table, Value::Array(rows.into_iter().map(Value::Object).collect()));
        }
        Ok(Value::Object(all))
    }
}

fn csv_of(shop: &Shop, table: &str) -> Result<String, ShopError> {
    let unwritable = |error: &dyn std::fmt::Display| ShopError::Store { reason: error.to_string() };
    let mut statement = shop.conn().prepare(&format!("SELECT * FROM {table}"))?;
    let columns: Vec<String> = statement.column_names().map(str::to_owned).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&columns).map_err(|error| unwritable(&error))?;
    let mut found = statement.query([])?;
    while let Some(row) = found.next()? {
        for at in 0..columns.len() {
            let written = match rows::cell(row.get_ref(at)?) {
                Value::Null => writer.write_field(""),
                Value::String(text) => writer.write_field(harmless(&text).as_bytes()),
                figure @ (Value::Bool(_) | Value::Number(_) | Value::Array(_) | Value::Object(_)) => {
                    writer.write_field(figure.to_string())
                }
            };
            written.map_err(|error| unwritable(&error))?;
        }
        writer.write_record(None::<&[u8]>).map_err(|error| unwritable(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| unwritable(&error))?;
    String::from_utf8(bytes).map_err(|error| unwritable(&error))
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn what_begins_like_a_formula_begins_with_an_apostrophe() {
        for text in ["=1+1", "+1", "-1", "@x", "\tx", "\rx"] {
            assert_eq!(harmless(text), format!("'{text}"));
        }
        for text in ["", "cup", "3 = 3", "'=1"] {
            assert_eq!(harmless(text), text);
        }
    }
}
