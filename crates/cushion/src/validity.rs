//! Where the stress-energy law holds, and what is taken where it doesn't.

use std::fmt;

/// Thinnest cushion that the stress-energy law holds for, in (an American university's thesis on thin foams:
/// predictions differed significantly from measurements below 1 in; published).
pub(crate) const LEAST_THICKNESS_IN: f64 = 1.0;
/// Densest foam that the stress-energy law holds for, lb/ft3 (an American university's thesis on the sample
/// size of the method; published).
pub(crate) const MOST_DENSITY_PCF: f64 = 2.2;
/// What a thickness may miss the limit by and still reach it, in: rounding of unit conversion.
pub(crate) const SLACK_IN: f64 = 1e-9;

/// How a shock was reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// The stress-energy law of the material, inside its validity.
    StressEnergy,
    /// The cushion factor, by choice or because the stress-energy law does not hold.
    CushionFactor,
}

impl Method {
    /// Its name in messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::StressEnergy => "stress-energy",
            Self::CushionFactor => "cushion factor",
        }
    }
}

impl fmt::Display for Method {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(self.word())
    }
}

/// Why the stress-energy law does not hold.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Outside {
    /// The material has no pair of figures for it.
    #[error("no stress-energy figures are known for {material}")]
    NoPair {
        /// The material.
        material: String,
    },
    /// The cushion is too thin for the method.
    #[error("{thickness_in:.2} in is thinner than the {least_in} in from which the stress-energy law holds")]
    Thin {
        /// Its thickness, in.
        thickness_in: f64,
        /// The least, in.
        least_in: f64,
    },
    /// The foam is too dense for the method.
    #[error(
        "{density_pcf:.2} lb/ft3 is denser than the {most_pcf} lb/ft3 up to which the stress-energy law holds"
    )]
    Dense {
        /// Its density, lb/ft3.
        density_pcf: f64,
        /// The most, lb/ft3.
        most_pcf: f64,
    },
    /// The static stress is not among those the law was fitted to.
    #[error(
        "a load of {load_psi:.3} psi is outside the {low_psi} to {high_psi} psi that the law was fitted to"
    )]
    Load {
        /// Static stress, psi.
        load_psi: f64,
        /// Least of the fit, psi.
        low_psi: f64,
        /// Most of the fit, psi.
        high_psi: f64,
    },
    /// The thickness is not among those the law was fitted to.
    #[error("{thickness_in:.2} in is outside the {low_in} to {high_in} in that the law was fitted to")]
    Thickness {
        /// Its thickness, in.
        thickness_in: f64,
        /// Least of the fit, in.
        low_in: f64,
        /// Most of the fit, in.
        high_in: f64,
    },
}

impl Outside {
    /// Whether the law itself breaks down, rather than being extended past what it was fitted to.
    #[must_use]
    pub const fn breaks_the_law(&self) -> bool {
        match self {
            Self::NoPair { .. } | Self::Thin { .. } | Self::Dense { .. } => true,
            Self::Load { .. } | Self::Thickness { .. } => false,
        }
    }
}
