//! An entry that was wrong is taken back.

use books::{Entry, EntryId, Kind};
use jiff::civil::Date;
use rusqlite::{OptionalExtension, named_params};
use serde::{Deserialize, Serialize};

use crate::coming_back::PieceRef;
use crate::event::Event;
use crate::fold::{Fold, stored_id};
use crate::{EventId, Record, Shop, ShopError, Stamp};

/// An entry taken back.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct TakenBack {
    entry: u64,
    date: Date,
    note: String,
}

impl Shop {
    /// Takes an entry back: another that reverses it is made, and the log links both. What is right is entered anew.
    /// Gives the number of the new entry.
    ///
    /// # Errors
    /// When it was taken back before, or belongs to a haul or an order that has a correction of its own
    /// ([`Shop::amend_haul`], [`Shop::reprice_order`], [`Shop::cancel_order`], [`Shop::come_back`]). A return or
    /// breakage on the way is taken back as long as its pieces are where it put them and promised to nobody: they
    /// are with the buyer again, and the return is struck out.
    pub fn take_back(
        &mut self,
        stamp: &Stamp,
        entry: EntryId,
        date: Date,
        note: &str,
    ) -> Result<u64, ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Entry, entry.0)?;
            let sql = "SELECT event FROM entry WHERE id = ?1";
            let of: i64 =
                writing.conn.prepare_cached(sql)?.query_row([stored_id(entry.0)?], |row| row.get(0))?;
            let event = Event::EntryTakenBack(TakenBack { entry: entry.0, date, note: note.to_owned() });
            writing.enter(stamp, &event, Some(EventId(of)))
        })
    }
}

impl Fold<'_> {
    pub(crate) fn taken_back(&mut self, taken: &TakenBack) -> Result<u64, ShopError> {
        let entry = self.books.entry(EntryId(taken.entry))?.clone();
        let wanted = match entry.kind() {
            Kind::HaulBought => Some("by itself; amend the haul instead"),
            Kind::OrderPaid => Some("by itself; price the order anew or cancel it instead"),
            Kind::GoodsSent => Some("by itself; enter that the goods came back instead"),
            Kind::HaulAdjusted
            | Kind::SuppliesBought
            | Kind::SuppliesUsed
            | Kind::Refund
            | Kind::Returned
            | Kind::Damage
            | Kind::Gift
            | Kind::PersonalWithdrawal
            | Kind::Fee
            | Kind::FeeReturned
            | Kind::PostageBought
            | Kind::PostageAdjusted
            | Kind::ClaimPaid
            | Kind::Payout
            | Kind::Transfer
            | Kind::Expense
            | Kind::OtherIncome
            | Kind::OwnerPutIn
            | Kind::OwnerTookOut
            | Kind::TaxRemitted
            | Kind::Mileage => None,
        };
        if let Some(wanted) = wanted {
            let is = format!("of «{}»", entry.kind());
            return Err(ShopError::State { record: Record::Entry, number: taken.entry, is, wanted });
        }
        if matches!(entry.kind(), Kind::Returned | Kind::Damage) && entry.about().order.is_some() {
            self.must_be_as_it_came_back(&entry)?;
            self.strike_coming_back(taken.entry)?;
        }
        self.touch(Record::Entry, taken.entry);
        let back = entry.reversed(self.voucher(taken.date), &taken.note)?;
        self.post(back, &taken.note)
    }

    /// The pieces of a return have not moved since, carry what they came back with, and are promised to nobody.
    fn must_be_as_it_came_back(&self, entry: &Entry) -> Result<(), ShopError> {
        let wanted = "one whose pieces are where it put them; take back, or swap, what came after it first";
        let moved_on =
            |is: String| ShopError::State { record: Record::Entry, number: entry.id().0, is, wanted };
        for step in entry.moves() {
            let later = self.books.entries().iter().filter(|other| {
                other.id() > entry.id()
                    && other.corrects().is_none()
                    && self.books.correction_of(other.id()).is_none()
            });
            let again = |number: &u32| {
                let mut later = later.clone();
                later.any(|other| {
                    let moves =
                        other.moves().iter().any(|m| m.find == step.find && m.pieces.contains(number));
                    let costs =
                        other.recosts().iter().any(|one| one.find == step.find && one.piece == *number);
                    moves || costs
                })
            };
            for number in &step.pieces {
                if again(number) {
                    return Err(moved_on(format!(
                        "of piece {number} of find {}, which moved or got another cost since",
                        step.find
                    )));
                }
                let piece = PieceRef { find: step.find, number: *number };
                if let (_, Some(_)) = self.piece_state(&piece)? {
                    return Err(moved_on(format!(
                        "of piece {number} of find {}, which is promised to an order",
                        step.find
                    )));
                }
            }
        }
        Ok(())
    }

    /// Strikes out the return that an entry was made for.
    fn strike_coming_back(&mut self, entry: u64) -> Result<(), ShopError> {
        let sql = "SELECT number FROM event_record WHERE record = :record
                   AND event = (SELECT event FROM entry WHERE id = :entry)";
        let params = named_params! { ":record": Record::ComingBack.table(), ":entry": stored_id(entry)? };
        let number: Option<i64> =
            self.conn.prepare_cached(sql)?.query_row(params, |row| row.get(0)).optional()?;
        if let Some(number) = number {
            self.touch(Record::ComingBack, number.unsigned_abs());
            self.run("DELETE FROM coming_back WHERE id = ?1", [number])?;
        }
        Ok(())
    }
}
