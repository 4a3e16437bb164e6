//! What is on the shelf, where, since when and at what cost.

use std::collections::BTreeMap;

use books::{AgeBand, FindId, HaulId, Listed, LotId, StockRow, stock_on};
use jiff::civil::Date;
use measure::Money;

use crate::find::FindText;
use crate::{Shop, ShopError};

/// A find with pieces on hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockLine {
    /// The find.
    pub find: FindId,
    /// Its haul.
    pub haul: HaulId,
    /// What it is called and where it stands.
    pub text: FindText,
    /// Pieces on hand.
    pub on_hand: u32,
    /// Of these, promised to open orders.
    pub promised: u32,
    /// Pieces in lots that can still be ordered.
    pub listed: u32,
    /// Basis of those on hand.
    pub basis: Money,
    /// Days since they were bought.
    pub age_days: i64,
    /// How long they have been waiting.
    pub band: AgeBand,
}

impl StockLine {
    /// Pieces on hand that no order and no listing speaks for.
    #[must_use]
    pub fn unlisted(&self) -> u32 {
        self.on_hand.saturating_sub(self.promised).saturating_sub(self.listed)
    }
}

impl Shop {
    /// Stock on hand by place on the shelf. `today` is for the age: what is promised and listed is as of now.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn stock(&mut self, today: Date) -> Result<Vec<StockLine>, ShopError> {
        Ok(self.stock_report(today)?.lines.clone())
    }

    pub(crate) fn stock_rows(&mut self, today: Date) -> Result<Vec<StockRow>, ShopError> {
        Ok(stock_on(self.books()?, today)?)
    }

    pub(crate) fn stock_lines(
        &self,
        rows: &[StockRow],
        listed: &[Listed],
    ) -> Result<Vec<StockLine>, ShopError> {
        let mut offered: BTreeMap<FindId, u32> = BTreeMap::new();
        for offer in listed {
            let pieces = offered.entry(offer.find).or_default();
            *pieces = pieces.saturating_add(offer.pieces.saturating_mul(offer.lots));
        }
        let promised = self.promised()?;
        let mut statement =
            self.conn().prepare_cached("SELECT id, form, description, shelf FROM find ORDER BY shelf, id")?;
        let mut finds = statement.query([])?;
        let mut lines = Vec::new();
        while let Some(find) = finds.next()? {
            let id = FindId(find.get::<_, i64>(0)?.unsigned_abs());
            let known = rows.binary_search_by_key(&id, |row| row.find).ok().and_then(|at| rows.get(at));
            let Some(row) = known.filter(|row| row.on_hand > 0) else { continue };
            lines.push(StockLine {
                find: id,
                haul: row.haul,
                text: FindText { form: find.get(1)?, description: find.get(2)?, shelf: find.get(3)? },
                on_hand: row.on_hand,
                promised: promised.get(&id).copied().unwrap_or(0),
                listed: offered.get(&id).copied().unwrap_or(0),
                basis: row.basis,
                age_days: row.age_days,
                band: row.band(),
            });
        }
        Ok(lines)
    }

    /// Pieces promised to open orders, find by find.
    fn promised(&self) -> Result<BTreeMap<FindId, u32>, ShopError> {
        let sql = "SELECT find FROM piece WHERE reserved_for IS NOT NULL";
        let mut statement = self.conn().prepare_cached(sql)?;
        let mut rows = statement.query([])?;
        let mut promised: BTreeMap<FindId, u32> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let pieces = promised.entry(FindId(row.get::<_, i64>(0)?.unsigned_abs())).or_default();
            *pieces = pieces.saturating_add(1);
        }
        Ok(promised)
    }

    /// Lots that can still be ordered, find by find, as the reports of the books take them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listed(&self) -> Result<Vec<Listed>, ShopError> {
        let mut statement = self.conn().prepare_cached(
            "SELECT listing, find, pieces, lots - reserved - sold
             FROM listing JOIN listing_part ON listing_part.listing = listing.id
             WHERE ended = 0 AND reserved + sold < lots ORDER BY listing, find",
        )?;
        let rows = statement.query_map([], |row| {
            Ok(Listed {
                lot: LotId(row.get::<_, i64>(0)?.unsigned_abs()),
                find: FindId(row.get::<_, i64>(1)?.unsigned_abs()),
                pieces: row.get(2)?,
                lots: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
