//! How the carton comes down.

use crate::error::{ImpactError, within};

/// Standard gravity, m/s2 (BIPM, exact).
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// One drop onto a rigid floor, in the carton's own axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// Free fall, m.
    pub height_m: f64,
    /// Direction of the fall in the carton's axes; its length does not count.
    pub direction: [f64; 3],
    /// Whether gravity goes on pulling after the first touch.
    pub gravity: bool,
    /// Speed at which the carton itself leaves the floor over the speed at which it struck, 0 to 1. The
    /// contents then meet walls that come towards them: the change of speed is 1 + rebound times the
    /// speed of fall (ASTM D3332).
    pub rebound: f64,
}

impl Drop {
    /// A drop in m onto a floor that keeps the carton, gravity pulling.
    #[must_use]
    pub fn new(height_m: f64, direction: [f64; 3]) -> Drop {
        Drop { height_m, direction, gravity: true, rebound: 0.0 }
    }

    /// Speed at which the carton strikes the floor, m/s: sqrt(2 g h).
    #[must_use]
    pub fn speed(&self) -> f64 {
        (2.0 * STANDARD_GRAVITY * self.height_m).sqrt()
    }

    pub(crate) fn check(&self) -> Result<(), ImpactError> {
        within("the drop", "the height", self.height_m, (1e-4, 100.0), "m")?;
        within("the drop", "the carton's rebound", self.rebound, (0.0, 1.0), "(no unit)")?;
        unit(self.direction).map(|_| ())
    }
}

/// The direction at length 1.
pub(crate) fn unit(direction: [f64; 3]) -> Result<[f64; 3], ImpactError> {
    // Scaled by the largest first, so that neither huge nor tiny directions lose their length.
    let largest = direction.iter().fold(0.0_f64, |most, part| most.max(part.abs()));
    let sound = direction.iter().all(|part| part.is_finite()) && largest > 0.0;
    let scaled = direction.map(|part| part / largest);
    let length = scaled.iter().map(|part| part * part).sum::<f64>().sqrt();
    if sound {
        Ok(scaled.map(|part| part / length))
    } else {
        Err(ImpactError::Direction { found: direction })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_direction_has_length_one_or_is_refused() {
        for direction in [[3.0, 0.0, 4.0], [1e300, 1e300, 0.0], [0.0, 1e-320, 0.0]] {
            let found = unit(direction).unwrap();
            assert!((found.iter().map(|part| part * part).sum::<f64>() - 1.0).abs() < 1e-12);
        }
        for direction in [[0.0; 3], [f64::NAN, 1.0, 0.0], [f64::INFINITY, 0.0, 0.0]] {
            assert!(unit(direction).is_err());
        }
    }
}
