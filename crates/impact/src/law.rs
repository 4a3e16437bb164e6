//! How stress in a cushion grows with its strain, when it is pressed for the first time.

use crate::error::{ImpactError, within};

/// Strain up to which a foam answers elastically before its cells give way (Gibson and Ashby, Cellular
/// Solids: linear up to about 5 %; from memory).
pub const TOE_STRAIN: f64 = 0.05;

/// Stiffness of something hard, or of a cushion pressed solid, N per m: on a mass of 0.45 kg it gives the
/// pulse of about 1 ms that was measured on a glass bottle struck by a hard body (Mould 1952; k = m (pi/tau)^2,
/// derived).
pub const HARD_STIFFNESS_N_PER_M: f64 = 4.5e6;

/// Strain at which any cushion but a plain spring is pressed solid, whatever its law says (judgement).
const SOLID_STRAIN: f64 = 0.99;

/// Chords that stand for a curved law; the stress between their ends is off by less than 1 in 1,000, mostly by 1 in 10,000.
const CHORDS: usize = 128;

/// Share of a plateau's stress by which it rises along its length, so that every stress has one strain
/// (judgement; the energy at the end of the plateau is exact).
const PLATEAU_RISE: f64 = 0.005;

/// Stress of a cushion over its strain, on first pressing. Stresses in Pa, strains as shares of the
/// thickness.
///
/// All but [`Law::Spring`] end in something hard: where the tangent reaches [`HARD_STIFFNESS_N_PER_M`] or the
/// strain 0.99, the law goes on with that stiffness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// Stress proportional to strain, without end: a spring that never bottoms.
    Spring {
        /// Stress per strain, Pa.
        modulus_pa: f64,
    },
    /// Stress proportional to strain, then proportional with another modulus: linear with bottoming
    /// (Mindlin 1945, "bilinear elasticity").
    Bottoming {
        /// Stress per strain at first, Pa.
        modulus_pa: f64,
        /// Strain at which the cushion bottoms.
        strain: f64,
        /// Stress per further strain beyond it, Pa.
        beyond_pa: f64,
    },
    /// s = (2 E l / pi) tan(pi strain / 2 l): linear at first, ever stiffer towards the limit l
    /// (Mindlin 1945, "tangent elasticity").
    Tangent {
        /// Stress per strain at first, E, Pa.
        modulus_pa: f64,
        /// Strain that can't be reached, l.
        limit_strain: f64,
    },
    /// Stress a exp(b e) at absorbed energy density e (the stress-energy method: Burgess 1990, 1994;
    /// Daum 2006). As de = s d(strain), this is s = 1 / (1/a - b strain): stress grows without bound
    /// towards the strain 1 / (a b). The first 5 % of strain (less where a b is above 1) are an elastic toe
    /// that meets the law at the toe's own energy, so that beyond it stress over energy is exactly the law.
    StressEnergy {
        /// Stress at no energy, a, Pa.
        a_pa: f64,
        /// Growth per energy density, b, 1/Pa.
        b_per_pa: f64,
    },
    /// An elastic toe, then a nearly constant stress until the cushion has taken the energy density
    /// stress / cushion factor, then solid: crushing materials.
    Plateau {
        /// Stress at the end of the plateau, Pa.
        stress_pa: f64,
        /// Stress over energy density there (Janssen's factor), 1.1 or more.
        cushion_factor: f64,
    },
}

/// Stress over strain as chords: points from (0, 0), rising in both, and the modulus beyond the last.
pub(crate) struct Chords {
    /// (strain, stress in Pa).
    pub points: Vec<(f64, f64)>,
    /// Stress per strain beyond the last point, Pa.
    pub beyond_pa: f64,
    /// Whether the last point is where the cushion is pressed solid.
    pub ends: bool,
}

const STRESSES_PA: (f64, f64) = (1.0, 1e12);

