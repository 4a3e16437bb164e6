//! What to look at beside the figure.

use measure::{Area, Length};

use crate::bounds::{area_in2, from_square_inches, square_inches, thickness_in};
use crate::validity::SLACK_IN;
use crate::{CushionError, StressLaw};

/// Slenderness of a pad that still does not buckle: least side over thickness (MIL-HDBK-304, Kellicutt; from
/// memory).
const BUCKLING_SIDE: f64 = 1.33;
/// Share of the best load under which foam is called too stiff (judgement).
const TOO_STIFF_SHARE: f64 = 0.1;
/// Rise of the shock over that of the best load from which a load is called light or heavy (judgement).
const OFF_LOAD_RISE: f64 = 1.25;
/// Energy density over that of the best load beyond which a cushion is taken to bottom out (judgement: the
/// exponential law has risen by the factor e from its best stress there).
const BOTTOMING_ENERGY: f64 = 2.0;

/// A warning that goes with a prediction.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Caution {
    /// Far too little load for the material.
    #[error(
        "too stiff: {load_psi:.3} psi is under a tenth of its best load of {best_psi:.3} psi; take a softer cushion or a smaller bearing area"
    )]
    TooStiff {
        /// Static stress, psi.
        load_psi: f64,
        /// The near end of its best loads at this height and thickness, psi.
        best_psi: f64,
    },
    /// Too little load: the shock is well above that of the best load.
    #[error(
        "lightly loaded: {load_psi:.3} psi against a best load of {best_psi:.3} psi raises the shock {rise:.2} times"
    )]
    LightLoad {
        /// Static stress, psi.
        load_psi: f64,
        /// The near end of its best loads, psi.
        best_psi: f64,
        /// Shock over that at the best load.
        rise: f64,
    },
    /// Too much load: the shock is well above that of the best load.
    #[error(
        "heavily loaded: {load_psi:.3} psi against a best load of {best_psi:.3} psi raises the shock {rise:.2} times"
    )]
    HeavyLoad {
        /// Static stress, psi.
        load_psi: f64,
        /// The near end of its best loads, psi.
        best_psi: f64,
        /// Shock over that at the best load.
        rise: f64,
    },
    /// So much load that the cushion is pressed hard.
    #[error(
        "bottoms out: {load_psi:.3} psi is over twice its best load of {best_psi:.3} psi; take a thicker cushion or a larger bearing area"
    )]
    BottomsOut {
        /// Static stress, psi.
        load_psi: f64,
        /// The near end of its best loads, psi.
        best_psi: f64,
    },
    /// A pad tall for its area.
    #[error("a pad of {area_in2:.1} in2 buckles at {thickness_in:.2} in; it needs {least_in2:.1} in2")]
    Buckles {
        /// Its area, in2.
        area_in2: f64,
        /// Its thickness, in.
        thickness_in: f64,
        /// Least area, in2.
        least_in2: f64,
    },
    /// A layer that is not pressed hard enough to give at all.
    #[error(
        "does not give at all: its peak stress stays under the {begins_psi:.2} psi at which it begins to"
    )]
    Idle {
        /// Stress at which it begins to give, psi.
        begins_psi: f64,
    },
    /// Nothing is known of the loads that the factor holds at.
    #[error("no load range is known for it: the cushion factor is taken at every load")]
    LoadUnknown,
    /// It does not come back after the first drop.
    #[error("it does not come back after a drop: {times} times the first shock is reckoned with")]
    OneDrop {
        /// Factor that was applied.
        times: f64,
    },
}

/// Least area of a pad that does not buckle, (1.33 t)2 (MIL-HDBK-304, Kellicutt; from memory). It is for free
/// standing pads: cushion that fills a carton is held by its walls.
///
/// # Errors
/// When the thickness is nothing, negative or no number.
pub fn buckling_area(thickness: Length) -> Result<Area, CushionError> {
    let side = BUCKLING_SIDE * thickness_in(thickness)?;
    Ok(from_square_inches(side * side))
}

/// What to say of a static stress (psi) at `ratio` = h / t under this law.
pub(crate) fn of_load(law: &StressLaw, load_psi: f64, ratio: f64) -> Option<Caution> {
    let Some((from, to)) = law.best() else { return Some(Caution::LoadUnknown) };
    let energy = load_psi * ratio;
    if energy <= 0.0 {
        return Some(Caution::Idle { begins_psi: law.stiffness() });
    }
    let rise = law.stress(energy) / (law.factor() * energy);
    if energy < from {
        let best_psi = from / ratio;
        if energy < TOO_STIFF_SHARE * from {
            return Some(Caution::TooStiff { load_psi, best_psi });
        }
        return (rise >= OFF_LOAD_RISE).then_some(Caution::LightLoad { load_psi, best_psi, rise });
    }
    let best_psi = to / ratio;
    if energy > BOTTOMING_ENERGY * to {
        return Some(Caution::BottomsOut { load_psi, best_psi });
    }
    (rise >= OFF_LOAD_RISE).then_some(Caution::HeavyLoad { load_psi, best_psi, rise })
}

/// Whether a pad of this area stands too tall.
pub(crate) fn of_pad(area: Area, thickness: Length) -> Result<Option<Caution>, CushionError> {
    let (area_in2, least_in2) = (area_in2(area)?, square_inches(buckling_area(thickness)?));
    let thickness_in = thickness_in(thickness)?;
    Ok((area_in2 + SLACK_IN < least_in2).then_some(Caution::Buckles { area_in2, thickness_in, least_in2 }))
}
