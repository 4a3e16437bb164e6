//! The revised lifting equation: what one person should lift, and how far a load is from it.

use measure::{Length, Mass};

use crate::{SafetyError, Work, frequency_multiplier};

/// Load constant (NIOSH revised lifting equation, published: 51 lb).
const LOAD: Mass = Mass::from_pounds(51.0);
/// Hands nearer than this count as here, in; farther than the second the load should not be lifted.
const HORIZONTAL_IN: (f64, f64) = (10.0, 25.0);
/// Best height of the hands, in, and what each inch off it takes.
const VERTICAL: (f64, f64) = (30.0, 0.0075);
/// Highest hands, in.
const VERTICAL_MOST_IN: f64 = 70.0;
/// Constant and numerator (in) of the distance multiplier.
const DISTANCE: (f64, f64) = (0.82, 1.8);
/// Shorter travel counts as this, longer should not be lifted, in.
const DISTANCE_IN: (f64, f64) = (10.0, 70.0);
/// What each degree of twist takes, and the most twist, degrees (NIOSH 94-110, from memory).
const ASYMMETRY: (f64, f64) = (0.0032, 135.0);
/// Rounding of unit conversion, in.
const SLACK_IN: f64 = 1e-9;
/// Over the first index risk is raised, over the second high (published).
const BANDS: (f64, f64) = (1.0, 3.0);

/// How well hands hold the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Coupling {
    /// Handles or hand holes of a good shape.
    Good,
    /// A handy box without handles.
    Fair,
    /// Large, sagging or sharp-edged.
    Poor,
}

impl Coupling {
    /// Share of the limit that the hold leaves (NIOSH 94-110, from memory).
    const fn multiplier(self, high: bool) -> f64 {
        match (self, high) {
            (Self::Good, _) | (Self::Fair, true) => 1.0,
            (Self::Fair, false) => 0.95,
            (Self::Poor, _) => 0.90,
        }
    }
}

/// One lift, as the equation measures it at its start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// From between the ankles to the hands, level with the floor.
    pub horizontal: Length,
    /// Hands above the floor.
    pub vertical: Length,
    /// How far the hands travel up or down.
    pub travel: Length,
    /// Twist away from straight ahead, degrees.
    pub asymmetry_deg: f64,
    /// Lifts per minute.
    pub per_minute: f64,
    /// How long it goes on.
    pub work: Work,
    /// How well hands hold it.
    pub coupling: Coupling,
}

/// The shares that a lift leaves of the load constant, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Multipliers {
    /// For how far away the hands are.
    pub horizontal: f64,
    /// For how high they are.
    pub vertical: f64,
    /// For how far they travel.
    pub distance: f64,
    /// For the twist.
    pub asymmetry: f64,
    /// For how often.
    pub frequency: f64,
    /// For the hold.
    pub coupling: f64,
}

impl Multipliers {
    /// Recommended weight limit: the load constant of 51 lb less what each share takes.
    #[must_use]
    pub fn weight_limit(self) -> Mass {
        LOAD * (self.horizontal
            * self.vertical
            * self.distance
            * self.asymmetry
            * self.frequency
            * self.coupling)
    }
}

/// How a load stands to the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LiftingBand {
    /// At the limit or under it.
    Within,
    /// Over the limit: raised risk.
    Raised,
    /// Over three times the limit, or a lift that should not be made at all: high risk.
    High,
}

/// A load against the limit of a lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lifting {
    /// What each circumstance leaves.
    pub multipliers: Multipliers,
    /// Recommended weight limit.
    pub limit: Mass,
    /// Lifting index, load over limit; `None` when the limit is nothing, so that it should not be lifted so.
    pub index: Option<f64>,
    /// The band of the index.
    pub band: LiftingBand,
}

/// The multipliers of a lift.
///
/// # Errors
/// When a length or an angle is no number or less than nothing.
///
/// Source: NIOSH revised lifting equation (published); asymmetry, coupling and frequency from memory
/// (NIOSH 94-110).
pub fn multipliers(lift: &Lift) -> Result<Multipliers, SafetyError> {
    let horizontal = from_nothing_up("distance of the hands", lift.horizontal.inches())?;
    let vertical = from_nothing_up("height of the hands", lift.vertical.inches())?;
    let travel = from_nothing_up("travel", lift.travel.inches())?;
    let twist = lift.asymmetry_deg;
    if !(twist.is_finite() && twist >= 0.0) {
        return Err(SafetyError::Lift {
            what: "twist",
            found: format!("{twist} degrees"),
            right: "0 or more degrees",
        });
    }
    let (nearest, farthest) = HORIZONTAL_IN;
    let (best, each_inch) = VERTICAL;
    let (constant, numerator) = DISTANCE;
    let (shortest, longest) = DISTANCE_IN;
    let (each_degree, most_degrees) = ASYMMETRY;
    let unless = |too_much: bool, share: f64| if too_much { 0.0 } else { share };
    let high = vertical >= best - SLACK_IN;
    Ok(Multipliers {
        horizontal: unless(horizontal > farthest + SLACK_IN, nearest / horizontal.max(nearest)),
        vertical: unless(vertical > VERTICAL_MOST_IN + SLACK_IN, 1.0 - each_inch * (vertical - best).abs()),
        distance: unless(travel > longest + SLACK_IN, (constant + numerator / travel.max(shortest)).min(1.0)),
        asymmetry: unless(twist > most_degrees, 1.0 - each_degree * twist),
        frequency: frequency_multiplier(lift.per_minute, lift.work, lift.vertical)?,
        coupling: lift.coupling.multiplier(high),
    })
}

/// A load against the limit of a lift.
///
/// ```
/// use measure::{Length, Mass};
/// use safety::{Coupling, Lift, Work, lifting};
///
/// let lift = Lift {
///     horizontal: Length::from_inches(15.0),
///     vertical: Length::from_inches(30.0),
///     travel: Length::from_inches(10.0),
///     asymmetry_deg: 0.0,
///     per_minute: 0.2,
///     work: Work::Short,
///     coupling: Coupling::Good,
/// };
/// let found = lifting(&lift, Mass::from_pounds(17.0))?;
/// assert_eq!(found.limit.pounds().round(), 34.0);
/// assert_eq!(found.index.map(|index| (index * 100.0).round()), Some(50.0));
/// # Ok::<(), safety::SafetyError>(())
/// ```
///
/// # Errors
/// As [`multipliers`], and when the load is no number or less than nothing.
pub fn lifting(lift: &Lift, load: Mass) -> Result<Lifting, SafetyError> {
    if !(load.pounds().is_finite() && load.pounds() >= 0.0) {
        return Err(SafetyError::Lift {
            what: "load",
            found: format!("{} lb", load.pounds()),
            right: "0 or more",
        });
    }
    let multipliers = multipliers(lift)?;
    let limit = multipliers.weight_limit();
    let index = (limit > Mass::ZERO).then(|| load / limit);
    let band = match index {
        Some(index) if index <= BANDS.0 => LiftingBand::Within,
        Some(index) if index <= BANDS.1 => LiftingBand::Raised,
        Some(_) | None => LiftingBand::High,
    };
    Ok(Lifting { multipliers, limit, index, band })
}

fn from_nothing_up(what: &'static str, inches: f64) -> Result<f64, SafetyError> {
    if inches.is_finite() && inches >= 0.0 {
        return Ok(inches);
    }
    Err(SafetyError::Lift { what, found: format!("{inches} in"), right: "0 or more inches" })
}