impl Law {
    pub(crate) fn check(self, place: &str) -> Result<(), ImpactError> {
        match self {
            Law::Spring { modulus_pa } => {
                within(place, "the modulus", modulus_pa, STRESSES_PA, "Pa")?;
            }
            Law::Bottoming { modulus_pa, strain, beyond_pa } => {
                within(place, "the modulus", modulus_pa, STRESSES_PA, "Pa")?;
                within(place, "the strain at bottoming", strain, (0.001, 1.0), "of the thickness")?;
                within(place, "the modulus beyond bottoming", beyond_pa, STRESSES_PA, "Pa")?;
            }
            Law::Tangent { modulus_pa, limit_strain } => {
                within(place, "the modulus", modulus_pa, STRESSES_PA, "Pa")?;
                within(place, "the limit of strain", limit_strain, (0.001, 1.0), "of the thickness")?;
            }
            Law::StressEnergy { a_pa, b_per_pa } => {
                within(place, "the stress a", a_pa, (1.0, 1e9), "Pa")?;
                within(place, "the product a b", a_pa * b_per_pa, (0.01, 1000.0), "(no unit)")?;
            }
            Law::Plateau { stress_pa, cushion_factor } => {
                within(place, "the plateau's stress", stress_pa, (1.0, 1e9), "Pa")?;
                within(place, "the cushion factor", cushion_factor, (1.1, 1000.0), "(no unit)")?;
            }
        }
        Ok(())
    }

    /// The law as chords, for a cushion whose solid modulus is `solid_pa` (raised to the law's own first
    /// modulus where that is stiffer).
    pub(crate) fn chords(self, solid_pa: f64) -> Chords {
        match self {
            Law::Spring { modulus_pa } => {
                Chords { points: vec![(0.0, 0.0)], beyond_pa: modulus_pa, ends: false }
            }
            Law::Bottoming { modulus_pa, strain, beyond_pa } => {
                Chords { points: vec![(0.0, 0.0), (strain, modulus_pa * strain)], beyond_pa, ends: true }
            }
            Law::Tangent { modulus_pa, limit_strain } => tangent(modulus_pa, limit_strain, solid_pa),
            Law::StressEnergy { a_pa, b_per_pa } => stress_energy(a_pa, b_per_pa, solid_pa),
            Law::Plateau { stress_pa, cushion_factor } => {
                let toe = TOE_STRAIN.min(0.2 / cushion_factor);
                let first = (1.0 - PLATEAU_RISE) * stress_pa;
                let mean = (1.0 - PLATEAU_RISE / 2.0) * stress_pa;
                let end = toe + (stress_pa / cushion_factor - first * toe / 2.0) / mean;
                let beyond_pa = solid_pa.max(first / toe);
                Chords { points: vec![(0.0, 0.0), (toe, first), (end, stress_pa)], beyond_pa, ends: true }
            }
        }
    }
}

fn tangent(modulus: f64, limit: f64, solid: f64) -> Chords {
    let scale = 2.0 * limit / std::f64::consts::PI;
    let solid = solid.max(modulus);
    // Equal steps of asinh(tan) are close where the law bends and wide where it is straight.
    let last = (solid / modulus - 1.0).sqrt().asinh();
    let mut points = vec![(0.0, 0.0)];
    for n in 1..=CHORDS {
        let slope = (last * n as f64 / CHORDS as f64).sinh();
        let point = (scale * slope.atan(), modulus * scale * slope);
        if point.0 > SOLID_STRAIN {
            break;
        }
        points.push(point);
    }
    // A first chord alone means that the law is as hard as can be from the start.
    Chords { points: rising(points), beyond_pa: solid, ends: true }
}

