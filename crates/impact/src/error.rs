//! What this room refuses.

/// A question that can't be answered, with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImpactError {
    /// A figure that is no number or out of all measure.
    #[error("{place}: {what} is {found}; it has to be from {least} to {most} {unit}")]
    OutOfRange {
        /// Where it stands ("link 3, layer 0").
        place: String,
        /// Which figure.
        what: &'static str,
        /// As given.
        found: f64,
        /// Least allowed.
        least: f64,
        /// Most allowed.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A link or contact to a mass that is not there.
    #[error("{place}: it is tied to mass {mass}, but there are {count} masses, counted from 0")]
    UnknownMass {
        /// Where it stands.
        place: String,
        /// The mass as given.
        mass: usize,
        /// How many there are.
        count: usize,
    },
    /// A link or contact with the same thing at both ends.
    #[error("{place}: both its ends are the same; one end has to be another mass or the wall")]
    SameEnds {
        /// Where it stands.
        place: String,
    },
    /// Nothing, or too much of something.
    #[error("{place}: there are {found} {what}; there have to be from {least} to {most}")]
    Count {
        /// Where it stands.
        place: String,
        /// What is counted.
        what: &'static str,
        /// As given.
        found: usize,
        /// Fewest allowed.
        least: usize,
        /// Most allowed.
        most: usize,
    },
    /// A direction that points nowhere.
    #[error("the direction {found:?} points nowhere; it has to be three finite numbers, not all 0")]
    Direction {
        /// As given.
        found: [f64; 3],
    },
    /// The steps ran out before the drop was over.
    #[error(
        "{steps} steps reached only {reached_s} s; allow more steps or less time, or soften the stiffest link"
    )]
    Unfinished {
        /// Steps made.
        steps: usize,
        /// Time reached after the first touch, s.
        reached_s: f64,
    },
    /// The motion left the range of numbers.
    #[error("after {reached_s} s the motion is no longer a number; masses and stiffnesses are too far apart")]
    NotANumber {
        /// Time reached after the first touch, s.
        reached_s: f64,
    },
}

/// The figure itself if it lies in the range, else the error that says so.
pub(crate) fn within(
    place: &str,
    what: &'static str,
    found: f64,
    (least, most): (f64, f64),
    unit: &'static str,
) -> Result<f64, ImpactError> {
    if found >= least && found <= most {
        Ok(found)
    } else {
        Err(ImpactError::OutOfRange { place: place.to_owned(), what, found, least, most, unit })
    }
}

/// Nothing, if the count lies in the range, else the error that says so.
pub(crate) fn counted(
    place: &str,
    what: &'static str,
    found: usize,
    (least, most): (usize, usize),
) -> Result<(), ImpactError> {
    if found >= least && found <= most {
        Ok(())
    } else {
        Err(ImpactError::Count { place: place.to_owned(), what, found, least, most })
    }
}
