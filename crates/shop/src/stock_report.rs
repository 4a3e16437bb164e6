//! All that is told of the stock, worked out in one pass.

use std::collections::BTreeMap;
use std::sync::Arc;

use books::{AgeBand, FindId, Leftover, NextToList, list_next};
use jiff::civil::Date;
use measure::Money;

use crate::find::FindText;
use crate::{Candidates, Shop, ShopError, StockLine};

/// The stock on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct StockReport {
    /// What is on the shelf, by place.
    pub lines: Vec<StockLine>,
    /// Pieces on hand and what they cost, by how long they have been waiting.
    pub aged: BTreeMap<AgeBand, (u32, Money)>,
    /// Finds of which more is in listings than is there.
    pub short: Vec<Leftover>,
    /// Share of the pieces bought that sold, by the place they were bought at, 0 to 1.
    pub sold_by_place: BTreeMap<String, f64>,
    /// What could be listed.
    pub candidates: Candidates,
    /// The same in the order in which to list, the best hour first.
    pub next: Vec<NextToList>,
    /// What the finds named above are called and where they stand.
    pub texts: BTreeMap<FindId, FindText>,
}

impl StockReport {
    /// Pieces on hand.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        self.aged.values().fold(0, |sum, (pieces, _)| sum.saturating_add(*pieces))
    }

    /// What they cost.
    #[must_use]
    pub fn basis(&self) -> Money {
        self.aged.values().map(|(_, basis)| *basis).sum()
    }
}

impl Shop {
    /// What is told of the stock. It is kept until something happens, so asking again costs nothing. `today` is for
    /// the age: what is promised and listed is as of now.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn stock_report(&mut self, today: Date) -> Result<Arc<StockReport>, ShopError> {
        self.moment_of(|shop, at| {
            let answers = shop.answers();
            answers.stock.get(today, at, || shop.stock_report_now(today))
        })
    }

    fn stock_report_now(&mut self, today: Date) -> Result<StockReport, ShopError> {
        let rows = self.stock_rows(today)?;
        let listed = self.listed()?;
        let lines = self.stock_lines(&rows, &listed)?;
        let mut aged: BTreeMap<AgeBand, (u32, Money)> = BTreeMap::new();
        for line in &lines {
            let (pieces, basis) = aged.entry(line.band).or_default();
            *pieces = pieces.saturating_add(line.on_hand);
            *basis += line.basis;
        }
        let books = self.books()?;
        let short: Vec<Leftover> =
            books::leftovers_among(books, &rows, &listed)?.into_iter().filter(|row| row.short > 0).collect();
        let sold_by_place = books::sell_through_among(books, &rows)?;
        let candidates = self.candidates_among(&lines, today)?;
        let next = list_next(&candidates.finds)?;
        let mut texts: BTreeMap<FindId, FindText> = BTreeMap::new();
        for line in lines.iter().filter(|line| line.unlisted() > 0) {
            texts.insert(line.find, line.text.clone());
        }
        for row in &short {
            if let std::collections::btree_map::Entry::Vacant(gap) = texts.entry(row.find) {
                gap.insert(self.find_text(row.find)?);
            }
        }
        Ok(StockReport { lines, aged, short, sold_by_place, candidates, next, texts })
    }
}
