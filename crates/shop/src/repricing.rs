//! What an order cost after all.

use books::{BuyerTax, Kind, OrderId};
use measure::Money;
use rusqlite::named_params;
use serde::{Deserialize, Serialize};

use crate::event::Event;
use crate::fold::{Fold, fields_of, stored_id};
use crate::order::{Payment, lines, standing};
use crate::{Record, Shop, ShopError, Stamp, stored};

/// What an order cost the buyer after all: its payment is taken back and entered anew.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OrderRepriced {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The price of each line, in the order they were told.
    pub items: Vec<PriceOfLine>,
    /// Shipping charged.
    #[serde(with = "stored::cents")]
    pub shipping: Money,
    /// Sales tax.
    #[serde(with = "stored::tax")]
    pub tax: BuyerTax,
    /// The day on which this was found, and where the money went.
    pub payment: Payment,
}

/// A price, as a list of them is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PriceOfLine(#[serde(with = "stored::cents")] pub Money);

impl From<Money> for PriceOfLine {
    fn from(price: Money) -> Self {
        Self(price)
    }
}

impl Shop {
    /// Enters what a paid order cost after all.
    ///
    /// # Errors
    /// When it isn't paid, or more was refunded than the new prices come to.
    pub fn reprice_order(&mut self, stamp: &Stamp, repriced: &OrderRepriced) -> Result<(), ShopError> {
        self.write(|writing| {
            let before = writing.last_event(Record::Order, repriced.order.0)?;
            writing.enter(stamp, &Event::OrderRepriced(repriced.clone()), before).map(|_| ())
        })
    }
}

impl Fold<'_> {
    pub(crate) fn order_repriced(&mut self, repriced: &OrderRepriced) -> Result<u64, ShopError> {
        let order = repriced.order;
        self.touch(Record::Order, order.0);
        let standing = standing(self.conn, order)?;
        let lines = lines(self.conn, order)?;
        if lines.len() != repriced.items.len() {
            return Err(ShopError::Wrong {
                record: Record::Order,
                field: "prices",
                found: repriced.items.len().to_string(),
                right: "one price for each line",
            });
        }
        let paid = self.books.entries().iter().rfind(|entry| {
            entry.kind() == Kind::OrderPaid
                && entry.about().order == Some(order)
                && entry.corrects().is_none()
                && self.books.correction_of(entry.id()).is_none()
        });
        let unpaid = ShopError::State {
            record: Record::Order,
            number: order.0,
            is: "not paid".to_owned(),
            wanted: "paid",
        };
        let paid = if standing.paid_on.is_some() { paid.cloned() } else { None }.ok_or(unpaid)?;
        for (line, PriceOfLine(item)) in lines.iter().zip(&repriced.items) {
            self.run(
                "UPDATE order_line SET item = :item WHERE id = :line",
                named_params! { ":item": item.cents(), ":line": stored_id(line.id)? },
            )?;
        }
        let anew = fields_of(Record::Order, repriced)?;
        self.run(
            "UPDATE buyer_order SET shipping = :anew ->> 'shipping', tax = :anew ->> 'tax', paid_on = NULL
             WHERE id = :order",
            named_params! {
                ":anew": serde_json::Value::Object(anew).to_string(), ":order": stored_id(order.0)?,
            },
        )?;
        let back = paid.reversed(self.voucher(repriced.payment.date), "priced anew")?;
        self.post(back, "")?;
        self.pay(order, repriced.payment)?;
        Ok(order.0)
    }
}
