//! What was earned, and the year: the reports of the books, with the work of packing.

use std::collections::BTreeMap;

use books::{
    By, DayBook, Earned, Key, OrderId, Part, TaxTables, Work, YearWorksheet, report, year_worksheet,
};
use jiff::civil::Date;

use crate::answers::OneWork;
use crate::fold::stored_id;
use crate::work_done::WorkDone;
use crate::{EventId, Shop, ShopError};

impl Shop {
    /// Minutes of packing, parcel by parcel.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn packing_work(&self) -> Result<Vec<Work>, ShopError> {
        let work = |&(order, date, minutes): &OneWork| Work {
            date,
            minutes,
            order: Some(order),
            part: Part::default(),
            haul: None,
        };
        self.with_work(|done| done.parcels().map(work).collect())
    }

    /// Something of the work of packing: that which is kept within one look, else read for this.
    fn with_work<T>(&self, of: impl FnOnce(&WorkDone) -> T) -> Result<T, ShopError> {
        let answers = self.answers();
        let Some(at) = self.moment() else { return Ok(of(&WorkDone::read(self.conn(), EventId(0))?)) };
        let mut done = answers.work_done.lock();
        if done.is_past(at) {
            drop(done);
            return Ok(of(&WorkDone::read(self.conn(), at)?));
        }
        done.read_on(self.conn(), at)?;
        Ok(of(&done))
    }

    /// Something of the books by day: read on where that is possible.
    fn with_day_book<T>(&mut self, of: impl FnOnce(&DayBook, &books::Books) -> T) -> Result<T, ShopError> {
        let answers = self.answers();
        let books = self.books()?;
        let mut day_book = answers.day_book.lock();
        if day_book.is_past(books) {
            drop(day_book);
            let mut own = DayBook::default();
            own.read_on(books);
            return Ok(of(&own, books));
        }
        day_book.read_on(books);
        Ok(of(&day_book, books))
    }

    /// What was earned from a day to a day, both counted.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn earned(&mut self, by: By, from: Date, to: Date) -> Result<BTreeMap<Key, Earned>, ShopError> {
        match by {
            By::Month => self.by_day(from, to, |day| Key::Month(day.year(), day.month())),
            By::Year => self.by_day(from, to, |day| Key::Year(day.year())),
            By::Order | By::Lot | By::Find | By::Haul | By::Place => self.moment_of(|shop, at| {
                let answers = shop.answers();
                let rows = answers.earned.get((by, from, to), at, || {
                    let work = shop.packing_work()?;
                    Ok(report(shop.books()?, &work, by, from, to)?)
                })?;
                Ok(BTreeMap::clone(&rows))
            }),
        }
    }

    fn by_day(
        &mut self,
        from: Date,
        to: Date,
        key: impl Fn(Date) -> Key,
    ) -> Result<BTreeMap<Key, Earned>, ShopError> {
        self.moment_of(|shop, _| {
            let minutes = shop.with_work(|done| done.days().clone())?;
            shop.with_day_book(|day_book, _| day_book.rows(key, &minutes, from, to))
        })
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
        self.with_day_book(|day_book, books| day_book.of_order(books, order, minutes.unsigned_abs()))
    }

    /// The worksheet of a year. Not tax advice; check with a preparer.
    ///
    /// # Errors
    /// When a table lacks a row for the year.
    pub fn worksheet(&mut self, year: i16, tables: &TaxTables) -> Result<YearWorksheet, ShopError> {
        self.moment_of(|shop, at| {
            let answers = shop.answers();
            let sheet = answers
                .worksheet
                .get((year, tables.clone()), at, || Ok(year_worksheet(shop.books()?, year, tables)?))?;
            Ok(YearWorksheet::clone(&sheet))
        })
    }
}
