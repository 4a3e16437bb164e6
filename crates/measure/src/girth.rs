//! How posts and carriers measure a box beside its sides.

use crate::Length;

/// Distance around a box at right angles to its longest side.
#[must_use]
pub fn girth(sides: [Length; 3]) -> Length {
    (sides.into_iter().sum::<Length>() - longest(sides)) * 2.0
}

/// Longest side plus girth (USPS Quick Service Guide 201e), from the sides as measured.
///
/// ```
/// use measure::{Length, length_plus_girth};
/// let sides = [30.0, 10.0, 15.0].map(Length::from_inches);
/// assert!((length_plus_girth(sides).inches() - 80.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn length_plus_girth(sides: [Length; 3]) -> Length {
    longest(sides) + girth(sides)
}

fn longest(sides: [Length; 3]) -> Length {
    sides.into_iter().fold(Length::ZERO, Length::max)
}
