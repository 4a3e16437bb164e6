//! The bench: orders to pack, and what to fetch for each.

use books::{FindId, LotId, OrderId};
use jiff::civil::Date;
use serde::Deserialize;

use crate::fold::stored_id;
use crate::order_list::usize_of;
use crate::{Flaw, Shop, ShopError, rows, stored};

/// An order to pack.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct BenchRow {
    /// The order.
    #[serde(with = "stored::order")]
    pub order: OrderId,
    /// The day by which it was promised.
    pub promise_by: Option<Date>,
    /// The day of the order.
    pub ordered_on: Date,
    /// Lots in it.
    pub lots: u32,
    /// Pieces in it.
    pub pieces: u32,
    /// Parcels planned.
    pub parcels: u32,
    /// Whether it is paid; before that it isn't sent.
    #[serde(deserialize_with = "stored::flag")]
    pub paid: bool,
}

/// Pieces to fetch from one place for one lot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PullRow {
    /// The place on the shelf.
    pub shelf: String,
    /// The listing they were sold from.
    pub listing: LotId,
    /// The find.
    pub find: FindId,
    /// Its form.
    pub form: String,
    /// What it is.
    pub description: String,
    /// The numbers of the pieces.
    pub pieces: Vec<u32>,
    /// Flaws noted of single ones among them, by piece, in words: "chip, on the rim".
    pub flaws: Vec<(u32, String)>,
}

impl Shop {
    /// Open orders, the oldest promise first, those without one last.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn bench(&self) -> Result<Vec<BenchRow>, ShopError> {
        self.bench_part(0, u32::MAX)
    }

    /// The first `most` of [`Shop::bench`].
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn bench_first(&self, most: u32) -> Result<Vec<BenchRow>, ShopError> {
        self.bench_part(0, most)
    }

    /// At most `most` of [`Shop::bench`] after the first `skipped`.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn bench_part(&self, skipped: u32, most: u32) -> Result<Vec<BenchRow>, ShopError> {
        let numbers: Vec<u64> = self
            .with_open_orders(|open| open.numbers().skip(usize_of(skipped)).take(usize_of(most)).collect())?;
        let sql = "SELECT id AS \"order\", promise_by, ordered_on, paid_on IS NOT NULL AS paid,
               (SELECT ifnull(sum(lots), 0) FROM order_line WHERE order_id = buyer_order.id) AS lots,
               (SELECT count(*) FROM piece JOIN order_line ON order_line.id = reserved_for
                WHERE order_id = buyer_order.id) AS pieces,
               (SELECT count(*) FROM parcel WHERE order_id = buyer_order.id AND sent_on IS NULL) AS parcels
             FROM buyer_order WHERE id = ?1";
        let mut rows = Vec::with_capacity(numbers.len());
        for number in numbers {
            rows.extend(rows::first::<BenchRow>(self.conn(), sql, [stored_id(number)?])?);
        }
        Ok(rows)
    }

    /// What to fetch for an open order, by place on the shelf.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn pull_list(&self, order: OrderId) -> Result<Vec<PullRow>, ShopError> {
        #[derive(Deserialize)]
        struct Piece {
            shelf: String,
            #[serde(with = "stored::lot")]
            listing: LotId,
            #[serde(with = "stored::find")]
            find: FindId,
            form: String,
            description: String,
            number: u32,
        }
        let pieces: Vec<Piece> = rows::read(
            self.conn(),
            "SELECT find.shelf, order_line.listing, piece.find, find.form, find.description, piece.number
             FROM piece JOIN order_line ON order_line.id = piece.reserved_for JOIN find ON find.id = piece.find
             WHERE order_line.order_id = ?1 ORDER BY find.shelf, piece.find, order_line.listing, piece.number",
            [stored_id(order.0)?],
        )?;
        let mut rows: Vec<PullRow> = Vec::new();
        for piece in pieces {
            match rows.last_mut() {
                Some(row) if (row.find, row.listing) == (piece.find, piece.listing) => {
                    row.pieces.push(piece.number);
                }
                Some(_) | None => rows.push(PullRow {
                    shelf: piece.shelf,
                    listing: piece.listing,
                    find: piece.find,
                    form: piece.form,
                    description: piece.description,
                    pieces: vec![piece.number],
                    flaws: Vec::new(),
                }),
            }
        }
        for row in &mut rows {
            for (_, flaw) in self.noted_of::<Flaw>(row.find)? {
                row.flaws.extend(
                    flaw.piece.filter(|piece| row.pieces.contains(piece)).map(|piece| (piece, flaw.words())),
                );
            }
            row.flaws.sort_by_key(|(piece, _)| *piece);
        }
        Ok(rows)
    }
}
