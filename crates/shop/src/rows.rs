//! Rows of a table as values with the names of their columns.

use rusqlite::types::ValueRef;
use rusqlite::{Connection, Params, Row};
use serde::de::DeserializeOwned;
use serde::de::value::MapDeserializer;
use serde_json::{Map, Number, Value};

use crate::ShopError;

/// One cell.
pub(crate) fn cell(value: ValueRef<'_>) -> Value {
    match value {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(whole) => Value::Number(whole.into()),
        ValueRef::Real(real) => Number::from_f64(real).map_or(Value::Null, Value::Number),
        ValueRef::Text(text) => Value::String(String::from_utf8_lossy(text).into_owned()),
        ValueRef::Blob(bytes) => Value::String(bytes.iter().map(|byte| format!("{byte:02x}")).collect()),
    }
}

pub(crate) fn object(row: &Row<'_>, columns: &[String]) -> Result<Map<String, Value>, rusqlite::Error> {
    columns.iter().enumerate().map(|(at, name)| Ok((name.clone(), cell(row.get_ref(at)?)))).collect()
}

/// All rows of a query as objects.
pub(crate) fn objects(
    conn: &Connection,
    sql: &str,
    params: impl Params,
) -> Result<Vec<Map<String, Value>>, ShopError> {
    let mut statement = conn.prepare_cached(sql)?;
    let columns: Vec<String> = statement.column_names().map(str::to_owned).collect();
    let rows = statement.query_map(params, |row| object(row, &columns))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// All rows of a query as values of a type.
pub(crate) fn read<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    params: impl Params,
) -> Result<Vec<T>, ShopError> {
    let mut statement = conn.prepare_cached(sql)?;
    let columns: Vec<String> = statement.column_names().map(str::to_owned).collect();
    let mut rows = statement.query(params)?;
    let mut read = Vec::new();
    while let Some(row) = rows.next()? {
        // Without a map in between: files have a million rows.
        let cells: Result<Vec<(&str, Value)>, rusqlite::Error> = columns
            .iter()
            .enumerate()
            .map(|(at, name)| Ok((name.as_str(), cell(row.get_ref(at)?))))
            .collect();
        let value: Result<T, serde_json::Error> = T::deserialize(MapDeserializer::new(cells?.into_iter()));
        read.push(value.map_err(|error| ShopError::damaged(format!("a row of «{sql}»: {error}")))?);
    }
    Ok(read)
}

/// The first row of a query, if there is one.
pub(crate) fn first<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    params: impl Params,
) -> Result<Option<T>, ShopError> {
    Ok(read(conn, sql, params)?.into_iter().next())
}
