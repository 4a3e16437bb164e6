//! One find with where its pieces are.

use jiff::civil::Date;
use measure::Money;

use crate::piece::{Fate, Move};
use crate::{BooksError, Entry, FindBasis, HaulId, LotId, OrderId};

/// A find with where its pieces are.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FindStock {
    pub(crate) haul: HaulId,
    pub(crate) basis: FindBasis,
    pub(crate) pieces: Vec<PieceState>,
    pub(crate) has_moved: bool,
}

/// Where one piece is, since when, and with which order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PieceState {
    pub(crate) fate: Fate,
    pub(crate) since: Date,
    pub(crate) sale: Option<(OrderId, Option<LotId>)>,
    /// What it carries: its basis, with what a cost flow put on it or took off.
    pub(crate) cost: Money,
}

impl FindStock {
    pub(crate) fn state(&self, piece: u32) -> Option<&PieceState> {
        self.pieces.get(usize::try_from(piece.checked_sub(1)?).ok()?)
    }

    pub(crate) fn check(&self, piece: u32, step: &Move, entry: &Entry) -> Result<(), BooksError> {
        let find = step.find;
        let Some(state) = self.state(piece) else {
            return Err(BooksError::NoPiece { find, piece, pieces: self.basis.pieces() });
        };
        let other_order =
            state.fate == Fate::Sold && state.sale.map(|(order, _)| order) != entry.about().order;
        if state.fate != step.from || other_order {
            return Err(BooksError::PieceElsewhere { find, piece, is: state.fate, wanted: step.from });
        }
        if entry.date() < state.since {
            let date = entry.date();
            return Err(BooksError::MovedTooEarly { find, piece, date, since: state.since });
        }
        let kind = entry.kind();
        if step.to == Fate::Sold && entry.about().order.is_none() {
            return Err(BooksError::Lacks { kind, needs: "the order the pieces went with" });
        }
        Ok(())
    }

    pub(crate) fn apply(&mut self, step: &Move, entry: &Entry) {
        self.has_moved = true;
        let sale = match step.to {
            Fate::Sold => entry.about().order.map(|order| (order, step.lot)),
            Fate::OnHand | Fate::Broken | Fate::GivenAway | Fate::Personal => None,
        };
        for &piece in &step.pieces {
            let at = usize::try_from(piece.saturating_sub(1)).unwrap_or(usize::MAX);
            if let Some(state) = self.pieces.get_mut(at) {
                *state = PieceState { fate: step.to, since: entry.date(), sale, cost: state.cost };
            }
        }
    }
}
