//! Overrides: rows of a data file laid over the rows that are there already.
//!
//! A figure is never mixed from two files: its value, range and source come from one of them.

use toml::{Table, Value};

/// The key that makes a table a figure.
const FIGURE: &str = "value";

/// `over` laid on `base`: rows of a table named in `tables` keep the keys that `over` doesn't state; all
/// else that `over` states replaces what was there.
pub(crate) fn overlay(base: &Table, over: &Table, tables: &[&str]) -> Table {
    let mut result = base.clone();
    for (key, value) in over {
        match (result.get_mut(key), value) {
            (Some(Value::Table(below)), Value::Table(above)) if tables.contains(&key.as_str()) => {
                for (name, row) in above {
                    match (below.get_mut(name), row) {
                        (Some(Value::Table(old)), Value::Table(new)) if !new.contains_key(FIGURE) => {
                            old.extend(new.iter().map(|(key, value)| (key.clone(), value.clone())));
                        }
                        _ => {
                            below.insert(name.clone(), row.clone());
                        }
                    }
                }
            }
            _ => {
                result.insert(key.clone(), value.clone());
            }
        }
    }
    result
}
