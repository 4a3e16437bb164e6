//! A piece that proves flawed, broken or missing at the bench, and the one that goes instead.

use std::collections::BTreeSet;

use books::{FindId, OrderId};
use jiff::civil::Date;
use measure::Length;
use shop::{Flaw, FromShelf, Leaving, PieceRef, Shop, Stamp, Swap};

use crate::{Stop, waits};

/// What proved to be with a piece that was to be sent.
#[derive(Debug, Clone, PartialEq)]
pub enum Proved {
    /// Nothing: it goes back to its place as it was.
    Sound,
    /// It has a flaw, and goes back to its place with it.
    Flawed {
        /// What it is: chip, hairline.
        kind: String,
        /// Where it is.
        position: String,
        /// How large it is.
        size: Option<Length>,
    },
    /// It is broken, or not there: it leaves the shelf.
    Broken,
}

/// A swap at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Swapping {
    /// The order it is promised to.
    pub order: OrderId,
    /// The piece that stays.
    pub out: PieceRef,
    /// The piece that goes instead; none for the next sound one of the same find.
    pub instead: Option<PieceRef>,
    /// What proved to be with the one that stays.
    pub proved: Proved,
    /// Why, in the person's words.
    pub why: String,
    /// The day.
    pub day: Date,
}

/// A piece on the shelf that is promised to nobody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FreePiece {
    /// The piece.
    pub piece: PieceRef,
    /// Whether it came flawed.
    pub flawed: bool,
    /// Its flaws, as far as it is known that they are its own: "chip, on the rim".
    pub flaws: Vec<String>,
}

impl FreePiece {
    /// Whether nothing is known against it.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        !self.flawed && self.flaws.is_empty()
    }
}

/// The pieces of a find that are on the shelf and promised to nobody, by number.
///
/// # Errors
/// When there is no such find, or the file can't be read.
pub fn free_pieces(shop: &Shop, find: FindId) -> Result<Vec<FreePiece>, Stop> {
    let flaws = shop.noted_of::<Flaw>(find)?;
    let of = |number: u32| {
        let own = flaws.iter().filter(move |(_, flaw)| flaw.piece == Some(number));
        own.map(|(_, flaw)| flaw.words()).collect()
    };
    let free = shop.pieces(find)?.into_iter().filter(waits);
    Ok(free
        .map(|row| FreePiece {
            piece: PieceRef { find, number: row.number },
            flawed: row.flawed,
            flaws: of(row.number),
        })
        .collect())
}

/// Swaps a piece of an order: the swap, the flaw that was found and the breakage are stored together or not at all.
/// Gives the piece that goes.
///
/// # Errors
/// When the piece isn't promised to that order, none is free instead, or the file refuses a part of it.
pub fn swap_at_bench(shop: &mut Shop, stamp: &Stamp, asked: &Swapping) -> Result<PieceRef, Stop> {
    let promised: BTreeSet<PieceRef> = promised(shop, asked.order)?.into_iter().collect();
    if !promised.contains(&asked.out) {
        return Err(Stop::Input(format!(
            "piece {} of find {} isn't promised to order {}; right would be one of those it waits for",
            asked.out.number, asked.out.find, asked.order
        )));
    }
    let instead = match asked.instead {
        Some(piece) => piece,
        None => next_sound(shop, asked.out.find)?,
    };
    let swap = Swap { out: asked.out, r#in: instead, why: asked.why.clone() };
    let (mut flaw, mut left) = (None, None);
    match &asked.proved {
        Proved::Sound => {}
        Proved::Flawed { kind, position, size } => {
            flaw = Some(Flaw {
                find: asked.out.find,
                piece: Some(asked.out.number),
                kind: kind.clone(),
                position: position.clone(),
                size: *size,
            });
        }
        Proved::Broken => {
            left = Some(FromShelf {
                find: asked.out.find,
                pieces: vec![asked.out.number],
                date: asked.day,
                how: Leaving::Broken,
                note: asked.why.clone(),
            });
        }
    }
    shop.swap_piece_for(stamp, &swap, flaw.as_ref(), left.as_ref())?;
    Ok(instead)
}

/// The pieces that an open order waits for, by find and number.
///
/// # Errors
/// When the file can't be read.
pub fn promised(shop: &Shop, order: OrderId) -> Result<Vec<PieceRef>, Stop> {
    let rows = shop.pull_list(order)?;
    let of = |row: shop::PullRow| {
        let find = row.find;
        row.pieces.into_iter().map(move |number| PieceRef { find, number })
    };
    let mut all: Vec<PieceRef> = rows.into_iter().flat_map(of).collect();
    all.sort_unstable();
    Ok(all)
}

fn next_sound(shop: &Shop, find: FindId) -> Result<PieceRef, Stop> {
    let free = free_pieces(shop, find)?;
    free.iter().find(|one| one.is_sound()).map(|one| one.piece).ok_or_else(|| {
        let right = match free.first() {
            Some(one) => {
                format!("one with a flaw, such as {find}:{}, or a piece of another find", one.piece.number)
            }
            None => String::from("a piece of another find, such as 7:2, or to price or cancel the order"),
        };
        Stop::Input(format!("of find {find} no sound piece is free; right would be {right}"))
    })
}
