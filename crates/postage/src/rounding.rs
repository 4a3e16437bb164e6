//! Rounding as postal rules word it.

use serde::Deserialize;

/// Share of a step that the arithmetic of decimals may be off by; far below anything written.
const ARITHMETIC: f64 = 1e-9;

/// Rounds up to the next of `per_unit` equal steps in one (100: hundredths, 4: quarters).
///
/// The last kept digit grows if any digit follows it (Domestic Mail Manual 604.7.1).
#[must_use]
pub fn round_up_to(value: f64, per_unit: u32) -> f64 {
    (value * f64::from(per_unit) - ARITHMETIC).ceil() / f64::from(per_unit)
}

/// Rounds to the nearest of `per_unit` equal steps in one, a half upwards.
#[must_use]
pub fn round_off_to(value: f64, per_unit: u32) -> f64 {
    (value * f64::from(per_unit) + 0.5 + ARITHMETIC).floor() / f64::from(per_unit)
}

/// Rounds down to one of `per_unit` equal steps in one.
#[must_use]
pub fn round_down_to(value: f64, per_unit: u32) -> f64 {
    (value * f64::from(per_unit) + ARITHMETIC).floor() / f64::from(per_unit)
}

/// How a card turns a measured side into whole inches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SideRounding {
    /// Any fraction counts as a whole inch.
    Up,
    /// To the nearest inch, a half upwards.
    Nearest,
}

impl SideRounding {
    /// A side of `inches`, in whole inches.
    ///
    /// Rounding up forgives an excess of up to `tolerance_in` (inches), so that a side converted
    /// from millimetres doesn't grow by an inch for the last digit of the conversion.
    #[must_use]
    pub fn whole_inches(self, inches: f64, tolerance_in: f64) -> f64 {
        match self {
            Self::Up => round_up_to(inches - tolerance_in, 1),
            Self::Nearest => round_off_to(inches, 1),
        }
    }

    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Up => "rounded up to whole inches",
            Self::Nearest => "rounded to the nearest inch",
        }
    }
}
