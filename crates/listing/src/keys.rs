//! Keys of this room's data files, read one kind at a time, with the row and the field in every message.

use forms::Flag;
use measure::{Money, nearest, plain};
use toml::{Table, Value};

use crate::{ListingError, Percent};

/// Parses a file of this room.
pub(crate) fn parse(file: &'static str, text: &str) -> Result<Table, ListingError> {
    text.parse().map_err(|error: toml::de::Error| ListingError::NotToml {
        file,
        reason: error.to_string().trim().to_owned(),
    })
}

/// `over` laid on `base`: rows of the same id keep the keys that `over` doesn't state.
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
    pub(crate) fn only(&self, allowed: &[&str]) -> Result<(), ListingError> {
        match self.table.keys().find(|key| !allowed.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(ListingError::UnknownKey {
                place: self.place.clone(),
                key: key.clone(),
                right: near_or_all(key, allowed.iter().copied()),
            }),
        }
    }

    pub(crate) fn missing(&self, key: &str, example: &str) -> ListingError {
        ListingError::Missing { place: self.place.clone(), key: key.to_owned(), example: example.to_owned() }
    }

    pub(crate) fn wrong(&self, key: &str, found: impl ToString, right: &str) -> ListingError {
        ListingError::Wrong {
            place: self.place.clone(),
            key: key.to_owned(),
            found: found.to_string(),
            right: right.to_owned(),
        }
    }

    /// The rows of the table `name`, each with its id, as "kind id" in messages.
    pub(crate) fn rows(&self, name: &str, kind: &str) -> Result<Vec<(&'a str, Keys<'a>)>, ListingError> {
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

    pub(crate) fn optional_text(&self, key: &str) -> Result<Option<String>, ListingError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Value::String(text)) if !plain(text).is_empty() => Ok(Some(text.trim().to_owned())),
            Some(other) => Err(self.wrong(key, other, "text in quotes, with a letter in it")),
        }
    }

    pub(crate) fn text(&self, key: &str, example: &str) -> Result<String, ListingError> {
        self.optional_text(key)?.ok_or_else(|| self.missing(key, &format!("{key} = \"{example}\"")))
    }

    /// A list of texts; empty when the key is absent.
    pub(crate) fn texts(&self, key: &str) -> Result<Vec<String>, ListingError> {
        let right = "a list of texts, for example [\"one\", \"two\"]";
        let text = |entry: &Value| match entry {
            Value::String(text) if !plain(text).is_empty() => Ok(text.trim().to_owned()),
            other => Err(self.wrong(key, other, right)),
        };
        match self.table.get(key) {
            None => Ok(Vec::new()),
            Some(Value::Array(entries)) => entries.iter().map(text).collect(),
            Some(other) => Err(self.wrong(key, other, right)),
        }
    }

    /// True or false; `None` when the key is absent.
    pub(crate) fn truth(&self, key: &str) -> Result<Option<bool>, ListingError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Value::Boolean(truth)) => Ok(Some(*truth)),
            Some(other) => Err(self.wrong(key, other, "true or false")),
        }
    }

    /// A whole number in a range; `None` when the key is absent.
    pub(crate) fn whole(&self, key: &str, least: u32, most: u32) -> Result<Option<u32>, ListingError> {
        let right = format!("a whole number from {least} to {most}");
        match self.table.get(key) {
            None => Ok(None),
            Some(entry) => match entry.as_integer().and_then(|number| u32::try_from(number).ok()) {
                Some(number) if (least..=most).contains(&number) => Ok(Some(number)),
                _ => Err(self.wrong(key, entry, &right)),
            },
        }
    }

    /// A finite number, written with a point or without; `None` when the key is absent.
    pub(crate) fn number(&self, key: &str) -> Result<Option<f64>, ListingError> {
        let number = |entry: &Value| match entry {
            Value::Float(number) if number.is_finite() => Some(*number),
            // Data of this kind is far below the range where an integer loses digits as a float.
            Value::Integer(number) => Some(*number as f64),
            _ => None,
        };
        match self.table.get(key) {
            None => Ok(None),
            Some(entry) => number(entry).map(Some).ok_or_else(|| self.wrong(key, entry, "a number")),
        }
    }

    pub(crate) fn percent(&self, key: &str) -> Result<Percent, ListingError> {
        let number = self.number(key)?.ok_or_else(|| self.missing(key, &format!("{key} = 10")))?;
        Percent::new(number).ok_or_else(|| self.wrong(key, number, "from 0 to 100"))
    }

    /// Money from 0 on, as a number or as text, in whole cents.
    pub(crate) fn money(&self, key: &str) -> Result<Money, ListingError> {
        let entry = self.table.get(key).ok_or_else(|| self.missing(key, &format!("{key} = 0.30")))?;
        let text = match entry {
            Value::String(text) => text.clone(),
            Value::Integer(_) | Value::Float(_) => entry.to_string(),
            _ => String::new(),
        };
        match Money::read(&text) {
            Ok(money) if money >= Money::ZERO => Ok(money),
            _ => Err(self.wrong(key, entry, "an amount from 0 on in whole cents, for example 0.30")),
        }
    }

    /// One of a fixed choice of words.
    pub(crate) fn word<T: Copy>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<Option<T>, ListingError> {
        let Some(typed) = self.optional_text(key)? else { return Ok(None) };
        self.choice(key, &typed, all, word).map(Some)
    }

    /// Some of a fixed choice of words.
    pub(crate) fn words<T: Copy>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<Vec<T>, ListingError> {
        self.texts(key)?.iter().map(|typed| self.choice(key, typed, all, word)).collect()
    }

    fn choice<T: Copy>(
        &self,
        key: &str,
        typed: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<T, ListingError> {
        all.iter().copied().find(|&one| word(one) == typed).ok_or_else(|| {
            let right = near_or_all(typed, all.iter().map(|&one| word(one))).join(" or ");
            self.wrong(key, format!("\"{typed}\""), &right)
        })
    }

    /// Where a row comes from: its source in words and its flag.
    pub(crate) fn origin(&self) -> Result<(String, Flag), ListingError> {
        let source = self.text("source", "a published guide to condition")?;
        let flag = self.word("flag", Flag::ALL, Flag::word)?;
        Ok((source, flag.ok_or_else(|| self.missing("flag", "flag = \"judgement\""))?))
    }
}

/// An id is small letters, digits and underscores.
pub(crate) fn check_id(file: &'static str, id: &str) -> Result<(), ListingError> {
    let snake = id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
    if snake && id.chars().any(|c| c != '_') {
        return Ok(());
    }
    Err(ListingError::Wrong {
        place: format!("the {file}"),
        key: "an id".to_owned(),
        found: format!("\"{id}\""),
        right: "small letters, digits and underscores, for example my_row".to_owned(),
    })
}

/// The nearest right words, or all of them when none is near.
pub(crate) fn near_or_all<'a>(typed: &str, all: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let near = nearest(typed, all.clone());
    if near.is_empty() { all.map(str::to_owned).collect() } else { near }
}
