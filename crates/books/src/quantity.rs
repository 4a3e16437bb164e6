//! How much of a supply, in millionths of a unit, so that half a roll is exact.

use crate::BooksError;

const MICROS: f64 = 1e6;
/// Most units that are reckoned with (judgement).
const MOST_UNITS: f64 = 1e9;

/// A count of units to the millionth: cartons, sheets, feet of tape, cubic feet of fill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Quantity(u64);

impl Quantity {
    /// None.
    pub const NONE: Self = Self(0);

    /// Whole units.
    #[must_use]
    pub fn whole(units: u32) -> Self {
        Self(u64::from(units) * 1_000_000)
    }

    /// Units and parts of one, to the nearest millionth.
    ///
    /// # Errors
    /// When the figure is negative, no number, or past a thousand million.
    pub fn units(units: f64) -> Result<Self, BooksError> {
        if (0.0..=MOST_UNITS).contains(&units) {
            // In range, so the cast loses nothing but the sign of zero.
            Ok(Self((units * MICROS).round() as u64))
        } else {
            Err(Self::wrong(units.to_string()))
        }
    }

    /// Millionths of a unit, as a store keeps them.
    ///
    /// # Errors
    /// When there are more than a thousand million units.
    pub fn from_micros(micros: u64) -> Result<Self, BooksError> {
        if micros as f64 <= MOST_UNITS * MICROS {
            Ok(Self(micros))
        } else {
            Err(Self::wrong(format!("{micros} millionths")))
        }
    }

    /// In millionths of a unit.
    #[must_use]
    pub const fn micros(self) -> u64 {
        self.0
    }

    /// In units.
    #[must_use]
    pub fn in_units(self) -> f64 {
        self.0 as f64 / MICROS
    }

    fn wrong(found: String) -> BooksError {
        BooksError::Wrong {
            place: "quantity".to_owned(),
            field: "units",
            found,
            right: "a figure from 0 to a thousand million",
        }
    }
}
