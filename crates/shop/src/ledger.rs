//! The books, read from the tables.

use books::{
    About, Account, Books, BoughtFind, Entry, EntryDraft, EntryId, Fate, FindId, FlawedCarry, Haul, HaulId,
    HaulRecord, Kind, Line, LotId, Memo, Miles, Move, OrderId, Part, PurchaseTax, Purse, Quantity, Recost,
    Side, SplitRule, SupplyId, Trip, TripUse, Voucher,
};
use jiff::civil::Date;
use measure::Money;
use rusqlite::types::FromSqlError;
use rusqlite::{Connection, Row, Rows};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::fold::stored_id;
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
    Fate::named(name).ok_or_else(|| ShopError::damaged(format!("a piece can't be «{name}»")))
}

/// Reads the books from the tables. Every entry is checked against those before it.
pub(crate) fn read(conn: &Connection) -> Result<Books, ShopError> {
    Ok(Books::replay(hauls(conn)?, entries_after(conn, EntryId(0))?)?)
}

/// All hauls by number.
fn hauls(conn: &Connection) -> Result<Vec<Haul>, ShopError> {
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
        let mut of_haul = Vec::new();
        while let Some(find) = finds.next_if(|find| find.haul <= row.id) {
            of_haul.push(BoughtFind {
                id: FindId(find.id),
                sound: find.sound,
                flawed: find.flawed,
                value: find.value,
            });
        }
        bought.push(haul(&row, of_haul)?);
    }
    Ok(bought)
}

/// The entries after a number, by number: each is whole in itself, and not yet checked against those before it.
pub(crate) fn entries_after(conn: &Connection, after: EntryId) -> Result<Vec<Entry>, ShopError> {
    let after = [stored_id(after.0)?];
    let mut entries = conn.prepare_cached(
        "SELECT id, date, kind, order_id, haul, corrects, note FROM entry WHERE id > ?1 ORDER BY id",
    )?;
    let mut lines = conn.prepare_cached(
        "SELECT entry, account, side, cents, lot, find FROM entry_line WHERE entry > ?1
         ORDER BY entry, number",
    )?;
    let mut moves = conn.prepare_cached(
        "SELECT entry, find, lot, pieces, from_fate, to_fate FROM entry_move WHERE entry > ?1
         ORDER BY entry, number",
    )?;
    let mut memos =
        conn.prepare_cached("SELECT entry, memo FROM entry_memo WHERE entry > ?1 ORDER BY entry, number")?;
    let mut lines = OfEntry { rows: lines.query(after)?, read: line, next: None };
    let mut moves = OfEntry { rows: moves.query(after)?, read: step, next: None };
    let mut memos = OfEntry { rows: memos.query(after)?, read: memo, next: None };
    let mut days = Days::default();
    let mut made = Vec::new();
    let mut found = entries.query(after)?;
    while let Some(row) = found.next()? {
        let id: i64 = row.get(0)?;
        let (date, kind) = (text(row, 1)?, text(row, 2)?);
        let date = days.day(date).ok_or_else(|| unknown(id, date))?;
        let kind = Kind::named(kind).ok_or_else(|| unknown(id, kind))?;
        let about = About { order: number(row, 3)?.map(OrderId), haul: number(row, 4)?.map(HaulId) };
        let voucher = Voucher { id: EntryId(id.unsigned_abs()), date };
        let mut draft = EntryDraft::new(voucher, kind).about(about);
        while let Some(line) = lines.of(id)? {
            draft = draft.line(line);
        }
        while let Some(step) = moves.of(id)? {
            draft = draft.moving(step);
        }
        while let Some(memo) = memos.of(id)? {
            draft = draft.memo(memo);
        }
        if let Some(corrects) = number(row, 5)? {
            draft = draft.correcting(EntryId(corrects));
        }
        made.push(draft.note(text(row, 6)?).build()?);
    }
    Ok(made)
}

/// Rows that belong to entries, by the number of the entry in their first column.
struct OfEntry<'s, T> {
    rows: Rows<'s>,
    read: fn(&Row<'_>) -> Result<T, ShopError>,
    /// What was read ahead, and the entry it belongs to.
    next: Option<(i64, T)>,
}

impl<T> OfEntry<'_, T> {
    /// The next that belongs to an entry. What belongs to entries before it, which aren't there, is passed over.
    fn of(&mut self, entry: i64) -> Result<Option<T>, ShopError> {
        if self.next.as_ref().is_none_or(|(of, _)| *of < entry) {
            self.next = None;
            while let Some(row) = self.rows.next()? {
                let of: i64 = row.get(0)?;
                if of >= entry {
                    self.next = Some((of, (self.read)(row)?));
                    break;
                }
            }
        }
        Ok(self.next.take_if(|(of, _)| *of == entry).map(|(_, found)| found))
    }
}

fn line(row: &Row<'_>) -> Result<Line, ShopError> {
    let account = text(row, 1)?;
    Ok(Line {
        account: Account::named(account).ok_or_else(|| unknown(row.get(0).unwrap_or_default(), account))?,
        side: if text(row, 2)? == "debit" { Side::Debit } else { Side::Credit },
        amount: Money::from_cents(row.get(3)?),
        part: Part { lot: number(row, 4)?.map(LotId), find: number(row, 5)?.map(FindId) },
    })
}

fn step(row: &Row<'_>) -> Result<Move, ShopError> {
    Ok(Move {
        find: FindId(number(row, 1)?.unwrap_or_default()),
        lot: number(row, 2)?.map(LotId),
        pieces: json(row, 3)?,
        from: fate(text(row, 4)?)?,
        to: fate(text(row, 5)?)?,
    })
}

fn memo(row: &Row<'_>) -> Result<Memo, ShopError> {
    json::<KeptMemo>(row, 1)?.memo()
}

/// Days read from their text. Entries come in the order in which they were made, so the same day follows itself.
#[derive(Default)]
struct Days {
    text: String,
    day: Option<Date>,
}

impl Days {
    fn day(&mut self, text: &str) -> Option<Date> {
        if self.day.is_none() || self.text != text {
            self.day = Some(text.parse().ok()?);
            text.clone_into(&mut self.text);
        }
        self.day
    }
}

fn unknown(entry: i64, what: &str) -> ShopError {
    ShopError::damaged(format!("entry {entry}: «{what}» isn't known"))
}

fn text<'r>(row: &'r Row<'_>, at: usize) -> Result<&'r str, ShopError> {
    let wrong = |error: FromSqlError| ShopError::damaged(format!("a row of an entry: {error}"));
    row.get_ref(at)?.as_str().map_err(wrong)
}

fn number(row: &Row<'_>, at: usize) -> Result<Option<u64>, ShopError> {
    Ok(row.get::<_, Option<i64>>(at)?.map(i64::unsigned_abs))
}

fn json<T: DeserializeOwned>(row: &Row<'_>, at: usize) -> Result<T, ShopError> {
    let wrong = |error| ShopError::damaged(format!("a row of an entry: {error}"));
    serde_json::from_str(text(row, at)?).map_err(wrong)
}
