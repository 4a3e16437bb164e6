//! A row is written to a table: a new one, or over the columns that are given.

use rusqlite::types::{ToSql, ToSqlOutput, Value as Bound, ValueRef};
use rusqlite::{Connection, params};
use serde_json::{Map, Value};

use crate::ShopError;
use crate::known::Known;

/// Writes a row. The names of the columns are checked against the table, as the log is read from a file.
pub(crate) fn put(
    conn: &Connection,
    known: &mut Known,
    table: &str,
    id: i64,
    fields: &Map<String, Value>,
) -> Result<(), ShopError> {
    if known.statement(table, fields.keys()).is_none() {
        let columns = columns(conn, table)?;
        if let Some(unknown) = fields.keys().find(|name| !columns.contains(name)) {
            return Err(ShopError::damaged(format!("{table} has no column {unknown}")));
        }
        known.remember(table, fields.keys().cloned().collect(), sql(table, fields));
    }
    let Some(sql) = known.statement(table, fields.keys()) else {
        return Err(ShopError::damaged(format!("{table} can't be written")));
    };
    let mut statement = conn.prepare_cached(sql)?;
    statement.raw_bind_parameter(1, id)?;
    for (at, value) in (2..).zip(fields.values()) {
        statement.raw_bind_parameter(at, stored(conn, value)?)?;
    }
    statement.raw_execute()?;
    Ok(())
}

fn sql(table: &str, fields: &Map<String, Value>) -> String {
    let list = |each: &dyn Fn(usize, &str) -> String| {
        fields.keys().enumerate().map(|(at, name)| each(at, name)).collect::<Vec<_>>().join(", ")
    };
    let names = list(&|_, name| format!("\"{name}\""));
    let values = list(&|at, _| format!("?{}", at.saturating_add(2)));
    let over = list(&|_, name| format!("\"{name}\" = excluded.\"{name}\""));
    format!("INSERT INTO {table} (id, {names}) VALUES (?1, {values}) ON CONFLICT (id) DO UPDATE SET {over}")
}

fn columns(conn: &Connection, table: &str) -> Result<Vec<String>, ShopError> {
    let mut statement = conn.prepare_cached("SELECT name FROM pragma_table_info(?1)")?;
    let names = statement.query_map([table], |row| row.get(0))?;
    Ok(names.collect::<Result<_, _>>()?)
}

/// What a cell holds.
enum Held<'v> {
    Text(&'v str),
    Other(Bound),
}

impl ToSql for Held<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match self {
            Self::Text(text) => Ok(ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes()))),
            Self::Other(value) => value.to_sql(),
        }
    }
}

/// A field as its cell holds it: what `->>` takes out of JSON. Yes is 1 and no is 0, lists and objects are their
/// JSON. Figures that are no whole number are read by the database itself, so that each is the same as ever.
fn stored<'v>(conn: &Connection, value: &'v Value) -> Result<Held<'v>, ShopError> {
    let other = match value {
        Value::Null => Bound::Null,
        Value::Bool(flag) => Bound::Integer(i64::from(*flag)),
        Value::String(text) => return Ok(Held::Text(text)),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => Bound::Integer(whole),
            None => taken_out(conn, value)?,
        },
        Value::Array(_) | Value::Object(_) => taken_out(conn, value)?,
    };
    Ok(Held::Other(other))
}

fn taken_out(conn: &Connection, value: &Value) -> Result<Bound, ShopError> {
    Ok(conn.prepare_cached("SELECT ?1 ->> '$'")?.query_row(params![value.to_string()], |row| row.get(0))?)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use rusqlite::Connection;
    use rusqlite::types::Value as Cell;
    use serde_json::{Map, Value, json};

    use super::put;
    use crate::known::Known;

    /// What a column without a type holds after a put.
    fn held(value: &Value) -> Cell {
        let conn = Connection::open_in_memory().unwrap();
        conn.execute_batch("CREATE TABLE kept (id INTEGER PRIMARY KEY, a ANY, b ANY) STRICT").unwrap();
        let fields: Map<String, Value> = [("a".to_owned(), value.clone())].into_iter().collect();
        put(&conn, &mut Known::default(), "kept", 1, &fields).unwrap();
        conn.query_row("SELECT a FROM kept", [], |row| row.get(0)).unwrap()
    }

    /// What JSON holds, as the database itself takes it out.
    fn taken_out(value: &Value) -> Cell {
        let conn = Connection::open_in_memory().unwrap();
        let fields = json!({ "a": value }).to_string();
        conn.query_row("SELECT ?1 ->> 'a'", [fields], |row| row.get(0)).unwrap()
    }

    fn any_value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            any::<f64>().prop_map(Value::from),
            (-1000_i32..1000).prop_map(|whole| Value::from(f64::from(whole))),
            any::<String>().prop_map(Value::from),
            "[\\x00-\\x1f\"\\\\/'é€\\u{7f}\\u{2028}\\u{10ffff}]{0,6}".prop_map(Value::from),
        ];
        leaf.prop_recursive(3, 12, 4, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
                prop::collection::btree_map(any::<String>(), inner, 0..4)
                    .prop_map(|fields| Value::Object(fields.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn a_field_is_kept_as_it_is_taken_out_of_its_json(value in any_value()) {
            prop_assert_eq!(held(&value), taken_out(&value));
        }
    }

    #[test]
    fn figures_at_the_edges_are_kept_as_they_are_taken_out_of_their_json() {
        for value in [
            json!(true),
            json!(i64::MAX),
            json!(i64::MIN),
            json!(u64::MAX),
            json!(1.0),
            json!(-0.0),
            json!(0.1),
            json!(1e300),
            json!(5e-324),
            json!(f64::MAX),
            json!("\u{0}a"),
            json!(""),
            json!("null"),
            json!([]),
            json!({}),
            json!({ "b": [1, 2.50, "é\n"] }),
        ] {
            assert_eq!(held(&value), taken_out(&value), "{value}");
        }
    }

    #[test]
    fn a_row_is_new_or_has_the_given_columns_written_over() {
        let conn = Connection::open_in_memory().unwrap();
        conn.execute_batch("CREATE TABLE kept (id INTEGER PRIMARY KEY, a ANY, b ANY DEFAULT 'b') STRICT")
            .unwrap();
        let mut known = Known::default();
        let mut write = |id, fields: Value| {
            let Value::Object(fields) = fields else { panic!("{fields}") };
            put(&conn, &mut known, "kept", id, &fields)
        };
        write(1, json!({ "a": 1 })).unwrap();
        write(2, json!({ "a": 2, "b": 3 })).unwrap();
        write(2, json!({ "a": 4 })).unwrap();
        write(1, json!({ "b": 5 })).unwrap();
        let row = |id: i64| -> (i64, Cell) {
            conn.query_row("SELECT a, b FROM kept WHERE id = ?1", [id], |row| Ok((row.get(0)?, row.get(1)?)))
                .unwrap()
        };
        assert_eq!((row(1), row(2)), ((1, Cell::Integer(5)), (4, Cell::Integer(3))));
        let unknown = write(1, json!({ "a": 1, "c\" = 1 --": 2 })).unwrap_err().to_string();
        assert!(unknown.contains("kept has no column c\""), "{unknown}");
    }
}
