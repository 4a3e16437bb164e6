//! Keys of a forms file, read one kind at a time.

use toml::{Table, Value as Toml};

use crate::FormsError;
use measure::{nearest, plain};

/// A number, whether it is written with a point or without.
pub(crate) fn number(entry: &Toml) -> Option<f64> {
    match entry {
        Toml::Float(number) => Some(*number),
        // Data of this kind is far below the range where an integer loses digits as a float.
        Toml::Integer(number) => Some(*number as f64),
        _ => None,
    }
}

/// A table being read, with the name messages give it.
pub(crate) struct Keys<'a> {
    pub(crate) place: &'a str,
    pub(crate) table: &'a Table,
}

impl<'a> Keys<'a> {
    /// Refuses keys that nothing reads.
    pub(crate) fn only(&self, allowed: &[&str]) -> Result<(), FormsError> {
        match self.table.keys().find(|key| !allowed.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(FormsError::UnknownKey {
                place: self.place.to_owned(),
                key: key.clone(),
                nearest: near_or_all(key, allowed.iter().copied()),
            }),
        }
    }

    /// The error for a key that must be there.
    pub(crate) fn missing(&self, key: &str, example: &str) -> FormsError {
        FormsError::Missing { place: self.place.to_owned(), key: key.to_owned(), example: example.to_owned() }
    }

    fn wrong(&self, key: &str, found: &Toml, right: &str) -> FormsError {
        FormsError::Wrong {
            place: self.place.to_owned(),
            key: key.to_owned(),
            found: found.to_string(),
            right: right.to_owned(),
        }
    }

    /// A text; `None` when the key is absent.
    pub(crate) fn text(&self, key: &str) -> Result<Option<&'a str>, FormsError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Toml::String(text)) if !plain(text).is_empty() => Ok(Some(text)),
            Some(other) => Err(self.wrong(key, other, "text in quotes, with a letter in it")),
        }
    }

    /// A list of texts; `None` when the key is absent.
    pub(crate) fn texts(&self, key: &str) -> Result<Option<Vec<String>>, FormsError> {
        let right = "a list of texts, for example [\"one\", \"two\"]";
        let text = |entry: &Toml| match entry {
            Toml::String(text) if !plain(text).is_empty() => Ok(text.clone()),
            other => Err(self.wrong(key, other, right)),
        };
        match self.table.get(key) {
            None => Ok(None),
            Some(Toml::Array(entries)) => entries.iter().map(text).collect::<Result<_, _>>().map(Some),
            Some(other) => Err(self.wrong(key, other, right)),
        }
    }

    /// True or false; `None` when the key is absent.
    pub(crate) fn truth(&self, key: &str) -> Result<Option<bool>, FormsError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Toml::Boolean(truth)) => Ok(Some(*truth)),
            Some(other) => Err(self.wrong(key, other, "true or false")),
        }
    }

    /// A table; `None` when the key is absent.
    pub(crate) fn table(&self, key: &str) -> Result<Option<&'a Table>, FormsError> {
        match self.table.get(key) {
            None => Ok(None),
            Some(Toml::Table(table)) => Ok(Some(table)),
            Some(other) => Err(self.wrong(key, other, &format!("a table, for example [{key}]"))),
        }
    }

    /// The tables inside the table `key`, by their keys.
    pub(crate) fn tables(&self, key: &str) -> Result<Vec<(&'a String, &'a Table)>, FormsError> {
        let Some(outer) = self.table(key)? else {
            return Ok(Vec::new());
        };
        let one = |(name, entry): (&'a String, &'a Toml)| match entry {
            Toml::Table(table) => Ok((name, table)),
            other => Err(self.wrong(name, other, &format!("a table, for example [{key}.{name}]"))),
        };
        outer.iter().map(one).collect()
    }

    /// One of a fixed choice of words.
    pub(crate) fn word<T: Copy>(
        &self,
        key: &str,
        all: &[T],
        word: fn(T) -> &'static str,
    ) -> Result<Option<T>, FormsError> {
        let Some(typed) = self.text(key)? else {
            return Ok(None);
        };
        match all.iter().copied().find(|&one| word(one) == typed) {
            Some(one) => Ok(Some(one)),
            None => Err(FormsError::Wrong {
                place: self.place.to_owned(),
                key: key.to_owned(),
                found: format!("\"{typed}\""),
                right: near_or_all(typed, all.iter().map(|&one| word(one))).join(" or "),
            }),
        }
    }
}

/// The nearest right words, or all of them when none is near.
pub(crate) fn near_or_all<'a>(typed: &str, all: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let near = nearest(typed, all.clone());
    if near.is_empty() { all.map(str::to_owned).collect() } else { near }
}

/// The nearest right words, or what kind of word is right when none is near.
pub(crate) fn right_words<'a>(typed: &str, all: impl Iterator<Item = &'a str>, kind: &str) -> String {
    let near = nearest(typed, all);
    if near.is_empty() { kind.to_owned() } else { near.join(" or ") }
}
