//! Flaws, piece by piece.

use books::FindId;
use measure::Length;
use serde::{Deserialize, Serialize};

use crate::{Noted, Record, stored};

/// A flaw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Flaw {
    /// The find.
    #[serde(with = "stored::find")]
    pub find: FindId,
    /// The piece, from 1; none where it isn't known which.
    pub piece: Option<u32>,
    /// What it is: chip, flea bite, hairline, crazing.
    pub kind: String,
    /// Where it is.
    pub position: String,
    /// How large it is, above 0.
    #[serde(rename = "micrometres", with = "stored::micrometres_opt")]
    pub size: Option<Length>,
}

impl Flaw {
    /// What it is and where: "chip, on the rim".
    #[must_use]
    pub fn words(&self) -> String {
        let position = self.position.trim();
        if position.is_empty() { self.kind.clone() } else { format!("{}, {position}", self.kind) }
    }
}

impl Noted for Flaw {
    const RECORD: Record = Record::Flaw;
}
