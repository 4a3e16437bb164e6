//! Parcels of an order as they stand: what was planned, and what they were.

use books::OrderId;
use jiff::civil::Date;
use measure::{Length, Mass, Money};
use serde::Deserialize;
use serde_json::Value;

use crate::fold::stored_id;
use crate::parcel::{OutsideSize, ParcelPlan};
use crate::shipping::ParcelActual;
use crate::{Shop, ShopError, rows, stored};

/// A parcel as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct StandingParcel {
    /// Its number.
    pub id: u64,
    /// What was planned; its supplies are those still set aside, none after it was sent.
    pub plan: ParcelPlan,
    /// What it was, and the supplies it took; none before it is sent.
    pub actual: Option<(Date, ParcelActual)>,
}

#[derive(Deserialize)]
struct Row {
    id: u64,
    form: String,
    recipe: String,
    #[serde(deserialize_with = "stored::from_text")]
    plan: Value,
    #[serde(with = "stored::milligrams_opt")]
    mass: Option<Mass>,
    #[serde(with = "stored::micrometres_opt")]
    length: Option<Length>,
    #[serde(with = "stored::micrometres_opt")]
    width: Option<Length>,
    #[serde(with = "stored::micrometres_opt")]
    height: Option<Length>,
    minutes: Option<u32>,
    #[serde(with = "stored::cents_opt")]
    postage: Option<Money>,
    #[serde(with = "stored::milligrams_opt")]
    actual_mass: Option<Mass>,
    #[serde(with = "stored::micrometres_opt")]
    actual_length: Option<Length>,
    #[serde(with = "stored::micrometres_opt")]
    actual_width: Option<Length>,
    #[serde(with = "stored::micrometres_opt")]
    actual_height: Option<Length>,
    actual_minutes: Option<u32>,
    #[serde(with = "stored::cents_opt")]
    actual_postage: Option<Money>,
    tracking: String,
    sent_on: Option<Date>,
}

impl Shop {
    /// The parcels of an order by number, planned or sent.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn parcels(&self, order: OrderId) -> Result<Vec<StandingParcel>, ShopError> {
        let sql = "SELECT * FROM parcel WHERE order_id = ?1 ORDER BY id";
        let found: Vec<Row> = rows::read(self.conn(), sql, [stored_id(order.0)?])?;
        found.into_iter().map(|row| self.standing_parcel(row)).collect()
    }

    fn standing_parcel(&self, row: Row) -> Result<StandingParcel, ShopError> {
        let id = stored_id(row.id)?;
        let actual = match row.sent_on {
            None => None,
            Some(date) => {
                // Supplies are used on the day of sending: by that day they are found without a walk through all.
                let used = "SELECT supply, -sum(micros) AS micros, max(instead_of) AS instead_of
                            FROM supply JOIN supply_move ON supply = supply.id AND date = ?2
                            WHERE parcel = ?1 GROUP BY supply HAVING sum(micros) < 0 ORDER BY supply";
                let actual = ParcelActual {
                    mass: row.actual_mass,
                    size: size(row.actual_length, row.actual_width, row.actual_height),
                    minutes: row.actual_minutes,
                    postage: row.actual_postage,
                    tracking: row.tracking,
                    supplies: rows::read(self.conn(), used, rusqlite::params![id, date.to_string()])?,
                };
                Some((date, actual))
            }
        };
        let planned =
            "SELECT supply, micros, instead_of FROM supply_reservation WHERE parcel = ?1 ORDER BY supply";
        let plan = ParcelPlan {
            form: row.form,
            recipe: row.recipe,
            plan: row.plan,
            mass: row.mass,
            size: size(row.length, row.width, row.height),
            minutes: row.minutes,
            postage: row.postage,
            supplies: rows::read(self.conn(), planned, [id])?,
        };
        Ok(StandingParcel { id: row.id, plan, actual })
    }
}

fn size(length: Option<Length>, width: Option<Length>, height: Option<Length>) -> Option<OutsideSize> {
    Some(OutsideSize { length: length?, width: width?, height: height? })
}
