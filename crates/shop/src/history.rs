//! What happened to a record, what was wrong and what was put right.

use rusqlite::named_params;
use serde::Deserialize;
use serde_json::Value;

use crate::fold::stored_id;
use crate::{EventId, Record, Shop, ShopError, rows, stored};

/// An event in the history of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryRow {
    /// Its number.
    pub event: EventId,
    /// When it was entered, in UTC.
    pub at: String,
    /// What happened.
    pub kind: String,
    /// What was entered.
    pub entered: Value,
    /// The event that it corrects.
    pub corrects: Option<EventId>,
}

impl Shop {
    /// All events about a record, the oldest first: what was entered, and what corrected it.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn history(&self, record: Record, number: u64) -> Result<Vec<HistoryRow>, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            id: i64,
            at: String,
            kind: String,
            #[serde(deserialize_with = "stored::from_text")]
            body: Value,
            corrects: Option<i64>,
        }
        let found: Vec<Row> = rows::read(
            self.conn(),
            "SELECT event.id, at, kind, body, corrects FROM event
             JOIN event_record ON event_record.event = event.id
             WHERE event_record.record = :record AND event_record.number = :number ORDER BY event.id",
            named_params! { ":record": record.table(), ":number": stored_id(number)? },
        )?;
        Ok(found
            .into_iter()
            .map(|row| HistoryRow {
                event: EventId(row.id),
                at: row.at,
                kind: row.kind,
                entered: row.body,
                corrects: row.corrects.map(EventId),
            })
            .collect())
    }
}
