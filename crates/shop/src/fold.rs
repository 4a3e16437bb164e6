//! Events become tables, one at a time. Nothing else writes to a table.

use books::{Books, Voucher};
use jiff::civil::Date;
use rusqlite::{Connection, named_params};
use serde::Serialize;
use serde_json::{Map, Value};

use crate::event::Event;
use crate::{EventId, Record, ShopError};

/// The tables while one event is added to them.
pub(crate) struct Fold<'a> {
    pub(crate) conn: &'a Connection,
    pub(crate) books: &'a mut Books,
    pub(crate) event: EventId,
    touched: Vec<(Record, u64)>,
    /// Whether names that the books hold were changed, so that they have to be read anew.
    pub(crate) renamed: bool,
}

impl<'a> Fold<'a> {
    pub(crate) fn new(conn: &'a Connection, books: &'a mut Books, event: EventId) -> Self {
        Self { conn, books, event, touched: Vec::new(), renamed: false }
    }

    /// Adds the event; gives the number of the record it is about first of all.
    pub(crate) fn apply(&mut self, event: &Event) -> Result<u64, ShopError> {
        let number = match event {
            Event::Noted(noted) => self.noted(noted)?,
            Event::HaulBought(haul) => self.haul_bought(haul)?,
            Event::HaulAmended(amended) => self.haul_amended(amended)?,
            Event::FindDescribed(find) => self.find_described(find)?,
            Event::ListingPut(listing) => self.listing_put(listing)?,
            Event::OrderTaken(order) => self.order_taken(order)?,
            Event::OrderPaid(paid) => self.order_paid(paid)?,
            Event::OrderRepriced(repriced) => self.order_repriced(repriced)?,
            Event::OrderPlanned(planned) => self.order_planned(planned)?,
            Event::PieceSwapped(swap) => self.piece_swapped(swap)?,
            Event::OrderSent(sent) => self.order_sent(sent)?,
            Event::PartSent(part) => self.part_sent(part)?,
            Event::OrderCancelled(cancelled) => self.order_cancelled(cancelled)?,
            Event::CameBack(back) => self.came_back(back)?,
            Event::FromShelf(left) => self.left_shelf(left)?,
            Event::MoneyMoved(moved) => self.money_moved(moved)?,
            Event::EntryTakenBack(taken) => self.taken_back(taken)?,
        };
        self.touched.sort_unstable();
        self.touched.dedup();
        let mut about = self.conn.prepare_cached(
            "INSERT INTO event_record (event, record, number) VALUES (:event, :record, :number)",
        )?;
        for &(record, number) in &self.touched {
            about.execute(named_params! {
                ":event": self.event.0, ":record": record.table(), ":number": stored_id(number)?,
            })?;
        }
        Ok(number)
    }

    pub(crate) fn touch(&mut self, record: Record, number: u64) {
        self.touched.push((record, number));
    }

    /// A number that no record of the kind has had, struck out or not.
    pub(crate) fn next(&mut self, record: Record) -> Result<u64, ShopError> {
        let known = next_number(self.conn, record)?;
        let here = self.touched.iter().filter(|&&(kind, _)| kind == record).map(|&(_, number)| number).max();
        let number = known.max(here.map_or(1, |number| number.saturating_add(1)));
        self.touch(record, number);
        Ok(number)
    }

    pub(crate) fn voucher(&self, date: Date) -> Voucher {
        Voucher { id: self.books.next_entry(), date }
    }

    /// Writes a row: a new one, or over the columns that are given. The names of the columns are checked against
    /// the table, as the log is read from a file.
    pub(crate) fn put(&self, table: &str, id: u64, fields: &Map<String, Value>) -> Result<(), ShopError> {
        let columns = self.columns(table)?;
        if let Some(unknown) = fields.keys().find(|name| !columns.contains(name)) {
            return Err(ShopError::damaged(format!("{table} has no column {unknown}")));
        }
        let list = |each: &dyn Fn(&str) -> String| {
            fields.keys().map(|name| each(name)).collect::<Vec<_>>().join(", ")
        };
        let names = list(&|name| format!("\"{name}\""));
        let values = list(&|name| format!(":fields ->> '{name}'"));
        let over = list(&|name| format!("\"{name}\" = excluded.\"{name}\""));
        let sql = format!(
            "INSERT INTO {table} (id, {names}) SELECT :id, {values} WHERE true ON CONFLICT (id) DO UPDATE SET {over}"
        );
        let fields = Value::Object(fields.clone()).to_string();
        self.conn
            .prepare_cached(&sql)?
            .execute(named_params! { ":id": stored_id(id)?, ":fields": fields })?;
        Ok(())
    }

    fn columns(&self, table: &str) -> Result<Vec<String>, ShopError> {
        let mut statement = self.conn.prepare_cached("SELECT name FROM pragma_table_info(:table)")?;
        let names = statement.query_map(named_params! { ":table": table }, |row| row.get(0))?;
        Ok(names.collect::<Result<_, _>>()?)
    }

    pub(crate) fn run(&self, sql: &str, params: impl rusqlite::Params) -> Result<usize, ShopError> {
        Ok(self.conn.prepare_cached(sql)?.execute(params)?)
    }
}

pub(crate) fn next_number(conn: &Connection, record: Record) -> Result<u64, ShopError> {
    let sql = "SELECT ifnull(max(number), 0) FROM event_record WHERE record = :record";
    let last: i64 =
        conn.prepare_cached(sql)?.query_row(named_params! { ":record": record.table() }, |row| row.get(0))?;
    Ok(u64::try_from(last).unwrap_or(0).saturating_add(1))
}

/// A number as the file keeps it.
pub(crate) fn stored_id(number: u64) -> Result<i64, ShopError> {
    i64::try_from(number).map_err(|_| ShopError::Refused {
        rule: format!("a number of a record can't be {number}; right would be one that was given out here"),
    })
}

/// The fields of a record as they lie in its row.
pub(crate) fn fields_of(record: Record, value: &impl Serialize) -> Result<Map<String, Value>, ShopError> {
    match serde_json::to_value(value) {
        Ok(Value::Object(fields)) => Ok(fields),
        Ok(other) => Err(ShopError::Unwritable { record, reason: format!("{other} is no record") }),
        Err(error) => Err(ShopError::Unwritable { record, reason: error.to_string() }),
    }
}
