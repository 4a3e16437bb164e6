//! An order that won't be sent.

use books::{Account, BuyerTax, OrderId, Part, Purse, RefundMoney, refund};
use jiff::civil::Date;
use measure::Money;
use rusqlite::named_params;
use serde::{Deserialize, Serialize};

use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::order::lines;
use crate::stored::{self, PurseWord};
use crate::{Record, Shop, ShopError, Stamp};

/// An order that won't be sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cancelled {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day.
    pub date: Date,
    /// What pays back all that the buyer paid and hasn't got back, tax too.
    #[serde(with = "PurseWord")]
    pub from: Purse,
}

impl Shop {
    /// Cancels an order that wasn't sent: pieces, lots and supplies are free again, and the buyer gets back what
    /// was paid.
    ///
    /// # Errors
    /// When it was sent, also in part, or cancelled before.
    pub fn cancel_order(&mut self, stamp: &Stamp, cancelled: &Cancelled) -> Result<(), ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::OrderCancelled(*cancelled), None)).map(|_| ())
    }
}

impl Fold<'_> {
    pub(crate) fn order_cancelled(&mut self, cancelled: &Cancelled) -> Result<u64, ShopError> {
        let order = cancelled.order;
        let standing = self.open_order(order)?;
        let id = stored_id(order.0)?;
        let gone = "SELECT 1 FROM parcel WHERE order_id = ?1 AND sent_on IS NOT NULL";
        if self.conn.prepare_cached(gone)?.exists([id])? {
            return Err(ShopError::State {
                record: Record::Order,
                number: order.0,
                is: "sent in part".to_owned(),
                wanted: "one of which nothing was sent; send the rest, or enter what came back and give money back",
            });
        }
        for line in lines(self.conn, order)? {
            self.touch(Record::Listing, line.line.listing.0);
            self.run(
                "UPDATE listing SET reserved = reserved - :lots WHERE id = :listing",
                named_params! { ":lots": line.line.lots, ":listing": stored_id(line.line.listing.0)? },
            )?;
            self.run("UPDATE piece SET reserved_for = NULL WHERE reserved_for = ?1", [stored_id(line.id)?])?;
        }
        self.drop_plan(order)?;
        let left = self.books.left_to_refund(order);
        let held: Money = {
            let entries = self.books.entries().iter().filter(|entry| entry.about().order == Some(order));
            entries.map(|entry| -entry.net(Account::SalesTaxHeld)).sum()
        };
        let tax = match standing.tax {
            BuyerTax::None => BuyerTax::None,
            BuyerTax::ByVenue(tax) => BuyerTax::ByVenue(tax),
            BuyerTax::ByMe(_) => BuyerTax::ByMe(held),
        };
        if standing.paid_on.is_some() && (left > Money::ZERO || held > Money::ZERO) {
            let back = RefundMoney { order, amount: left, tax, part: Part::default(), from: cancelled.from };
            let entry = refund(self.voucher(cancelled.date), &back)?;
            self.post(entry, "cancelled")?;
        }
        self.run("UPDATE buyer_order SET state = 'cancelled' WHERE id = ?1", [id])?;
        Ok(order.0)
    }
}
