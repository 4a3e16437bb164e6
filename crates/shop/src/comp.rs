//! Comparable sales, as typed.

use books::FindId;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{Noted, Record, stored};

/// A comparable sale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Comp {
    /// The find it is compared with.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// What was typed.
    pub typed: String,
    /// The day it was seen.
    pub date: Date,
}

impl Noted for Comp {
    const RECORD: Record = Record::Comp;
}
