//! How the person's own breakages move a class of fragility.
//!
//! The record is of parcels packed to what the class asks for. Its method has two steps.
//!
//! Shrinkage: the planning rate p0 counts as `parcels` parcels seen before (a beta prior), so that
//! p = (p0 n0 + broken) / (n0 + sent).
//!
//! Shift: a piece breaks under a shock x with chance 1 / (1 + (m / x)^k), logistic in the logarithm of the
//! shock. Parcels all packed alike see the same x, so that a rate of p in place of p0 means that the class
//! stands f times what was thought, with ln f = -(logit p - logit p0) / k, kept between two bounds. The upper
//! one is the nearer: a lucky record must not talk cushion away.

use protection::{Figure, Flag, Origin};
use serde::Deserialize;

use crate::rows::{RawFigure, figure};
use crate::working::shown;
use crate::{CushionError, Fragility, Working};

/// Least and most chance of a breakage.
const RATE: (f64, f64) = (1e-4, 0.5);
/// Least and most parcels that a default may be worth.
const PARCELS: (f64, f64) = (1.0, 10_000.0);
/// Least and most steepness.
const STEEPNESS: (f64, f64) = (0.5, 100.0);
/// Least and most of the lower bound, and of the upper.
const LOWER: (f64, f64) = (0.05, 1.0);
const UPPER: (f64, f64) = (1.0, 10.0);

/// How the parcels of a record were packed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Packed {
    /// In one box, with the cushion asked for.
    Single,
    /// In a box in a box.
    Double,
    /// With too little cushion.
    Under,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTuning {
    rate_single: RawFigure,
    rate_double: RawFigure,
    rate_under_packed: RawFigure,
    parcels: RawFigure,
    steepness: RawFigure,
    least: RawFigure,
    most: RawFigure,
}

/// The figures of the method.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuning {
    /// Planning rate of breakage in one box.
    pub rate_single: Figure,
    /// Planning rate in a box in a box.
    pub rate_double: Figure,
    /// Planning rate with too little cushion.
    pub rate_under_packed: Figure,
    /// Parcels that the planning rate is worth.
    pub parcels: Figure,
    /// Steepness k of the chance of breakage in the logarithm of shock.
    pub steepness: Figure,
    /// Least factor.
    pub least: Figure,
    /// Most factor.
    pub most: Figure,
}

impl Tuning {
    pub(crate) fn read(raw: RawTuning) -> Result<Self, CushionError> {
        let read = |key, raw, bounds| figure("tuning", key, raw, bounds);
        Ok(Self {
            rate_single: read("rate_single", raw.rate_single, RATE)?,
            rate_double: read("rate_double", raw.rate_double, RATE)?,
            rate_under_packed: read("rate_under_packed", raw.rate_under_packed, RATE)?,
            parcels: read("parcels", raw.parcels, PARCELS)?,
            steepness: read("steepness", raw.steepness, STEEPNESS)?,
            least: read("least", raw.least, LOWER)?,
            most: read("most", raw.most, UPPER)?,
        })
    }

    /// The planning rate for parcels packed so.
    #[must_use]
    pub const fn rate(&self, packed: Packed) -> &Figure {
        match packed {
            Packed::Single => &self.rate_single,
            Packed::Double => &self.rate_double,
            Packed::Under => &self.rate_under_packed,
        }
    }
}

/// A class moved by a record, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuned {
    /// The class with its figures moved.
    pub fragility: Fragility,
    /// Rate of breakage after shrinkage, over 0 and under 1.
    pub rate: f64,
    /// What every figure was multiplied by.
    pub factor: f64,
    /// The arithmetic, line by line.
    pub working: Working,
}

fn logit(chance: f64) -> f64 {
    (chance / (1.0 - chance)).ln()
}

impl Fragility {
    /// This class moved by a record: `broken` of `sent` parcels, all packed alike and to what the class asks
    /// for, arrived with a breakage. Call it on the default, not on a class that was moved before.
    ///
    /// # Errors
    /// When more were broken than sent.
    pub fn tuned(
        &self,
        broken: u32,
        sent: u32,
        packed: Packed,
        tuning: &Tuning,
    ) -> Result<Tuned, CushionError> {
        if broken > sent {
            return Err(CushionError::Record { broken, sent });
        }
        let (usual, worth) = (tuning.rate(packed).value, tuning.parcels.value);
        let (broken_parcels, all_parcels) = (f64::from(broken), f64::from(sent));
        let rate = (usual * worth + broken_parcels) / (worth + all_parcels);
        let shift = -(logit(rate) - logit(usual)) / tuning.steepness.value;
        let factor = if sent == 0 { 1.0 } else { shift.exp().clamp(tuning.least.value, tuning.most.value) };
        let source = format!("{} G moved by {broken} broken of {sent} sent", shown(self.g.value));
        let origin = if sent == 0 { self.g.origin.clone() } else { Origin { flag: Flag::Own, source } };
        let fragility = if sent == 0 { self.clone() } else { self.times(factor, &origin) };
        let mut working = Working::default();
        working.add(
            "rate of breakage",
            "(p0 n0 + broken) / (n0 + sent)",
            format!("({} x {} + {broken}) / ({} + {sent})", shown(usual), shown(worth), shown(worth)),
            shown(rate),
        );
        working.add(
            "factor on the class",
            &format!(
                "exp(-(logit p - logit p0) / k), from {} to {}",
                shown(tuning.least.value),
                shown(tuning.most.value)
            ),
            format!(
                "exp(-({} - {}) / {})",
                shown(logit(rate)),
                shown(logit(usual)),
                shown(tuning.steepness.value)
            ),
            shown(factor),
        );
        working.add(
            "the class stands",
            "G x factor",
            format!("{} x {}", shown(self.g.value), shown(factor)),
            format!("{} G", shown(fragility.g.value)),
        );
        Ok(Tuned { fragility, rate, factor, working })
    }
}
