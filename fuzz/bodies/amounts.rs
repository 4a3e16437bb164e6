//! Any text as a length, a mass, a volume and an amount of money: a finite figure that is not negative
//! (money may be), or a sentence; never a panic.
#![allow(dead_code, reason = "tokens are for the seeded mutations, not for the fuzzer")]

use measure::{Length, LengthUnit, Mass, MassUnit, Money, Units, Volume};

/// Words and marks that amounts are made of.
pub const TOKENS: &[&str] = &[
    " in",
    "\"",
    "″",
    "'",
    "′",
    " ft ",
    " cm",
    "mm",
    " lb ",
    " oz",
    " g",
    "kg",
    " ft3",
    " cu ft",
    "in3",
    " L",
    "1/2",
    "-1/4",
    "/0",
    "½",
    "¾",
    "⅞",
    "⁄",
    ".",
    ",",
    "-",
    "−",
    "+",
    "$",
    "e9",
    "00",
    "99999999999999999999",
    "\u{a0}",
    "\u{feff}",
    "nan",
    "inf",
    "١",
    "1 ft 11.999999999 in",
];

pub fn run(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    for bare in [None, Some(LengthUnit::Inches), Some(LengthUnit::Millimetres)] {
        if let Ok(length) = Length::read(&text, bare) {
            let mm = length.mm();
            assert!(mm.is_finite() && mm >= 0.0, "{text:?} is {mm} mm");
            for units in [Units::UsCustomary, Units::Metric] {
                let written = length.write(units);
                assert!(Length::read(&written, None).is_ok(), "{text:?} is written {written:?}");
            }
        }
        let _ = Length::read_positive(&text, bare).map_err(|error| error.to_string());
    }
    for bare in [None, Some(MassUnit::Ounces), Some(MassUnit::Grams)] {
        if let Ok(mass) = Mass::read(&text, bare) {
            let grams = mass.grams();
            assert!(grams.is_finite() && grams >= 0.0, "{text:?} is {grams} g");
            for units in [Units::UsCustomary, Units::Metric] {
                let written = mass.write(units);
                assert!(Mass::read(&written, None).is_ok(), "{text:?} is written {written:?}");
            }
        }
        let _ = Mass::read_positive(&text, bare).map_err(|error| error.to_string());
    }
    if let Ok(volume) = Volume::read(&text) {
        assert!(volume.mm3().is_finite() && volume.mm3() >= 0.0, "{text:?} is {volume:?}");
    }
    let _ = Volume::read_positive(&text).map_err(|error| error.to_string());
    if let Ok(money) = Money::read(&text) {
        assert_eq!(Money::read(&money.write()), Ok(money), "{text:?}");
    }
}
