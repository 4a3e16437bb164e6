//! Where lots are sold.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::{Noted, Record, stored};

/// A venue with its terms.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Venue {
    /// Its name; no two have the same.
    pub name: String,
    /// Its fees and limits, in the form in which they are read elsewhere.
    #[serde(deserialize_with = "stored::from_text")]
    pub terms: Value,
}

impl Noted for Venue {
    const RECORD: Record = Record::Venue;
}
