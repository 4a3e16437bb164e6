//! Orders for a list: as many as are shown, however many there are.

use books::OrderId;
use jiff::civil::Date;
use measure::Money;
use rusqlite::named_params;
use serde::Deserialize;

use crate::fold::stored_id;
use crate::open_orders::OpenOrders;
use crate::{EventId, OrderState, Shop, ShopError, rows, stored};

/// An order as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct OrderRow {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day of the order.
    pub ordered_on: Date,
    /// The day by which it was promised.
    pub promise_by: Option<Date>,
    /// The first digits of the buyer's postal code.
    pub destination: String,
    /// What has become of it.
    pub state: OrderState,
    /// When it was paid.
    pub paid_on: Option<Date>,
    /// When it was handed over.
    pub sent_on: Option<Date>,
    /// Lots in it.
    pub lots: u32,
    /// Price of its lots.
    #[serde(with = "stored::cents")]
    pub items: Money,
    /// Shipping charged.
    #[serde(with = "stored::cents")]
    pub shipping: Money,
}

const COLUMNS: &str =
    "id AS \"order\", ordered_on, promise_by, destination, state, paid_on, sent_on, shipping,
   (SELECT ifnull(sum(lots), 0) FROM order_line WHERE order_id = page.id) AS lots,
   (SELECT ifnull(sum(item), 0) FROM order_line WHERE order_id = page.id) AS items";

impl Shop {
    /// Orders, those that wait first (as the bench has them), then the others, the latest in front: at most `most`
    /// of them after the first `skipped`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn orders_from(&self, skipped: u32, most: u32) -> Result<Vec<OrderRow>, ShopError> {
        let (count, waiting) = self.with_open_orders(|open| {
            let some = open.numbers().skip(usize_of(skipped)).take(usize_of(most));
            (open.count(), some.collect::<Vec<_>>())
        })?;
        let mut rows = Vec::new();
        let sql = format!("SELECT {COLUMNS} FROM buyer_order AS page WHERE id = ?1");
        for number in waiting {
            rows.extend(rows::first::<OrderRow>(self.conn(), &sql, [stored_id(number)?])?);
        }
        let left = most.saturating_sub(u32::try_from(rows.len()).unwrap_or(u32::MAX));
        if left > 0 {
            let sql = format!(
                "SELECT {COLUMNS} FROM (SELECT * FROM buyer_order WHERE state <> 'open' ORDER BY id DESC
                   LIMIT :most OFFSET :skipped) AS page ORDER BY id DESC"
            );
            let skipped = skipped.saturating_sub(count);
            let others: Vec<OrderRow> =
                rows::read(self.conn(), &sql, named_params! { ":most": left, ":skipped": skipped })?;
            rows.extend(others);
        }
        Ok(rows)
    }

    /// How many orders there are, and how many of them wait.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn count_orders(&self) -> Result<(u32, u32), ShopError> {
        let all = self.counted("orders", "SELECT count(*) FROM buyer_order")?;
        Ok((all, self.with_open_orders(OpenOrders::count)?))
    }

    /// How many orders wait that were promised by a day before `today`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn count_late(&self, today: Date) -> Result<u32, ShopError> {
        self.with_open_orders(|open| open.late(today))
    }

    /// Something of the orders that wait: those that are kept within one look, else read for this.
    pub(crate) fn with_open_orders<T>(&self, of: impl FnOnce(&OpenOrders) -> T) -> Result<T, ShopError> {
        let answers = self.answers();
        let Some(at) = self.moment() else { return Ok(of(&OpenOrders::read(self.conn(), EventId(0))?)) };
        let mut open = answers.open_orders.lock();
        if open.is_past(at) {
            drop(open);
            return Ok(of(&OpenOrders::read(self.conn(), at)?));
        }
        open.read_on(self.conn(), at)?;
        Ok(of(&open))
    }

    /// A number that a query counts, kept within one look.
    pub(crate) fn counted(&self, what: &'static str, sql: &str) -> Result<u32, ShopError> {
        let count = || Ok(self.conn().prepare_cached(sql)?.query_row([], |row| row.get(0))?);
        match self.moment() {
            Some(at) => Ok(*self.answers().counts.get(what, at, count)?),
            None => count(),
        }
    }

    /// Whether a query finds anything.
    pub(crate) fn any(&self, sql: &str) -> Result<bool, ShopError> {
        Ok(self.conn().prepare_cached(sql)?.exists([])?)
    }
}

pub(crate) fn usize_of(count: u32) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}
