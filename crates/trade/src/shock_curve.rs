//! The shock over the load: what another bearing area would do.

use cushion::Material;
use measure::{Area, Length};

use crate::GuardQuestion;

/// Loads of a curve, each this much further along by ratio than the one before (judgement: smooth to the eye).
const LOADS: u32 = 97;
/// How far a curve goes to each side of the piece's own load, as a ratio (judgement).
const REACH: f64 = 32.0;
/// Square inches in a square foot (exact).
const IN2_PER_FT2: f64 = 144.0;

impl GuardQuestion<'_> {
    /// Static stress (psi) and peak shock (multiples of gravity) behind a thickness of a material, by rising
    /// load, about the load of the first bearing area. Loads under which it bottoms out are left out, as is all
    /// where a figure can't be reckoned with.
    #[must_use]
    pub fn shock_curve(&self, material: &Material, thickness: Length) -> Vec<[f64; 2]> {
        let Some(own) = self.load_psi() else { return Vec::new() };
        (0..LOADS)
            .filter_map(|k| {
                let share = 2.0 * f64::from(k) / f64::from(LOADS - 1) - 1.0;
                let load = own * REACH.powf(share);
                let area = Area::from_square_feet(self.weight.pounds() / load / IN2_PER_FT2);
                let shock = self.shock(material, thickness, area).ok()?;
                Some([load, shock.peak_g])
            })
            .collect()
    }

    /// Static stress (psi) on the first bearing area; `None` without one.
    #[must_use]
    pub fn load_psi(&self) -> Option<f64> {
        let in2 = self.bearings.first()?.area.square_feet() * IN2_PER_FT2;
        Some(self.weight.pounds() / in2).filter(|load| load.is_finite() && *load > 0.0)
    }
}
