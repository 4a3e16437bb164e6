//! An order is sent: goods, postage and supplies leave, and the parcels get their actual figures.

use std::collections::BTreeMap;

use books::{FindId, LotId, OrderId, Purse, Recost, SentPart, goods_sent, postage_bought, supplies_used};
use jiff::civil::Date;
use measure::{Mass, Money};
use rusqlite::named_params;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::coming_back::PieceRef;
use crate::event::Event;
use crate::fold::{Fold, fields_of, stored_id};
use crate::parcel::{self, OutsideSize, ParcelPlan, PlannedSupply};
use crate::post::Usage;
use crate::stored::{self, PurseWord};
use crate::{Record, Shop, ShopError, Stamp, order};

/// A parcel as it left.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ParcelActual {
    /// Gross weight.
    #[serde(with = "stored::milligrams_opt")]
    pub mass: Option<Mass>,
    /// Outside size.
    pub size: Option<OutsideSize>,
    /// Minutes it took.
    pub minutes: Option<u32>,
    /// Postage bought for it; none where the buyer or venue bought it.
    #[serde(with = "stored::cents_opt")]
    pub postage: Option<Money>,
    /// Its number with the carrier.
    pub tracking: String,
    /// Supplies used; each once.
    pub supplies: Vec<PlannedSupply>,
}

/// An order as it left: all of it, or what was left of it after parcels sent before ([`PartSent`]), on one day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Shipped {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day.
    pub date: Date,
    /// What paid the postage.
    #[serde(with = "PurseWord")]
    pub postage_from: Purse,
    /// Its parcels, in the order in which they were planned; more or fewer may have been needed.
    pub parcels: Vec<ParcelActual>,
}

impl Shop {
    /// Enters that an order was handed over. Planned parcels that weren't needed give back their supplies.
    ///
    /// # Errors
    /// When it isn't open or isn't paid, or supplies are short.
    pub fn ship_order(&mut self, stamp: &Stamp, shipped: &Shipped) -> Result<(), ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::OrderSent(shipped.clone()), None)).map(|_| ())
    }
}

