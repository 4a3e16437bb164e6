//! An entry that was wrong is taken back.

use books::{EntryId, Kind};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

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
    /// ([`Shop::amend_haul`], [`Shop::reprice_order`], [`Shop::cancel_order`], [`Shop::come_back`]).
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
            Kind::HaulBought => Some("one that stands alone; amend the haul instead"),
            Kind::OrderPaid => Some("one that stands alone; price the order anew or cancel it instead"),
            Kind::GoodsSent => Some("one that stands alone; enter that the goods came back instead"),
            Kind::Returned | Kind::Damage if entry.about().order.is_some() => {
                Some("one that stands alone; what came back is on the shelf again")
            }
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
        self.touch(Record::Entry, taken.entry);
        let back = entry.reversed(self.voucher(taken.date), &taken.note)?;
        self.post(back, &taken.note)
    }
}
