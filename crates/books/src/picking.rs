//! Which pieces are taken: by number, lowest first, or from the oldest haul first.

use std::collections::BTreeMap;

use crate::piece::{Fate, Pieces, Soundness};
use crate::{Books, BooksError, FindId, LotId, OrderId};

/// Pieces that went with an order, and the lot they were.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SentPart {
    /// The lot.
    pub lot: Option<LotId>,
    /// The pieces.
    pub pieces: Pieces,
}

impl Books {
    /// How many pieces of a find have a fate now.
    ///
    /// # Errors
    /// When the find isn't in the books.
    pub fn count(&self, find: FindId, fate: Fate) -> Result<u32, BooksError> {
        let pieces = &self.find(find)?.pieces;
        Ok(u32::try_from(pieces.iter().filter(|piece| piece.fate == fate).count()).unwrap_or(u32::MAX))
    }

    /// Pieces on hand to be taken, lowest numbers first (specific identification).
    ///
    /// # Errors
    /// When the find isn't in the books, or fewer such pieces are on hand.
    pub fn pick(&self, find: FindId, count: u32, which: Soundness) -> Result<Pieces, BooksError> {
        let mut numbers = self.on_hand(find, which)?;
        let on_hand = u32::try_from(numbers.len()).unwrap_or(u32::MAX);
        if count > on_hand {
            return Err(BooksError::TooFewPieces { find, asked: count, on_hand });
        }
        numbers.truncate(usize::try_from(count).unwrap_or(usize::MAX));
        self.pieces(find, &numbers)
    }

    /// Pieces on hand from several finds of the same ware, oldest haul first (first in, first out).
    ///
    /// # Errors
    /// When a find isn't in the books, or fewer such pieces are on hand.
    pub fn pick_oldest(
        &self,
        finds: &[FindId],
        count: u32,
        which: Soundness,
    ) -> Result<Vec<Pieces>, BooksError> {
        let mut by_age = Vec::with_capacity(finds.len());
        for &find in finds {
            by_age.push((self.haul_of(find)?.record().date, find));
        }
        by_age.sort_unstable();
        by_age.dedup();
        let mut left = count;
        let mut picked = Vec::new();
        for &(_, find) in &by_age {
            let on_hand = u32::try_from(self.on_hand(find, which)?.len()).unwrap_or(u32::MAX);
            let taken = left.min(on_hand);
            if taken > 0 {
                picked.push(self.pick(find, taken, which)?);
                left -= taken;
            }
        }
        match (left, by_age.last()) {
            (0, _) => Ok(picked),
            (_, Some(&(_, find))) => {
                Err(BooksError::TooFewPieces { find, asked: count, on_hand: count - left })
            }
            (_, None) => Err(BooksError::Wrong {
                place: "pieces to take".to_owned(),
                field: "finds",
                found: "none".to_owned(),
                right: "at least one find",
            }),
        }
    }

    /// Certain pieces of a find, by number, wherever they are.
    ///
    /// # Errors
    /// When the find isn't in the books, or a number isn't one of its pieces or is named twice.
    pub fn pieces(&self, find: FindId, numbers: &[u32]) -> Result<Pieces, BooksError> {
        let stock = self.find(find)?;
        let mut numbers = numbers.to_vec();
        numbers.sort_unstable();
        let mut last = 0;
        for &piece in &numbers {
            if piece == last || stock.state(piece).is_none() {
                return Err(BooksError::NoPiece { find, piece, pieces: stock.basis.pieces() });
            }
            last = piece;
        }
        let basis = numbers.iter().filter_map(|&piece| stock.state(piece)).map(|state| state.cost).sum();
        Ok(Pieces { find, numbers, basis })
    }

    /// The pieces that a buyer has from an order now.
    ///
    /// # Errors
    /// Never for books that were made entry by entry.
    pub fn sent_in(&self, order: OrderId) -> Result<Vec<SentPart>, BooksError> {
        let mut parts: BTreeMap<(FindId, Option<LotId>), Vec<u32>> = BTreeMap::new();
        for (&find, stock) in &self.finds {
            for (number, state) in (1_u32..).zip(&stock.pieces) {
                if let (Fate::Sold, Some((with, lot))) = (state.fate, state.sale)
                    && with == order
                {
                    parts.entry((find, lot)).or_default().push(number);
                }
            }
        }
        parts
            .into_iter()
            .map(|((find, lot), numbers)| Ok(SentPart { lot, pieces: self.pieces(find, &numbers)? }))
            .collect()
    }

    fn on_hand(&self, find: FindId, which: Soundness) -> Result<Vec<u32>, BooksError> {
        let stock = self.find(find)?;
        let sound = stock.basis.find().sound;
        let wanted = |number: u32| match which {
            Soundness::Sound => number <= sound,
            Soundness::Flawed => number > sound,
            Soundness::Any => true,
        };
        let numbered = (1_u32..).zip(&stock.pieces);
        let free = numbered.filter(|&(number, state)| state.fate == Fate::OnHand && wanted(number));
        Ok(free.map(|(number, _)| number).collect())
    }
}
