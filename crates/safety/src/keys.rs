//! Keys of this room's data files, read one kind at a time, with the row and the field in every message.

use std::collections::BTreeSet;

use forms::Flag;
use measure::{nearest, plain};
use toml::{Table, Value};

use crate::SafetyError;

/// Parses a file of this room.
pub(crate) fn parse(file: &'static str, text: &str) -> Result<Table, SafetyError> {
    text.parse().map_err(|error: toml::de::Error| SafetyError::NotToml {
        file,
        reason: error.to_string().trim().to_owned(),
    })
}

/// `over` laid on `base`: rows of the same name keep the keys that `over` doesn't state.
pub(crate) fn overlay(base: &Table, over: &Table) -> Table {
    let mut result = base.clone();
    for (name, above) in over {
        match (result.get_mut(name), above) {
            (Some(Value::Table(below)), Value::Table(rows)) => {
                for (id, row) in rows {
                    match (below.get_mut(id), row) {
                        (Some(Value::Table(old)), Value::Table(new)) => {
                            old.extend(new.iter().map(|(key, value)| (key.clone(), value.clone())));
                        }
                        _ => {
                            below.insert(id.clone(), row.clone());
                        }
                    }
                }
            }
            _ => {
                result.insert(name.clone(), above.clone());
            }
        }
    }
    result
}

/// A table being read, with the name messages give it.
pub(crate) struct Keys<'a> {
    pub(crate) place: String,
    pub(crate) table: &'a Table,
}

impl<'a> Keys<'a> {
    /// Refuses keys that nothing reads.
    pub(crate) fn only(&self, allowed: &[&str]) -> Result<(), SafetyError> {
        match self.table.keys().find(|key| !allowed.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(SafetyError::UnknownKey {
                place: self.place.clone(),
                key: key.clone(),
                right: near_or_all(key, allowed.iter().copied()),
            }),
        }
    }

    pub(crate) fn missing(&self, key: &str, example: &str) -> SafetyError {
        SafetyError::Missing {
            place: self.place.clone(),
            key: key.to_owned(),
            example: format!("{key} = {example}"),
        }
    }

    pub(crate) fn wrong(&self, key: &str, found: impl ToString, right: &str) -> SafetyError {
        SafetyError::Wrong {
            place: self.place.clone(),
            key: key.to_owned(),
            found: found.to_string(),
            right: right.to_owned(),
        }
    }

    /// The rows of the table `name`, each with its key, as "kind key" in messages.
    pub(crate) fn rows(&self, name: &str, kind: &str) -> Result<Vec<(&'a str, Keys<'a>)>, SafetyError> {
        let table = match self.table.get(name) {
            None => return Ok(Vec::new()),
            Some(Value::Table(table)) => table,
            Some(other) => {
                return Err(self.wrong(name, other, &format!("a table, for example [{name}.one]")));
            }
        };
        let one = |(id, entry): (&'a String, &'a Value)| match entry {
            Value::Table(table) => Ok((id.as_str(), Keys { place: format!("{kind} {id}"), table })),
            other => Err(self.wrong(id, other, &format!("a table, for example [{name}.{id}]"))),
        };
        table.iter().map(one).collect()
    }

    /// A text with a letter or digit in it.
    pub(crate) fn text(&self, key: &str, example: &str) -> Result<String, SafetyError> {
        match self.table.get(key) {
            None => Err(self.missing(key, &format!("\"{example}\""))),
            Some(Value::String(text)) if !plain(text).is_empty() => Ok(text.trim().to_owned()),
            Some(other) => Err(self.wrong(key, other, "text in quotes, with a letter in it")),
        }
    }

    /// A list of texts; empty when the key is absent.
    pub(crate) fn texts(&self, key: &str) -> Result<BTreeSet<String>, SafetyError> {
        let right = "a list of texts, for example [\"one\", \"two\"]";
        let text = |entry: &Value| match entry {
            Value::String(text) if !plain(text).is_empty() => Ok(text.trim().to_owned()),
            other => Err(self.wrong(key, other, right)),
        };
        match self.table.get(key) {
            None => Ok(BTreeSet::new()),
            Some(Value::Array(entries)) => entries.iter().map(text).collect(),
            Some(other) => Err(self.wrong(key, other, right)),
        }
    }

    /// A finite number in a range, written with a point or without; `None` when the key is absent.
    pub(crate) fn number(&self, key: &str, least: f64, most: f64) -> Result<Option<f64>, SafetyError> {
        let Some(entry) = self.table.get(key) else { return Ok(None) };
        let number = match entry {
            Value::Float(number) => Some(*number),
            // Figures of this kind are far below the range where an integer loses digits as a float.
            Value::Integer(number) => Some(*number as f64),
            _ => None,
        };
        let right = || format!("a number from {least} to {most}");
        number
            .filter(|number| (least..=most).contains(number))
            .map(Some)
            .ok_or_else(|| self.wrong(key, entry, &right()))
    }

    /// A whole number in a range; `None` when the key is absent.
    pub(crate) fn whole(&self, key: &str, least: i32, most: i32) -> Result<Option<i32>, SafetyError> {
        let Some(entry) = self.table.get(key) else { return Ok(None) };
        entry
            .as_integer()
            .and_then(|number| i32::try_from(number).ok())
            .filter(|number| (least..=most).contains(number))
            .map(Some)
            .ok_or_else(|| self.wrong(key, entry, &format!("a whole number from {least} to {most}")))
    }

    /// One of a fixed choice of words.
    pub(crate) fn word<T: Copy>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<T, SafetyError> {
        let first = all.first().map_or("", |&one| word(one));
        let typed = self.text(key, first)?;
        self.choice(key, &typed, all, word)
    }

    /// Some of a fixed choice of words; none when the key is absent.
    pub(crate) fn words<T: Copy + Ord>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<BTreeSet<T>, SafetyError> {
        self.texts(key)?.iter().map(|typed| self.choice(key, typed, all, word)).collect()
    }

    fn choice<T: Copy>(
        &self,
        key: &str,
        typed: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<T, SafetyError> {
        all.iter().copied().find(|&one| word(one) == typed).ok_or_else(|| {
            let right = near_or_all(typed, all.iter().map(|&one| word(one))).join(" or ");
            self.wrong(key, format!("\"{typed}\""), &right)
        })
    }

    /// Who publishes a row, and how far it can be trusted.
    pub(crate) fn origin(&self) -> Result<(String, Flag), SafetyError> {
        let publisher = self.text("publisher", "common safety practice")?;
        Ok((publisher, self.word("flag", Flag::ALL, Flag::word)?))
    }
}

/// The nearest right words, or all of them when none is near.
fn near_or_all<'a>(typed: &str, all: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let near = nearest(typed, all.clone());
    if near.is_empty() { all.map(str::to_owned).collect() } else { near }
}
