//! A parcel of an order goes before the others.

use books::{OrderId, Purse};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::coming_back::PieceRef;
use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::parcel;
use crate::shipping::{ParcelActual, Shipped, unplanned};
use crate::stored::{self, PurseWord};
use crate::{Record, Shop, ShopError, Stamp};

/// One parcel of an order as it left, while others wait. The order is sent once all its pieces have gone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartSent {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day.
    pub date: Date,
    /// What paid the postage.
    #[serde(with = "PurseWord")]
    pub postage_from: Purse,
    /// The planned parcel that this is, by its number in the file; none where it wasn't planned.
    pub parcel: Option<u64>,
    /// The pieces in it; each promised to the order.
    pub pieces: Vec<PieceRef>,
    /// The parcel as it left.
    pub actual: ParcelActual,
}

impl Shop {
    /// Enters that one parcel of an order was handed over. With the last of its pieces the order is sent, and
    /// parcels that were planned and not needed give back their supplies.
    ///
    /// # Errors
    /// When the order isn't open or isn't paid, a piece isn't promised to it, the parcel isn't one planned for it,
    /// or supplies are short.
    pub fn ship_part(&mut self, stamp: &Stamp, part: &PartSent) -> Result<(), ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::PartSent(part.clone()), None)).map(|_| ())
    }
}

impl Fold<'_> {
    pub(crate) fn part_sent(&mut self, part: &PartSent) -> Result<u64, ShopError> {
        let order = part.order;
        let standing = self.open_order(order)?;
        let state =
            |is: String, wanted| ShopError::State { record: Record::Order, number: order.0, is, wanted };
        if standing.paid_on.is_none() {
            return Err(state("not paid".to_owned(), "paid"));
        }
        if part.pieces.is_empty() {
            return Err(ShopError::Wrong {
                record: Record::Order,
                field: "pieces",
                found: "none".to_owned(),
                right: "the pieces that are in the parcel",
            });
        }
        let mut seen = std::collections::BTreeSet::new();
        for piece in &part.pieces {
            if !self.promised_to(piece, order)? || !seen.insert(*piece) {
                return Err(state(
                    format!("without piece {} of find {} to send", piece.number, piece.find),
                    "one to which each piece is promised, named once",
                ));
            }
        }
        let planned = parcel::planned_parcels(self.conn, order)?;
        let id = match part.parcel {
            Some(id) if planned.contains(&id) => id,
            Some(id) => {
                return Err(state(format!("without a parcel {id} to send"), "one with that planned parcel"));
            }
            None => self.write_parcel(order, &unplanned())?,
        };
        self.goods_leave(order, part.date, Some(&part.pieces))?;
        self.free_supplies(id)?;
        let (date, postage_from) = (part.date, part.postage_from);
        let left = Shipped { order, date, postage_from, parcels: Vec::new() };
        self.parcel_left(id, &part.actual, &left)?;
        let rest =
            "SELECT 1 FROM piece JOIN order_line ON order_line.id = piece.reserved_for WHERE order_id = ?1";
        if !self.conn.prepare_cached(rest)?.exists([stored_id(order.0)?])? {
            self.whole_order_left(order, part.date)?;
        }
        Ok(order.0)
    }

    /// Whether a piece is promised to an order.
    fn promised_to(&self, piece: &PieceRef, order: OrderId) -> Result<bool, ShopError> {
        let sql = "SELECT 1 FROM piece JOIN order_line ON order_line.id = piece.reserved_for
                   WHERE find = ?1 AND number = ?2 AND order_id = ?3";
        let number = i64::from(piece.number);
        Ok(self.conn.prepare_cached(sql)?.exists([stored_id(piece.find.0)?, number, stored_id(order.0)?])?)
    }
}
