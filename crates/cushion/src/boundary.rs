//! The damage boundary of a bare piece.

use crate::bounds::{shock_g, within};
use crate::fall::SPEED_IN_S;
use crate::{CushionError, Speed};

/// Critical velocity change and critical acceleration of a bare piece (ASTM D3332, methods A then B).
///
/// It speaks of inertia only: most breakage is by contact, and no boundary saves a handle that touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamageBoundary {
    speed_in_s: f64,
    acceleration_g: f64,
}

impl DamageBoundary {
    /// `critical_g` in multiples of gravity, 1 to 10 000.
    ///
    /// # Errors
    /// When either is nothing, negative, no number or out of range.
    pub fn new(critical: Speed, critical_g: f64) -> Result<Self, CushionError> {
        Ok(Self {
            speed_in_s: within("critical velocity", critical.inches_per_second(), "in/s", SPEED_IN_S)?,
            acceleration_g: shock_g(critical_g)?,
        })
    }

    /// Whether a square pulse damages: only one that passes both limits does. Blunter pulses are milder, so
    /// this errs against hope.
    ///
    /// # Errors
    /// When the change or the shock is negative or no number.
    pub fn damages(&self, change: Speed, peak_g: f64) -> Result<bool, CushionError> {
        let change = within("velocity change", change.inches_per_second(), "in/s", (0.0, f64::MAX))?;
        let peak_g = within("shock", peak_g, "G", (0.0, f64::MAX))?;
        Ok(change > self.speed_in_s && peak_g > self.acceleration_g)
    }
}
