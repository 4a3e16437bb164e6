//! How finely and how long a drop is followed.

use crate::error::{ImpactError, counted, within};

/// Steps and stops of the integration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Length of a step in radians of the stiffest motion there can be at that moment.
    pub step_radians: f64,
    /// Share of the energy of the fall by which one step may fail to balance; else it is halved.
    pub imbalance: f64,
    /// Longest time followed after the first touch, s.
    pub time_s: f64,
    /// Share of the energy of the fall at which motion and cushions together no longer matter: the run
    /// ends.
    pub rest_share: f64,
    /// Most steps of one run.
    pub most_steps: usize,
    /// Whether the energies of every step are kept.
    pub record: bool,
}

impl Default for Settings {
    /// Steps for peaks within 1 %, on single cushions 0.3 %; 60 ms, or until a twentieth of the energy is left (judgement: what
    /// moves on is then as harmless as a drop from a twentieth of the height).
    fn default() -> Settings {
        Settings {
            step_radians: 0.3,
            imbalance: 1e-4,
            time_s: 0.06,
            rest_share: 0.05,
            most_steps: 200_000,
            record: false,
        }
    }
}

impl Settings {
    pub(crate) fn check(&self) -> Result<(), ImpactError> {
        within("the settings", "the step", self.step_radians, (1e-4, 1.0), "rad")?;
        within("the settings", "the imbalance of a step", self.imbalance, (1e-12, 0.1), "of the energy")?;
        within("the settings", "the time", self.time_s, (1e-6, 10.0), "s")?;
        within("the settings", "the share at rest", self.rest_share, (0.0, 1.0), "of the energy")?;
        counted("the settings", "steps at most", self.most_steps, (1, 100_000_000))
    }
}
