//! Cubic tiers: classes by volume alone, for small heavy parcels. Rules only; no prices.

use measure::{Length, Mass};

use crate::{ParcelFacts, round_down_to};

/// Heaviest parcel priced by cubic tier, lb (Domestic Mail Manual 223.1.3).
const HEAVIEST_LB: f64 = 20.0;
/// Longest side of an expedited cubic parcel, in (91 FR 27837, from 2026-07-12).
const LONGEST_EXPEDITED_IN: f64 = 22.0;
/// Tiers of the expedited class, a tenth of a cubic foot each (Domestic Mail Manual 223.1.3).
const EXPEDITED_TIERS: u8 = 5;
/// Tiers of the surface class, a tenth of a cubic foot each (manifest codes; size limits not found).
const GROUND_TIERS: u8 = 10;
/// Largest sum of length and width of each soft-pack tier, in (published help page of a postage
/// partner).
const SOFT_PACK_ENDS_IN: [f64; 5] = [21.0, 27.0, 31.0, 34.0, 36.0];
/// How much a side may miss a quarter of an inch by the conversion of units, in.
const TOLERANCE_IN: f64 = 0.001;

/// Whose tiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CubicProgram {
    /// The one-to-three-day class: five tiers, longest side 22 in.
    Expedited,
    /// The surface class: ten tiers.
    GroundAdvantage,
}

/// A tier; tier 1 ends at 0.1 ft3, tier 2 at 0.2 ft3, and each end belongs to its tier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CubicTier(u8);

impl CubicTier {
    /// Its number, from 1.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Its upper end, tenths of a cubic foot divided by ten: cubic feet.
    #[must_use]
    pub fn upper_ft3(self) -> f64 {
        f64::from(self.0) / 10.0
    }
}

/// Why a parcel has no cubic tier.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NotCubic {
    /// Heavier than twenty pounds.
    #[error("the parcel weighs {pounds} lb; cubic tiers end at 20 lb")]
    TooHeavy {
        /// Its weight, lb.
        pounds: f64,
    },
    /// Longest side too long.
    #[error("the longest side is {inches} in; cubic tiers of this class end at {limit_in} in")]
    TooLong {
        /// The longest side, in.
        inches: f64,
        /// The limit, in.
        limit_in: f64,
    },
    /// Volume past the last tier.
    #[error("the volume is {ft3} ft3; cubic tiers of this class end at {limit_ft3} ft3")]
    TooLarge {
        /// Volume of the sides rounded down to quarters, ft3.
        ft3: f64,
        /// The limit, ft3.
        limit_ft3: f64,
    },
    /// Soft pack past the last tier.
    #[error("length and width add up to {inches} in; soft-pack tiers end at {limit_in} in")]
    SoftPackTooLarge {
        /// Sum of the rounded sides, in.
        inches: f64,
        /// The limit, in.
        limit_in: f64,
    },
    /// A roll, tube or odd shape.
    #[error("cubic tiers are for boxes; rolls, tubes and odd shapes have none")]
    NotABox,
    /// A side or weight that is no measure.
    #[error("sides and weight must be finite and above zero")]
    NotMeasurable,
}

/// A side in quarters of an inch, rounded down.
fn quarters_in(side: Length) -> f64 {
    round_down_to(side.inches() + TOLERANCE_IN, 4)
}

/// The tier of a box: each side rounded down to a quarter of an inch, multiplied.
///
/// # Errors
/// When the parcel is too heavy, too long, too large, no box, or has no measures.
pub fn cubic_tier(facts: &ParcelFacts, program: CubicProgram) -> Result<CubicTier, NotCubic> {
    let [longest, ..] = facts.checked_sides_in().map_err(|_| NotCubic::NotMeasurable)?;
    if !facts.rectangular {
        return Err(NotCubic::NotABox);
    }
    if facts.gross > Mass::from_pounds(HEAVIEST_LB) {
        return Err(NotCubic::TooHeavy { pounds: facts.gross.pounds() });
    }
    let (tiers, limit_in) = match program {
        CubicProgram::Expedited => (EXPEDITED_TIERS, Some(LONGEST_EXPEDITED_IN)),
        CubicProgram::GroundAdvantage => (GROUND_TIERS, None),
    };
    if let Some(limit_in) = limit_in.filter(|limit| longest > limit + TOLERANCE_IN) {
        return Err(NotCubic::TooLong { inches: longest, limit_in });
    }
    let ft3 = facts.outside.map(quarters_in).iter().product::<f64>() / 1728.0;
    (1..=tiers)
        .map(CubicTier)
        .find(|tier| ft3 <= tier.upper_ft3() + f64::EPSILON)
        .ok_or(NotCubic::TooLarge { ft3, limit_ft3: f64::from(tiers) / 10.0 })
}

/// The tier of a soft pack of this length and width, each rounded down to a quarter of an inch.
///
/// # Errors
/// When a side is no measure, or the sum is past the last tier.
pub fn soft_pack_tier(length: Length, width: Length) -> Result<CubicTier, NotCubic> {
    if [length, width].iter().any(|side| !side.mm().is_finite() || *side <= Length::ZERO) {
        return Err(NotCubic::NotMeasurable);
    }
    let inches = quarters_in(length) + quarters_in(width);
    let [.., limit_in] = SOFT_PACK_ENDS_IN;
    (1..)
        .map(CubicTier)
        .zip(SOFT_PACK_ENDS_IN)
        .find_map(|(tier, end)| (inches <= end).then_some(tier))
        .ok_or(NotCubic::SoftPackTooLarge { inches, limit_in })
}
