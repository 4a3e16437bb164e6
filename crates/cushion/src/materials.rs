//! The table of cushions: published defaults and the person's own.

use std::collections::BTreeMap;

use toml::Table;

use crate::material::RawMaterial;
use crate::nearest::find;
use crate::rows::{only, overlay, rows, table};
use crate::{CushionError, Material};

const PUBLISHED: &str = include_str!("../data/cushions.toml");
const FILE: &str = "cushions";
const EXAMPLE: &str = "[cushions.my_foam]";

/// All cushions.
#[derive(Debug, Clone, PartialEq)]
pub struct Cushions {
    rows: Table,
    all: BTreeMap<String, Material>,
}

impl Cushions {
    /// The cushions that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the cushions compiled in are read by a test")
    }

    /// Reads a whole cushions file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown, out of range or at odds with another.
    pub fn read(text: &str) -> Result<Self, CushionError> {
        Self::from_rows(table(FILE, text, EXAMPLE)?)
    }

    /// These cushions with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Cushions::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, CushionError> {
        Self::from_rows(overlay(&self.rows, &table(FILE, text, EXAMPLE)?))
    }

    fn from_rows(file: Table) -> Result<Self, CushionError> {
        only(FILE, &file, &[FILE])?;
        let all = rows::<RawMaterial>(&file, FILE, "cushion")?
            .into_iter()
            .map(|(key, raw)| Ok((key.clone(), Material::read(&key, raw)?)))
            .collect::<Result<_, CushionError>>()?;
        Ok(Self { rows: file, all })
    }

    /// The cushion with this key or name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest keys.
    pub fn find(&self, name: &str) -> Result<&Material, CushionError> {
        find(&self.all, "cushion", name, |material| &material.name)
    }

    /// All of them by their keys.
    pub fn iter(&self) -> impl Iterator<Item = &Material> {
        self.all.values()
    }
}
