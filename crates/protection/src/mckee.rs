//! The three forms of the compression formula, and where they may be asked.

use measure::Length;

use crate::compression::compression_strength;
use crate::{BoxStyle, ProtectionError};

/// Constant and exponents of the full formula in pounds and inches: edge crush, geometric mean of the two
/// stiffnesses, outline (McKee, Gander and Wachuta 1963, from memory).
const FULL: (f64, f64, f64, f64) = (2.028, 0.746, 0.254, 0.492);
/// Constant and exponents of the form without stiffness: caliper, outline (the same paper, from memory).
const EXPONENT: (f64, f64, f64) = (5.874, 0.508, 0.492);
/// The formulae hold for cartons at least this share of their outline deep (the same paper, from memory).
const LEAST_DEPTH_SHARE: f64 = 1.0 / 7.0;
/// What a depth may miss its bound by and still reach it, as a share: rounding of unit conversion.
const SLACK: f64 = 1e-9;

/// A form of the formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mckee {
    /// With the bending stiffness of the board along and across the machine, each in lb-in.
    Full {
        /// Stiffness along the machine, lb-in.
        along_lb_in: f64,
        /// Stiffness across the machine, lb-in.
        across_lb_in: f64,
    },
    /// With the caliper instead of the stiffness, exponents kept.
    Exponent,
    /// With the caliper, both exponents rounded to a square root.
    Simplified,
}

impl Mckee {
    /// The formula in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Full { .. } => "2.028 ECT^0.746 (sqrt(Dx Dy))^0.254 Z^0.492",
            Self::Exponent => "5.874 ECT h^0.508 Z^0.492",
            Self::Simplified => "5.87 ECT sqrt(h Z)",
        }
    }
}

/// What a carton bears in a press, new and dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompressionStrength {
    /// Strength, pounds of force.
    pub lbf: f64,
    /// The form of the formula.
    pub formula: Mckee,
    /// The depth from which the formula holds, when the carton is shallower: then the figure is a guess.
    pub shallow_under: Option<Length>,
}

/// Compression strength of a carton by one form of the formula.
///
/// `ect_lb_in` is the edge crush of the board, lb/in; `outside` is length, width and depth, of which the
/// outline Z is 2 (L + W). A carton shallower than Z/7 is outside what the formula was fitted to: it is
/// answered, and flagged.
///
/// ```
/// use measure::Length;
/// use protection::{BoxStyle, Mckee, mckee};
///
/// let outside = [16.0, 12.0, 12.0].map(Length::from_inches);
/// let strength = mckee(Mckee::Simplified, 32.0, Length::from_inches(0.16), outside, BoxStyle::RegularSlotted)?;
/// assert_eq!(strength.lbf.round(), 562.0);
/// assert_eq!(strength.shallow_under, None);
/// # Ok::<(), protection::ProtectionError>(())
/// ```
///
/// # Errors
/// When the carton isn't a regular slotted one with upright flutes, or a figure isn't more than nothing.
///
/// Source: McKee, Gander and Wachuta 1963 (full and exponent form and validity from memory, simplified
/// form as in a laboratory's box compression reference).
pub fn mckee(
    formula: Mckee,
    ect_lb_in: f64,
    caliper: Length,
    outside: [Length; 3],
    style: BoxStyle,
) -> Result<CompressionStrength, ProtectionError> {
    match style {
        BoxStyle::RegularSlotted => {}
        BoxStyle::Other => {
            return Err(ProtectionError::Unreckonable {
                what: "compression strength".to_owned(),
                found: "a carton of another style".to_owned(),
                right: "a regular slotted carton with upright flutes, which the formula is for".to_owned(),
            });
        }
    }
    let [length, width, depth] = outside;
    let above_nothing = [
        ("edge crush", ect_lb_in),
        ("thickness of board", caliper.inches()),
        ("outside length", length.inches()),
        ("outside width", width.inches()),
        ("outside depth", depth.inches()),
    ];
    for (what, figure) in above_nothing {
        more_than_nothing(what, figure)?;
    }
    let outline = (length + width) * 2.0;
    let lbf = match formula {
        Mckee::Full { along_lb_in, across_lb_in } => {
            more_than_nothing("stiffness along the machine", along_lb_in)?;
            more_than_nothing("stiffness across the machine", across_lb_in)?;
            let (constant, crush, stiffness, round) = FULL;
            constant
                * ect_lb_in.powf(crush)
                // Root by root, so that two large stiffnesses don't overflow.
                * (along_lb_in.sqrt() * across_lb_in.sqrt()).powf(stiffness)
                * outline.inches().powf(round)
        }
        Mckee::Exponent => {
            let (constant, thick, round) = EXPONENT;
            constant * ect_lb_in * caliper.inches().powf(thick) * outline.inches().powf(round)
        }
        Mckee::Simplified => compression_strength(ect_lb_in, caliper, outline),
    };
    more_than_nothing("compression strength", lbf)?;
    let least = outline * LEAST_DEPTH_SHARE;
    let shallow = depth.inches() < least.inches() * (1.0 - SLACK);
    Ok(CompressionStrength { lbf, formula, shallow_under: shallow.then_some(least) })
}

/// Refuses what isn't a finite number above 0.
pub(crate) fn more_than_nothing(what: &str, figure: f64) -> Result<(), ProtectionError> {
    if figure.is_finite() && figure > 0.0 {
        return Ok(());
    }
    Err(ProtectionError::Unreckonable {
        what: what.to_owned(),
        found: figure.to_string(),
        right: "a number more than 0".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn carton(depth: f64) -> [Length; 3] {
        [16.0, 12.0, depth].map(Length::from_inches)
    }

    fn ask(formula: Mckee, ect: f64, depth: f64) -> Result<CompressionStrength, ProtectionError> {
        mckee(formula, ect, Length::from_inches(0.16), carton(depth), BoxStyle::RegularSlotted)
    }

    #[test]
    fn a_carton_shallower_than_a_seventh_of_its_outline_is_flagged() {
        assert_eq!(ask(Mckee::Simplified, 32.0, 8.0).expect("deep enough").shallow_under, None);
        let shallow = ask(Mckee::Simplified, 32.0, 7.99).expect("answered").shallow_under;
        assert!((shallow.expect("flagged").inches() - 8.0).abs() < 1e-9);
    }

    #[test]
    fn another_style_and_figures_that_are_none_are_refused() {
        let other = mckee(Mckee::Simplified, 32.0, Length::from_inches(0.16), carton(12.0), BoxStyle::Other);
        assert!(other.expect_err("refused").to_string().contains("regular slotted"));
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(ask(Mckee::Simplified, bad, 12.0).is_err());
            assert!(ask(Mckee::Simplified, 32.0, bad).is_err());
            assert!(ask(Mckee::Full { along_lb_in: bad, across_lb_in: 50.0 }, 32.0, 12.0).is_err());
            assert!(ask(Mckee::Full { along_lb_in: 50.0, across_lb_in: bad }, 32.0, 12.0).is_err());
        }
        assert!(ask(Mckee::Simplified, f64::MAX, 12.0).is_err(), "no infinite strength");
    }
}
