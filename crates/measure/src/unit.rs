//! Units as people write them.

use crate::{Length, Mass, Volume};

/// The units that figures are written back in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Units {
    /// Inches, pounds and ounces, cubic feet.
    #[default]
    UsCustomary,
    /// Millimetres and centimetres, grams and kilograms, litres.
    Metric,
}

/// A unit of length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LengthUnit {
    /// International inches of 25.4 mm.
    Inches,
    /// Feet of 12 in.
    Feet,
    /// Millimetres.
    Millimetres,
    /// Centimetres.
    Centimetres,
    /// Metres.
    Metres,
}

impl LengthUnit {
    /// The unit that a word or mark stands for (`in`, `inches`, `"`, `ft`, `cm`), whatever its case.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word.trim().trim_end_matches('.').to_lowercase().as_str() {
            "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" | "′′" | "’’" => {
                Some(Self::Inches)
            }
            "ft" | "foot" | "feet" | "'" | "′" | "’" => Some(Self::Feet),
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Some(Self::Millimetres),
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Some(Self::Centimetres),
            "m" | "metre" | "metres" | "meter" | "meters" => Some(Self::Metres),
            _ => None,
        }
    }

    /// This many of the unit.
    #[must_use]
    pub const fn of(self, count: f64) -> Length {
        match self {
            Self::Inches => Length::from_inches(count),
            Self::Feet => Length::from_inches(count * 12.0),
            Self::Millimetres => Length::from_mm(count),
            Self::Centimetres => Length::from_mm(count * 10.0),
            Self::Metres => Length::from_mm(count * 1000.0),
        }
    }
}

/// A unit of mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MassUnit {
    /// Avoirdupois ounces, 16 to the pound.
    Ounces,
    /// Avoirdupois pounds of 453.592 37 g.
    Pounds,
    /// Grams.
    Grams,
    /// Kilograms.
    Kilograms,
}

impl MassUnit {
    /// The unit that a word stands for (`oz`, `lb`, `lbs`, `g`, `kg`), whatever its case.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word.trim().trim_end_matches('.').to_lowercase().as_str() {
            "oz" | "ounce" | "ounces" => Some(Self::Ounces),
            "lb" | "lbs" | "pound" | "pounds" => Some(Self::Pounds),
            "g" | "gram" | "grams" => Some(Self::Grams),
            "kg" | "kilo" | "kilos" | "kilogram" | "kilograms" => Some(Self::Kilograms),
            _ => None,
        }
    }

    /// This many of the unit.
    #[must_use]
    pub const fn of(self, count: f64) -> Mass {
        match self {
            Self::Ounces => Mass::from_ounces(count),
            Self::Pounds => Mass::from_pounds(count),
            Self::Grams => Mass::from_grams(count),
            Self::Kilograms => Mass::from_grams(count * 1000.0),
        }
    }
}

/// A unit of volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum VolumeUnit {
    /// Cubic feet.
    CubicFeet,
    /// Cubic inches.
    CubicInches,
    /// Litres.
    Litres,
    /// Millilitres.
    Millilitres,
}

impl VolumeUnit {
    /// The unit that words stand for (`ft3`, `cu ft`, `in3`, `L`, `ml`), whatever their case.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let folded: String = words
            .to_lowercase()
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '^'))
            .map(|c| if c == '³' { '3' } else { c })
            .collect();
        match folded.as_str() {
            "ft3" | "cuft" | "cft" | "cubicfoot" | "cubicfeet" => Some(Self::CubicFeet),
            "in3" | "cuin" | "cubicinch" | "cubicinches" => Some(Self::CubicInches),
            "l" | "litre" | "litres" | "liter" | "liters" => Some(Self::Litres),
            "ml" | "cm3" | "cc" | "millilitre" | "millilitres" | "milliliter" | "milliliters" => {
                Some(Self::Millilitres)
            }
            _ => None,
        }
    }

    /// This many of the unit.
    #[must_use]
    pub const fn of(self, count: f64) -> Volume {
        match self {
            Self::CubicFeet => Volume::from_cubic_feet(count),
            Self::CubicInches => Volume::from_cubic_inches(count),
            Self::Litres => Volume::from_mm3(count * 1e6),
            Self::Millilitres => Volume::from_mm3(count * 1e3),
        }
    }
}
