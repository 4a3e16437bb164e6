//! Orders for a list: as many as are shown, however many there are.

use books::OrderId;
use jiff::civil::Date;
use measure::Money;
use rusqlite::named_params;
use serde::Deserialize;

use crate::{OrderState, Shop, ShopError, rows, stored};

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

impl Shop {
    /// Orders, those that wait first (the oldest promise in front), then the others, the latest in front: at most
    /// `most` of them after the first `skipped`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn orders_from(&self, skipped: u32, most: u32) -> Result<Vec<OrderRow>, ShopError> {
        rows::read(
            self.conn(),
            "SELECT id AS \"order\", ordered_on, promise_by, destination, state, paid_on, sent_on, shipping,
               (SELECT ifnull(sum(lots), 0) FROM order_line WHERE order_id = page.id) AS lots,
               (SELECT ifnull(sum(item), 0) FROM order_line WHERE order_id = page.id) AS items
             FROM (SELECT *, row_number() OVER () AS place FROM
                    (SELECT * FROM buyer_order ORDER BY state <> 'open',
                       CASE state WHEN 'open' THEN promise_by IS NULL END,
                       CASE state WHEN 'open' THEN promise_by END,
                       CASE state WHEN 'open' THEN id ELSE -id END
                     LIMIT :most OFFSET :skipped)) AS page
             ORDER BY place",
            named_params! { ":most": most, ":skipped": skipped },
        )
    }

    /// How many orders there are, and how many of them wait.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn count_orders(&self) -> Result<(u32, u32), ShopError> {
        let sql = "SELECT count(*), count(*) FILTER (WHERE state = 'open') FROM buyer_order";
        Ok(self.conn().prepare_cached(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?)
    }
}
