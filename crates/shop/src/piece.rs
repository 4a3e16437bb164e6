//! The pieces of a find, one by one.

use books::{FindId, OrderId};
use serde::Deserialize;

use crate::fold::stored_id;
use crate::{Record, Shop, ShopError, rows, stored};

/// A piece as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct PieceRow {
    /// Its number in its find, from 1.
    pub number: u32,
    /// Whether it is flawed.
    #[serde(deserialize_with = "stored::flag")]
    pub flawed: bool,
    /// Where it is: on hand, sold, broken, given away, kept.
    pub fate: String,
    /// The open order it is promised to.
    #[serde(with = "stored::order_opt")]
    pub promised_to: Option<OrderId>,
    /// The order it was sold with.
    #[serde(with = "stored::order_opt")]
    pub sold_in: Option<OrderId>,
}

impl Shop {
    /// The pieces of a find by number.
    ///
    /// # Errors
    /// When there is no such find.
    pub fn pieces(&self, find: FindId) -> Result<Vec<PieceRow>, ShopError> {
        let found: Vec<PieceRow> = rows::read(
            self.conn(),
            "SELECT number, flawed, fate,
               (SELECT order_id FROM order_line WHERE id = reserved_for) AS promised_to,
               (SELECT order_id FROM order_line WHERE id = sold_with) AS sold_in
             FROM piece WHERE find = ?1 ORDER BY number",
            [stored_id(find.0)?],
        )?;
        if found.is_empty() {
            return Err(ShopError::Missing { record: Record::Find, number: find.0 });
        }
        Ok(found)
    }
}
