//! What was measured.

use books::FindId;
use measure::{Length, Mass};
use serde::{Deserialize, Serialize};

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::{Noted, Record, Shop, ShopError, Stamp, stored};

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

impl Shop {
    /// Enters measures of a find, or of one piece of it, together: those that differ from what is known are entered
    /// anew, those that are `None` struck out. All of it, or nothing.
    ///
    /// # Errors
    /// When there is no such find or piece, or a figure breaks a rule of the file.
    pub fn measure(
        &mut self,
        stamp: &Stamp,
        find: FindId,
        piece: Option<u32>,
        figures: &[(String, Option<Measured>)],
    ) -> Result<(), ShopError> {
        let pieces = self.pieces(find)?.len();
        if piece.is_some_and(|piece| piece == 0 || usize::try_from(piece).is_ok_and(|piece| piece > pieces)) {
            return Err(ShopError::Wrong {
                record: Record::Measurement,
                field: "piece",
                found: piece.unwrap_or_default().to_string(),
                right: "the number of a piece of this find",
            });
        }
        let known: Vec<(u64, Measurement)> = self.noted_of(find)?;
        let mut stamp = stamp.clone();
        self.write(|writing| {
            for (name, figure) in figures {
                let known = known.iter().find(|(_, one)| one.piece == piece && one.name == *name);
                let noted = match (known, figure) {
                    (None, None) => continue,
                    (Some((_, one)), Some(figure)) if one.figure == *figure && !one.estimated => continue,
                    (Some((number, _)), None) => {
                        NotedRecord { record: Record::Measurement, number: *number, entered: None }
                    }
                    (known, Some(figure)) => {
                        let number = match known {
                            Some((number, _)) => *number,
                            None => next_number(writing.conn, Record::Measurement)?,
                        };
                        let one = Measurement {
                            find,
                            piece,
                            name: name.clone(),
                            figure: *figure,
                            estimated: false,
                        };
                        let entered = Some(fields_of(Record::Measurement, &one)?.into());
                        NotedRecord { record: Record::Measurement, number, entered }
                    }
                };
                let before = match known {
                    Some((number, _)) => writing.last_event(Record::Measurement, *number)?,
                    None => None,
                };
                writing.enter(&stamp, &Event::Noted(noted), before)?;
                // A key belongs to one event.
                stamp = Stamp::at(stamp.at);
            }
            Ok(())
        })
    }
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
