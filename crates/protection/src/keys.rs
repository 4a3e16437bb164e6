//! Keys of this room's data files, read strictly: a slip of the keyboard is never a silent default.

use toml::{Table, Value};

use crate::nearest::nearest;
use crate::{Figure, Flag, Origin, ProtectionError};

const FIGURE_KEYS: &[&str] = &["value", "low", "high", "flag", "source"];

/// Parses a file.
pub(crate) fn table(file: &'static str, text: &str, example: &'static str) -> Result<Table, ProtectionError> {
    text.parse().map_err(|error: toml::de::Error| ProtectionError::NotToml {
        file,
        reason: error.to_string().trim().to_owned(),
        example,
    })
}

/// A table being read, with the name messages give it.
pub(crate) struct Keys<'a> {
    pub(crate) place: String,
    pub(crate) table: &'a Table,
}

/// A finite number, whether it is written with a point or without.
fn number(value: &Value) -> Option<f64> {
    match value {
        Value::Float(number) if number.is_finite() => Some(*number),
        // Figures of this kind are far below the range where an integer loses digits as a float.
        Value::Integer(number) => Some(*number as f64),
        _ => None,
    }
}

impl<'a> Keys<'a> {
    /// Refuses keys that nothing reads.
    pub(crate) fn only(&self, allowed: &[&str]) -> Result<(), ProtectionError> {
        match self.table.keys().find(|key| !allowed.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(ProtectionError::UnknownKey {
                place: self.place.clone(),
                key: key.clone(),
                nearest: nearest(key, allowed.iter().copied()),
            }),
        }
    }

    pub(crate) fn missing(&self, key: &str, example: &str) -> ProtectionError {
        ProtectionError::Missing {
            place: self.place.clone(),
            key: key.to_owned(),
            example: format!("{key} = {example}"),
        }
    }

    pub(crate) fn wrong(&self, key: &str, found: &str, right: &str) -> ProtectionError {
        ProtectionError::Wrong {
            place: self.place.clone(),
            key: key.to_owned(),
            found: found.to_owned(),
            right: right.to_owned(),
        }
    }

    fn wrong_value(&self, key: &str, found: &Value, right: &str) -> ProtectionError {
        self.wrong(key, &found.to_string(), right)
    }

