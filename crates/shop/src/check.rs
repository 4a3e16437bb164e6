//! Whether everything in the file fits together.

use std::collections::BTreeMap;
use std::fmt;

use books::{Account, Books, FindId, SupplyId};
use measure::Money;
use rusqlite::Connection;

use crate::ledger::fate;
use crate::post::signed;
use crate::{Shop, ShopError, ledger, rows};

/// Something that doesn't fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Flawed {
    /// The database's own check of its pages and constraints.
    Pages(String),
    /// A row that refers to one that isn't there.
    Reference(String),
    /// Entries that don't balance or don't fit each other.
    Books(String),
    /// Stock at cost in the books isn't what the pieces on hand carry.
    Stock {
        /// In the books.
        books: Money,
        /// Carried by the pieces on hand.
        pieces: Money,
    },
    /// A piece that is elsewhere by the books than by its row.
    Piece {
        /// Its find.
        find: FindId,
        /// Its fate in the file and the count there, and the count in the books.
        what: String,
    },
    /// A supply of which the books know another quantity.
    Supply {
        /// The supply.
        supply: SupplyId,
        /// In the file, in millionths.
        kept: i64,
        /// In the books, in millionths.
        books: i64,
    },
    /// Counts of promised or sold lots, pieces or supplies that aren't what orders and plans come to.
    Promise(String),
}

impl fmt::Display for Flawed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pages(what) => write!(f, "the pages of the file: {what}"),
            Self::Reference(what) => write!(f, "a reference leads nowhere: {what}"),
            Self::Books(what) => write!(f, "the books: {what}"),
            Self::Stock { books, pieces } => {
                write!(f, "stock at cost is {books} in the books, and the pieces on hand carry {pieces}")
            }
            Self::Piece { find, what } => write!(f, "the pieces of find {find}: {what}"),
            Self::Supply { supply, kept, books } => {
                let units = |micros: &i64| *micros as f64 / 1e6;
                write!(
                    f,
                    "supply {supply}: {} are on hand by the file, {} by the books",
                    units(kept),
                    units(books)
                )
            }
            Self::Promise(what) => write!(f, "{what}"),
        }
    }
}

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Findings {
    /// Everything that doesn't fit.
    pub found: Vec<Flawed>,
}

impl Findings {
    /// Whether nothing was found.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.found.is_empty()
    }
}

impl Shop {
    /// Checks the file: its pages, its references, the books, and that stock, supplies and promises agree with
    /// them.
    ///
    /// # Errors
    /// When the file can't be read at all.
    pub fn check(&self) -> Result<Findings, ShopError> {
        // One moment of the file: a write of another program meanwhile would look like a flaw.
        let tx = self.conn().unchecked_transaction()?;
        check(&tx)
    }
}

pub(crate) fn check(conn: &Connection) -> Result<Findings, ShopError> {
    let mut found = Vec::new();
    let words = |sql: &str| -> Result<Vec<String>, ShopError> {
        let mut statement = conn.prepare(sql)?;
        let lines = statement.query_map([], |row| row.get(0))?;
        Ok(lines.collect::<Result<_, _>>()?)
    };
    let pages = words("SELECT integrity_check FROM pragma_integrity_check")?;
    found.extend(pages.into_iter().filter(|line| line != "ok").map(Flawed::Pages));
    let references = words(
        "SELECT \"table\" || ' row ' || ifnull(rowid, '?') || ' refers to a missing ' || parent
         FROM pragma_foreign_key_check",
    )?;
    found.extend(references.into_iter().map(Flawed::Reference));
    found.extend(words(PROMISES)?.into_iter().map(Flawed::Promise));
    match ledger::read(conn) {
        Ok(books) => against_books(conn, &books, &mut found)?,
        Err(error) => found.push(Flawed::Books(error.to_string())),
    }
    Ok(Findings { found })
}

