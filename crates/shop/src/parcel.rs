//! Parcels as they are planned, with the supplies set aside for them.

use books::{OrderId, Quantity, SupplyId};
use measure::{Length, Mass, Money};
use rusqlite::named_params;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::event::Event;
use crate::fold::{Fold, fields_of, stored_id};
use crate::post::signed;
use crate::{Record, Shop, ShopError, Stamp, rows, stored};

/// The outside of a parcel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OutsideSize {
    /// Its length, above 0.
    #[serde(with = "stored::micrometres")]
    pub length: Length,
    /// Its width, above 0.
    #[serde(with = "stored::micrometres")]
    pub width: Length,
    /// Its height, above 0.
    #[serde(with = "stored::micrometres")]
    pub height: Length,
}

/// So much of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlannedSupply {
    /// The supply.
    #[serde(with = "stored::supply")]
    pub supply: SupplyId,
    /// How much of it.
    #[serde(rename = "micros", with = "stored::micros")]
    pub quantity: Quantity,
    /// The supply that it replaces, if that one was out.
    #[serde(with = "stored::supply_opt")]
    pub instead_of: Option<SupplyId>,
}

/// A parcel as it is planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ParcelPlan {
    /// The form that most of it is.
    pub form: String,
    /// How that form is protected.
    pub recipe: String,
    /// The plan, in the form in which it is read elsewhere.
    pub plan: Value,
    /// Predicted gross weight.
    #[serde(with = "stored::milligrams_opt")]
    pub mass: Option<Mass>,
    /// Predicted outside size.
    pub size: Option<OutsideSize>,
    /// Predicted minutes.
    pub minutes: Option<u32>,
    /// Predicted postage.
    #[serde(with = "stored::cents_opt")]
    pub postage: Option<Money>,
    /// Supplies it needs; each once.
    pub supplies: Vec<PlannedSupply>,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Planned {
    #[serde(with = "stored::order")]
    order: OrderId,
    parcels: Vec<ParcelPlan>,
}

impl Shop {
    /// Plans the parcels of an open order and sets supplies aside for them. An earlier plan of the order gives way,
    /// and what it had set aside is free again. Gives the numbers of the parcels.
    ///
    /// # Errors
    /// When the order isn't open, or a supply is short of what isn't set aside for others.
    pub fn plan_order(
        &mut self,
        stamp: &Stamp,
        order: OrderId,
        parcels: &[ParcelPlan],
    ) -> Result<Vec<u64>, ShopError> {
        let event = Event::OrderPlanned(Planned { order, parcels: parcels.to_vec() });
        self.write(|writing| writing.enter(stamp, &event, None))?;
        planned_parcels(self.conn(), order)
    }
}

pub(crate) fn planned_parcels(conn: &rusqlite::Connection, order: OrderId) -> Result<Vec<u64>, ShopError> {
    let sql = "SELECT id FROM parcel WHERE order_id = ?1 AND sent_on IS NULL ORDER BY id";
    let mut statement = conn.prepare_cached(sql)?;
    let ids: Result<Vec<i64>, _> = statement.query_map([stored_id(order.0)?], |row| row.get(0))?.collect();
    Ok(ids?.into_iter().filter_map(|id| u64::try_from(id).ok()).collect())
}

impl Fold<'_> {
    pub(crate) fn order_planned(&mut self, planned: &Planned) -> Result<u64, ShopError> {
        self.open_order(planned.order)?;
        self.drop_plan(planned.order)?;
        for parcel in &planned.parcels {
            self.write_parcel(planned.order, parcel)?;
        }
        Ok(planned.order.0)
    }

    /// Writes a parcel and sets its supplies aside; gives its number.
    pub(crate) fn write_parcel(&mut self, order: OrderId, parcel: &ParcelPlan) -> Result<u64, ShopError> {
        let id = self.next(Record::Parcel)?;
        let mut fields = fields_of(Record::Parcel, parcel)?;
        fields.remove("supplies");
        if let Some(Value::Object(size)) = fields.remove("size") {
            fields.extend(size);
        }
        fields.insert("order_id".to_owned(), json!(order.0));
        self.put("parcel", id, &fields)?;
        for need in &parcel.supplies {
            self.set_aside(id, need)?;
        }
        Ok(id)
    }

    fn set_aside(&mut self, parcel: u64, need: &PlannedSupply) -> Result<(), ShopError> {
        let supply = stored_id(need.supply.0)?;
        self.touch(Record::Supply, need.supply.0);
        let sql = "SELECT on_hand - reserved FROM supply WHERE id = ?1";
        let mut statement = self.conn.prepare_cached(sql)?;
        let free: Option<i64> = statement.query_map([supply], |row| row.get(0))?.next().transpose()?;
        let free = free.ok_or(ShopError::Missing { record: Record::Supply, number: need.supply.0 })?;
        if free < signed(need.quantity) {
            let left = Quantity::from_micros(u64::try_from(free).unwrap_or(0))?;
            return Err(books::BooksError::SuppliesShort {
                supply: need.supply,
                asked: need.quantity.in_units(),
                on_hand: left.in_units(),
            }
            .into());
        }
        self.run(
            "INSERT INTO supply_reservation (parcel, supply, micros, instead_of)
             VALUES (:parcel, :supply, :micros, :instead_of)",
            named_params! {
                ":parcel": stored_id(parcel)?, ":supply": supply, ":micros": signed(need.quantity),
                ":instead_of": need.instead_of.map(|supply| stored_id(supply.0)).transpose()?,
            },
        )?;
        self.run(
            "UPDATE supply SET reserved = reserved + :micros WHERE id = :supply",
            named_params! { ":micros": signed(need.quantity), ":supply": supply },
        )?;
        Ok(())
    }

    /// Sets free what a parcel's plan had set aside.
    pub(crate) fn free_supplies(&mut self, parcel: u64) -> Result<(), ShopError> {
        let sql =
            "SELECT supply, micros, instead_of FROM supply_reservation WHERE parcel = ?1 ORDER BY supply";
        let kept: Vec<PlannedSupply> = rows::read(self.conn, sql, [stored_id(parcel)?])?;
        for need in kept {
            self.touch(Record::Supply, need.supply.0);
            self.run(
                "UPDATE supply SET reserved = reserved - :micros WHERE id = :supply",
                named_params! { ":micros": signed(need.quantity), ":supply": stored_id(need.supply.0)? },
            )?;
        }
        self.run("DELETE FROM supply_reservation WHERE parcel = ?1", [stored_id(parcel)?])?;
        Ok(())
    }

    /// Takes the parcels of an order that weren't sent away, with what was set aside for them.
    pub(crate) fn drop_plan(&mut self, order: OrderId) -> Result<(), ShopError> {
        for parcel in planned_parcels(self.conn, order)? {
            self.touch(Record::Parcel, parcel);
            self.free_supplies(parcel)?;
            self.run("DELETE FROM parcel WHERE id = ?1", [stored_id(parcel)?])?;
        }
        Ok(())
    }
}