impl Fold<'_> {
    pub(crate) fn order_sent(&mut self, shipped: &Shipped) -> Result<u64, ShopError> {
        let (order, date) = (shipped.order, shipped.date);
        let standing = self.open_order(order)?;
        if standing.paid_on.is_none() {
            let is = "not paid".to_owned();
            return Err(ShopError::State { record: Record::Order, number: order.0, is, wanted: "paid" });
        }
        self.goods_leave(order, date, None)?;
        let planned = parcel::planned_parcels(self.conn, order)?;
        for &id in &planned {
            self.free_supplies(id)?;
        }
        for (at, actual) in shipped.parcels.iter().enumerate() {
            let id = match planned.get(at) {
                Some(&id) => id,
                None => self.write_parcel(order, &unplanned())?,
            };
            self.parcel_left(id, actual, shipped)?;
        }
        self.whole_order_left(order, date)?;
        Ok(order.0)
    }

    /// The pieces that are promised to an order go, or those of them that are named.
    pub(crate) fn goods_leave(
        &mut self,
        order: OrderId,
        date: Date,
        only: Option<&[PieceRef]>,
    ) -> Result<(), ShopError> {
        let (parts, recosts) = self.promised_parts(order, date, only)?;
        let sent = goods_sent(self.voucher(date), order, &parts)?.recosting(recosts)?;
        self.post(sent, "").map(|_| ())
    }

    /// Nothing of an order is left to send.
    pub(crate) fn whole_order_left(&mut self, order: OrderId, date: Date) -> Result<(), ShopError> {
        for line in order::lines(self.conn, order)? {
            self.touch(Record::Listing, line.line.listing.0);
            self.run(
                "UPDATE listing SET reserved = reserved - :lots, sold = sold + :lots WHERE id = :listing",
                named_params! { ":lots": line.line.lots, ":listing": stored_id(line.line.listing.0)? },
            )?;
        }
        self.drop_plan(order)?;
        self.run(
            "UPDATE buyer_order SET state = 'sent', sent_on = :date WHERE id = :order",
            named_params! { ":date": date.to_string(), ":order": stored_id(order.0)? },
        )?;
        Ok(())
    }

    pub(crate) fn parcel_left(
        &mut self,
        id: u64,
        actual: &ParcelActual,
        shipped: &Shipped,
    ) -> Result<(), ShopError> {
        self.touch(Record::Parcel, id);
        let fields = Value::Object(fields_of(Record::Parcel, actual)?).to_string();
        self.run(
            "UPDATE parcel SET actual_mass = :a ->> 'mass', actual_length = :a ->> '$.size.length',
               actual_width = :a ->> '$.size.width', actual_height = :a ->> '$.size.height',
               actual_minutes = :a ->> 'minutes', actual_postage = :a ->> 'postage',
               tracking = :a ->> 'tracking', sent_on = :date WHERE id = :id",
            named_params! { ":a": fields, ":date": shipped.date.to_string(), ":id": stored_id(id)? },
        )?;
        if let Some(postage) = actual.postage.filter(|&postage| postage != Money::ZERO) {
            let voucher = self.voucher(shipped.date);
            let entry = postage_bought(voucher, shipped.order, postage, shipped.postage_from)?;
            self.post(entry, "")?;
        }
        for used in &actual.supplies {
            let cost = self.books.supply_cost(used.supply, used.quantity)?;
            let voucher = self.voucher(shipped.date);
            let entry = supplies_used(voucher, used.supply, used.quantity, cost, Some(shipped.order))?;
            self.post_for(entry, "", Usage { parcel: Some(id), instead_of: used.instead_of })?;
        }
        Ok(())
    }

    /// The pieces that are promised to an order, by lot and find, with what they carry if they go on a day.
    fn promised_parts(
        &self,
        order: OrderId,
        on: Date,
        only: Option<&[PieceRef]>,
    ) -> Result<(Vec<SentPart>, Vec<Recost>), ShopError> {
        let sql = "SELECT order_line.listing, piece.find, piece.number FROM piece
                   JOIN order_line ON order_line.id = piece.reserved_for
                   WHERE order_line.order_id = ?1 ORDER BY 1, 2, 3";
        let mut statement = self.conn.prepare_cached(sql)?;
        let mut numbers: BTreeMap<(LotId, FindId), Vec<u32>> = BTreeMap::new();
        let mut found = statement.query([stored_id(order.0)?])?;
        while let Some(row) = found.next()? {
            let (lot, find): (i64, i64) = (row.get(0)?, row.get(1)?);
            let part = (LotId(lot.unsigned_abs()), FindId(find.unsigned_abs()));
            let number: u32 = row.get(2)?;
            if only.is_none_or(|only| only.contains(&PieceRef { find: part.1, number })) {
                numbers.entry(part).or_default().push(number);
            }
        }
        let mut going: BTreeMap<FindId, Vec<u32>> = BTreeMap::new();
        for ((_, find), numbers) in &numbers {
            going.entry(*find).or_default().extend(numbers);
        }
        let recosts = self.recosts(on, &going)?;
        let part = |((lot, find), numbers): ((LotId, FindId), Vec<u32>)| {
            Ok(SentPart { lot: Some(lot), pieces: self.books.pieces_recosted(find, &numbers, &recosts)? })
        };
        let parts: Result<_, ShopError> = numbers.into_iter().map(part).collect();
        Ok((parts?, recosts))
    }
}

/// A parcel that was needed beside those planned.
pub(crate) fn unplanned() -> ParcelPlan {
    ParcelPlan {
        form: String::new(),
        recipe: String::new(),
        plan: serde_json::json!({}),
        mass: None,
        size: None,
        minutes: None,
        postage: None,
        supplies: Vec::new(),
    }
}
