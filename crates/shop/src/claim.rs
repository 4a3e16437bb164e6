//! Claims for damage and loss.

use books::OrderId;
use jiff::civil::Date;
use measure::Money;
use serde::{Deserialize, Serialize};

use crate::fold::stored_id;
use crate::{Noted, Record, Shop, ShopError, rows, stored};

/// How a claim stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClaimState {
    /// Not decided.
    Open,
    /// Paid; the money is entered by itself ([`crate::Movement::ClaimPaid`]).
    Paid,
    /// Refused.
    Refused,
}

/// A claim. Its evidence files are [`crate::Attachment`]s.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Claim {
    /// The order.
    #[serde(rename = "order_id", with = "stored::order")]
    pub order: OrderId,
    /// The day it was opened.
    pub opened_on: Date,
    /// The last day to hand in evidence.
    pub deadline: Option<Date>,
    /// What is asked for.
    #[serde(with = "stored::cents")]
    pub asked: Money,
    /// How it stands.
    pub state: ClaimState,
    /// Its number at the carrier or insurer.
    pub reference: String,
    /// Anything to remember.
    pub note: String,
}

impl Noted for Claim {
    const RECORD: Record = Record::Claim;
}

impl Shop {
    /// The claims of an order with their numbers.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn claims_of(&self, order: OrderId) -> Result<Vec<(u64, Claim)>, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            id: u64,
            #[serde(flatten)]
            claim: Claim,
        }
        let sql = "SELECT * FROM claim WHERE order_id = ?1 ORDER BY id";
        let found: Vec<Row> = rows::read(self.conn(), sql, [stored_id(order.0)?])?;
        Ok(found.into_iter().map(|row| (row.id, row.claim)).collect())
    }

    /// Open claims, the nearest deadline first, those without one last.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn open_claims(&self) -> Result<Vec<Claim>, ShopError> {
        let sql = "SELECT * FROM claim WHERE state = 'open' ORDER BY deadline IS NULL, deadline, id";
        rows::read(self.conn(), sql, [])
    }
}
