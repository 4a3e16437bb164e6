//! Tables that were sent, held until they are stored or forgotten.

use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use keeping::{Cells, IntakeOf, Looked, Remembered};

/// Tables held at once; the oldest is forgotten (judgement: a few people, tens of megabytes each at worst).
const MOST_HELD: usize = 4;

/// A table, how it is to be read, and what it comes to.
#[derive(Debug, Clone)]
pub(crate) struct Held {
    pub(crate) of: IntakeOf,
    pub(crate) source: String,
    pub(crate) cells: Arc<Cells>,
    pub(crate) how: Remembered,
    /// The shop file it was looked at with.
    pub(crate) shop: PathBuf,
    /// The number of the preview.
    pub(crate) shown: u64,
    pub(crate) outcome: Outcome,
}

/// What became of a table.
#[derive(Debug, Clone)]
pub(crate) enum Outcome {
    /// Not looked at yet.
    ToLook,
    /// A column isn't clear: its name and what is wrong.
    Unclear(String, String),
    /// What would be stored.
    Ready(Arc<Looked>),
    /// How much was stored, and how many rows were left out.
    Stored(usize, usize),
}

/// The tables that are held, by key.
#[derive(Debug, Default)]
pub(crate) struct HeldTables(Mutex<VecDeque<(String, Held)>>);

impl HeldTables {
    pub(crate) fn find(&self, key: &str) -> Option<Held> {
        let tables = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        tables.iter().find(|(known, _)| known == key).map(|(_, held)| held.clone())
    }

    /// Forgets all of them: what they were looked at with is no longer there.
    pub(crate) fn forget(&self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    pub(crate) fn put(&self, key: &str, held: Held) {
        let mut tables = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        tables.retain(|(known, _)| known != key);
        if tables.len() >= MOST_HELD {
            tables.pop_front();
        }
        tables.push_back((key.to_owned(), held));
    }
}