    /// A text with something in it; `None` when the key is absent.
    pub(crate) fn text(&self, key: &str) -> Result<Option<&'a str>, ProtectionError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Value::String(text)) if !text.trim().is_empty() => Ok(Some(text.trim())),
            Some(other) => Err(self.wrong_value(key, other, "text in quotes")),
        }
    }

    pub(crate) fn need_text(&self, key: &str, example: &str) -> Result<&'a str, ProtectionError> {
        self.text(key)?.ok_or_else(|| self.missing(key, example))
    }

    /// One of a fixed choice of words.
    pub(crate) fn word<T: Copy>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<Option<T>, ProtectionError> {
        self.text(key)?.map(|text| self.choose(key, text, all, word)).transpose()
    }

    fn choose<T: Copy>(
        &self,
        key: &str,
        text: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<T, ProtectionError> {
        all.iter().copied().find(|&one| word(one) == text).ok_or_else(|| {
            let words: Vec<&str> = all.iter().map(|&one| word(one)).collect();
            self.wrong(key, &format!("\"{text}\""), &nearest(text, words.iter().copied()).join(" or "))
        })
    }

    /// A list of words out of a fixed choice, without repeats; never empty.
    pub(crate) fn words<T: Copy + PartialEq>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<Option<Vec<T>>, ProtectionError> {
        let right = || {
            let first = all.first().map_or("", |&one| word(one));
            format!("a list of different words, for example [\"{first}\"]")
        };
        let Some(found) = self.table.get(key) else { return Ok(None) };
        let Value::Array(entries) = found else { return Err(self.wrong_value(key, found, &right())) };
        let mut chosen = Vec::new();
        for entry in entries {
            let text = entry.as_str().ok_or_else(|| self.wrong_value(key, entry, &right()))?;
            let one = self.choose(key, text, all, word)?;
            if chosen.contains(&one) {
                return Err(self.wrong_value(key, found, &right()));
            }
            chosen.push(one);
        }
        if chosen.is_empty() { Err(self.wrong_value(key, found, &right())) } else { Ok(Some(chosen)) }
    }

    pub(crate) fn truth(&self, key: &str) -> Result<Option<bool>, ProtectionError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Value::Boolean(truth)) => Ok(Some(*truth)),
            Some(other) => Err(self.wrong_value(key, other, "true or false")),
        }
    }

    /// A number from `least` to `most`.
    pub(crate) fn number(&self, key: &str, least: f64, most: f64) -> Result<Option<f64>, ProtectionError> {
        self.table.get(key).map(|value| self.in_range(key, value, least, most)).transpose()
    }

    pub(crate) fn need_number(&self, key: &str, least: f64, most: f64) -> Result<f64, ProtectionError> {
        self.number(key, least, most)?.ok_or_else(|| self.missing(key, &format!("{least}")))
    }

    fn in_range(&self, key: &str, value: &Value, least: f64, most: f64) -> Result<f64, ProtectionError> {
        number(value)
            .filter(|number| (least..=most).contains(number))
            .ok_or_else(|| self.wrong_value(key, value, &format!("a number from {least} to {most}")))
    }

    /// A whole number from `least` to `most`.
    pub(crate) fn whole(&self, key: &str, least: u32, most: u32) -> Result<Option<u32>, ProtectionError> {
        let Some(value) = self.table.get(key) else { return Ok(None) };
        value
            .as_integer()
            .and_then(|number| u32::try_from(number).ok())
            .filter(|number| (least..=most).contains(number))
            .map(Some)
            .ok_or_else(|| self.wrong_value(key, value, &format!("a whole number from {least} to {most}")))
    }

    /// Numbers of a list, each from `least` to `most`; `count` of them where that is fixed.
    pub(crate) fn numbers(
        &self,
        key: &str,
        value: &Value,
        count: Option<usize>,
        least: f64,
        most: f64,
    ) -> Result<Vec<f64>, ProtectionError> {
        let right = || match count {
            Some(count) => format!("a list of {count} numbers from {least} to {most}"),
            None => format!("a list of numbers from {least} to {most}"),
        };
        let entries = value.as_array().ok_or_else(|| self.wrong_value(key, value, &right()))?;
        if count.is_some_and(|count| count != entries.len()) {
            return Err(self.wrong_value(key, value, &right()));
        }
        entries.iter().map(|entry| self.in_range(key, entry, least, most)).collect()
    }

    /// A figure with its origin: `{ value = 0.17, flag = "published", source = "..." }`.
    pub(crate) fn figure(&self, key: &str, least: f64, most: f64) -> Result<Option<Figure>, ProtectionError> {
        let Some(value) = self.table.get(key) else { return Ok(None) };
        let right = "a table, for example { value = 0.17, flag = \"own\" }";
        let Value::Table(inner) = value else { return Err(self.wrong_value(key, value, right)) };
        let inner = Keys { place: format!("{}, {key}", self.place), table: inner };
        inner.only(FIGURE_KEYS)?;
        let value = inner.need_number("value", least, most)?;
        let (low, high) = (inner.number("low", least, most)?, inner.number("high", least, most)?);
        if low.is_some_and(|low| low > value) {
            return Err(inner.wrong("low", "more than the value", "at most the value"));
        }
        if high.is_some_and(|high| high < value) {
            return Err(inner.wrong("high", "less than the value", "at least the value"));
        }
        Ok(Some(Figure { value, low, high, origin: inner.origin(Flag::Own)? }))
    }

    pub(crate) fn need_figure(&self, key: &str, least: f64, most: f64) -> Result<Figure, ProtectionError> {
        self.figure(key, least, most)?
            .ok_or_else(|| self.missing(key, &format!("{{ value = {least}, flag = \"own\" }}")))
    }

    /// `flag` and `source`; a row that says neither is the person's own.
    pub(crate) fn origin(&self, otherwise: Flag) -> Result<Origin, ProtectionError> {
        let flag = self.word("flag", &Flag::ALL, Flag::word)?.unwrap_or(otherwise);
        let source = self.text("source")?.map_or_else(|| flag.word().to_owned(), str::to_owned);
        Ok(Origin { flag, source })
    }

    /// The table at `key`; `None` when the key is absent.
    pub(crate) fn inner(&self, key: &str) -> Result<Option<Keys<'a>>, ProtectionError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Value::Table(table)) => Ok(Some(Keys { place: format!("{}, {key}", self.place), table })),
            Some(other) => Err(self.wrong_value(key, other, "a table in braces")),
        }
    }

    /// The tables inside the table `key` by their names; none when the key is absent.
    pub(crate) fn rows(&self, key: &str, kind: &str) -> Result<Vec<(&'a str, Keys<'a>)>, ProtectionError> {
        let Some(outer) = self.inner(key)? else { return Ok(Vec::new()) };
        let row = |(name, value): (&'a String, &'a Value)| match value {
            Value::Table(table) => Ok((name.as_str(), Keys { place: format!("{kind} {name}"), table })),
            other => Err(self.wrong_value(name, other, &format!("a table, for example [{key}.{name}]"))),
        };
        outer.table.iter().map(row).collect()
    }

    /// The tables of the list `key`, numbered from 1 in messages; none when the key is absent.
    pub(crate) fn list(&self, key: &str, kind: &str) -> Result<Vec<Keys<'a>>, ProtectionError> {
        let right = format!("a list of tables, for example [[{key}]]");
        let entries = match self.table.get(key) {
            None => return Ok(Vec::new()),
            Some(Value::Array(entries)) => entries,
            Some(other) => return Err(self.wrong_value(key, other, &right)),
        };
        let row = |(at, value): (usize, &'a Value)| match value {
            Value::Table(table) => Ok(Keys { place: format!("{}{kind} {}", self.prefix(), at + 1), table }),
            other => Err(self.wrong_value(key, other, &right)),
        };
        entries.iter().enumerate().map(row).collect()
    }

    fn prefix(&self) -> String {
        if self.place.is_empty() { String::new() } else { format!("{}, ", self.place) }
    }
}
