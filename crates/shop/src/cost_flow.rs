//! Which pieces' costs go when goods go: each its own, the oldest of like pieces, or an equal share of them.

use std::collections::BTreeMap;

use books::{FindId, FlowSchedule, Recost};
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension};

use crate::fold::Fold;
use crate::{Record, Shop, ShopError};

/// The setting that says which cost flow holds, and from which day on.
pub const COST_FLOW: &str = "books.cost_flow";

impl Shop {
    /// Which cost flow holds, and from which day on; without a setting, each piece carries its own cost.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cost_flow(&self) -> Result<FlowSchedule, ShopError> {
        schedule(self.conn())
    }

    /// The last day on which goods moved, by the books; nothing where none did.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn goods_moved_upto(&self) -> Result<Option<Date>, ShopError> {
        moved_upto(self.conn())
    }
}

pub(crate) fn schedule(conn: &Connection) -> Result<FlowSchedule, ShopError> {
    let value: Option<String> = conn
        .prepare_cached("SELECT value FROM setting WHERE name = ?1")?
        .query_row([COST_FLOW], |row| row.get(0))
        .optional()?;
    Ok(value.as_deref().unwrap_or_default().parse()?)
}

fn moved_upto(conn: &Connection) -> Result<Option<Date>, ShopError> {
    let sql = "SELECT max(date) FROM entry WHERE EXISTS (SELECT 1 FROM entry_move WHERE entry = entry.id)";
    let day: Option<String> = conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?;
    let parse =
        |day: String| day.parse().map_err(|_| ShopError::damaged(format!("an entry of the day «{day}»")));
    day.map(parse).transpose()
}

/// What makes finds the same ware: form and description alike. A find without a description is like no other.
fn ware(form: &str, description: &str) -> Option<(String, String)> {
    let description = measure::plain(description);
    (!description.is_empty()).then(|| (measure::plain(form), description))
}

impl Fold<'_> {
    /// What like pieces are to carry so that those going on a day carry what the cost flow says.
    pub(crate) fn recosts(
        &self,
        on: Date,
        going: &BTreeMap<FindId, Vec<u32>>,
    ) -> Result<Vec<Recost>, ShopError> {
        let Some(flow) = schedule(self.conn)?.on(on) else { return Ok(Vec::new()) };
        let mut wares: BTreeMap<(String, String), Vec<FindId>> = BTreeMap::new();
        let mut alone: Vec<Vec<FindId>> = Vec::new();
        let mut statement = self.conn.prepare_cached("SELECT id, form, description FROM find ORDER BY id")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (id, form, description): (i64, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let find = FindId(id.unsigned_abs());
            match ware(&form, &description) {
                Some(ware) => wares.entry(ware).or_default().push(find),
                None => alone.push(vec![find]),
            }
        }
        let mut recosts = Vec::new();
        for like in wares.into_values().chain(alone) {
            let of_ware: Vec<(FindId, u32)> = like
                .iter()
                .filter_map(|find| going.get_key_value(find))
                .flat_map(|(&find, numbers)| numbers.iter().map(move |&number| (find, number)))
                .collect();
            recosts.extend(self.books.recosts(flow, &like, &of_ware, on)?);
        }
        Ok(recosts)
    }

    /// What was sent keeps its cost: another flow begins after the last day on which goods moved.
    pub(crate) fn flow_must_begin_later(&self, before: &FlowSchedule) -> Result<(), ShopError> {
        let after = schedule(self.conn)?;
        let Some(moved) = moved_upto(self.conn)? else { return Ok(()) };
        if after.upto(moved) == before.upto(moved) {
            return Ok(());
        }
        Err(ShopError::Wrong {
            record: Record::Setting,
            field: "cost flow",
            found: format!("\"{after}\" where goods moved until {moved} by \"{before}\""),
            right: "one that begins on a later day, best on the first of a year: what has gone keeps its cost",
        })
    }
}
