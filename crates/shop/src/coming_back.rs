//! Pieces that came back, or broke on the way.

use std::collections::BTreeMap;

use books::{FindId, LotId, OrderId, SentPart, broken_on_the_way, returned};
use jiff::civil::Date;
use rusqlite::{OptionalExtension, named_params};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::{Record, Shop, ShopError, Stamp, rows, stored};

/// One piece of a find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PieceRef {
    /// The find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// The piece, from 1.
    pub number: u32,
}

/// What became of pieces that had been sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CameBack {
    /// They came back and are on the shelf again, at the basis they left with.
    Returned,
    /// They broke or were lost on the way.
    Broken,
}

/// Pieces of an order that came back or broke on the way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ComingBack {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day.
    pub date: Date,
    /// What became of them.
    pub what: CameBack,
    /// The pieces.
    pub pieces: Vec<PieceRef>,
    /// Anything to remember.
    pub note: String,
}

/// A piece that a buyer has.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct SentPiece {
    /// Its find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// Its number in the find, from 1.
    pub number: u32,
    /// What it is.
    pub description: String,
}

impl Shop {
    /// The pieces of an order that its buyer has: sent, and neither come back nor broken.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn sent_pieces(&self, order: OrderId) -> Result<Vec<SentPiece>, ShopError> {
        rows::read(
            self.conn(),
            "SELECT piece.find, piece.number, find.description FROM piece JOIN find ON find.id = piece.find
             WHERE piece.sold_with = ?1 ORDER BY piece.find, piece.number",
            [stored_id(order.0)?],
        )
    }

    /// Enters that pieces came back or broke on the way. Money given back for them is entered by itself.
    ///
    /// # Errors
    /// When a piece isn't with the buyer of that order.
    pub fn come_back(&mut self, stamp: &Stamp, back: &ComingBack) -> Result<u64, ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::CameBack(back.clone()), None))
    }
}

impl Fold<'_> {
    pub(crate) fn came_back(&mut self, back: &ComingBack) -> Result<u64, ShopError> {
        let number = self.next(Record::ComingBack)?;
        self.touch(Record::Order, back.order.0);
        let mut parts: BTreeMap<(FindId, Option<LotId>), Vec<u32>> = BTreeMap::new();
        for piece in &back.pieces {
            let sql = "SELECT lot FROM piece
                       WHERE find = :find AND number = :number AND sold_with = :order";
            let params = named_params! {
                ":find": stored_id(piece.find.0)?, ":number": piece.number, ":order": stored_id(back.order.0)?,
            };
            let lot: Option<Option<i64>> =
                self.conn.prepare_cached(sql)?.query_row(params, |row| row.get(0)).optional()?;
            let lot = lot.ok_or_else(|| ShopError::State {
                record: Record::Order,
                number: back.order.0,
                is: format!("without piece {} of find {}", piece.number, piece.find),
                wanted: "one that was sent with that piece",
            })?;
            let lot = lot.map(|lot| LotId(lot.unsigned_abs()));
            parts.entry((piece.find, lot)).or_default().push(piece.number);
        }
        let parts: Result<Vec<SentPart>, books::BooksError> = parts
            .into_iter()
            .map(|((find, lot), numbers)| Ok(SentPart { lot, pieces: self.books.pieces(find, &numbers)? }))
            .collect();
        let (parts, voucher) = (parts?, self.voucher(back.date));
        let (entry, what) = match back.what {
            CameBack::Returned => (returned(voucher, back.order, &parts)?, "returned"),
            CameBack::Broken => (broken_on_the_way(voucher, back.order, &parts)?, "broken"),
        };
        self.post(entry, &back.note)?;
        let fields = json!({
            "order_id": back.order.0, "date": back.date.to_string(), "what": what,
            "pieces": back.pieces, "note": back.note,
        });
        if let Value::Object(fields) = fields {
            self.put("coming_back", number, &fields)?;
        }
        Ok(number)
    }
}
