//! A table of the sheet that remembers which of its keys were read, so that no key is passed over.

use std::ops::{Range, RangeInclusive};

use toml::de::DeTable;

use crate::entry::Entry;
use crate::home::home;
use crate::nearest::{listed, nearest};
use crate::told::{Problems, Told, quoted};

/// A table being read.
pub(crate) struct Section<'t, 'i> {
    path: String,
    span: Range<usize>,
    table: &'t DeTable<'i>,
    asked: Vec<&'static str>,
    missing: Vec<&'static str>,
    elsewhere: Vec<(&'static str, String)>,
}

impl<'t, 'i> Section<'t, 'i> {
    pub(crate) fn new(path: String, span: Range<usize>, table: &'t DeTable<'i>) -> Self {
        Self { path, span, table, asked: Vec::new(), missing: Vec::new(), elsewhere: Vec::new() }
    }

    /// Where the table begins: its header, or its braces.
    pub(crate) fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The table's own place in the sheet; empty for the sheet itself.
    pub(crate) fn path(&self) -> &str {
        &self.path
    }

    /// The place of a key of this table.
    pub(crate) fn path_of(&self, key: &str) -> String {
        // Keys that TOML would have to quote are shown in quotes.
        let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-');
        let key = if bare { quoted(key) } else { format!("\"{}\"", quoted(key)) };
        if self.path.is_empty() { key } else { format!("{}.{key}", self.path) }
    }

    /// What a key holds; the key counts as known from now on.
    pub(crate) fn take(&mut self, key: &'static str) -> Option<Entry<'t, 'i>> {
        if !self.asked.contains(&key) {
            self.asked.push(key);
        }
        let (written, value) = self.table.get_key_value(key)?;
        Some(Entry::new(self.path_of(key), Some(written.span()), value))
    }

    /// As [`Section::take`] of a key that must be there; `right` is a right line.
    pub(crate) fn need(
        &mut self,
        key: &'static str,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<Entry<'t, 'i>, Told> {
        match self.take(key) {
            Some(entry) => Ok(entry),
            None => Err(self.misses(key, format!("`{key}` is missing"), right, problems)),
        }
    }

    /// Tells that a key isn't there, which is taken back if it turns out to be misspelt.
    pub(crate) fn misses(
        &mut self,
        key: &'static str,
        message: impl Into<String>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Told {
        self.missing.push(key);
        problems.tell(&self.path_of(key), self.span(), message, right)
    }

    /// The number that a key holds, or the usual one where it isn't written.
    pub(crate) fn number_or(
        &mut self,
        key: &'static str,
        usual: f64,
        range: RangeInclusive<f64>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<f64, Told> {
        self.take(key).map_or(Ok(usual), |entry| entry.number(range, right, problems))
    }

    /// As [`Section::number_or`] of a share.
    pub(crate) fn percent_or(
        &mut self,
        key: &'static str,
        usual: f64,
        range: RangeInclusive<f64>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<f64, Told> {
        self.take(key).map_or(Ok(usual), |entry| entry.percent(range, right, problems))
    }

    /// Whether a key is written, without reading it.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Whether a key is written, or one that isn't among the `known` ones and was most likely meant for it.
    pub(crate) fn means(&self, key: &str, known: &[&str]) -> bool {
        self.has(key)
            || self.table.iter().any(|(written, _)| {
                let written: &str = written.get_ref();
                !known.contains(&written)
                    && nearest(written, known.iter().copied()).is_some_and(|near| near == key)
            })
    }

    /// Every entry in the order of the sheet, for tables whose keys are names.
    pub(crate) fn named_entries(&self) -> Vec<(&'t str, Entry<'t, 'i>)> {
        let mut entries: Vec<_> = self.table.iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        entries
            .into_iter()
            .map(|(key, value)| {
                let name: &str = key.get_ref();
                (name, Entry::new(self.path_of(name), Some(key.span()), value))
            })
            .collect()
    }

    /// Says where a key belongs that people are likely to write here.
    pub(crate) fn belongs_elsewhere(&mut self, key: &'static str, place: impl Into<String>) {
        self.elsewhere.push((key, place.into()));
    }

    /// Ends the reading: every key that was never asked for is a problem.
    pub(crate) fn close(self, problems: &mut Problems<'_>) {
        for (key, _) in self.table.iter() {
            let name: &str = key.get_ref();
            if self.asked.contains(&name) {
                continue;
            }
            let shown = quoted(name);
            let path = self.path_of(name);
            if let Some((_, place)) = self.elsewhere.iter().find(|(elsewhere, _)| *elsewhere == name) {
                problems.tell(&path, key.span(), format!("`{shown}` is not read here"), place.clone());
                continue;
            }
            if let Some(right) = home(name) {
                problems.tell(&path, key.span(), format!("`{shown}` is not read here"), right);
                continue;
            }
            let known = self.asked.iter().copied();
            let near = nearest(name, known.clone());
            let right = match &near {
                Some(near) => format!("`{near}`, if that was meant; nothing is guessed from a misspelt key"),
                None => format!("one of the keys read here: {}", listed(known)),
            };
            if let Some(near) = near.filter(|near| self.missing.contains(&near.as_str())) {
                // It isn't missing but misspelt, which is told here.
                problems.withdraw(&self.path_of(&near));
            }
            problems.tell(&path, key.span(), format!("no key is called `{shown}` here"), right);
        }
    }
}
