//! Settings.

use serde::{Deserialize, Serialize};

use crate::{Noted, Record};

/// A default that the person changed, or confirmed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Setting {
    /// Its name; no two have the same.
    pub name: String,
    /// Its value, as typed.
    pub value: String,
    /// Where the value comes from.
    pub source: String,
}

impl Noted for Setting {
    const RECORD: Record = Record::Setting;
}
