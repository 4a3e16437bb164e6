//! Rate cards of the person's own.

use serde::{Deserialize, Serialize};

use crate::{Noted, Record};

/// A rate card by name, with its text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RateCardText {
    /// Its name; no two have the same.
    pub name: String,
    /// The card, as it is read elsewhere.
    pub text: String,
}

impl Noted for RateCardText {
    const RECORD: Record = Record::RateCard;
}
