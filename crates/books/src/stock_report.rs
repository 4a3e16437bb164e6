//! Stock at cost and by age, how much of what was bought has sold, and what listings leave over.

use std::collections::BTreeMap;

use jiff::civil::Date;
use measure::Money;

use crate::piece::Fate;
use crate::{Books, BooksError, FindId, HaulId, LotId};

/// Days up to which stock is fresh, to be watched, and old; beyond the last it is to be cleared (common practice
/// of dealers: keep under 90, tolerate 180, drop at 365).
pub const AGE_LIMITS: [i64; 3] = [90, 180, 365];

/// How long goods have been waiting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AgeBand {
    /// Up to 90 days.
    Fresh,
    /// Up to 180 days: relist or lower the price.
    Watched,
    /// Up to 365 days: sort into other lots or split.
    Old,
    /// Longer: clear or give away.
    Stale,
}

impl AgeBand {
    /// The band of an age in days.
    #[must_use]
    pub fn of(days: i64) -> Self {
        let [fresh, watched, old] = AGE_LIMITS;
        if days <= fresh {
            Self::Fresh
        } else if days <= watched {
            Self::Watched
        } else if days <= old {
            Self::Old
        } else {
            Self::Stale
        }
    }
}

/// A find on a day: where its pieces are, and what those on hand carry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StockRow {
    /// The find.
    pub find: FindId,
    /// Its haul.
    pub haul: HaulId,
    /// Pieces bought.
    pub bought: u32,
    /// Pieces on hand.
    pub on_hand: u32,
    /// Pieces with buyers.
    pub sold: u32,
    /// Pieces broken or lost.
    pub broken: u32,
    /// Pieces given away.
    pub given_away: u32,
    /// Pieces taken for oneself.
    pub personal: u32,
    /// Basis of those on hand.
    pub basis: Money,
    /// Days since they were bought.
    pub age_days: i64,
}

impl StockRow {
    /// The age band.
    #[must_use]
    pub fn band(&self) -> AgeBand {
        AgeBand::of(self.age_days)
    }

    const fn empty(find: FindId, haul: HaulId, bought: u32, age_days: i64) -> Self {
        Self {
            find,
            haul,
            bought,
            on_hand: 0,
            sold: 0,
            broken: 0,
            given_away: 0,
            personal: 0,
            basis: Money::ZERO,
            age_days,
        }
    }

    fn count(&mut self, fate: Fate, carries: Money) {
        match fate {
            Fate::OnHand => {
                self.on_hand += 1;
                self.basis += carries;
            }
            Fate::Sold => self.sold += 1,
            Fate::Broken => self.broken += 1,
            Fate::GivenAway => self.given_away += 1,
            Fate::Personal => self.personal += 1,
        }
    }

    /// Share of the pieces bought that sold, 0 to 1.
    #[must_use]
    pub fn sell_through(&self) -> f64 {
        if self.bought == 0 { 0.0 } else { f64::from(self.sold) / f64::from(self.bought) }
    }
}

/// Every find bought up to a day, as it was at the end of that day.
///
/// # Errors
/// Never for books that were made entry by entry.
pub fn stock_on(books: &Books, day: Date) -> Result<Vec<StockRow>, BooksError> {
    // The books know where every piece is now; what came later has to be left out entry by entry.
    if books.entries().iter().all(|entry| entry.date() <= day) {
        return Ok(stock_now(books, day));
    }
    stock_by_entries(books, day)
}

/// Where the pieces are now, which is where they were on a day after which nothing was entered.
fn stock_now(books: &Books, day: Date) -> Vec<StockRow> {
    let mut rows = Vec::with_capacity(books.finds.len());
    for (&find, stock) in &books.finds {
        if books.entered_on(stock.haul).is_none() {
            continue;
        }
        let bought = books.hauls.get(&stock.haul).map_or(day, |haul| haul.record().date);
        let age_days = i64::from((day - bought).get_days());
        let mut row = StockRow::empty(find, stock.haul, stock.basis.pieces(), age_days);
        for state in &stock.pieces {
            row.count(state.fate, state.cost);
        }
        rows.push(row);
    }
    rows
}

