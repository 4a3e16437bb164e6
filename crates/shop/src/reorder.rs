//! Supplies on hand, in units and in parcels, and when to buy again.

use books::{Quantity, SupplyId};
use jiff::civil::Date;
use jiff::{Span, ToSpan};
use rusqlite::named_params;
use serde::Deserialize;

use crate::{Shop, ShopError, rows, stored};

/// A supply as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyState {
    /// The supply.
    pub supply: SupplyId,
    /// Its name.
    pub name: String,
    /// What one unit of it is.
    pub unit: String,
    /// On hand.
    pub on_hand: Quantity,
    /// Set aside for planned parcels.
    pub reserved: Quantity,
    /// Average cost of a unit in currency, where there is one.
    pub unit_cost: Option<f64>,
    /// Parcels that what isn't set aside lasts for, at the average use of the parcels that used it; none where none
    /// did.
    pub parcels_left: Option<u32>,
    /// Units used a day, over the days looked at.
    pub used_a_day: f64,
    /// Units below which to buy again: use a day x (lead time + safety, both in days).
    pub reorder_point: f64,
}

impl SupplyState {
    /// What isn't set aside.
    #[must_use]
    pub fn free(&self) -> Quantity {
        let micros = self.on_hand.micros().saturating_sub(self.reserved.micros());
        Quantity::from_micros(micros).unwrap_or(Quantity::NONE)
    }

    /// Whether it is time to buy again: it is used, and what isn't set aside has come down to the reorder point.
    #[must_use]
    pub fn to_buy(&self) -> bool {
        self.reorder_point > 0.0 && self.free().in_units() <= self.reorder_point
    }
}

#[derive(Deserialize)]
struct Row {
    #[serde(with = "stored::supply")]
    id: SupplyId,
    name: String,
    unit: String,
    #[serde(with = "stored::micros")]
    on_hand: Quantity,
    #[serde(with = "stored::micros")]
    reserved: Quantity,
    lead_days: u32,
    safety_days: u32,
    used: i64,
    in_parcels: i64,
    parcels: i64,
}

impl Shop {
    /// Every supply by name. Use is taken from the last `days` up to and with `today`; 0 counts as 1.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn supplies(&mut self, today: Date, days: u32) -> Result<Vec<SupplyState>, ShopError> {
        self.moment_of(|shop, at| {
            let answers = shop.answers();
            let states = answers.supplies.get((today, days), at, || shop.supplies_now(today, days))?;
            Ok(Vec::clone(&states))
        })
    }

    fn supplies_now(&mut self, today: Date, days: u32) -> Result<Vec<SupplyState>, ShopError> {
        let days = days.max(1);
        // A day before the first that can be written down is the first.
        let back: Span = i64::from(days.min(MOST_DAYS) - 1).days();
        let from = today.saturating_sub(back);
        let found: Vec<Row> = rows::read(
            self.conn(),
            "SELECT id, name, unit, on_hand, reserved, lead_days, safety_days,
               -(SELECT ifnull(sum(micros), 0) FROM supply_move JOIN entry ON entry.id = supply_move.entry
                 WHERE supply = supply.id AND kind = 'supplies used'
                   AND supply_move.date BETWEEN :from AND :today) AS used,
               -(SELECT ifnull(sum(micros), 0) FROM supply_move
                 WHERE supply = supply.id AND parcel IS NOT NULL) AS in_parcels,
               (SELECT count(DISTINCT parcel) FROM supply_move WHERE supply = supply.id) AS parcels
             FROM supply ORDER BY name",
            named_params! { ":from": from.to_string(), ":today": today.to_string() },
        )?;
        let books = self.books()?;
        let state = |row: Row| {
            let used_a_day = Quantity::from_micros(u64::try_from(row.used).unwrap_or(0))
                .map_or(0.0, Quantity::in_units)
                / f64::from(days);
            let ahead = f64::from(row.lead_days) + f64::from(row.safety_days);
            let mut state = SupplyState {
                supply: row.id,
                name: row.name,
                unit: row.unit,
                on_hand: row.on_hand,
                reserved: row.reserved,
                unit_cost: books.supply(row.id).unit_cost(),
                parcels_left: None,
                used_a_day,
                reorder_point: used_a_day * ahead,
            };
            if row.in_parcels > 0 && row.parcels > 0 {
                let free = u128::from(state.free().micros());
                let (used, parcels) = (u128::from(row.in_parcels.unsigned_abs()), row.parcels.unsigned_abs());
                let left = free * u128::from(parcels) / used;
                state.parcels_left = Some(u32::try_from(left).unwrap_or(u32::MAX));
            }
            state
        };
        Ok(found.into_iter().map(state).collect())
    }
}

/// Most days that use is looked at over: a hundred years.
const MOST_DAYS: u32 = 36_525;
