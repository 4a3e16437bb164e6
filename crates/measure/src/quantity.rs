//! The four physical quantities as newtypes over one stored unit each.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// Millimetres in one international inch (exact, by definition).
pub(crate) const MM_PER_INCH: f64 = 25.4;
/// Grams in one avoirdupois pound (exact, by definition).
pub(crate) const GRAMS_PER_POUND: f64 = 453.592_37;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// A total order, for sorting.
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity! {
    /// A length, stored in millimetres.
    Length
}
quantity! {
    /// A mass, stored in grams.
    Mass
}
quantity! {
    /// An area, stored in square millimetres.
    Area
}
quantity! {
    /// A volume, stored in cubic millimetres.
    Volume
}

impl Length {
    /// From millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm)
    }
    /// From inches.
    #[must_use]
    pub const fn from_inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }
    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.0
    }
    /// In inches.
    #[must_use]
    pub const fn inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }
}

impl Mass {
    /// From grams.
    #[must_use]
    pub const fn from_grams(grams: f64) -> Self {
        Self(grams)
    }
    /// From avoirdupois ounces.
    #[must_use]
    pub const fn from_ounces(ounces: f64) -> Self {
        Self(ounces * (GRAMS_PER_POUND / 16.0))
    }
    /// From avoirdupois pounds.
    #[must_use]
    pub const fn from_pounds(pounds: f64) -> Self {
        Self(pounds * GRAMS_PER_POUND)
    }
    /// In grams.
    #[must_use]
    pub const fn grams(self) -> f64 {
        self.0
    }
    /// In avoirdupois ounces.
    #[must_use]
    pub const fn ounces(self) -> f64 {
        self.0 / (GRAMS_PER_POUND / 16.0)
    }
    /// In avoirdupois pounds.
    #[must_use]
    pub const fn pounds(self) -> f64 {
        self.0 / GRAMS_PER_POUND
    }
}

impl Area {
    /// From square millimetres.
    #[must_use]
    pub const fn from_mm2(mm2: f64) -> Self {
        Self(mm2)
    }
    /// From square feet.
    #[must_use]
    pub const fn from_square_feet(ft2: f64) -> Self {
        Self(ft2 * (144.0 * MM_PER_INCH * MM_PER_INCH))
    }
    /// In square millimetres.
    #[must_use]
    pub const fn mm2(self) -> f64 {
        self.0
    }
    /// In square feet.
    #[must_use]
    pub const fn square_feet(self) -> f64 {
        self.0 / (144.0 * MM_PER_INCH * MM_PER_INCH)
    }
}

impl Volume {
    /// From cubic millimetres.
    #[must_use]
    pub const fn from_mm3(mm3: f64) -> Self {
        Self(mm3)
    }
    /// From cubic inches.
    #[must_use]
    pub const fn from_cubic_inches(in3: f64) -> Self {
        Self(in3 * (MM_PER_INCH * MM_PER_INCH * MM_PER_INCH))
    }
    /// From cubic feet.
    #[must_use]
    pub const fn from_cubic_feet(ft3: f64) -> Self {
        Self::from_cubic_inches(ft3 * 1728.0)
    }
    /// In cubic millimetres.
    #[must_use]
    pub const fn mm3(self) -> f64 {
        self.0
    }
    /// In cubic inches.
    #[must_use]
    pub const fn cubic_inches(self) -> f64 {
        self.0 / (MM_PER_INCH * MM_PER_INCH * MM_PER_INCH)
    }
    /// In cubic feet.
    #[must_use]
    pub const fn cubic_feet(self) -> f64 {
        self.cubic_inches() / 1728.0
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0)
    }
}

impl Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, depth: Length) -> Volume {
        Volume(self.0 * depth.0)
    }
}
