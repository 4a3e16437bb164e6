//! What was measured.

use books::FindId;
use measure::{Length, Mass};
use serde::{Deserialize, Serialize};

use crate::{Noted, Record, stored};

/// A figure that was measured, or filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// A length, to the micrometre.
    Length(Length),
    /// A mass, to the milligram.
    Mass(Mass),
}

/// A length or a mass of a find.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(into = "Row", try_from = "Row")]
pub struct Measurement {
    /// The find.
    pub find: FindId,
    /// The piece, from 1; none where it holds for all of them.
    pub piece: Option<u32>,
    /// What was measured, such as "height"; once a find and piece.
    pub name: String,
    /// The figure, above 0.
    pub figure: Measured,
    /// Whether it was estimated.
    pub estimated: bool,
}

impl Noted for Measurement {
    const RECORD: Record = Record::Measurement;
}

/// A measurement as its row keeps it.
#[derive(Serialize, Deserialize)]
struct Row {
    #[serde(with = "stored::find")]
    find: FindId,
    piece: Option<u32>,
    name: String,
    #[serde(with = "stored::micrometres_opt")]
    micrometres: Option<Length>,
    #[serde(with = "stored::milligrams_opt")]
    milligrams: Option<Mass>,
    #[serde(deserialize_with = "stored::flag")]
    estimated: bool,
}

impl From<Measurement> for Row {
    fn from(one: Measurement) -> Self {
        let (micrometres, milligrams) = match one.figure {
            Measured::Length(length) => (Some(length), None),
            Measured::Mass(mass) => (None, Some(mass)),
        };
        let Measurement { find, piece, name, estimated, .. } = one;
        Self { find, piece, name, micrometres, milligrams, estimated }
    }
}

impl TryFrom<Row> for Measurement {
    type Error = &'static str;

    fn try_from(row: Row) -> Result<Self, Self::Error> {
        let figure = match (row.micrometres, row.milligrams) {
            (Some(length), None) => Measured::Length(length),
            (None, Some(mass)) => Measured::Mass(mass),
            (Some(_), Some(_)) | (None, None) => return Err("a measurement is a length or a mass"),
        };
        let Row { find, piece, name, estimated, .. } = row;
        Ok(Self { find, piece, name, figure, estimated })
    }
}
