//! Hauls as a list shows them: a part of them, the latest number first.

use books::HaulId;
use jiff::civil::Date;
use measure::Money;
use serde::Deserialize;

use crate::fold::stored_id;
use crate::{Shop, ShopError, rows, stored};

/// A haul as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct HaulLine {
    /// The haul.
    #[serde(with = "stored::haul")]
    pub haul: HaulId,
    /// The day of purchase.
    pub date: Date,
    /// What the place is called; empty where none was told.
    pub place: String,
    /// Pieces bought.
    pub pieces: u32,
    /// Paid with tax and freight.
    #[serde(with = "stored::cents")]
    pub cost: Money,
}

impl Shop {
    /// Other hauls of the same day, place and money, by number: one of them may be the same, entered twice.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn hauls_like(&self, haul: HaulId) -> Result<Vec<HaulId>, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            #[serde(with = "stored::haul")]
            haul: HaulId,
        }
        let found: Vec<Row> = rows::read(
            self.conn(),
            "SELECT other.id AS haul FROM haul, haul AS other
             WHERE haul.id = ?1 AND other.id <> haul.id AND other.date = haul.date AND other.place IS haul.place
               AND other.paid = haul.paid AND ifnull(other.tax, 0) = ifnull(haul.tax, 0)
             ORDER BY other.id",
            [stored_id(haul.0)?],
        )?;
        Ok(found.into_iter().map(|row| row.haul).collect())
    }

    /// At most `most` hauls with numbers below `before`, the latest first.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn hauls_before(&self, before: HaulId, most: u32) -> Result<Vec<HaulLine>, ShopError> {
        // No haul has a number that the file can't keep.
        let before = i64::try_from(before.0).unwrap_or(i64::MAX);
        rows::read(
            self.conn(),
            "SELECT haul.id AS haul, date, ifnull(place.name, '') AS place,
               (SELECT ifnull(sum(sound + flawed), 0) FROM find WHERE find.haul = haul.id) AS pieces,
               paid + ifnull(tax, 0) + freight AS cost
             FROM haul LEFT JOIN place ON place.id = haul.place WHERE haul.id < ?1 ORDER BY haul.id DESC LIMIT ?2",
            rusqlite::params![before, most],
        )
    }
}
