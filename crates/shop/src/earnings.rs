//! What was earned, and the year: the reports of the books, with the work of packing.

use std::collections::BTreeMap;

use books::{
    By, Earned, Key, OrderId, Part, TaxTables, Work, YearWorksheet, of_order, report, year_worksheet,
};
use jiff::civil::Date;
use serde::Deserialize;

use crate::fold::stored_id;
use crate::{Shop, ShopError, rows, stored};

impl Shop {
    /// Minutes of packing, parcel by parcel.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn packing_work(&self) -> Result<Vec<Work>, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            #[serde(with = "stored::order")]
            order_id: OrderId,
            sent_on: Date,
            actual_minutes: u32,
        }
        let sql = "SELECT order_id, sent_on, actual_minutes FROM parcel
                   WHERE sent_on IS NOT NULL AND actual_minutes IS NOT NULL ORDER BY id";
        let found: Vec<Row> = rows::read(self.conn(), sql, [])?;
        let work = |row: Row| Work {
            date: row.sent_on,
            minutes: row.actual_minutes,
            order: Some(row.order_id),
            part: Part::default(),
            haul: None,
        };
        Ok(found.into_iter().map(work).collect())
    }

    /// What was earned from a day to a day, both counted.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn earned(&mut self, by: By, from: Date, to: Date) -> Result<BTreeMap<Key, Earned>, ShopError> {
        let work = self.packing_work()?;
        Ok(report(self.books()?, &work, by, from, to)?)
    }

    /// What one order has come to, from its first day to its last.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn order_earned(&mut self, order: OrderId) -> Result<Earned, ShopError> {
        let sql =
            "SELECT ifnull(sum(actual_minutes), 0) FROM parcel WHERE order_id = ?1 AND sent_on IS NOT NULL";
        let minutes: i64 =
            self.conn().prepare_cached(sql)?.query_row([stored_id(order.0)?], |row| row.get(0))?;
        Ok(of_order(self.books()?, order, minutes.unsigned_abs()))
    }

    /// The worksheet of a year. Not tax advice; check with a preparer.
    ///
    /// # Errors
    /// When a table lacks a row for the year.
    pub fn worksheet(&mut self, year: i16, tables: &TaxTables) -> Result<YearWorksheet, ShopError> {
        Ok(year_worksheet(self.books()?, year, tables)?)
    }
}
