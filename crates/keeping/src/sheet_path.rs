//! Values at paths of a job sheet ("post.from").

use toml::{Table, Value};

use crate::Stop;

/// A value as a job sheet writes it; what isn't one is taken as a text.
#[must_use]
pub fn literal(text: &str) -> Value {
    format!("value = {text}")
        .parse::<Table>()
        .ok()
        .and_then(|mut table| table.remove("value"))
        .unwrap_or_else(|| Value::from(text))
}

/// Puts a value at a path of a table.
///
/// # Errors
/// When a part of the path is there and is no table.
pub fn set(table: &mut Table, path: &str, value: Value) -> Result<(), Stop> {
    match path.split_once('.') {
        None => {
            table.insert(path.to_owned(), value);
            Ok(())
        }
        Some((head, rest)) => {
            let inner = table.entry(head.to_owned()).or_insert_with(|| Value::Table(Table::new()));
            let inner = inner.as_table_mut().ok_or_else(|| {
                Stop::Input(format!("{path}: `{head}` is no table; right would be: market.damage = 2 %"))
            })?;
            set(inner, rest, value)
        }
    }
}
