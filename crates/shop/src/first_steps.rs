//! How far a person has come on the way from a first haul to a first order sent: questions for one record, not for
//! all.

use crate::{Claim, Record, Shop, ShopError, rows};

/// What has been done at least once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FirstSteps {
    /// A haul was brought in.
    pub haul: bool,
    /// A piece was measured.
    pub measured: bool,
    /// A comparable sale was noted.
    pub comp: bool,
    /// It was decided how a find is split.
    pub split: bool,
    /// Lots can be ordered now.
    pub listed: bool,
    /// A supply was added.
    pub supply: bool,
    /// An order waits.
    pub order: bool,
    /// A parcel was sent, and its minutes written down.
    pub sent: bool,
}

impl Shop {
    /// What has been done at least once.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn first_steps(&self) -> Result<FirstSteps, ShopError> {
        Ok(FirstSteps {
            haul: self.any("SELECT 1 FROM haul")?,
            measured: self.any("SELECT 1 FROM measurement")?,
            comp: self.any("SELECT 1 FROM comp")?,
            split: self.any("SELECT 1 FROM split")?,
            listed: self.any("SELECT 1 FROM listing WHERE ended = 0 AND reserved + sold < lots")?,
            supply: self.any("SELECT 1 FROM supply")?,
            order: self.with_open_orders(|open| open.count() > 0)?,
            sent: self
                .any("SELECT 1 FROM parcel WHERE sent_on IS NOT NULL AND actual_minutes IS NOT NULL")?,
        })
    }

    /// Claims that wait for an answer, by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn claims_open(&self) -> Result<Vec<(u64, Claim)>, ShopError> {
        let sql = format!("SELECT * FROM {} WHERE state = 'open' ORDER BY id", Record::Claim.table());
        rows::objects(self.conn(), &sql, [])?.into_iter().map(crate::noted::numbered).collect()
    }
}
