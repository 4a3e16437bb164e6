//! One piece is sent instead of another.

use books::{Fate, FindId};
use rusqlite::{OptionalExtension, named_params};
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::coming_back::PieceRef;
use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::{Record, Shop, ShopError, Stamp};

/// A piece promised to an order gives its place to another that is free.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Swap {
    /// The piece that was promised.
    pub out: PieceRef,
    /// The piece sent instead; of the same find, or of another.
    pub r#in: PieceRef,
    /// Why.
    pub why: String,
}

impl Shop {
    /// Swaps a promised piece for a free one. Gives the number of the swap.
    ///
    /// # Errors
    /// When the first isn't promised to an order, or the second isn't free.
    pub fn swap_piece(&mut self, stamp: &Stamp, swap: &Swap) -> Result<u64, ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::PieceSwapped(swap.clone()), None))
    }
}

impl Fold<'_> {
    pub(crate) fn piece_swapped(&mut self, swap: &Swap) -> Result<u64, ShopError> {
        let number = self.next(Record::Swap)?;
        let (fate, line) = self.piece_state(&swap.out)?;
        let wrong = |piece: &PieceRef, is: String, wanted| ShopError::State {
            record: Record::Find,
            number: piece.find.0,
            is: format!("with piece {} {is}", piece.number),
            wanted,
        };
        let Some(line) = line else {
            return Err(wrong(&swap.out, fate, "promised to an order, to be swapped"));
        };
        match self.piece_state(&swap.r#in)? {
            (fate, None) if fate == Fate::OnHand.to_string() => {}
            (fate, None) => return Err(wrong(&swap.r#in, fate, "on hand and free")),
            (_, Some(_)) => {
                return Err(wrong(&swap.r#in, "promised to an order".to_owned(), "on hand and free"));
            }
        }
        for (piece, line) in [(&swap.out, None), (&swap.r#in, Some(line))] {
            self.run(
                "UPDATE piece SET reserved_for = :line WHERE find = :find AND number = :number",
                named_params! {
                    ":line": line, ":find": stored_id(piece.find.0)?, ":number": piece.number,
                },
            )?;
            self.touch(Record::Find, piece.find.0);
        }
        self.touch(Record::OrderLine, line.unsigned_abs());
        let fields = json!({
            "order_line": line, "why": swap.why,
            "out_find": swap.out.find.0, "out_number": swap.out.number,
            "in_find": swap.r#in.find.0, "in_number": swap.r#in.number,
        });
        if let serde_json::Value::Object(fields) = fields {
            self.put("piece_swap", number, &fields)?;
        }
        Ok(number)
    }

    /// What a piece is, and the order line it is promised to.
    pub(crate) fn piece_state(&self, piece: &PieceRef) -> Result<(String, Option<i64>), ShopError> {
        let (find, number) = (piece.find, piece.number);
        let sql = "SELECT fate, reserved_for FROM piece WHERE find = :find AND number = :number";
        let params = named_params! { ":find": stored_id(find.0)?, ":number": number };
        let found = self
            .conn
            .prepare_cached(sql)?
            .query_row(params, |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        found.ok_or_else(|| no_piece(self, find, number))
    }
}

fn no_piece(fold: &Fold<'_>, find: FindId, piece: u32) -> ShopError {
    match fold.books.basis_of(find) {
        Ok(basis) => books::BooksError::NoPiece { find, piece, pieces: basis.pieces() }.into(),
        Err(error) => error.into(),
    }
}
