//! One law for every cushion: peak stress against the energy that a unit volume takes up.
//!
//! A cushion factor J says what a material does at its best loads and nothing of others. Beyond them the law
//! goes on as a curve that meets it with the same value and slope:
//!
//! ```text
//! e < from        stress = J from f(e / from)
//! from <= e <= to stress = J e
//! e > to          stress = J to f(e / to)
//!
//! closed-cell foam    f(x) = exp(x - 1)
//! soft cushions       f(x) = sqrt(exp(2 c x) - 1) / sqrt(exp(2 c) - 1)
//! ```
//!
//! The first is the stress-energy exponential: with from = to = 1/b and J = e a b it is a exp(b e) itself. The
//! second is tangent elasticity (Mindlin 1945): stress grows as tan(pi strain / 2 l) towards a strain l that can't
//! be reached, and its factor is least where e is c (4 E l2 / pi2). It starts from nothing, as fill and paper do
//! under a finger. Which shape goes with which material is judgement. Both are one function each, so that layers
//! of any kind can be put in series.

use crate::StressEnergy;

/// c: -ln cos x at the least of tan x / -ln cos x (derived).
const TANGENT_BEST: f64 = 0.796_812_136_930_763_6;
/// pi/2 times the least of tan x / -ln cos x: the cushion factor of tangent elasticity times its limit of strain
/// (derived).
pub const TANGENT_FACTOR: f64 = 3.903_849_079_989_098;
/// Limit of strain beyond which no cushion can be pressed: a factor that asks for more is a foam's (judgement).
const MOST_STRAIN: f64 = 0.99;

/// How a law goes on beyond the best loads of its material.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// As the stress-energy exponential: it gives nothing below a stress.
    Foam,
    /// As tangent elasticity: it starts from nothing.
    Soft,
}

impl Shape {
    /// f(x), and 1 at 1.
    fn rise(self, x: f64) -> f64 {
        match self {
            Self::Foam => (x - 1.0).exp(),
            Self::Soft => ((2.0 * TANGENT_BEST * x).exp_m1() / (2.0 * TANGENT_BEST).exp_m1()).sqrt(),
        }
    }

    /// The x that has this rise; nothing below the least of it.
    fn reached(self, rise: f64) -> f64 {
        match self {
            Self::Foam => (1.0 + rise.ln()).max(0.0),
            Self::Soft => (rise * rise * (2.0 * TANGENT_BEST).exp_m1()).ln_1p() / (2.0 * TANGENT_BEST),
        }
    }
}

/// Peak stress of a material as a rising function of energy density; both in psi.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StressLaw {
    factor: f64,
    best: Option<(f64, f64)>,
    shape: Shape,
}

impl StressLaw {
    /// A factor with the energy densities (psi) between which it holds; `None` when they aren't known, and
    /// the factor is then taken at every load. `from` is over 0 and at most `to`.
    pub(crate) fn new(factor: f64, best: Option<(f64, f64)>) -> Self {
        let shape = if factor * MOST_STRAIN >= TANGENT_FACTOR { Shape::Soft } else { Shape::Foam };
        Self { factor, best, shape }
    }

    /// The stress-energy law, and its own cushion factor.
    #[must_use]
    pub fn of(law: &StressEnergy) -> Self {
        let best = 1.0 / law.b_per_psi();
        Self { factor: law.cushion_factor(), best: Some((best, best)), shape: Shape::Foam }
    }

    /// This law with every stress times `times`.
    pub(crate) fn scaled(self, times: f64) -> Self {
        Self { factor: self.factor * times, ..self }
    }

    /// This law with another factor.
    pub(crate) fn with_factor(self, factor: f64) -> Self {
        Self { factor, ..self }
    }

    /// The cushion factor at the best loads.
    #[must_use]
    pub const fn factor(&self) -> f64 {
        self.factor
    }

    /// The energy densities (psi) of the best loads, where they are known.
    #[must_use]
    pub const fn best(&self) -> Option<(f64, f64)> {
        self.best
    }

    /// How it goes on beyond them.
    #[must_use]
    pub const fn shape(&self) -> Shape {
        self.shape
    }

    /// Peak stress (psi) at an energy density (psi).
    #[must_use]
    pub fn stress(&self, energy: f64) -> f64 {
        match self.best {
            Some((from, _)) if energy < from => self.factor * from * self.shape.rise(energy / from),
            Some((_, to)) if energy > to => self.factor * to * self.shape.rise(energy / to),
            Some(_) | None => self.factor * energy,
        }
    }

    /// Energy density (psi) taken up at a peak stress (psi); nothing below the stress at which the material
    /// begins to give.
    #[must_use]
    pub fn energy(&self, stress: f64) -> f64 {
        let plain = stress / self.factor;
        match self.best {
            Some((from, _)) if plain < from => from * self.shape.reached(plain / from),
            Some((_, to)) if plain > to => to * self.shape.reached(plain / to),
            Some(_) | None => plain,
        }
    }

    /// Stress (psi) below which it does not give at all: what makes a stiff cushion useless under a light load,
    /// however thick it is.
    #[must_use]
    pub fn stiffness(&self) -> f64 {
        self.stress(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Stress;

    #[test]
    fn with_one_best_load_the_law_is_the_stress_energy_law() {
        let pair = StressEnergy::new(Stress::from_psi(9.24), 0.1144).expect("pair");
        let law = StressLaw::of(&pair);
        for energy in [0.0, 1.0, 8.0, 8.741, 9.0, 30.0] {
            let expected = 9.24 * (0.1144f64 * energy).exp();
            assert!((law.stress(energy) / expected - 1.0).abs() < 1e-12, "{energy}");
            assert!((law.energy(expected) - energy).abs() < 1e-9, "{energy}");
        }
    }

    #[test]
    fn a_soft_law_is_tangent_elasticity_between_its_best_loads_and_nothing() {
        // Stress (2 E l / pi) tan x, energy (4 E l2 / pi2) (-ln cos x), with x = pi strain / 2 l.
        let (modulus, limit) = (7.5, TANGENT_FACTOR / 4.5);
        let scale = 4.0 * modulus * limit * limit / std::f64::consts::PI.powi(2);
        let law = StressLaw::new(4.5, Some((TANGENT_BEST * scale, TANGENT_BEST * scale)));
        for x in [0.01f64, 0.3, 0.9, 1.1, 1.4] {
            let (energy, stress) =
                (-scale * x.cos().ln(), 2.0 * modulus * limit / std::f64::consts::PI * x.tan());
            assert!((law.stress(energy) / stress - 1.0).abs() < 1e-9, "{x}");
            assert!((law.energy(stress) / energy - 1.0).abs() < 1e-9, "{x}");
        }
    }

    #[test]
    fn the_pieces_of_the_law_meet() {
        for law in [StressLaw::new(4.5, Some((1.2, 2.4))), StressLaw::new(3.0, Some((1.2, 2.4)))] {
            meet(law);
        }
    }

    fn meet(law: StressLaw) {
        for at in [1.2f64, 2.4] {
            assert!((law.stress(at - 1e-9) - law.stress(at + 1e-9)).abs() < 1e-7);
            let slope = |x: f64| (law.stress(x + 1e-6) - law.stress(x)) / 1e-6;
            assert!((slope(at - 2e-6) - slope(at + 1e-6)).abs() < 1e-3);
        }
    }
}
