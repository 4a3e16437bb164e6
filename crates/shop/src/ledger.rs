//! The books, read from the tables.

use books::{
    About, Account, Books, BoughtFind, EntryDraft, EntryId, Fate, FindId, FlawedCarry, Haul, HaulId,
    HaulRecord, Kind, Line, LotId, Memo, Miles, Move, OrderId, Part, PurchaseTax, Purse, Quantity, Recost,
    Side, SplitRule, SupplyId, Trip, TripUse, Voucher,
};
use jiff::civil::Date;
use measure::Money;
use rusqlite::Connection;
use serde::{Deserialize, Serialize};

use crate::stored::{self, FlawedCarryWord, PurseWord, SplitRuleWord, TripUseWord};
use crate::{ShopError, rows};

/// A haul as its row keeps it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct HaulRow {
    pub(crate) id: u64,
    pub(crate) place_name: Option<String>,
    pub(crate) date: Date,
    #[serde(with = "stored::cents")]
    pub(crate) paid: Money,
    #[serde(with = "stored::cents_opt")]
    pub(crate) tax: Option<Money>,
    #[serde(with = "stored::cents")]
    pub(crate) freight: Money,
    #[serde(with = "SplitRuleWord")]
    pub(crate) split: SplitRule,
    #[serde(with = "FlawedCarryWord")]
    pub(crate) flawed_carry: FlawedCarry,
    #[serde(with = "PurseWord")]
    pub(crate) purse: Purse,
    #[serde(with = "PurseWord")]
    pub(crate) freight_purse: Purse,
}

#[derive(Debug, Clone, Deserialize)]
struct FindRow {
    id: u64,
    haul: u64,
    sound: u32,
    flawed: u32,
    #[serde(with = "stored::cents")]
    value: Money,
}

#[derive(Deserialize)]
struct EntryRow {
    id: u64,
    date: Date,
    kind: String,
    order_id: Option<u64>,
    haul: Option<u64>,
    corrects: Option<u64>,
    note: String,
}

#[derive(Deserialize)]
struct LineRow {
    entry: u64,
    account: String,
    side: String,
    #[serde(with = "stored::cents")]
    cents: Money,
    lot: Option<u64>,
    find: Option<u64>,
}

#[derive(Deserialize)]
struct MoveRow {
    entry: u64,
    find: u64,
    lot: Option<u64>,
    #[serde(deserialize_with = "stored::from_text")]
    pieces: Vec<u32>,
    from_fate: String,
    to_fate: String,
}

#[derive(Deserialize)]
struct MemoRow {
    entry: u64,
    #[serde(deserialize_with = "stored::from_text")]
    memo: KeptMemo,
}

/// A memo as its row keeps it.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum KeptMemo {
    SalesTax(i64),
    FreightIn(i64),
    Trip {
        date: Date,
        hundredths: u32,
        purpose: String,
        #[serde(with = "TripUseWord")]
        counts: TripUse,
    },
    Supply {
        supply: u64,
        micros: u64,
    },
    /// Find, piece, and how many cents more it carries.
    Recosted(Vec<(u64, u32, i64)>),
}

impl KeptMemo {
    pub(crate) fn of(memo: &Memo) -> Self {
        match memo {
            Memo::SalesTax(tax) => Self::SalesTax(tax.cents()),
            Memo::FreightIn(freight) => Self::FreightIn(freight.cents()),
            Memo::Trip(trip) => Self::Trip {
                date: trip.date,
                hundredths: trip.miles.hundredths(),
                purpose: trip.purpose.clone(),
                counts: trip.counts,
            },
            Memo::Supply(supply, quantity) => Self::Supply { supply: supply.0, micros: quantity.micros() },
            Memo::Recosted(recosts) => {
                Self::Recosted(recosts.iter().map(|one| (one.find.0, one.piece, one.by.cents())).collect())
            }
        }
    }

    fn memo(self) -> Result<Memo, ShopError> {
        Ok(match self {
            Self::SalesTax(cents) => Memo::SalesTax(Money::from_cents(cents)),
            Self::FreightIn(cents) => Memo::FreightIn(Money::from_cents(cents)),
            Self::Trip { date, hundredths, purpose, counts } => {
                Memo::Trip(Trip { date, miles: miles(hundredths)?, purpose, counts })
            }
            Self::Supply { supply, micros } => Memo::Supply(SupplyId(supply), Quantity::from_micros(micros)?),
            Self::Recosted(recosts) => {
                let recost =
                    |(find, piece, cents)| Recost { find: FindId(find), piece, by: Money::from_cents(cents) };
                Memo::Recosted(recosts.into_iter().map(recost).collect())
            }
        })
    }
}

/// Miles from hundredths of a mile.
pub(crate) fn miles(hundredths: u32) -> Result<Miles, ShopError> {
    Ok(Miles::new(f64::from(hundredths) / 100.0)?)
}

