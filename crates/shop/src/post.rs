//! An entry is taken into the books and written to the tables, with what it moves.

use books::{Entry, Fate, Kind, Memo, Quantity, Side, SupplyId};
use rusqlite::{named_params, params};
use serde_json::json;

use crate::fold::{Fold, stored_id};
use crate::ledger::KeptMemo;
use crate::{Record, ShopError};

/// For which parcel supplies are used, and instead of which.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Usage {
    pub(crate) parcel: Option<u64>,
    pub(crate) instead_of: Option<SupplyId>,
}

impl Fold<'_> {
    /// Takes an entry into the books; gives its number.
    pub(crate) fn post(&mut self, entry: Entry, remark: &str) -> Result<u64, ShopError> {
        self.post_for(entry, remark, Usage::default())
    }

    pub(crate) fn post_for(&mut self, entry: Entry, remark: &str, usage: Usage) -> Result<u64, ShopError> {
        self.books.post(entry.clone())?;
        let number = entry.id().0;
        self.touch(Record::Entry, number);
        let id = stored_id(number)?;
        for (at, line) in (1_i64..).zip(entry.lines()) {
            let side = match line.side {
                Side::Debit => "debit",
                Side::Credit => "credit",
            };
            self.run(
                "INSERT INTO entry_line (entry, number, account, side, cents, lot, find)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    id,
                    at,
                    line.account.name(),
                    side,
                    line.amount.cents(),
                    line.part.lot.map(|lot| stored_id(lot.0)).transpose()?,
                    line.part.find.map(|find| stored_id(find.0)).transpose()?,
                ],
            )?;
        }
        for (at, memo) in (1_i64..).zip(entry.memos()) {
            self.run(
                "INSERT INTO entry_memo (entry, number, memo) VALUES (?1, ?2, ?3)",
                params![id, at, json!(KeptMemo::of(memo)).to_string()],
            )?;
        }
        self.move_pieces(&entry, id)?;
        self.move_supplies(&entry, id, usage)?;
        self.run(
            "INSERT INTO entry (id, event, date, kind, order_id, haul, corrects, note, remark)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                id,
                self.event.0,
                entry.date().to_string(),
                entry.kind().name(),
                entry.about().order.map(|order| stored_id(order.0)).transpose()?,
                entry.about().haul.map(|haul| stored_id(haul.0)).transpose()?,
                entry.corrects().map(|entry| stored_id(entry.0)).transpose()?,
                entry.note(),
                remark,
            ],
        )?;
        Ok(number)
    }

    fn move_pieces(&mut self, entry: &Entry, id: i64) -> Result<(), ShopError> {
        for (at, step) in (1_i64..).zip(entry.moves()) {
            let find = stored_id(step.find.0)?;
            let lot = step.lot.map(|lot| stored_id(lot.0)).transpose()?;
            let (from, to) = (step.from.name(), step.to.name());
            self.run(
                "INSERT INTO entry_move (entry, number, find, lot, pieces, from_fate, to_fate)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![id, at, find, lot, json!(step.pieces).to_string(), from, to],
            )?;
            let (order, sold_lot) = match step.to {
                Fate::Sold => (entry.about().order, lot),
                Fate::OnHand | Fate::Broken | Fate::GivenAway | Fate::Personal => (None, None),
            };
            let order = order.map(|order| stored_id(order.0)).transpose()?;
            for &piece in &step.pieces {
                let moved = self.run(
                    "UPDATE piece SET fate = ?1, sold_with = ?2, lot = ?3, moved = 1,
                            reserved_for = CASE ?1 WHEN 'sold' THEN NULL ELSE reserved_for END
                     WHERE find = ?4 AND number = ?5 AND fate = ?6",
                    params![to, order, sold_lot, find, piece, from],
                )?;
                if moved != 1 {
                    return Err(ShopError::damaged(format!(
                        "piece {piece} of find {find} isn't {}",
                        step.from
                    )));
                }
            }
            self.touch(Record::Find, step.find.0);
        }
        Ok(())
    }

    fn move_supplies(&mut self, entry: &Entry, id: i64, usage: Usage) -> Result<(), ShopError> {
        let bought = entry.kind() == Kind::SuppliesBought;
        for memo in entry.memos() {
            let Memo::Supply(supply, quantity) = memo else { continue };
            let micros = signed(*quantity);
            // A purchase adds and a use takes off; a correction does the opposite.
            let change = if bought == entry.corrects().is_none() { micros } else { -micros };
            let number = stored_id(supply.0)?;
            let found = self.run(
                "UPDATE supply SET on_hand = on_hand + :change WHERE id = :supply",
                named_params! { ":change": change, ":supply": number },
            )?;
            if found != 1 {
                return Err(ShopError::Missing { record: Record::Supply, number: supply.0 });
            }
            self.run(
                "INSERT INTO supply_move (entry, supply, date, micros, parcel, instead_of)
                 VALUES (:entry, :supply, :date, :micros, :parcel, :instead_of)",
                named_params! {
                    ":entry": id, ":supply": number, ":date": entry.date().to_string(), ":micros": change,
                    ":parcel": usage.parcel.map(stored_id).transpose()?,
                    ":instead_of": usage.instead_of.map(|supply| stored_id(supply.0)).transpose()?,
                },
            )?;
            self.touch(Record::Supply, supply.0);
        }
        Ok(())
    }
}

/// A quantity in millionths as the file keeps it; at most 1e15, so it always fits.
pub(crate) fn signed(quantity: Quantity) -> i64 {
    i64::try_from(quantity.micros()).unwrap_or(i64::MAX)
}
