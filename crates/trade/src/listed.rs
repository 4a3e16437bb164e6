//! A listing: so many lots of so many pieces of a find, at a price.

use measure::Money;

use crate::Find;

/// One listing of a find's pieces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listing {
    /// Index of the find.
    pub find: usize,
    /// Pieces of each row of the find in one lot.
    pub per_lot: Vec<u32>,
    /// Lots there are: at least one.
    pub lots: u32,
    /// Price of one lot, when there is one.
    pub price: Option<Money>,
}

impl Listing {
    /// The listing that the sheet states: as many whole lots as the usable pieces make.
    #[must_use]
    pub fn as_stated(find: usize, group: &Find) -> Self {
        Self {
            find,
            per_lot: group.rows.iter().map(|row| row.per_lot).collect(),
            lots: group.lots(),
            price: group.price,
        }
    }

    /// Pieces in one lot.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        self.per_lot.iter().sum()
    }
}