/// The haul of a row with its finds.
pub(crate) fn haul(row: &HaulRow, finds: Vec<BoughtFind>) -> Result<Haul, ShopError> {
    Ok(Haul::new(HaulRecord {
        id: HaulId(row.id),
        date: row.date,
        place: row.place_name.clone().unwrap_or_default(),
        paid: row.paid,
        tax: row.tax.map_or(PurchaseTax::Exempt, PurchaseTax::Paid),
        freight_in: row.freight,
        split: row.split,
        flawed: row.flawed_carry,
        finds,
    })?)
}

pub(crate) fn fate(name: &str) -> Result<Fate, ShopError> {
    let found = Fate::ALL.into_iter().find(|fate| fate.to_string() == name);
    found.ok_or_else(|| ShopError::damaged(format!("a piece can't be «{name}»")))
}

/// Takes from a sorted list what belongs to an entry.
fn of_entry<T>(
    list: &mut std::iter::Peekable<std::vec::IntoIter<T>>,
    id: u64,
    entry: impl Fn(&T) -> u64,
) -> Vec<T> {
    let mut taken = Vec::new();
    while let Some(one) = list.next_if(|one| entry(one) <= id) {
        taken.push(one);
    }
    taken
}

/// Reads the books from the tables. Every entry is checked against those before it.
pub(crate) fn read(conn: &Connection) -> Result<Books, ShopError> {
    let finds: Vec<FindRow> =
        rows::read(conn, "SELECT id, haul, sound, flawed, value FROM find ORDER BY haul, id", [])?;
    let hauls: Vec<HaulRow> = rows::read(
        conn,
        "SELECT haul.*, place.name AS place_name FROM haul LEFT JOIN place ON place.id = haul.place
         ORDER BY haul.id",
        [],
    )?;
    let mut finds = finds.into_iter().peekable();
    let mut bought = Vec::with_capacity(hauls.len());
    for row in hauls {
        let of_haul = of_entry(&mut finds, row.id, |find: &FindRow| find.haul);
        let told = |find: FindRow| BoughtFind {
            id: FindId(find.id),
            sound: find.sound,
            flawed: find.flawed,
            value: find.value,
        };
        bought.push(haul(&row, of_haul.into_iter().map(told).collect())?);
    }
    let entries: Vec<EntryRow> =
        rows::read(conn, "SELECT id, date, kind, order_id, haul, corrects, note FROM entry ORDER BY id", [])?;
    let lines: Vec<LineRow> = rows::read(
        conn,
        "SELECT entry, account, side, cents, lot, find FROM entry_line ORDER BY entry, number",
        [],
    )?;
    let moves: Vec<MoveRow> = rows::read(
        conn,
        "SELECT entry, find, lot, pieces, from_fate, to_fate FROM entry_move ORDER BY entry, number",
        [],
    )?;
    let memos: Vec<MemoRow> =
        rows::read(conn, "SELECT entry, memo FROM entry_memo ORDER BY entry, number", [])?;
    let (mut lines, mut moves, mut memos) =
        (lines.into_iter().peekable(), moves.into_iter().peekable(), memos.into_iter().peekable());
    let mut made = Vec::with_capacity(entries.len());
    for row in entries {
        let unknown = |what: &str| ShopError::damaged(format!("entry {}: «{what}» isn't known", row.id));
        let kind = Kind::named(&row.kind).ok_or_else(|| unknown(&row.kind))?;
        let voucher = Voucher { id: EntryId(row.id), date: row.date };
        let mut draft = EntryDraft::new(voucher, kind)
            .about(About { order: row.order_id.map(OrderId), haul: row.haul.map(HaulId) })
            .note(row.note.clone());
        for line in of_entry(&mut lines, row.id, |line: &LineRow| line.entry) {
            draft = draft.line(Line {
                account: Account::named(&line.account).ok_or_else(|| unknown(&line.account))?,
                side: if line.side == "debit" { Side::Debit } else { Side::Credit },
                amount: line.cents,
                part: Part { lot: line.lot.map(LotId), find: line.find.map(FindId) },
            });
        }
        for step in of_entry(&mut moves, row.id, |step: &MoveRow| step.entry) {
            draft = draft.moving(Move {
                find: FindId(step.find),
                lot: step.lot.map(LotId),
                pieces: step.pieces,
                from: fate(&step.from_fate)?,
                to: fate(&step.to_fate)?,
            });
        }
        for memo in of_entry(&mut memos, row.id, |memo: &MemoRow| memo.entry) {
            draft = draft.memo(memo.memo.memo()?);
        }
        if let Some(corrects) = row.corrects {
            draft = draft.correcting(EntryId(corrects));
        }
        made.push(draft.build()?);
    }
    Ok(Books::replay(bought, made)?)
}
