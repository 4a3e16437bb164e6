//! Rows of a table as values with the names of their columns.

use rusqlite::types::ValueRef;
use rusqlite::{Connection, Params, Row};
use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, Error as _, IntoDeserializer, MapAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Error, Map, Number, Value};

use crate::ShopError;

/// One cell.
pub(crate) fn cell(value: ValueRef<'_>) -> Value {
    match value {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(whole) => Value::Number(whole.into()),
        ValueRef::Real(real) => Number::from_f64(real).map_or(Value::Null, Value::Number),
        ValueRef::Text(text) => Value::String(String::from_utf8_lossy(text).into_owned()),
        ValueRef::Blob(bytes) => Value::String(hex(bytes)),
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
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
    let mut read = Vec::new();
    each(conn, sql, params, usize::MAX, |value| read.push(value))?;
    Ok(read)
}

/// The first row of a query, if there is one.
pub(crate) fn first<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    params: impl Params,
) -> Result<Option<T>, ShopError> {
    let mut first = None;
    each(conn, sql, params, 1, |value| first = Some(value))?;
    Ok(first)
}

fn each<T: DeserializeOwned>(
    conn: &Connection,
    sql: &str,
    params: impl Params,
    most: usize,
    mut take: impl FnMut(T),
) -> Result<(), ShopError> {
    let mut statement = conn.prepare_cached(sql)?;
    let columns: Vec<String> = statement.column_names().map(str::to_owned).collect();
    let mut rows = statement.query(params)?;
    for _ in 0..most {
        let Some(row) = rows.next()? else { break };
        let value: Result<T, Error> = T::deserialize(AsMap { row, columns: &columns, at: 0 });
        take(value.map_err(|error| ShopError::damaged(format!("a row of «{sql}»: {error}")))?);
    }
    Ok(())
}

/// A row as a map from the names of its columns to its cells, read where they lie: files have a million rows.
struct AsMap<'r> {
    row: &'r Row<'r>,
    columns: &'r [String],
    /// The column whose name comes next.
    at: usize,
}

impl<'de> Deserializer<'de> for AsMap<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_map(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

impl<'de> MapAccess<'de> for AsMap<'_> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some(name) = self.columns.get(self.at) else { return Ok(None) };
        seed.deserialize(StrDeserializer::<Error>::new(name)).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Error> {
        let cell = self.row.get_ref(self.at).map_err(Error::custom)?;
        self.at = self.at.saturating_add(1);
        seed.deserialize(Cell(cell))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.columns.len().saturating_sub(self.at))
    }
}

/// A cell that reads as what [`cell`] makes of it would.
struct Cell<'r>(ValueRef<'r>);

impl<'de> Deserializer<'de> for Cell<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            ValueRef::Null => visitor.visit_unit(),
            ValueRef::Integer(whole) => match u64::try_from(whole) {
                Ok(whole) => visitor.visit_u64(whole),
                Err(_) => visitor.visit_i64(whole),
            },
            ValueRef::Real(real) if real.is_finite() => visitor.visit_f64(real),
            ValueRef::Real(_) => visitor.visit_unit(),
            ValueRef::Text(text) => visitor.visit_str(&String::from_utf8_lossy(text)),
            ValueRef::Blob(bytes) => visitor.visit_string(hex(bytes)),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            ValueRef::Null => visitor.visit_none(),
            ValueRef::Real(real) if !real.is_finite() => visitor.visit_none(),
            ValueRef::Integer(_) | ValueRef::Real(_) | ValueRef::Text(_) | ValueRef::Blob(_) => {
                visitor.visit_some(self)
            }
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self.0 {
            ValueRef::Text(text) => {
                let word = String::from_utf8_lossy(text);
                IntoDeserializer::<Error>::into_deserializer(&*word).deserialize_enum(name, variants, visitor)
            }
            other @ (ValueRef::Null | ValueRef::Integer(_) | ValueRef::Real(_) | ValueRef::Blob(_)) => {
                cell(other).deserialize_enum(name, variants, visitor)
            }
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct
        seq tuple tuple_struct map struct identifier
    }
}

#[cfg(test)]
mod tests {
    use rusqlite::Connection;
    use serde::Deserialize;
    use serde::de::DeserializeOwned;
    use serde_json::Value;

    use super::{first, objects, read};

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(rename_all = "snake_case")]
    enum Word {
        One,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct Whole(i64);

    #[derive(Debug, PartialEq, Deserialize)]
    struct In<T> {
        a: T,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct Flat<T> {
        #[serde(flatten)]
        inner: In<T>,
    }

    /// What a cell reads as, as it lies and by way of a value, in a struct and in one flattened.
    fn agrees<T: DeserializeOwned + PartialEq + std::fmt::Debug>(conn: &Connection, cell: &str) {
        let sql = format!("SELECT {cell} AS a, 7 AS other");
        let by_value = objects(conn, &sql, []).unwrap().remove(0);
        let by_value: Option<In<T>> = serde_json::from_value(Value::Object(by_value)).ok();
        assert_eq!(first::<In<T>>(conn, &sql, []).ok().flatten(), by_value, "{cell}");
        let flat = first::<Flat<T>>(conn, &sql, []).ok().flatten();
        assert_eq!(flat.map(|flat| flat.inner), by_value, "{cell}, flattened");
    }

    #[test]
    fn a_cell_reads_as_the_value_that_it_is_written_as() {
        let conn = Connection::open_in_memory().unwrap();
        for cell in [
            "NULL",
            "0",
            "1",
            "-1",
            "9223372036854775807",
            "-9223372036854775808",
            "4294967296",
            "1.5",
            "2.0",
            "9e999",
            "-9e999",
            "''",
            "'one'",
            "'two'",
            "'2026-03-07'",
            "'[1,2]'",
            "'é«»'",
            "x'00ff'",
            "CAST(x'61ff' AS TEXT)",
        ] {
            agrees::<Value>(&conn, cell);
            agrees::<Option<Value>>(&conn, cell);
            agrees::<i64>(&conn, cell);
            agrees::<u32>(&conn, cell);
            agrees::<f64>(&conn, cell);
            agrees::<bool>(&conn, cell);
            agrees::<String>(&conn, cell);
            agrees::<Option<String>>(&conn, cell);
            agrees::<Option<u64>>(&conn, cell);
            agrees::<Word>(&conn, cell);
            agrees::<Option<Word>>(&conn, cell);
            agrees::<Whole>(&conn, cell);
            agrees::<Option<jiff::civil::Date>>(&conn, cell);
            agrees::<()>(&conn, cell);
            agrees::<Vec<u32>>(&conn, cell);
        }
    }

    #[test]
    fn a_row_that_does_not_fit_says_which_query_it_is_of() {
        let conn = Connection::open_in_memory().unwrap();
        let error = read::<In<u32>>(&conn, "SELECT -1 AS a", []).unwrap_err().to_string();
        assert!(error.contains("SELECT -1 AS a") && error.contains("u32"), "{error}");
        assert!(read::<In<u32>>(&conn, "SELECT 1 AS b", []).unwrap_err().to_string().contains("`a`"));
        assert_eq!(first::<In<u32>>(&conn, "SELECT 1 AS a WHERE 0", []).unwrap(), None);
    }
}
