//! Which column of a table is which.

use std::collections::BTreeMap;

use super::cells::{Cells, Row};
use super::{Column, IntakeError, IntakeOf};

/// Where the columns that are read stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Places(BTreeMap<&'static str, usize>);

impl Places {
    /// Finds them: a column under the name that was told for it, or under its own where that name wasn't told for
    /// another.
    pub(super) fn find(
        cells: &Cells,
        of: IntakeOf,
        map: &BTreeMap<String, String>,
    ) -> Result<Self, IntakeError> {
        let names = || cells.names().join(", ");
        if let Some(column) = map.keys().find(|told| of.columns().iter().all(|one| one.name != told.as_str()))
        {
            let columns: Vec<&str> = of.columns().iter().map(|column| column.name).collect();
            return Err(IntakeError::NotOfTheKind {
                rows: of.word(),
                column: column.clone(),
                columns: columns.join(", "),
            });
        }
        let told_for = |at: usize| map.iter().find(|(_, name)| cells.place(name) == Some(at));
        let mut places = BTreeMap::new();
        for &Column { name: column, needed, says } in of.columns() {
            let told = map.get(column);
            match (cells.place(told.map_or(column, String::as_str)), told) {
                (Some(at), None) if !needed && told_for(at).is_some() => {}
                (Some(at), _) => {
                    places.insert(column, at);
                }
                (None, Some(name)) => {
                    return Err(IntakeError::NoSuchName { column, name: name.clone(), names: names() });
                }
                (None, None) if needed => {
                    return Err(IntakeError::Missing { column, says, names: names() });
                }
                (None, None) => {}
            }
        }
        Ok(Self(places))
    }

    pub(super) fn has(&self, column: &str) -> bool {
        self.0.contains_key(column)
    }
}

/// Which name of the table each column of the kind has by itself, for those that have one.
#[must_use]
pub fn guessed(cells: &Cells, of: IntakeOf) -> BTreeMap<&'static str, usize> {
    of.columns().iter().filter_map(|column| Some((column.name, cells.place(column.name)?))).collect()
}

/// A row under the names that are read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Told<'a> {
    pub(super) row: &'a Row,
    pub(super) places: &'a Places,
}

impl<'a> Told<'a> {
    /// What stands in a column, without blanks around it; empty where there is no such column.
    pub(super) fn text(&self, column: &str) -> &'a str {
        self.places.0.get(column).and_then(|&at| self.row.cells.get(at)).map_or("", |cell| cell.trim())
    }

    /// The same, `None` where it is empty.
    pub(super) fn given(&self, column: &str) -> Option<&'a str> {
        Some(self.text(column)).filter(|text| !text.is_empty())
    }

    /// The same of a column that must hold something.
    pub(super) fn needed(&self, column: &str, right: &str) -> Result<&'a str, String> {
        self.given(column).ok_or_else(|| format!("{column} is empty; right would be {right}"))
    }

    /// What stands there on one line.
    pub(super) fn line(&self, column: &str) -> String {
        self.text(column).replace(['\n', '\r'], " ")
    }
}
