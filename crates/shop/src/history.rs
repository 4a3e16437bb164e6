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

/// An event of the log without what was entered, and the records that it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogRow {
    /// Its number.
    pub event: EventId,
    /// When it was entered, in UTC.
    pub at: String,
    /// What happened.
    pub kind: String,
    /// Whether a record of plain fields was struck out.
    pub struck: bool,
    /// The event that it corrects.
    pub corrects: Option<EventId>,
    /// The records, each with its number.
    pub about: Vec<(Record, u64)>,
}

#[derive(Deserialize)]
struct StoredRow {
    id: i64,
    at: String,
    kind: String,
    struck: i64,
    corrects: Option<i64>,
    #[serde(deserialize_with = "stored::from_text")]
    about: Value,
}

/// The columns of a [`StoredRow`]. What was entered may be a whole plan, so it is only looked into where it is short.
const COLUMNS: &str = "event.id, at, kind, corrects,
    CASE kind WHEN 'noted' THEN json_extract(body, '$.entered') IS NULL ELSE 0 END AS struck,
    (SELECT json_group_array(json_array(record, number)) FROM event_record
     WHERE event_record.event = event.id) AS about";

impl From<StoredRow> for LogRow {
    fn from(row: StoredRow) -> Self {
        let pairs: Vec<(String, u64)> = serde_json::from_value(row.about).unwrap_or_default();
        let known = |(table, number): (String, u64)| Some((Record::of_table(&table)?, number));
        Self {
            event: EventId(row.id),
            at: row.at,
            kind: row.kind,
            struck: row.struck != 0,
            corrects: row.corrects.map(EventId),
            about: pairs.into_iter().filter_map(known).collect(),
        }
    }
}

impl Shop {
    /// The latest events of the log before a certain one, the newest first: at most `most`, of everything or of one
    /// record.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn log(
        &self,
        of: Option<(Record, u64)>,
        before: Option<EventId>,
        most: u32,
    ) -> Result<Vec<LogRow>, ShopError> {
        let before = before.map_or(i64::MAX, |event| event.0);
        let found: Vec<StoredRow> = match of {
            None => rows::read(
                self.conn(),
                &format!("SELECT {COLUMNS} FROM event WHERE id < :before ORDER BY id DESC LIMIT :most"),
                named_params! { ":before": before, ":most": most },
            )?,
            Some((record, number)) => rows::read(
                self.conn(),
                &format!(
                    "SELECT {COLUMNS} FROM event_record AS of JOIN event ON event.id = of.event
                     WHERE of.record = :record AND of.number = :number AND of.event < :before
                     ORDER BY of.event DESC LIMIT :most"
                ),
                named_params! {
                    ":record": record.table(), ":number": stored_id(number)?, ":before": before, ":most": most,
                },
            )?,
        };
        Ok(found.into_iter().map(LogRow::from).collect())
    }

    /// One event of the log, with what was entered; `None` where there is none of that number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn logged(&self, event: EventId) -> Result<Option<(LogRow, Value)>, ShopError> {
        #[derive(Deserialize)]
        struct Whole {
            #[serde(flatten)]
            row: StoredRow,
            #[serde(deserialize_with = "stored::from_text")]
            body: Value,
        }
        let found: Vec<Whole> = rows::read(
            self.conn(),
            &format!("SELECT {COLUMNS}, body FROM event WHERE id = :event"),
            named_params! { ":event": event.0 },
        )?;
        Ok(found.into_iter().next().map(|whole| (whole.row.into(), whole.body)))
    }

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
