//! Entries of goods that leave the shelf without being sold, or break.

use std::collections::BTreeMap;

use measure::Money;

use crate::entry::{About, Entry, EntryDraft, Line, Part, Voucher};
use crate::{BooksError, Fate, Kind, Move, OrderId, Pieces, SentPart, Side};

/// Pieces go from one fate to another with their basis.
pub(crate) fn move_parts(
    draft: EntryDraft,
    parts: &[SentPart],
    from: Fate,
    to: Fate,
) -> Result<Entry, BooksError> {
    let mut draft = draft;
    let mut by_part: BTreeMap<Part, Money> = BTreeMap::new();
    for sent in parts.iter().filter(|sent| !sent.pieces.numbers().is_empty()) {
        let find = sent.pieces.find();
        let part = Part { lot: sent.lot, find: Some(find) };
        *by_part.entry(part).or_default() += sent.pieces.basis();
        draft = draft.moving(Move { find, lot: sent.lot, pieces: sent.pieces.numbers().to_vec(), from, to });
    }
    for (part, basis) in by_part {
        for (fate, side) in [(to, Side::Debit), (from, Side::Credit)] {
            if basis > Money::ZERO {
                draft = draft.line(Line { account: fate.account(), side, amount: basis, part });
            }
        }
    }
    draft.build()
}

fn from_shelf(voucher: Voucher, kind: Kind, pieces: &[Pieces], to: Fate) -> Result<Entry, BooksError> {
    let parts: Vec<SentPart> =
        pieces.iter().map(|pieces| SentPart { lot: None, pieces: pieces.clone() }).collect();
    move_parts(EntryDraft::new(voucher, kind), &parts, Fate::OnHand, to)
}

/// Pieces broke or were lost on the shelf.
///
/// # Errors
/// When there are no pieces.
pub fn broken_at_home(voucher: Voucher, pieces: &[Pieces]) -> Result<Entry, BooksError> {
    from_shelf(voucher, Kind::Damage, pieces, Fate::Broken)
}

/// Pieces broke or were lost on the way to a buyer or back: their basis moves from cost of goods to damage.
///
/// # Errors
/// When there are no pieces.
pub fn broken_on_the_way(voucher: Voucher, order: OrderId, parts: &[SentPart]) -> Result<Entry, BooksError> {
    let draft = EntryDraft::new(voucher, Kind::Damage).about(About { order: Some(order), haul: None });
    move_parts(draft, parts, Fate::Sold, Fate::Broken)
}

/// Pieces were given away. How a gift to charity is treated is a question for the preparer.
///
/// # Errors
/// When there are no pieces.
pub fn given_away(voucher: Voucher, pieces: &[Pieces]) -> Result<Entry, BooksError> {
    from_shelf(voucher, Kind::Gift, pieces, Fate::GivenAway)
}

/// Pieces were taken for oneself: they leave the purchases of the year, and are no cost of the business.
///
/// # Errors
/// When there are no pieces.
pub fn taken_for_oneself(voucher: Voucher, pieces: &[Pieces]) -> Result<Entry, BooksError> {
    from_shelf(voucher, Kind::PersonalWithdrawal, pieces, Fate::Personal)
}