fn stress_energy(a: f64, b: f64, solid: f64) -> Chords {
    let toe = TOE_STRAIN * (1.0 / (a * b)).min(1.0);
    // x = a exp(b x toe / 2): the map shrinks by 40 each round, as a b toe / 2 is 1/40 at most.
    let mut first = a;
    for _ in 0..20 {
        first = a * (b * first * toe / 2.0).exp();
    }
    let solid = solid.max(first / toe);
    let stress_at = |strain: f64| 1.0 / (1.0 / first - b * (strain - toe));
    let hardest = (solid / b).sqrt();
    let at_solid_strain = stress_at(SOLID_STRAIN);
    let last = if at_solid_strain > 0.0 { hardest.min(at_solid_strain) } else { hardest };
    let ratio = (last / first).max(1.0).ln() / CHORDS as f64;
    let mut points = vec![(0.0, 0.0), (toe, first)];
    for n in 1..=CHORDS {
        let stress = first * (ratio * n as f64).exp();
        points.push((toe + (1.0 / first - 1.0 / stress) / b, stress));
    }
    Chords { points: rising(points), beyond_pa: solid, ends: true }
}

/// Drops points that do not rise clear of the one before.
fn rising(points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for point in points {
        let clear =
            kept.last().is_none_or(|last| point.0 > last.0 + 1e-12 && point.1 > last.1 * (1.0 + 1e-12));
        if clear {
            kept.push(point);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn energy_and_stress(chords: &Chords) -> Vec<(f64, f64)> {
        let mut energy = 0.0;
        let mut found = Vec::new();
        for pair in chords.points.windows(2) {
            energy += (pair[1].0 - pair[0].0) * (pair[0].1 + pair[1].1) / 2.0;
            found.push((energy, pair[1].1));
        }
        found
    }

    #[test]
    fn beyond_the_toe_stress_over_energy_is_the_law() {
        for (a, b) in [(63.7e3, 1.66e-5), (13.8e3, 1.2e-4), (1e3, 1e-5), (1e5, 1e-3)] {
            let chords = Law::StressEnergy { a_pa: a, b_per_pa: b }.chords(3e7);
            for (energy, stress) in energy_and_stress(&chords) {
                let law = a * (b * energy).exp();
                assert!((stress / law - 1.0).abs() < 1e-3, "{a} {b}: {stress} for {law}");
            }
        }
    }

    #[test]
    fn a_plateau_ends_at_its_cushion_factor() {
        for factor in [1.1, 2.0, 3.0, 6.0, 100.0, 1000.0] {
            let chords = Law::Plateau { stress_pa: 2e5, cushion_factor: factor }.chords(1e7);
            let (energy, stress) = energy_and_stress(&chords)[1];
            assert!((stress / energy / factor - 1.0).abs() < 1e-9);
            assert!(chords.points[2].0 < 1.0);
        }
    }

    #[test]
    fn every_law_rises_at_every_extreme() {
        let mut laws = Vec::new();
        for modulus_pa in [1.0, 1e6, 1e12] {
            laws.push(Law::Spring { modulus_pa });
            for strain in [0.001, 0.5, 1.0] {
                laws.push(Law::Tangent { modulus_pa, limit_strain: strain });
                laws.push(Law::Bottoming { modulus_pa, strain, beyond_pa: 1e12 });
            }
        }
        for a_pa in [1.0, 1e4, 1e9] {
            for product in [0.01, 1.0, 1000.0] {
                laws.push(Law::StressEnergy { a_pa, b_per_pa: product / a_pa });
                laws.push(Law::Plateau { stress_pa: a_pa, cushion_factor: product.max(1.1) });
            }
        }
        for law in laws {
            for solid in [1e-3, 1e7, 1e16] {
                let chords = law.chords(solid);
                assert!(chords.beyond_pa > 0.0 && chords.beyond_pa.is_finite(), "{law:?}");
                assert!(chords.points.iter().all(|point| point.0.is_finite() && point.1.is_finite()));
                let rise = |pair: &[(f64, f64)]| pair[1].0 > pair[0].0 && pair[1].1 > pair[0].1;
                assert!(chords.points.windows(2).all(rise), "{law:?} {solid}");
            }
        }
    }
}
