//! Types of package that the parcel simulation tells apart.

use measure::{Length, Mass};

use crate::CushionError;
use crate::bounds::{weight_lb, within};

/// Smallest volume of a package that is not small, cm3 (ISTA 3A, a test laboratory's page; published).
const SMALL_CM3: f64 = 13_000.0;
/// Longest side of a small package, mm (the same).
const SMALL_MM: f64 = 350.0;
/// Heaviest small package, kg (the same).
const SMALL_KG: f64 = 4.5;
/// Longest shortest side of a flat package, mm (the same).
const FLAT_MM: f64 = 200.0;
/// Least ratio of the next side to the shortest of a flat package (the same).
const FLAT_RATIO: f64 = 4.0;
/// Shortest longest side of an elongated package, mm (the same).
const LONG_MM: f64 = 900.0;
/// Greatest share of the longest side that both others of an elongated package have (the same).
const LONG_SHARE: f64 = 0.2;
/// Shortest and longest side that is taken, mm.
const SIDE_MM: (f64, f64) = (0.1, 1e5);
/// Rounding of unit conversion, as a share.
const SLACK: f64 = 1e-9;

/// A type of package.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PackageType {
    /// Under 13 000 cm3 (800 in3), at most 350 mm (14 in) long and 4.5 kg (10 lb).
    Small,
    /// At most 200 mm (8 in) thick, the next side at least four times that, 13 000 cm3 or more.
    Flat,
    /// At least 900 mm (36 in) long, both other sides at most a fifth of that.
    Elongated,
    /// All others.
    Standard,
}

impl PackageType {
    /// Every type.
    pub const ALL: [Self; 4] = [Self::Small, Self::Flat, Self::Elongated, Self::Standard];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Small => "small",
            Self::Flat => "flat",
            Self::Elongated => "elongated",
            Self::Standard => "standard",
        }
    }

    /// The type of a package with these outside measures and gross weight. What is both flat and elongated is
    /// elongated. The metric limits are taken; those in inches and pounds are their roundings.
    ///
    /// # Errors
    /// When a side or the weight is nothing, negative, no number or beyond any parcel.
    pub fn of(outside: [Length; 3], gross: Mass) -> Result<Self, CushionError> {
        let kilograms = Mass::from_pounds(weight_lb(gross)?).grams() / 1000.0;
        let [a, b, c] = outside.map(|side| within("outside measure", side.mm(), "mm", SIDE_MM));
        let mut sides = [a?, b?, c?];
        sides.sort_by(f64::total_cmp);
        let [shortest, middle, longest] = sides;
        let cm3 = shortest * middle * longest / 1000.0;
        let up_to = |value: f64, limit: f64| value <= limit * (1.0 + SLACK);
        let from = |value: f64, limit: f64| value >= limit * (1.0 - SLACK);
        Ok(if from(longest, LONG_MM) && up_to(middle, LONG_SHARE * longest) {
            Self::Elongated
        } else if up_to(shortest, FLAT_MM) && from(middle, FLAT_RATIO * shortest) && from(cm3, SMALL_CM3) {
            Self::Flat
        } else if !from(cm3, SMALL_CM3) && up_to(longest, SMALL_MM) && up_to(kilograms, SMALL_KG) {
            Self::Small
        } else {
            Self::Standard
        })
    }
}
