//! What is on the shelf, where, since when and at what cost.

use std::collections::BTreeMap;

use books::{AgeBand, FindId, HaulId, Listed, LotId, StockRow, stock_on};
use jiff::civil::Date;
use measure::Money;
use serde::Deserialize;

use crate::find::FindText;
use crate::{Shop, ShopError, rows, stored};

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

#[derive(Deserialize)]
struct Shelved {
    #[serde(with = "stored::find")]
    id: FindId,
    #[serde(flatten)]
    text: FindText,
    promised: u32,
}

impl Shop {
    /// Stock on hand by place on the shelf. `today` is for the age: what is promised and listed is as of now.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn stock(&mut self, today: Date) -> Result<Vec<StockLine>, ShopError> {
        let of_day: BTreeMap<FindId, StockRow> =
            stock_on(self.books()?, today)?.into_iter().map(|row| (row.find, row)).collect();
        let mut listed: BTreeMap<FindId, u32> = BTreeMap::new();
        for offer in self.listed()? {
            let pieces = listed.entry(offer.find).or_default();
            *pieces = pieces.saturating_add(offer.pieces.saturating_mul(offer.lots));
        }
        let shelved: Vec<Shelved> = rows::read(
            self.conn(),
            "SELECT id, form, description, shelf, ifnull(promised, 0) AS promised
             FROM find LEFT JOIN
               (SELECT find, count(*) AS promised FROM piece WHERE reserved_for IS NOT NULL GROUP BY find) AS some
               ON some.find = find.id
             ORDER BY shelf, id",
            [],
        )?;
        let line = |find: Shelved| {
            let row = of_day.get(&find.id).filter(|row| row.on_hand > 0)?;
            Some(StockLine {
                find: find.id,
                haul: row.haul,
                text: find.text,
                on_hand: row.on_hand,
                promised: find.promised,
                listed: listed.get(&find.id).copied().unwrap_or(0),
                basis: row.basis,
                age_days: row.age_days,
                band: row.band(),
            })
        };
        Ok(shelved.into_iter().filter_map(line).collect())
    }

    /// Lots that can still be ordered, find by find, as the reports of the books take them.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn listed(&self) -> Result<Vec<Listed>, ShopError> {
        #[derive(Deserialize)]
        struct Row {
            listing: u64,
            #[serde(with = "stored::find")]
            find: FindId,
            pieces: u32,
            lots: u32,
        }
        let rows: Vec<Row> = rows::read(
            self.conn(),
            "SELECT listing, find, pieces, lots - reserved - sold AS lots
             FROM listing JOIN listing_part ON listing_part.listing = listing.id
             WHERE ended = 0 AND reserved + sold < lots ORDER BY listing, find",
            [],
        )?;
        let listed = rows.into_iter().map(|row| Listed {
            lot: LotId(row.listing),
            find: row.find,
            pieces: row.pieces,
            lots: row.lots,
        });
        Ok(listed.collect())
    }
}
