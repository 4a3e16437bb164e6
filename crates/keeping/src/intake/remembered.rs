//! How the tables of a source were read the last time.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use shop::{Shop, Stamp};

use super::{Cells, DateOrder, IntakeOf};
use crate::{Stop, put_setting, setting};

/// How a table is read: which column is which, and how its days are written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remembered {
    /// Columns under another name: column, name.
    pub map: BTreeMap<String, String>,
    /// How days are written, if it was said.
    pub dates: Option<DateOrder>,
}

impl Remembered {
    /// The same without names that this table doesn't have.
    #[must_use]
    pub fn fitting(mut self, cells: &Cells) -> Self {
        self.map.retain(|_, name| cells.place(name).is_some());
        self
    }
}

fn key(of: IntakeOf, source: &str) -> String {
    format!("read.{}.{source}", of.word())
}

/// How rows of the kind from the source were read the last time.
///
/// # Errors
/// When the file can't be read.
pub fn remembered(shop: &Shop, of: IntakeOf, source: &str) -> Result<Remembered, Stop> {
    let kept = setting(shop, &key(of, source))?;
    let kept: Value = kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default();
    let columns = kept.get("columns").and_then(Value::as_object);
    let pair = |(column, name): (&String, &Value)| Some((column.clone(), name.as_str()?.to_owned()));
    Ok(Remembered {
        map: columns.into_iter().flatten().filter_map(pair).collect(),
        dates: kept.get("dates").and_then(Value::as_str).and_then(DateOrder::named),
    })
}

/// Remembers it, where it is new.
///
/// # Errors
/// When the file refuses it.
pub fn remember(
    shop: &mut Shop,
    stamp: &Stamp,
    of: IntakeOf,
    source: &str,
    how: &Remembered,
) -> Result<(), Stop> {
    if remembered(shop, of, source)? == *how {
        return Ok(());
    }
    let kept = json!({ "columns": how.map, "dates": how.dates.map(DateOrder::word) });
    put_setting(shop, stamp, &key(of, source), &kept.to_string(), "how an earlier table was read")
}
