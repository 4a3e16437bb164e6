//! Stress, stiffness and speed as types, each stored in one unit.

/// Standard gravity in in/s2: 9.806 65 m/s2 (exact, by definition) over 0.0254 m.
pub const GRAVITY_IN_S2: f64 = 9.806_65 / 0.0254;
/// Newtons in one pound of force (exact, by definition).
pub(crate) const NEWTONS_PER_POUND: f64 = 0.453_592_37 * 9.806_65;
/// Kilopascals in one pound per square inch (exact, from the two above).
const KPA_PER_PSI: f64 = NEWTONS_PER_POUND / (0.0254 * 0.0254) / 1000.0;
/// Metres per second in one inch per second (exact).
const M_PER_IN: f64 = 0.0254;

/// A stress or an energy of a unit volume, stored in pounds per square inch.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Stress(f64);

impl Stress {
    /// From pounds per square inch (or inch-pounds per cubic inch).
    #[must_use]
    pub const fn from_psi(psi: f64) -> Self {
        Self(psi)
    }
    /// From kilopascals.
    #[must_use]
    pub const fn from_kpa(kpa: f64) -> Self {
        Self(kpa / KPA_PER_PSI)
    }
    /// In pounds per square inch.
    #[must_use]
    pub const fn psi(self) -> f64 {
        self.0
    }
    /// In kilopascals.
    #[must_use]
    pub const fn kpa(self) -> f64 {
        self.0 * KPA_PER_PSI
    }
}

/// The rate of a spring, stored in pounds per inch.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stiffness(f64);

impl Stiffness {
    /// From pounds per inch.
    #[must_use]
    pub const fn from_pounds_per_inch(rate: f64) -> Self {
        Self(rate)
    }
    /// From newtons per millimetre.
    #[must_use]
    pub const fn from_newtons_per_mm(rate: f64) -> Self {
        Self(rate / NEWTONS_PER_POUND * 25.4)
    }
    /// In pounds per inch.
    #[must_use]
    pub const fn pounds_per_inch(self) -> f64 {
        self.0
    }
    /// In newtons per millimetre.
    #[must_use]
    pub const fn newtons_per_mm(self) -> f64 {
        self.0 * NEWTONS_PER_POUND / 25.4
    }
}

/// A speed or a change of it, stored in inches per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Speed(f64);

impl Speed {
    /// From inches per second.
    #[must_use]
    pub const fn from_inches_per_second(speed: f64) -> Self {
        Self(speed)
    }
    /// In inches per second.
    #[must_use]
    pub const fn inches_per_second(self) -> f64 {
        self.0
    }
    /// In metres per second.
    #[must_use]
    pub const fn metres_per_second(self) -> f64 {
        self.0 * M_PER_IN
    }
}
