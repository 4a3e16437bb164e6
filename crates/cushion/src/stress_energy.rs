//! The stress-energy law of closed-cell foams.

use std::f64::consts::E;

use measure::Length;

use crate::bounds::{height_in, shock_g, thickness_in, within};
use crate::{CushionError, Stress};

/// Least and most of the law's first figure, psi.
pub(crate) const A_PSI: (f64, f64) = (1e-6, 1e6);
/// Least and most of the law's second figure, 1/psi.
pub(crate) const B_PER_PSI: (f64, f64) = (1e-6, 1e6);
/// Least and most static stress, psi.
const LOAD_PSI: (f64, f64) = (1e-12, 1e9);

/// Dynamic stress G s = a exp(b x s h / t): one curve for every load, height and thickness of a material.
///
/// Burgess 1990 and 1994, Daum 2006 (from memory). Best loading and least shock follow by algebra.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StressEnergy {
    a: f64,
    b: f64,
}

impl StressEnergy {
    /// A law with `a` and `b` (1/psi).
    ///
    /// # Errors
    /// When either is nothing, negative or no number.
    pub fn new(a: Stress, b_per_psi: f64) -> Result<Self, CushionError> {
        Ok(Self { a: within("a", a.psi(), "psi", A_PSI)?, b: within("b", b_per_psi, "1/psi", B_PER_PSI)? })
    }

    /// The law through two points (static stress, G) of one cushion curve, taken at one height and thickness:
    /// b = ln(G2 s2 / (G1 s1)) / ((s2 - s1) h / t), a = G1 s1 exp(-b s1 h / t).
    ///
    /// # Errors
    /// When a figure can't be used, or the stress does not rise with the energy.
    pub fn through(
        first: (Stress, f64),
        second: (Stress, f64),
        height: Length,
        thickness: Length,
    ) -> Result<Self, CushionError> {
        let load = |stress: Stress| within("static stress", stress.psi(), "psi", LOAD_PSI);
        let (s1, g1) = (load(first.0)?, shock_g(first.1)?);
        let (s2, g2) = (load(second.0)?, shock_g(second.1)?);
        let ratio = height_in(height)? / thickness_in(thickness)?;
        let b = (g2 * s2 / (g1 * s1)).ln() / ((s2 - s1) * ratio);
        if !b.is_finite() || b <= 0.0 {
            let reason = format!("{g1} G at {s1} psi and {g2} G at {s2} psi");
            return Err(CushionError::NoFit { reason });
        }
        Self::new(Stress::from_psi(g1 * s1 * (-b * s1 * ratio).exp()), b)
    }

    /// The law's first figure.
    #[must_use]
    pub const fn a(&self) -> Stress {
        Stress::from_psi(self.a)
    }

    /// The law's second figure, 1/psi.
    #[must_use]
    pub const fn b_per_psi(&self) -> f64 {
        self.b
    }

    /// Dynamic stress G s at an energy density s h / t.
    #[must_use]
    pub fn dynamic_stress(&self, energy_density: Stress) -> Stress {
        Stress::from_psi(self.a * (self.b * energy_density.psi()).exp())
    }

    /// Predicted shock, G = (a / s) exp(b s h / t), in multiples of gravity; infinite where the sum overflows.
    ///
    /// # Errors
    /// When a figure is nothing, negative or no number.
    pub fn peak_g(&self, load: Stress, height: Length, thickness: Length) -> Result<f64, CushionError> {
        let load = within("static stress", load.psi(), "psi", LOAD_PSI)?;
        let energy = load * height_in(height)? / thickness_in(thickness)?;
        Ok(self.a / load * (self.b * energy).exp())
    }

    /// Best loading, s* = t / (b h).
    ///
    /// # Errors
    /// When a figure is nothing, negative or no number.
    pub fn best_load(&self, height: Length, thickness: Length) -> Result<Stress, CushionError> {
        Ok(Stress::from_psi(thickness_in(thickness)? / (self.b * height_in(height)?)))
    }

    /// Least shock at any load, e a b h / t, in multiples of gravity.
    ///
    /// # Errors
    /// When a figure is nothing, negative or no number.
    pub fn least_g(&self, height: Length, thickness: Length) -> Result<f64, CushionError> {
        Ok(self.cushion_factor() * height_in(height)? / thickness_in(thickness)?)
    }

    /// Cushion factor at the best loading, e a b, whatever height and thickness.
    #[must_use]
    pub fn cushion_factor(&self) -> f64 {
        E * self.a * self.b
    }
}