/// One line for every count that isn't what it should be.
const PROMISES: &str = "
  SELECT 'listing ' || id || ' has other reserved lots than its open orders' FROM listing
  WHERE reserved <> (SELECT ifnull(sum(order_line.lots), 0) FROM order_line
                     JOIN buyer_order ON buyer_order.id = order_id
                     WHERE listing = listing.id AND state = 'open')
  UNION ALL
  SELECT 'listing ' || id || ' has other sold lots than its sent orders' FROM listing
  WHERE sold <> (SELECT ifnull(sum(order_line.lots), 0) FROM order_line
                 JOIN buyer_order ON buyer_order.id = order_id
                 WHERE listing = listing.id AND state = 'sent')
  UNION ALL
  SELECT 'order line ' || order_line.id || ' has other pieces promised than its lots hold' FROM order_line
  JOIN buyer_order ON buyer_order.id = order_id
  WHERE (SELECT count(*) FROM piece WHERE reserved_for = order_line.id) NOT BETWEEN
    CASE WHEN state = 'open' AND NOT EXISTS (SELECT 1 FROM parcel WHERE parcel.order_id = order_line.order_id
                                             AND parcel.sent_on IS NOT NULL)
    THEN order_line.lots * (SELECT sum(pieces) FROM listing_part WHERE listing_part.listing = order_line.listing)
    ELSE 0 END
  AND CASE state
    WHEN 'open' THEN order_line.lots * (SELECT sum(pieces) FROM listing_part
                                        WHERE listing_part.listing = order_line.listing)
    ELSE 0 END
  UNION ALL
  SELECT 'supply ' || id || ' has other units set aside than the plans of open orders' FROM supply
  WHERE reserved <> (SELECT ifnull(sum(micros), 0) FROM supply_reservation WHERE supply = supply.id)
  UNION ALL
  SELECT 'parcel ' || parcel.id || ' keeps supplies though its order isn''t open' FROM parcel
  JOIN buyer_order ON buyer_order.id = order_id
  WHERE state <> 'open' AND EXISTS (SELECT 1 FROM supply_reservation WHERE parcel = parcel.id)";

fn against_books(conn: &Connection, books: &Books, found: &mut Vec<Flawed>) -> Result<(), ShopError> {
    let mut on_hand = Money::ZERO;
    let mut kept: BTreeMap<(FindId, String), u32> = BTreeMap::new();
    let mut statement = conn.prepare("SELECT find, number, fate FROM piece ORDER BY find, number")?;
    let mut pieces = statement.query([])?;
    while let Some(row) = pieces.next()? {
        let (find, number, word): (i64, u32, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let find = FindId(find.unsigned_abs());
        if word == "on hand" && books.basis_of(find).is_ok() {
            on_hand += books.carried(find, number).unwrap_or_default();
        }
        *kept.entry((find, word)).or_default() += 1;
    }
    let stock = books.net(Account::Goods, |_| true);
    if stock != on_hand {
        found.push(Flawed::Stock { books: stock, pieces: on_hand });
    }
    for haul in books.hauls() {
        for basis in haul.finds() {
            let find = basis.find().id;
            for fate in books::Fate::ALL {
                let here = kept.remove(&(find, fate.to_string())).unwrap_or(0);
                let there = books.count(find, fate)?;
                if here != there {
                    let what = format!("{here} pieces {fate}, {there} in the books");
                    found.push(Flawed::Piece { find, what });
                }
            }
        }
    }
    for ((find, word), count) in kept {
        let what = match fate(&word) {
            Ok(_) => format!("{count} pieces of a find that the books don't know"),
            Err(error) => error.to_string(),
        };
        found.push(Flawed::Piece { find, what });
    }
    for row in rows::objects(conn, "SELECT id, on_hand FROM supply ORDER BY id", [])? {
        let whole = |key: &str| row.get(key).and_then(serde_json::Value::as_i64).unwrap_or(0);
        let supply = SupplyId(whole("id").unsigned_abs());
        let (kept, there) = (whole("on_hand"), signed(books.supply(supply).on_hand()));
        if kept != there {
            found.push(Flawed::Supply { supply, kept, books: there });
        }
    }
    Ok(())
}
