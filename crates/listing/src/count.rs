//! The count of a lot and the word for it: one, pair, set, lot, service.

use crate::ListingError;

/// Why the pieces of a lot are sold together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belonging {
    /// Like pieces: two of them are a pair, more are just so many.
    Alike,
    /// Made to belong together: a set.
    MadeAsSet,
    /// Merely together: a lot.
    MerelyTogether,
    /// Place settings for this many persons, from 1: a service.
    PlaceSettings(u32),
}

/// How many pieces one lot has, and the word for it.
///
/// ```
/// use listing::{Belonging, Count};
/// assert_eq!(Count::new(2, Belonging::Alike)?.title_words(), "Pair of");
/// assert_eq!(Count::new(4, Belonging::Alike)?.title_words(), "4");
/// assert_eq!(Count::new(4, Belonging::MadeAsSet)?.title_words(), "Set of 4");
/// assert_eq!(Count::new(20, Belonging::PlaceSettings(4))?.title_words(), "20 Piece Service for 4");
/// assert!(Count::new(0, Belonging::Alike).is_err());
/// # Ok::<(), listing::ListingError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    pieces: u32,
    belonging: Belonging,
}

impl Count {
    /// A count of pieces with the reason why they are together. A single piece is one, whatever the reason.
    ///
    /// # Errors
    /// [`ListingError::NoCount`] for no piece or a service for nobody.
    pub fn new(pieces: u32, belonging: Belonging) -> Result<Self, ListingError> {
        if pieces == 0 {
            return Err(ListingError::NoCount { what: "0 pieces" });
        }
        if belonging == Belonging::PlaceSettings(0) {
            return Err(ListingError::NoCount { what: "a service for 0" });
        }
        Ok(Self { pieces, belonging })
    }

    /// How many pieces, from 1.
    #[must_use]
    pub const fn pieces(self) -> u32 {
        self.pieces
    }

    /// For how many persons it is a service; `None` when it is none.
    #[must_use]
    pub const fn service_for(self) -> Option<u32> {
        match self.belonging {
            Belonging::PlaceSettings(persons) => Some(persons),
            Belonging::Alike | Belonging::MadeAsSet | Belonging::MerelyTogether => None,
        }
    }

    /// The words a title begins with.
    #[must_use]
    pub fn title_words(self) -> String {
        let pieces = self.pieces;
        match (self.belonging, pieces) {
            (Belonging::PlaceSettings(persons), _) => format!("{pieces} Piece Service for {persons}"),
            (_, 1) => "One".to_owned(),
            (Belonging::Alike, 2) => "Pair of".to_owned(),
            (Belonging::Alike, _) => pieces.to_string(),
            (Belonging::MadeAsSet, _) => format!("Set of {pieces}"),
            (Belonging::MerelyTogether, _) => format!("Lot of {pieces}"),
        }
    }

    /// What one lot is, inside a sentence: "one lot of 4", "one pair", "one piece".
    #[must_use]
    pub fn one_lot(self) -> String {
        let pieces = self.pieces;
        match (self.belonging, pieces) {
            (Belonging::PlaceSettings(persons), _) => format!("one service for {persons}"),
            (_, 1) => "one piece".to_owned(),
            (Belonging::Alike, 2) => "one pair".to_owned(),
            (Belonging::MadeAsSet, _) => format!("one set of {pieces}"),
            (Belonging::Alike | Belonging::MerelyTogether, _) => format!("one lot of {pieces}"),
        }
    }
}
