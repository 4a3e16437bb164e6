//! Listings as a list shows them: a part of them, the newest first.

use books::{FindId, LotId};

use crate::fold::stored_id;
use crate::listing::state;
use crate::{ListingState, Shop, ShopError};

/// Which listings are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listings {
    /// Those with lots that can still be ordered.
    Up,
    /// Those that are over or sold out.
    Over,
    /// All of them.
    All,
}

impl Listings {
    const fn condition(self) -> &'static str {
        match self {
            Self::Up => "ended = 0 AND reserved + sold < lots",
            Self::Over => "(ended = 1 OR reserved + sold >= lots)",
            Self::All => "1",
        }
    }

    const fn counted(self) -> &'static str {
        match self {
            Self::Up => "listings up",
            Self::Over => "listings over",
            Self::All => "listings",
        }
    }
}

impl Shop {
    /// At most `most` listings, the newest first, those passed over that were shown before.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listings_part(
        &self,
        which: Listings,
        pass_over: u32,
        most: u32,
    ) -> Result<Vec<ListingState>, ShopError> {
        let sql =
            format!("SELECT id FROM listing WHERE {} ORDER BY id DESC LIMIT ?1 OFFSET ?2", which.condition());
        let mut statement = self.conn().prepare_cached(&sql)?;
        let ids: Result<Vec<i64>, _> = statement.query_map([most, pass_over], |row| row.get(0))?.collect();
        let ids = ids?.into_iter().filter_map(|id| u64::try_from(id).ok());
        ids.map(|id| state(self.conn(), LotId(id))).collect()
    }

    /// How many listings there are.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn count_listings(&self, which: Listings) -> Result<u32, ShopError> {
        let sql = format!("SELECT count(*) FROM listing WHERE {}", which.condition());
        self.counted(which.counted(), &sql)
    }

    /// The listings whose lots hold pieces of a find, by number.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listings_of(&self, find: FindId) -> Result<Vec<ListingState>, ShopError> {
        let sql = "SELECT listing FROM listing_part WHERE find = ?1 ORDER BY listing";
        let mut statement = self.conn().prepare_cached(sql)?;
        let ids: Result<Vec<i64>, _> = statement.query_map([stored_id(find.0)?], |row| row.get(0))?.collect();
        let ids = ids?.into_iter().filter_map(|id| u64::try_from(id).ok());
        ids.map(|id| state(self.conn(), LotId(id))).collect()
    }
}
