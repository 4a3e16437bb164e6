//! What a drop does to a packed parcel, as it is kept with the parcel's plan.

use measure::Money;
use serde::{Deserialize, Serialize};
use shop::ParcelPlan;
use trade::Shipped;

/// Under this key it stands in the plan as the file keeps it.
const KEY: &str = "drop";

/// A parcel dropped on paper: how much its pieces bear beyond what they feel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DropCheck {
    /// Least margin of any piece over all landings: what it bears over what it feels, less one; below 0 it is at
    /// risk. None where nothing can be short.
    pub margin: Option<f64>,
    /// Where the height of the fall comes from.
    pub by: String,
    /// Chance that something arrives broken, 0 to 1.
    pub chance_of_breakage: f64,
    /// The worst piece of each face it may land on.
    pub faces: Vec<FaceDropped>,
    /// What would mend it, where the margin is short.
    pub mend: Option<DropMend>,
    /// Why it can't be reckoned; the rest says nothing then.
    pub not_reckoned: Option<String>,
}

/// A landing on one face.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaceDropped {
    /// The side it strikes: for each axis -1 (left, front, floor), +1 (right, back, top) or 0.
    pub strikes: [i8; 3],
    /// The piece that fares worst.
    pub label: String,
    /// What it feels, in multiples of gravity.
    pub peak_g: f64,
    /// Its margin; none where nothing can be short.
    pub margin: Option<f64>,
}

/// A change that would mend a margin that is short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DropMend {
    /// What changes, in words.
    pub change: String,
    /// What it costs, cents.
    cost_cents: i64,
    /// The margin after it, thousandths.
    margin_thousandths: i64,
}

impl DropMend {
    /// What it costs.
    #[must_use]
    pub const fn cost(&self) -> Money {
        Money::from_cents(self.cost_cents)
    }

    /// The margin after it.
    #[must_use]
    pub fn margin(&self) -> f64 {
        self.margin_thousandths as f64 / 1000.0
    }
}

impl DropCheck {
    /// What the planner reckoned of a parcel.
    #[must_use]
    pub fn of(shipped: &Shipped) -> Self {
        let finite = |margin: f64| margin.is_finite().then_some(margin);
        let guard = match &shipped.guard {
            Ok(guard) => guard,
            Err(why) => {
                return Self {
                    margin: None,
                    by: String::new(),
                    chance_of_breakage: 0.0,
                    faces: Vec::new(),
                    mend: None,
                    not_reckoned: Some(why.clone()),
                };
            }
        };
        let landings = guard.assessment.landings.iter();
        // A face is struck along one axis alone.
        let faces = landings.filter(|one| one.strikes.iter().filter(|side| **side != 0).count() == 1);
        let faces = faces.filter_map(|landed| {
            let worst = landed.worst();
            let (felt, bundle) = (landed.felt.get(worst)?, shipped.plan.holding().bundles.get(worst)?);
            Some(FaceDropped {
                strikes: landed.strikes,
                label: bundle.label.clone(),
                peak_g: felt.peak_g,
                margin: finite(landed.margin()),
            })
        });
        Self {
            margin: finite(shipped.margin()),
            by: guard.by.clone(),
            chance_of_breakage: shipped.chance_of_breakage,
            faces: faces.collect(),
            mend: guard.mend.as_ref().map(|mend| DropMend {
                change: mend.change.clone(),
                cost_cents: mend.cost.cents(),
                margin_thousandths: (mend.margin * 1000.0).clamp(-1e12, 1e12).round() as i64,
            }),
            not_reckoned: None,
        }
    }

    /// Whether a piece bears less than it feels in some landing.
    #[must_use]
    pub fn is_at_risk(&self) -> bool {
        self.margin.is_some_and(|margin| margin < 0.0)
    }

    /// What is kept with a planned parcel; none for one planned before this was kept, or sent unplanned.
    #[must_use]
    pub fn kept_with(parcel: &ParcelPlan) -> Option<Self> {
        serde_json::from_value(parcel.plan.get(KEY)?.clone()).ok()
    }

    /// Puts it into a plan as the file keeps it.
    pub(crate) fn keep_with(&self, plan: &mut serde_json::Value) {
        if let (Some(fields), Ok(own)) = (plan.as_object_mut(), serde_json::to_value(self)) {
            fields.insert(KEY.to_owned(), own);
        }
    }
}
