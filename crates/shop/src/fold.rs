//! Events become tables, one at a time. Nothing else writes to a table.

use books::{Books, Voucher};
use jiff::civil::Date;
use rusqlite::{Connection, named_params};
use serde::Serialize;
use serde_json::{Map, Value};

use crate::event::Event;
use crate::known::Known;
use crate::{EventId, Record, ShopError, put};

/// Most records that are told with one statement (judgement): an order of one line is about six.
const MOST_RECORDS: usize = 8;

/// The tables while one event is added to them.
pub(crate) struct Fold<'a> {
    pub(crate) conn: &'a Connection,
    pub(crate) books: &'a mut Books,
    pub(crate) known: &'a mut Known,
    pub(crate) event: EventId,
    touched: Vec<(Record, u64)>,
    /// Whether names that the books hold were changed, so that they have to be read anew.
    pub(crate) renamed: bool,
}

impl<'a> Fold<'a> {
    pub(crate) fn new(
        conn: &'a Connection,
        books: &'a mut Books,
        known: &'a mut Known,
        event: EventId,
    ) -> Self {
        Self { conn, books, known, event, touched: Vec::new(), renamed: false }
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
        if event.frees_pieces() {
            self.known.forget_free();
        }
        self.touched.sort_unstable();
        self.touched.dedup();
        self.tell_records()?;
        Ok(number)
    }

    /// Writes down which records the event is about, several rows with one statement: there are many in all.
    fn tell_records(&mut self) -> Result<(), ShopError> {
        for some in self.touched.chunks(MOST_RECORDS) {
            let mut about = self.conn.prepare_cached(self.known.about_sql(some.len()))?;
            about.raw_bind_parameter(1, self.event.0)?;
            let mut at = 1;
            for &(record, number) in some {
                about.raw_bind_parameter(at + 1, record.table())?;
                about.raw_bind_parameter(at + 2, stored_id(number)?)?;
                at += 2;
            }
            about.raw_execute()?;
        }
        Ok(())
    }

    pub(crate) fn touch(&mut self, record: Record, number: u64) {
        self.known.given(record, number);
        self.touched.push((record, number));
    }

    /// A number that no record of the kind has had, struck out or not.
    pub(crate) fn next(&mut self, record: Record) -> Result<u64, ShopError> {
        let number = match self.known.last(record) {
            Some(last) => last.saturating_add(1),
            None => {
                let next = next_number(self.conn, record)?;
                let here = self.touched.iter().filter(|(kind, _)| *kind == record);
                let next = here.map(|&(_, number)| number.saturating_add(1)).fold(next, u64::max);
                self.known.asked(record, next);
                next
            }
        };
        self.touch(record, number);
        Ok(number)
    }

    pub(crate) fn voucher(&self, date: Date) -> Voucher {
        Voucher { id: self.books.next_entry(), date }
    }

    /// Writes a row: a new one, or over the columns that are given.
    pub(crate) fn put(&mut self, table: &str, id: u64, fields: &Map<String, Value>) -> Result<(), ShopError> {
        put::put(self.conn, self.known, table, stored_id(id)?, fields)
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
