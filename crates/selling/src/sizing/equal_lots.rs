//! The plain plans: as many lots of one size as there are, the rest as one lot or dropped.

use super::{Sizing, Split};
use crate::SellingError;

/// The plan that sells in lots of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct EqualLots {
    /// Pieces in a lot.
    pub size: u32,
    /// The lots, and the rest as one more lot if that pays.
    pub split: Split,
}

impl Sizing {
    /// For every size that fits, the plan of equal lots, smallest size first.
    ///
    /// The rest is sold as one lot if a lot of just that size is offered and worth listing; otherwise it
    /// is dropped.
    ///
    /// # Errors
    /// When there are more pieces than were planned for.
    pub fn equal_lots(&self, pieces: u32) -> Result<Vec<EqualLots>, SellingError> {
        self.covers(pieces)?;
        let plans = self.offered().filter(|&size| size <= pieces).map(|size| {
            let rest = pieces % size;
            let listings = self.listing(size, pieces / size).into_iter();
            let of_rest = self.listing(rest, 1).filter(|listing| listing.worth > 0.0);
            EqualLots { size, split: self.split(pieces, listings.chain(of_rest).collect()) }
        });
        Ok(plans.collect())
    }
}
