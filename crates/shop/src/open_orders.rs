//! Which orders wait, in the order of the bench, read on as orders come and go.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rusqlite::{Connection, Row};

use crate::answers::touched;
use crate::fold::stored_id;
use crate::work_done::day;
use crate::{EventId, Record, ShopError};

const SQL: &str = "SELECT id, promise_by, ordered_on FROM buyer_order WHERE state = 'open'";

/// The place of an order at the bench: the oldest promise first, those without one last.
type Rank = (bool, Option<Date>, Date, u64);

/// The orders that wait after an event.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct OpenOrders {
    at: Option<EventId>,
    ranks: BTreeSet<Rank>,
    of_order: BTreeMap<u64, Rank>,
}

impl OpenOrders {
    /// Those that wait as of an event, the last that the connection sees.
    pub(crate) fn read_on(&mut self, conn: &Connection, last: EventId) -> Result<(), ShopError> {
        match self.at {
            Some(at) if at == last => {}
            Some(at) if at < last => {
                for order in touched(conn, Record::Order, at)? {
                    if let Some(rank) = self.of_order.remove(&order) {
                        self.ranks.remove(&rank);
                    }
                    let sql = format!("{SQL} AND id = ?1");
                    let mut statement = conn.prepare_cached(&sql)?;
                    let mut rows = statement.query([stored_id(order)?])?;
                    while let Some(row) = rows.next()? {
                        self.learn(one(row)?);
                    }
                }
                self.at = Some(last);
            }
            Some(_) | None => *self = Self::read(conn, last)?,
        }
        Ok(())
    }

    /// Read from all orders.
    pub(crate) fn read(conn: &Connection, last: EventId) -> Result<Self, ShopError> {
        let mut open = Self { at: Some(last), ..Self::default() };
        let mut statement = conn.prepare_cached(SQL)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            open.learn(one(row)?);
        }
        Ok(open)
    }

    /// Whether what is known is as of a later event.
    pub(crate) fn is_past(&self, last: EventId) -> bool {
        self.at.is_some_and(|at| at > last)
    }

    /// How many wait.
    pub(crate) fn count(&self) -> u32 {
        u32::try_from(self.ranks.len()).unwrap_or(u32::MAX)
    }

    /// How many were promised by a day before `today`.
    pub(crate) fn late(&self, today: Date) -> u32 {
        let late = self.ranks.iter().take_while(|rank| rank.1.is_some_and(|day| day < today)).count();
        u32::try_from(late).unwrap_or(u32::MAX)
    }

    /// Their numbers, the oldest promise first.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = u64> {
        self.ranks.iter().map(|rank| rank.3)
    }

    fn learn(&mut self, rank: Rank) {
        self.of_order.insert(rank.3, rank);
        self.ranks.insert(rank);
    }
}

fn one(row: &Row<'_>) -> Result<Rank, ShopError> {
    let number: i64 = row.get(0)?;
    let promise = row.get_ref(1)?.as_str().ok().map(day).transpose()?;
    let ordered = day(row.get_ref(2)?.as_str().unwrap_or_default())?;
    Ok((promise.is_none(), promise, ordered, number.unsigned_abs()))
}
