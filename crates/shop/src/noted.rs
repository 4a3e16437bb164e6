//! Records of plain fields: noted, amended, struck out.

use books::FindId;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::coming_back::PieceRef;
use crate::event::{Event, NotedRecord};
use crate::fold::{Fold, fields_of, next_number, stored_id};
use crate::{Comp, Flaw, Measurement, Record, Shop, ShopError, Split, Stamp, cost_flow, rows};

/// A record of plain fields that is entered, amended and struck out as a whole; no money or goods move with it.
///
/// Its fields are named like the columns of its table.
pub trait Noted: Serialize + DeserializeOwned {
    /// Which kind of record it is.
    const RECORD: Record;
}

/// A record that belongs to a find.
pub trait OfFind: Noted {}

impl OfFind for Measurement {}
impl OfFind for Flaw {}
impl OfFind for Comp {}
impl OfFind for Split {}

/// A row as a record with its number.
pub(crate) fn numbered<R: Noted>(row: Map<String, Value>) -> Result<(u64, R), ShopError> {
    let number = row.get("id").and_then(Value::as_u64).unwrap_or(0);
    let record = serde_json::from_value(row.into())
        .map_err(|error| ShopError::damaged(format!("{} {number}: {error}", R::RECORD)))?;
    Ok((number, record))
}

impl Shop {
    /// Enters a record; gives its number.
    ///
    /// # Errors
    /// When a field breaks a rule of the file; the message names the field and what is right.
    pub fn note<R: Noted>(&mut self, stamp: &Stamp, record: &R) -> Result<u64, ShopError> {
        let entered = Some(fields_of(R::RECORD, record)?.into());
        self.write(|writing| {
            let number = next_number(writing.conn, R::RECORD)?;
            let entered = NotedRecord { record: R::RECORD, number, entered };
            writing.enter(stamp, &Event::Noted(entered), None)
        })
    }

    /// Enters a record as it should have been, or as it is now. The log keeps both.
    ///
    /// # Errors
    /// When there is no such record, or a field breaks a rule of the file.
    pub fn amend<R: Noted>(&mut self, stamp: &Stamp, number: u64, record: &R) -> Result<(), ShopError> {
        let entered = Some(fields_of(R::RECORD, record)?.into());
        self.renote(stamp, NotedRecord { record: R::RECORD, number, entered })
    }

    /// Strikes a record out. The log keeps what it was.
    ///
    /// # Errors
    /// When there is no such record, or others refer to it.
    pub fn strike<R: Noted>(&mut self, stamp: &Stamp, number: u64) -> Result<(), ShopError> {
        self.renote(stamp, NotedRecord { record: R::RECORD, number, entered: None })
    }

    fn renote(&mut self, stamp: &Stamp, noted: NotedRecord) -> Result<(), ShopError> {
        self.write(|writing| {
            let before = writing.last_event(noted.record, noted.number)?;
            writing.must_exist(noted.record, noted.number)?;
            writing.enter(stamp, &Event::Noted(noted.clone()), before).map(|_| ())
        })
    }

    /// All records of a kind by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn noted<R: Noted>(&self) -> Result<Vec<(u64, R)>, ShopError> {
        let sql = format!("SELECT * FROM {} ORDER BY id", R::RECORD.table());
        rows::objects(self.conn(), &sql, [])?.into_iter().map(numbered).collect()
    }

    /// The records of a kind that belong to a find, by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn noted_of<R: OfFind>(&self, find: FindId) -> Result<Vec<(u64, R)>, ShopError> {
        let sql = format!("SELECT * FROM {} WHERE find = ?1 ORDER BY id", R::RECORD.table());
        let rows = rows::objects(self.conn(), &sql, [stored_id(find.0)?])?;
        rows.into_iter().map(numbered).collect()
    }

    /// One record.
    ///
    /// # Errors
    /// When there is no such record.
    pub fn noted_one<R: Noted>(&self, number: u64) -> Result<R, ShopError> {
        let sql = format!("SELECT * FROM {} WHERE id = ?1", R::RECORD.table());
        rows::first(self.conn(), &sql, [stored_id(number)?])?
            .ok_or(ShopError::Missing { record: R::RECORD, number })
    }
}

impl Fold<'_> {
    pub(crate) fn noted(&mut self, noted: &NotedRecord) -> Result<u64, ShopError> {
        let (record, number) = (noted.record, noted.number);
        if !record.is_plain() {
            let reason = "it has events of its own; it can't be noted as plain fields".to_owned();
            return Err(ShopError::Unwritable { record, reason });
        }
        self.touch(record, number);
        self.renamed |= record == Record::Place;
        let flow = if record == Record::Setting { Some(cost_flow::schedule(self.conn)?) } else { None };
        match &noted.entered {
            Some(Value::Object(fields)) => {
                self.must_belong(fields)?;
                self.put(record.table(), number, fields)?;
            }
            Some(other) => {
                return Err(ShopError::damaged(format!("{record} {number}: {other} is no record")));
            }
            None => {
                self.run(&format!("DELETE FROM {} WHERE id = ?1", record.table()), [stored_id(number)?])?;
            }
        }
        if let Some(before) = flow {
            self.flow_must_begin_later(&before)?;
        }
        Ok(number)
    }

    /// What the tables can't refer to by themselves: the piece of a flaw or measurement, the record of a file.
    fn must_belong(&self, fields: &Map<String, Value>) -> Result<(), ShopError> {
        let number = |key: &str| fields.get(key).and_then(Value::as_u64);
        if let (Some(find), Some(piece)) = (number("find"), number("piece")) {
            // A number too large for a piece is none that the find has.
            let number = u32::try_from(piece).unwrap_or(u32::MAX);
            self.piece_state(&PieceRef { find: FindId(find), number })?;
        }
        let of = fields.get("record").cloned().and_then(|word| serde_json::from_value::<Record>(word).ok());
        if let (Some(record), Some(number), piece) = (of, number("number"), number("piece")) {
            let sql = format!("SELECT 1 FROM {} WHERE id = ?1", record.table());
            if !self.conn.prepare_cached(&sql)?.exists([stored_id(number)?])? {
                return Err(ShopError::Missing { record, number });
            }
            if let (Record::Find, Some(piece)) = (record, piece) {
                let piece = u32::try_from(piece).unwrap_or(u32::MAX);
                self.piece_state(&PieceRef { find: FindId(number), number: piece })?;
            }
        }
        Ok(())
    }
}
