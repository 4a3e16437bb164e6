//! The linear undamped spring, the plainest model of a cushion.

use std::f64::consts::PI;

use measure::{Area, Length, Mass};

use crate::bounds::{area_in2, thickness_in, weight_lb, within};
use crate::{CushionError, Fall, GRAVITY_IN_S2, Stiffness, Stress};

/// Softest and stiffest spring, lb/in.
const RATE_LB_IN: (f64, f64) = (1e-9, 1e12);
/// Softest and stiffest modulus of a pad, psi.
const MODULUS_PSI: (f64, f64) = (1e-6, 1e9);

/// A linear spring without damping.
///
/// Formulae: an American university's packaging-dynamics formula sheet (published), and textbooks.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Spring {
    rate: f64,
}

impl Spring {
    /// A spring of this rate.
    ///
    /// # Errors
    /// When the rate is nothing, negative or no number.
    pub fn new(rate: Stiffness) -> Result<Self, CushionError> {
        Ok(Self { rate: within("spring rate", rate.pounds_per_inch(), "lb/in", RATE_LB_IN)? })
    }

    /// A pad of a material with a constant modulus k t / A: k = modulus x area / thickness.
    ///
    /// # Errors
    /// When a figure is nothing, negative or no number.
    pub fn pad(modulus: Stress, area: Area, thickness: Length) -> Result<Self, CushionError> {
        let modulus = within("modulus", modulus.psi(), "psi", MODULUS_PSI)?;
        Self::new(Stiffness::from_pounds_per_inch(modulus * area_in2(area)? / thickness_in(thickness)?))
    }

    /// Its rate.
    #[must_use]
    pub const fn rate(self) -> Stiffness {
        Stiffness::from_pounds_per_inch(self.rate)
    }

    /// One after another: 1/k = sum of 1/k.
    ///
    /// # Errors
    /// When there are none.
    pub fn series(springs: &[Self]) -> Result<Self, CushionError> {
        if springs.is_empty() {
            return Err(CushionError::Nothing { what: "springs" });
        }
        let flexibility: f64 = springs.iter().map(|spring| 1.0 / spring.rate).sum();
        Self::new(Stiffness::from_pounds_per_inch(1.0 / flexibility))
    }

    /// Side by side: k = sum of k.
    ///
    /// # Errors
    /// When there are none.
    pub fn parallel(springs: &[Self]) -> Result<Self, CushionError> {
        if springs.is_empty() {
            return Err(CushionError::Nothing { what: "springs" });
        }
        Self::new(Stiffness::from_pounds_per_inch(springs.iter().map(|spring| spring.rate).sum()))
    }

    fn static_in(self, fall: &Fall) -> f64 {
        fall.pounds() / self.rate
    }

    /// Deflection under the weight at rest, d = W / k.
    #[must_use]
    pub fn static_deflection(self, fall: &Fall) -> Length {
        Length::from_inches(self.static_in(fall))
    }

    /// Peak shock with gravity ignored during the stop, G = sqrt(2 h / d), in multiples of gravity.
    #[must_use]
    pub fn peak_g(self, fall: &Fall) -> f64 {
        (2.0 * fall.inches() / self.static_in(fall)).sqrt()
    }

    /// Net peak shock with gravity kept, G = sqrt(1 + 2 h / d), in multiples of gravity.
    #[must_use]
    pub fn peak_g_with_gravity(self, fall: &Fall) -> f64 {
        (1.0 + 2.0 * fall.inches() / self.static_in(fall)).sqrt()
    }

    /// Greatest deflection with gravity ignored during the stop, D = sqrt(2 h d).
    #[must_use]
    pub fn deflection(self, fall: &Fall) -> Length {
        Length::from_inches((2.0 * fall.inches() * self.static_in(fall)).sqrt())
    }

    /// Greatest deflection with gravity kept, from the undeformed length: D = d (1 + sqrt(1 + 2 h / d)).
    #[must_use]
    pub fn deflection_with_gravity(self, fall: &Fall) -> Length {
        Length::from_inches(self.static_in(fall) * (1.0 + self.peak_g_with_gravity(fall)))
    }

    /// Natural frequency with this weight on it, f = sqrt(k g / W) / 2 pi, Hz (3.13 / sqrt(d in inches)).
    ///
    /// # Errors
    /// When the weight is nothing, negative or no number.
    pub fn natural_frequency_hz(self, weight: Mass) -> Result<f64, CushionError> {
        Ok((self.rate * GRAVITY_IN_S2 / weight_lb(weight)?).sqrt() / (2.0 * PI))
    }

    /// Length of the half-sine pulse, pi sqrt(W / (k g)), seconds.
    ///
    /// # Errors
    /// When the weight is nothing, negative or no number.
    pub fn pulse_seconds(self, weight: Mass) -> Result<f64, CushionError> {
        Ok(PI * (weight_lb(weight)? / (self.rate * GRAVITY_IN_S2)).sqrt())
    }

    /// Whether a cushion of this thickness bottoms out: the deflection with gravity passes the share of the
    /// thickness that can be pressed (`usable_strain`, over 0 up to 1).
    ///
    /// # Errors
    /// When the thickness or the strain can't be used.
    pub fn bottoms_out(
        self,
        fall: &Fall,
        thickness: Length,
        usable_strain: f64,
    ) -> Result<bool, CushionError> {
        let strain = within("usable strain", usable_strain, "", (1e-6, 1.0))?;
        Ok(self.deflection_with_gravity(fall).inches() > strain * thickness_in(thickness)?)
    }
}
