//! What like pieces carry, told anew before some of them go, so that those that go carry what a cost flow says.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use measure::Money;

use crate::allocate::cumulative;
use crate::piece::Fate;
use crate::{Books, BooksError, CostFlow, Entry, FindId, Memo, Pieces};

/// A piece that carries so much more, or less, from an entry on. The recosts of an entry add up to nothing: what
/// one piece is relieved of, another carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Recost {
    /// The find.
    pub find: FindId,
    /// The piece, from 1.
    pub piece: u32,
    /// How much more it carries; below 0.00 where it is less.
    pub by: Money,
}

/// A piece among like ones, in the order in which costs go: the oldest haul first.
type Place = (Date, FindId, u32);

impl Books {
    /// What like pieces are to carry so that those going carry what the flow says: the oldest costs, or an equal
    /// share of all. Sound and flawed pieces are not alike. Pieces that came, or got their cost, after the day play
    /// no part. Only pieces whose cost changes are listed.
    ///
    /// # Errors
    /// When a find or piece isn't in the books.
    pub fn recosts(
        &self,
        flow: CostFlow,
        like: &[FindId],
        going: &[(FindId, u32)],
        on: Date,
    ) -> Result<Vec<Recost>, BooksError> {
        let mut recosts = Vec::new();
        for sound in [true, false] {
            recosts.extend(self.recosts_among(flow, like, going, on, sound)?);
        }
        Ok(recosts)
    }

    fn recosts_among(
        &self,
        flow: CostFlow,
        like: &[FindId],
        going: &[(FindId, u32)],
        on: Date,
        sound: bool,
    ) -> Result<Vec<Recost>, BooksError> {
        let mut pool: BTreeMap<Place, Money> = BTreeMap::new();
        for &find in like {
            let stock = self.find(find)?;
            if !self.is_entered(stock.haul) {
                continue;
            }
            let bought = self.haul(stock.haul)?.record().date;
            for (number, state) in (1_u32..).zip(&stock.pieces) {
                let alike = (number <= stock.basis.find().sound) == sound;
                if alike && state.fate == Fate::OnHand && state.since <= on {
                    pool.insert((bought, find, number), state.cost);
                }
            }
        }
        let mut first: Vec<Place> = Vec::new();
        let mut goes: BTreeSet<Place> = BTreeSet::new();
        for &(find, number) in going {
            let place = (self.haul_of(find)?.record().date, find, number);
            if pool.contains_key(&place) && goes.insert(place) {
                first.push(place);
            }
        }
        if first.is_empty() {
            return Ok(Vec::new());
        }
        let staying = pool.keys().filter(|place| !goes.contains(place)).copied();
        let order = first.into_iter().chain(staying);
        let costs: Vec<Money> = match flow {
            CostFlow::FirstInFirstOut => pool.values().copied().collect(),
            CostFlow::Average => {
                let whole: Money = pool.values().copied().sum();
                let count = u64::try_from(pool.len()).unwrap_or(u64::MAX);
                let upto = |pieces: u64| cumulative(whole, pieces, count);
                (0..count).map(|before| upto(before + 1) - upto(before)).collect()
            }
        };
        let changed = order.zip(costs).filter_map(|(place, cost)| {
            let by = cost - pool.get(&place).copied().unwrap_or_default();
            (by != Money::ZERO).then_some(Recost { find: place.1, piece: place.2, by })
        });
        Ok(changed.collect())
    }

    /// Certain pieces of a find, with what they carry once the recosts are entered.
    ///
    /// # Errors
    /// When the find isn't in the books, or a number isn't one of its pieces or is named twice.
    pub fn pieces_recosted(
        &self,
        find: FindId,
        numbers: &[u32],
        recosts: &[Recost],
    ) -> Result<Pieces, BooksError> {
        let mut pieces = self.pieces(find, numbers)?;
        let of_these = recosts.iter().filter(|one| one.find == find && pieces.numbers.contains(&one.piece));
        let more: Money = of_these.map(|one| one.by).sum();
        pieces.basis += more;
        Ok(pieces)
    }

    /// What a piece carries now: its basis, with what a cost flow put on it or took off.
    ///
    /// # Errors
    /// When the find or the piece isn't in the books.
    pub fn carried(&self, find: FindId, piece: u32) -> Result<Money, BooksError> {
        let stock = self.find(find)?;
        let pieces = stock.basis.pieces();
        stock.state(piece).map(|state| state.cost).ok_or(BooksError::NoPiece { find, piece, pieces })
    }

    /// What an entry puts on pieces that move with it or stay; each must be on hand by its day.
    pub(crate) fn check_recosts(&self, entry: &Entry) -> Result<BTreeMap<(FindId, u32), Money>, BooksError> {
        let mut more = BTreeMap::new();
        for one in entry.recosts() {
            let stock = self.find(one.find)?;
            let (find, piece) = (one.find, one.piece);
            let Some(state) = stock.state(piece) else {
                return Err(BooksError::NoPiece { find, piece, pieces: stock.basis.pieces() });
            };
            if state.fate != Fate::OnHand {
                return Err(BooksError::PieceElsewhere { find, piece, is: state.fate, wanted: Fate::OnHand });
            }
            if entry.date() < state.since {
                let date = entry.date();
                return Err(BooksError::MovedTooEarly { find, piece, date, since: state.since });
            }
            if state.cost + one.by < Money::ZERO || more.insert((find, piece), one.by).is_some() {
                return Err(BooksError::Lacks {
                    kind: entry.kind(),
                    needs: "each piece once where costs are told anew, and none below 0.00",
                });
            }
        }
        Ok(more)
    }

    pub(crate) fn recost(&mut self, entry: &Entry) {
        for one in entry.recosts() {
            let Some(stock) = self.finds.get_mut(&one.find) else { continue };
            let at = usize::try_from(one.piece.saturating_sub(1)).unwrap_or(usize::MAX);
            if let Some(state) = stock.pieces.get_mut(at) {
                state.cost += one.by;
                state.since = entry.date();
                // Its basis has entered figures that stand for good.
                stock.has_moved = true;
            }
        }
    }
}

impl Entry {
    /// The recosts of an entry; none of one that takes another back: what stayed keeps its cost.
    #[must_use]
    pub fn recosts(&self) -> &[Recost] {
        let found = self.memos().iter().find_map(|memo| match memo {
            Memo::Recosted(recosts) => Some(recosts.as_slice()),
            Memo::SalesTax(_) | Memo::FreightIn(_) | Memo::Trip(_) | Memo::Supply(..) => None,
        });
        if self.corrects().is_some() { &[] } else { found.unwrap_or_default() }
    }
}