/// The same from the entries up to the day.
fn stock_by_entries(books: &Books, day: Date) -> Result<Vec<StockRow>, BooksError> {
    // The fates of a find's pieces from the first on, as far as one has moved.
    let mut fates: BTreeMap<FindId, Vec<Fate>> = BTreeMap::new();
    let mut more: BTreeMap<(FindId, u32), Money> = BTreeMap::new();
    for entry in books.entries().iter().filter(|entry| entry.date() <= day) {
        for step in entry.moves() {
            let of_find = fates.entry(step.find).or_default();
            for place in step.pieces.iter().filter_map(|&piece| usize::try_from(piece).ok()) {
                if of_find.len() < place {
                    of_find.resize(place, Fate::OnHand);
                }
                if let Some(fate) = place.checked_sub(1).and_then(|at| of_find.get_mut(at)) {
                    *fate = step.to;
                }
            }
        }
        for one in entry.recosts() {
            *more.entry((one.find, one.piece)).or_default() += one.by;
        }
    }
    let mut rows = Vec::new();
    let up_to_day = books.hauls().filter(|haul| books.entered_on(haul.id()).is_some_and(|date| date <= day));
    for haul in up_to_day {
        let age_days = i64::from((day - haul.record().date).get_days());
        for basis in haul.finds() {
            let find = basis.find().id;
            let mut row = StockRow::empty(find, haul.id(), basis.pieces(), age_days);
            let of_find = fates.get(&find);
            for (at, piece) in (1..=basis.pieces()).enumerate() {
                let fate = of_find.and_then(|fates| fates.get(at)).copied().unwrap_or(Fate::OnHand);
                row.count(fate, basis.piece(piece) + more.get(&(find, piece)).copied().unwrap_or_default());
            }
            rows.push(row);
        }
    }
    rows.sort_by_key(|row| row.find);
    Ok(rows)
}

/// Stock at cost on a day, by age band.
///
/// # Errors
/// As [`stock_on`].
pub fn aged_stock(books: &Books, day: Date) -> Result<BTreeMap<AgeBand, Money>, BooksError> {
    let mut bands: BTreeMap<AgeBand, Money> = BTreeMap::new();
    for row in stock_on(books, day)?.into_iter().filter(|row| row.on_hand > 0) {
        *bands.entry(row.band()).or_default() += row.basis;
    }
    Ok(bands)
}

/// Share of the pieces of a shop, of those bought up to a day, that had sold by its end.
///
/// # Errors
/// As [`stock_on`].
pub fn sell_through_by_place(books: &Books, day: Date) -> Result<BTreeMap<String, f64>, BooksError> {
    sell_through_among(books, &stock_on(books, day)?)
}

/// The same of a stock that was taken before.
///
/// # Errors
/// When a row names a haul that isn't in the books.
pub fn sell_through_among(books: &Books, rows: &[StockRow]) -> Result<BTreeMap<String, f64>, BooksError> {
    let mut counts: BTreeMap<&str, (u64, u64)> = BTreeMap::new();
    for row in rows {
        let (sold, bought) = counts.entry(books.haul(row.haul)?.record().place.as_str()).or_default();
        *sold += u64::from(row.sold);
        *bought += u64::from(row.bought);
    }
    // A find has at least one piece, so no count of pieces bought is 0.
    let share = |(place, (sold, bought)): (&str, (u64, u64))| (place.to_owned(), sold as f64 / bought as f64);
    Ok(counts.into_iter().map(share).collect())
}

/// A listing that is up: lots of so many pieces from one find.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Listed {
    /// The lot.
    pub lot: LotId,
    /// The find.
    pub find: FindId,
    /// Pieces in one lot.
    pub pieces: u32,
    /// Lots offered.
    pub lots: u32,
}

/// What is on hand of a find against what is offered of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leftover {
    /// The find.
    pub find: FindId,
    /// Pieces on hand.
    pub on_hand: u32,
    /// Pieces in all lots offered.
    pub listed: u64,
    /// Pieces on hand that no listing offers.
    pub left: u32,
    /// Pieces offered that aren't there: take lots down before somebody buys them.
    pub short: u64,
    /// Basis of the pieces on hand.
    pub basis: Money,
}

/// For every find with pieces on hand or on offer: what is left beside the listings, and what they lack.
///
/// # Errors
/// When a listing names a find that isn't in the books.
pub fn leftovers(books: &Books, listings: &[Listed], day: Date) -> Result<Vec<Leftover>, BooksError> {
    leftovers_among(books, &stock_on(books, day)?, listings)
}

/// The same of a stock that was taken before.
///
/// # Errors
/// As [`leftovers`].
pub fn leftovers_among(
    books: &Books,
    rows: &[StockRow],
    listings: &[Listed],
) -> Result<Vec<Leftover>, BooksError> {
    let mut listed: BTreeMap<FindId, u64> = BTreeMap::new();
    for listing in listings {
        books.basis_of(listing.find)?;
        let pieces = u64::from(listing.pieces) * u64::from(listing.lots);
        let sum = listed.entry(listing.find).or_default();
        *sum = sum.saturating_add(pieces);
    }
    let of_row = |row: &StockRow| {
        let listed = listed.get(&row.find).copied().unwrap_or(0);
        let on_hand = u64::from(row.on_hand);
        let left = u32::try_from(on_hand.saturating_sub(listed)).unwrap_or(u32::MAX);
        Leftover {
            find: row.find,
            on_hand: row.on_hand,
            listed,
            left,
            short: listed.saturating_sub(on_hand),
            basis: row.basis,
        }
    };
    Ok(rows.iter().map(of_row).filter(|row| row.on_hand > 0 || row.listed > 0).collect())
}
