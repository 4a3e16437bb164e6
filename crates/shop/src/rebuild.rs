//! The tables again, from the events alone.

use rusqlite::Connection;
use serde_json::{Map, Value};

use crate::event::Event;
use crate::writing::Writing;
use crate::{EventId, Shop, ShopError, rows, schema};

impl Shop {
    /// Makes all tables anew in memory from the log of events, and compares them with those in the file. Gives the
    /// names of the tables that differ; none when all agree.
    ///
    /// # Errors
    /// When an event can't be read or applied.
    pub fn rebuild_agrees(&self) -> Result<Vec<String>, ShopError> {
        // One moment of the file, also while others write.
        let kept = self.conn().unchecked_transaction()?;
        let mut again = Connection::open_in_memory()?;
        again.pragma_update(None, "foreign_keys", true)?;
        schema::migrate(&mut again)?;
        let tx = again.transaction()?;
        copy_events(&kept, &tx)?;
        let mut writing = Writing::over(&tx);
        for event in rows::objects(&kept, "SELECT id, kind, body FROM event ORDER BY id", [])? {
            let text = |key: &str| event.get(key).and_then(Value::as_str).unwrap_or_default();
            let id = event.get("id").and_then(Value::as_i64).unwrap_or(0);
            writing.fold(EventId(id), &Event::read(text("kind"), text("body"))?)?;
        }
        tx.commit()?;
        let mut differ = Vec::new();
        for table in tables(&kept)? {
            if content(&kept, &table)? != content(&again, &table)? {
                differ.push(table);
            }
        }
        Ok(differ)
    }
}

fn copy_events(from: &Connection, to: &Connection) -> Result<(), ShopError> {
    let mut read =
        from.prepare("SELECT id, at, kind, body, corrects, source, external FROM event ORDER BY id")?;
    let mut write = to.prepare(
        "INSERT INTO event (id, at, kind, body, corrects, source, external) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?;
    let mut found = read.query([])?;
    while let Some(row) = found.next()? {
        let cells: Result<Vec<rusqlite::types::Value>, _> = (0..7).map(|at| row.get(at)).collect();
        write.execute(rusqlite::params_from_iter(cells?))?;
    }
    Ok(())
}

/// The tables of the file by name.
pub(crate) fn tables(conn: &Connection) -> Result<Vec<String>, ShopError> {
    let sql =
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name";
    let mut statement = conn.prepare(sql)?;
    let names = statement.query_map([], |row| row.get(0))?;
    Ok(names.collect::<Result<_, _>>()?)
}

/// All rows of a table, in an order that depends on nothing but them.
fn content(conn: &Connection, table: &str) -> Result<Vec<Map<String, Value>>, ShopError> {
    let columns = conn.prepare(&format!("SELECT * FROM {table}"))?.column_count();
    let order = (1..=columns).map(|at| at.to_string()).collect::<Vec<_>>().join(", ");
    rows::objects(conn, &format!("SELECT * FROM {table} ORDER BY {order}"), [])
}
