//! Where goods are bought.

use serde::{Deserialize, Serialize};

use crate::{Noted, Record};

/// A place to buy: a shop, a sale, a parish hall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// Anything to remember of it.
    pub note: String,
}

impl Noted for Place {
    const RECORD: Record = Record::Place;
}
