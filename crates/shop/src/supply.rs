//! Kinds of packing supplies.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::{Noted, Record, stored};

/// Days from ordering a supply to having it, where none were told (judgement).
pub const LEAD_DAYS: u32 = 7;
/// Days of use that are kept in store beside that, where none were told (judgement).
pub const SAFETY_DAYS: u32 = 3;

/// A kind of supply: a size of carton, a wrap, a fill, a tape. What is on hand follows from what was bought and
/// used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Supply {
    /// Its name; no two have the same.
    pub name: String,
    /// What it is: carton, wrap, fill, tape, label.
    pub kind: String,
    /// What one unit of it is.
    pub unit: String,
    /// Its measures, in the form in which they are read elsewhere.
    #[serde(deserialize_with = "stored::from_text")]
    pub detail: Value,
    /// Days from ordering it to having it, 0 to 365.
    pub lead_days: u32,
    /// Days of use that are kept in store beside that, 0 to 365.
    pub safety_days: u32,
}

impl Noted for Supply {
    const RECORD: Record = Record::Supply;
}
