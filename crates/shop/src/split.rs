//! Into which lots a find is split.

use books::FindId;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{Noted, Record, stored};

/// A decision how a find is split into lots.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Split {
    /// The find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// The day it was decided.
    pub date: Date,
    /// Pieces in each lot.
    #[serde(deserialize_with = "stored::from_text")]
    pub lots: Vec<u32>,
    /// Pieces kept to replace a broken one.
    pub spare: u32,
    /// Why.
    pub note: String,
}

impl Noted for Split {
    const RECORD: Record = Record::Split;
}
