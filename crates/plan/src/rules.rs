//! Rules that a plan is made under and checked against.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far two positions may differ and still be called the same, mm.
pub const TOLERANCE_MM: f64 = 0.01;

/// How far wrap may be pressed where two wrapped things, or one and a wall, touch.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Crush {
    /// Largest share of the wrap's thickness that may be pressed away sideways, 0 to 1.
    pub sideways: f64,
}

impl Crush {
    /// Least hard-to-hard distance sideways between parts with these wraps, mm.
    #[must_use]
    pub fn pair_mm(self, wrap_a_mm: f64, wrap_b_mm: f64, separation_mm: f64) -> f64 {
        ((wrap_a_mm + wrap_b_mm) * (1.0 - self.sideways)).max(separation_mm)
    }

    /// Least hard-to-wall distance for a part with this wrap, mm.
    #[must_use]
    pub fn wall_mm(self, wrap_mm: f64, clearance_mm: f64) -> f64 {
        (wrap_mm * (1.0 - self.sideways)).max(clearance_mm)
    }
}
