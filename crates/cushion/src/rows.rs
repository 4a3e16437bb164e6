//! Rows of this room's data files, read strictly, and the person's own rows laid over them.

use protection::{Figure, Flag, Origin};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use toml::{Table, Value};

use crate::CushionError;

/// A figure as written: `{ value = 4.5, low = 4, high = 5, flag = "own", source = "my tests" }`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFigure {
    value: f64,
    low: Option<f64>,
    high: Option<f64>,
    flag: Option<String>,
    source: Option<String>,
}

/// Parses a file.
pub(crate) fn table(file: &'static str, text: &str, example: &'static str) -> Result<Table, CushionError> {
    text.parse().map_err(|error: toml::de::Error| CushionError::NotToml {
        file,
        reason: error.to_string().trim().to_owned(),
        example,
    })
}

/// Refuses keys of a file that nothing reads.
pub(crate) fn only(file: &'static str, table: &Table, allowed: &[&str]) -> Result<(), CushionError> {
    match table.keys().find(|key| !allowed.contains(&key.as_str())) {
        None => Ok(()),
        Some(key) => Err(CushionError::Row {
            place: format!("the {file} file"),
            reason: format!("\"{key}\" is not known here; right would be {}", allowed.join(" or ")),
        }),
    }
}

/// One value, named `place` in messages.
pub(crate) fn read<T: DeserializeOwned>(place: &str, value: &Value) -> Result<T, CushionError> {
    value.clone().try_into().map_err(|error: toml::de::Error| CushionError::Row {
        place: place.to_owned(),
        reason: error.to_string().trim().replace('\n', ", "),
    })
}

/// The rows of the table `key` by their names; none when the key is absent.
pub(crate) fn rows<T: DeserializeOwned>(
    file: &Table,
    key: &'static str,
    kind: &str,
) -> Result<Vec<(String, T)>, CushionError> {
    match file.get(key) {
        None => Ok(Vec::new()),
        Some(Value::Table(rows)) => rows
            .iter()
            .map(|(name, value)| Ok((name.clone(), read(&format!("{kind} {name}"), value)?)))
            .collect(),
        Some(other) => {
            Err(wrong("the file", key, &other.to_string(), &format!("a table, for example [{key}.mine]")))
        }
    }
}

pub(crate) fn wrong(place: &str, key: &str, found: &str, right: &str) -> CushionError {
    CushionError::Wrong {
        place: place.to_owned(),
        key: key.to_owned(),
        found: found.to_owned(),
        right: right.to_owned(),
    }
}

/// `value` if it lies from `least` to `most`.
pub(crate) fn ranged(
    place: &str,
    key: &str,
    value: f64,
    (least, most): (f64, f64),
) -> Result<f64, CushionError> {
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(wrong(place, key, &value.to_string(), &format!("a number from {least} to {most}")))
    }
}

/// Flag and source; a row that says neither is the person's own.
pub(crate) fn origin(place: &str, flag: Option<&str>, source: Option<&str>) -> Result<Origin, CushionError> {
    let flag = match flag {
        None => Flag::Own,
        Some(word) => *Flag::ALL.iter().find(|flag| flag.word() == word).ok_or_else(|| {
            let words: Vec<&str> = Flag::ALL.iter().map(|flag| flag.word()).collect();
            wrong(place, "flag", &format!("\"{word}\""), &words.join(" or "))
        })?,
    };
    Ok(Origin { flag, source: source.map_or_else(|| flag.word().to_owned(), str::to_owned) })
}

/// A figure whose value and range lie within `bounds` and in order.
pub(crate) fn figure(
    place: &str,
    key: &str,
    raw: RawFigure,
    bounds: (f64, f64),
) -> Result<Figure, CushionError> {
    let value = ranged(place, key, raw.value, bounds)?;
    let (low, high) = (raw.low.unwrap_or(value), raw.high.unwrap_or(value));
    let (low, high) = (ranged(place, key, low, bounds)?, ranged(place, key, high, bounds)?);
    if !(low <= value && value <= high) {
        return Err(CushionError::Contradiction {
            place: place.to_owned(),
            what: format!("{key} is {value} but its range is {low} to {high}"),
            right: "a range that holds the value".to_owned(),
        });
    }
    Ok(Figure {
        value,
        low: raw.low,
        high: raw.high,
        origin: origin(place, raw.flag.as_deref(), raw.source.as_deref())?,
    })
}

/// A figure that may be absent.
pub(crate) fn maybe(
    place: &str,
    key: &str,
    raw: Option<RawFigure>,
    bounds: (f64, f64),
) -> Result<Option<Figure>, CushionError> {
    raw.map(|raw| figure(place, key, raw, bounds)).transpose()
}

/// Low and high end of a figure, the value itself where an end isn't stated.
pub(crate) fn ends(figure: &Figure) -> (f64, f64) {
    (figure.low.unwrap_or(figure.value), figure.high.unwrap_or(figure.value))
}

/// `over` laid on `base`: tables are merged key by key, save that a figure replaces the whole figure, so that
/// no stale range or source clings to a new value.
pub(crate) fn overlay(base: &Table, over: &Table) -> Table {
    let mut result = base.clone();
    for (key, above) in over {
        let merged = match (result.get(key), above) {
            (Some(Value::Table(below)), Value::Table(above))
                if !below.contains_key("value") && !above.contains_key("value") =>
            {
                Value::Table(overlay(below, above))
            }
            _ => above.clone(),
        };
        result.insert(key.clone(), merged);
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_restated_figure_keeps_nothing_of_the_old_one() {
        let base: Table =
            "[c.x]\nname = \"x\"\nj = { value = 3, high = 4, flag = \"published\" }".parse().expect("base");
        let over: Table = "[c.x]\nj = { value = 5 }\n[c.y]\nname = \"y\"".parse().expect("over");
        let laid = overlay(&base, &over);
        let expected: Table =
            "[c.x]\nname = \"x\"\nj = { value = 5 }\n[c.y]\nname = \"y\"".parse().expect("laid");
        assert_eq!(laid, expected);
    }
}
