//! Pieces leave the shelf without being sold.

use books::{FindId, Pieces, broken_at_home, given_away, taken_for_oneself};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::coming_back::PieceRef;
use crate::event::Event;
use crate::fold::Fold;
use crate::{Record, Shop, ShopError, Stamp, stored};

/// How pieces left the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Leaving {
    /// They broke or were lost.
    Broken,
    /// They were given away.
    GivenAway,
    /// They were taken for oneself.
    ForOneself,
}

/// Pieces of a find that left the shelf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FromShelf {
    /// The find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// Their numbers, from 1.
    pub pieces: Vec<u32>,
    /// The day.
    pub date: Date,
    /// How.
    pub how: Leaving,
    /// Anything to remember.
    pub note: String,
}

impl Shop {
    /// Enters that pieces broke at home, were given away or taken for oneself. Gives the number of the entry.
    ///
    /// # Errors
    /// When a piece isn't on hand, or is promised to an order: swap it there first.
    pub fn leave_shelf(&mut self, stamp: &Stamp, left: &FromShelf) -> Result<u64, ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::FromShelf(left.clone()), None))
    }
}

impl Fold<'_> {
    pub(crate) fn left_shelf(&mut self, left: &FromShelf) -> Result<u64, ShopError> {
        let pieces: Pieces = self.books.pieces(left.find, &left.pieces)?;
        for &number in pieces.numbers() {
            if let (_, Some(_)) = self.piece_state(&PieceRef { find: left.find, number })? {
                return Err(ShopError::State {
                    record: Record::Find,
                    number: left.find.0,
                    is: format!("with piece {number} promised to an order"),
                    wanted: "one whose piece is free; swap it in its order first",
                });
            }
        }
        let going = [(left.find, pieces.numbers().to_vec())].into_iter().collect();
        let recosts = self.recosts(left.date, &going)?;
        let pieces = self.books.pieces_recosted(left.find, &left.pieces, &recosts)?;
        let (voucher, pieces) = (self.voucher(left.date), [pieces]);
        let entry = match left.how {
            Leaving::Broken => broken_at_home(voucher, &pieces)?,
            Leaving::GivenAway => given_away(voucher, &pieces)?,
            Leaving::ForOneself => taken_for_oneself(voucher, &pieces)?,
        };
        self.post(entry.recosting(recosts)?, &left.note)
    }
}
