//! What can be wrong with a record or a question to the books.

use jiff::civil::Date;
use measure::Money;

use crate::{Account, EntryId, Fate, FindId, HaulId, Kind, OrderId, Side, SupplyId};

/// Why something can't be entered or reckoned; each message says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BooksError {
    /// A figure that can't be used.
    #[error("{place}: {field} can't be {found}; right would be {right}")]
    Wrong {
        /// The record it belongs to.
        place: String,
        /// The field.
        field: &'static str,
        /// What was found.
        found: String,
        /// What would be right.
        right: &'static str,
    },
    /// A negative weight in a split.
    #[error("weight {number} of the split is {found}; a weight is 0 or more")]
    NegativeWeight {
        /// Which weight, from 1.
        number: usize,
        /// What was found.
        found: i64,
    },
    /// Money to split, and nothing that could carry it.
    #[error("{} is to be split, but no part has a weight above 0; give at least one part a value", total.write())]
    NothingCarries {
        /// What is to be split.
        total: Money,
    },
    /// Debits and credits differ.
    #[error("{kind}: debits less credits leave {}; both sides must be equal", off.write())]
    Unbalanced {
        /// What the entry records.
        kind: Kind,
        /// Debits less credits.
        off: Money,
    },
    /// A line on the side where this kind of entry has none.
    #[error("{kind}: {account} can't stand on the {side} side; see which accounts this kind of entry moves")]
    WrongSide {
        /// What the entry records.
        kind: Kind,
        /// The account.
        account: Account,
        /// The side.
        side: Side,
    },
    /// One account on both sides of an entry.
    #[error("{kind}: {account} stands on both sides; enter the difference only")]
    BothSides {
        /// What the entry records.
        kind: Kind,
        /// The account.
        account: Account,
    },
    /// Pieces that go another way than this kind of entry takes them.
    #[error("{kind}: pieces don't go from {from} to {to} with such an entry")]
    WrongMove {
        /// What the entry records.
        kind: Kind,
        /// Where they were.
        from: Fate,
        /// Where they should go.
        to: Fate,
    },
    /// A line of nothing, of a negative amount, or of more than is reckoned with.
    #[error("{kind}: {account} can't take {}; an amount is above 0.00 and at most ten million", amount.write())]
    Amount {
        /// What the entry records.
        kind: Kind,
        /// The account.
        account: Account,
        /// What was found.
        amount: Money,
    },
    /// An entry that records nothing.
    #[error("{kind}: there is nothing in the entry; give it an amount")]
    Empty {
        /// What the entry records.
        kind: Kind,
    },
    /// An entry without what its kind is about.
    #[error("{kind}: the entry needs {needs}")]
    Lacks {
        /// What the entry records.
        kind: Kind,
        /// What it needs.
        needs: &'static str,
    },
    /// An entry with a number that isn't the next.
    #[error("entry {id} doesn't come after entry {last}; numbers grow with every entry")]
    OutOfTurn {
        /// The number of the entry.
        id: EntryId,
        /// The last number in the books.
        last: EntryId,
    },
    /// An entry that isn't in the books.
    #[error("entry {id} isn't in the books")]
    NoEntry {
        /// The number looked for.
        id: EntryId,
    },
    /// An entry corrected a second time, or the correction of a correction.
    #[error("entry {id} is a correction or has been corrected already; enter what is right as a new entry")]
    CorrectedAlready {
        /// The entry to be corrected.
        id: EntryId,
    },
    /// A correction that isn't the mirror image of what it corrects, or is dated before it.
    #[error("the correction of entry {id} must reverse each of its lines, on the same day or later")]
    NotTheReverse {
        /// The entry to be corrected.
        id: EntryId,
    },
    /// A haul that isn't known.
    #[error("haul {haul} isn't in the books; enter its purchase first")]
    NoHaul {
        /// The haul.
        haul: HaulId,
    },
    /// A haul or find given twice.
    #[error("{what} {number} is given twice; numbers are given out once")]
    Twice {
        /// "haul" or "find".
        what: &'static str,
        /// Its number.
        number: u64,
    },
    /// A haul whose pieces have begun to leave.
    #[error(
        "the basis of haul {haul} is frozen since a piece of it has left the shelf, or its cost went with a like one; \
        enter the difference as an adjustment"
    )]
    Frozen {
        /// The haul.
        haul: HaulId,
    },
    /// A find that isn't known.
    #[error("find {find} isn't in the books; enter the purchase of its haul first")]
    NoFind {
        /// The find.
        find: FindId,
    },
    /// More pieces wanted than are on hand.
    #[error("{asked} pieces of find {find} are wanted, but {on_hand} such pieces are on hand")]
    TooFewPieces {
        /// The find, the last one where several were tried.
        find: FindId,
        /// Wanted.
        asked: u32,
        /// On hand.
        on_hand: u32,
    },
    /// A piece that isn't where the entry takes it from.
    #[error("piece {piece} of find {find} is {is}, not {wanted}; name a piece that is {wanted}")]
    PieceElsewhere {
        /// The find.
        find: FindId,
        /// The piece, from 1.
        piece: u32,
        /// Where it is.
        is: Fate,
        /// Where the entry takes it from.
        wanted: Fate,
    },
    /// A piece number outside the find, or twice in one entry.
    #[error("piece {piece} of find {find} isn't one of its {pieces} pieces, or is named twice")]
    NoPiece {
        /// The find.
        find: FindId,
        /// The number, from 1.
        piece: u32,
        /// Pieces in the find.
        pieces: u32,
    },
    /// A piece moved on a day before it came to where it is.
    #[error(
        "piece {piece} of find {find} can't move on {date}; it came to where it is, or got its cost, on {since}"
    )]
    MovedTooEarly {
        /// The find.
        find: FindId,
        /// The piece, from 1.
        piece: u32,
        /// The date of the entry.
        date: Date,
        /// The date it came to where it is.
        since: Date,
    },
    /// An amount that isn't what the records behind it come to.
    #[error("{kind}: {account} is moved by {}, but the records come to {}", posted.write(), right.write())]
    Mismatch {
        /// What the entry records.
        kind: Kind,
        /// The account.
        account: Account,
        /// What the entry says; debits are positive.
        posted: Money,
        /// What the records come to.
        right: Money,
    },
    /// More given back than was paid.
    #[error("order {order}: {} can't be refunded; {} of what was paid is left", asked.write(), left.write())]
    RefundAbovePaid {
        /// The order.
        order: OrderId,
        /// To be refunded.
        asked: Money,
        /// Paid and not refunded yet.
        left: Money,
    },
    /// More of a supply used than is on hand.
    #[error("{asked} of supply {supply} can't be taken; {on_hand} are on hand (enter what was bought first)")]
    SuppliesShort {
        /// The supply.
        supply: SupplyId,
        /// Wanted, in units.
        asked: f64,
        /// On hand, in units.
        on_hand: f64,
    },
    /// Units wanted from a pool that has fewer.
    #[error("{asked} units are wanted, but the pool holds {held}")]
    PoolShort {
        /// Wanted, in units.
        asked: f64,
        /// Held, in units.
        held: f64,
    },
    /// No row of a table for a date.
    #[error("the table of {table} has no row for {date}; add the row with its source")]
    NoRow {
        /// The table.
        table: &'static str,
        /// The date or year asked for.
        date: String,
    },
    /// A data file that can't be read.
    #[error("the table of {table}: {reason}")]
    Data {
        /// The table.
        table: &'static str,
        /// What is wrong and what would be right.
        reason: String,
    },
}

/// Refuses money below 0.00 or past ten million.
pub(crate) fn amount(place: &str, field: &'static str, money: Money) -> Result<Money, BooksError> {
    if money < Money::ZERO || money > measure::LARGEST_MONEY {
        return Err(BooksError::Wrong {
            place: place.to_owned(),
            field,
            found: money.write(),
            right: "an amount from 0.00 to ten million",
        });
    }
    Ok(money)
}
