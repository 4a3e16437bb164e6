//! A parcel as the counter sees it: three sides, a weight, a shape.

use measure::{Length, Mass};

use crate::Refusal;

/// What postage depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParcelFacts {
    /// Outside measures at their extremes, in any order.
    pub outside: [Length; 3],
    /// Weight as handed over.
    pub gross: Mass,
    /// Whether it is a box; tubes, rolls and odd shapes are not.
    pub rectangular: bool,
}

impl ParcelFacts {
    /// The sides in inches, longest first.
    ///
    /// # Errors
    /// [`Refusal::NotMeasurable`] for a side or weight that is not a finite number above zero, and
    /// [`Refusal::NothingToWeigh`] for a weight of zero.
    pub(crate) fn checked_sides_in(&self) -> Result<[f64; 3], Refusal> {
        for side in self.outside {
            if !side.mm().is_finite() || side <= Length::ZERO {
                return Err(Refusal::NotMeasurable { what: "side", found: side.inches(), unit: "in" });
            }
        }
        if !self.gross.grams().is_finite() || self.gross < Mass::ZERO {
            return Err(Refusal::NotMeasurable { what: "weight", found: self.gross.pounds(), unit: "lb" });
        }
        if self.gross == Mass::ZERO {
            return Err(Refusal::NothingToWeigh);
        }
        Ok(longest_first(self.outside).map(Length::inches))
    }
}

fn longest_first(mut outside: [Length; 3]) -> [Length; 3] {
    outside.sort_by(|a, b| b.total_cmp(a));
    outside
}

/// Distance around a section by its sides ("6 + 6 + 6" for a three-sided tube).
#[must_use]
pub fn girth_of_section(sides: &[Length]) -> Length {
    sides.iter().copied().sum()
}
