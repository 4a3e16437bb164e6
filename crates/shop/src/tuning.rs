//! What predicted against actual teaches.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{Noted, Record, Shop, ShopError, rows, stored};

/// Something predicted, and what it was.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tuning {
    /// The form.
    pub form: String,
    /// The recipe.
    pub recipe: String,
    /// What was predicted, such as "minutes to clean".
    pub what: String,
    /// In which unit.
    pub unit: String,
    /// The prediction, in that unit.
    #[serde(with = "stored::finite")]
    pub predicted: f64,
    /// What it was, in that unit.
    #[serde(with = "stored::finite")]
    pub actual: f64,
    /// The day.
    pub date: Date,
}

impl Noted for Tuning {
    const RECORD: Record = Record::Tuning;
}

/// Parcels of one form and recipe, predicted against actual. A sum counts only parcels that have both figures.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Tuned {
    /// The form.
    pub form: String,
    /// The recipe.
    pub recipe: String,
    /// Parcels sent.
    pub parcels: u32,
    /// Parcels with both weights.
    pub weighed: u32,
    /// Sum of predicted weights in milligrams.
    pub predicted_milligrams: i64,
    /// Sum of actual weights in milligrams.
    pub actual_milligrams: i64,
    /// Parcels with both times.
    pub timed: u32,
    /// Sum of predicted minutes.
    pub predicted_minutes: i64,
    /// Sum of actual minutes.
    pub actual_minutes: i64,
    /// Parcels with both postages.
    pub posted: u32,
    /// Sum of predicted postage in cents.
    pub predicted_cents: i64,
    /// Sum of actual postage in cents.
    pub actual_cents: i64,
    /// Orders among them of which something broke on the way.
    pub broken_orders: u32,
}

impl Shop {
    /// What parcels sent so far came to against their plans, by form and recipe.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn tuned(&self) -> Result<Vec<Tuned>, ShopError> {
        match self.moment() {
            Some(at) => Ok(Vec::clone(&*self.answers().tuned.get((), at, || self.tuned_now())?)),
            None => self.tuned_now(),
        }
    }

    fn tuned_now(&self) -> Result<Vec<Tuned>, ShopError> {
        rows::read(
            self.conn(),
            "SELECT form, recipe, count(*) AS parcels,
               count(mass + actual_mass) AS weighed,
               ifnull(sum(CASE WHEN actual_mass IS NOT NULL THEN mass END), 0) AS predicted_milligrams,
               ifnull(sum(CASE WHEN mass IS NOT NULL THEN actual_mass END), 0) AS actual_milligrams,
               count(minutes + actual_minutes) AS timed,
               ifnull(sum(CASE WHEN actual_minutes IS NOT NULL THEN minutes END), 0) AS predicted_minutes,
               ifnull(sum(CASE WHEN minutes IS NOT NULL THEN actual_minutes END), 0) AS actual_minutes,
               count(postage + actual_postage) AS posted,
               ifnull(sum(CASE WHEN actual_postage IS NOT NULL THEN postage END), 0) AS predicted_cents,
               ifnull(sum(CASE WHEN postage IS NOT NULL THEN actual_postage END), 0) AS actual_cents,
               count(DISTINCT CASE WHEN EXISTS (
                 SELECT 1 FROM coming_back WHERE coming_back.order_id = parcel.order_id AND what = 'broken'
               ) THEN parcel.order_id END) AS broken_orders
             FROM parcel WHERE sent_on IS NOT NULL GROUP BY form, recipe ORDER BY form, recipe",
            [],
        )
    }
}
