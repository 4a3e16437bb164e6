//! A figure's value with its unit, and how it is written.

use measure::{Length, Mass, Volume};

/// A value as a form or a person states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A length, written in inches.
    Length(Length),
    /// A mass, written in ounces.
    Mass(Mass),
    /// A whole number.
    Count(u32),
    /// An angle in degrees, counter-clockwise from the x axis.
    Degrees(f64),
    /// A volume, written in cubic inches.
    Volume(Volume),
}

impl Value {
    /// The value as people read it: "3.25 in", "15.5 oz", "2", "180 deg", "43.3 in3".
    ///
    /// At most three decimals, without trailing zeros.
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::Length(length) => format!("{} in", decimal(length.inches())),
            Self::Mass(mass) => format!("{} oz", decimal(mass.ounces())),
            Self::Count(count) => count.to_string(),
            Self::Degrees(degrees) => format!("{} deg", decimal(degrees)),
            Self::Volume(volume) => format!("{} in3", decimal(volume.cubic_inches())),
        }
    }

    /// The plain number this room reckons with: mm, g, count, degrees or mm3.
    pub(crate) fn reckoned(self) -> f64 {
        match self {
            Self::Length(length) => length.mm(),
            Self::Mass(mass) => mass.grams(),
            Self::Count(count) => f64::from(count),
            Self::Degrees(degrees) => degrees,
            Self::Volume(volume) => volume.mm3(),
        }
    }
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text())
    }
}

fn decimal(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_drops_trailing_zeros_and_keeps_the_unit() {
        assert_eq!(Value::Length(Length::from_inches(3.25)).text(), "3.25 in");
        assert_eq!(Value::Length(Length::from_inches(10.0)).text(), "10 in");
        assert_eq!(Value::Mass(Mass::from_ounces(15.5)).text(), "15.5 oz");
        assert_eq!(Value::Count(20).text(), "20");
        assert_eq!(Value::Degrees(180.0).text(), "180 deg");
        assert_eq!(Value::Volume(Volume::from_cubic_inches(43.3)).text(), "43.3 in3");
        assert_eq!(Value::Length(Length::from_inches(-0.0001)).text(), "0 in");
    }
}
