//! Postal zones.

use std::fmt;

/// A postal zone, 1 to 9.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Zone(u8);

impl Zone {
    /// How many zones there are.
    pub(crate) const COUNT: usize = 9;

    /// The nearest zone.
    pub const NEAREST: Self = Self(1);
    /// The freely associated states.
    pub const NINE: Self = Self(9);

    /// The zone of this number, if it is 1 to 9.
    #[must_use]
    pub const fn new(number: u8) -> Option<Self> {
        if number >= 1 && number <= 9 { Some(Self(number)) } else { None }
    }

    /// Its number, 1 to 9.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// All zones from the nearest.
    pub fn all() -> impl Iterator<Item = Self> {
        (1..=9).map(Self)
    }

    /// Its place among the columns of a price table, from 0.
    pub(crate) const fn column(self) -> usize {
        self.0 as usize - 1
    }

    /// The zone whose band is at this place, from 0.
    pub(crate) fn of_band(place: usize) -> Self {
        Self(u8::try_from(place + 1).map_or(9, |number| number.min(9)))
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "zone {}", self.0)
    }
}
