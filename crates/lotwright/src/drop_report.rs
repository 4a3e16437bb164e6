//! The drop of a parcel as JSON.

use measure::Length;
use schemars::JsonSchema;
use serde::Serialize;
use trade::{Guard, NOT_BY_SHOCK, Shipped};

/// A parcel dropped on every face, edge and corner.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Dropped {
    /// Why it was not reckoned; absent when it was.
    pub refused: Option<String>,
    /// Height of each fall, mm.
    pub height_mm: Option<f64>,
    /// Where the height comes from.
    pub by: Option<String>,
    /// Factor between what a piece bears and what is designed for.
    pub safety: Option<f64>,
    /// Least of what is borne over what is felt, less one; absent where shock harms nothing in it.
    pub margin: Option<f64>,
    /// Chance that something breaks on one trip, 0 to 1.
    pub chance_of_breakage: f64,
    /// That chance of what its pieces are worth, cents.
    pub expected_breakage_cents: i64,
    /// Six faces, twelve edges, eight corners.
    pub landings: Vec<OneLanding>,
    /// How far each kind of bundle was asked to lie from the carton.
    pub walls: Vec<Wall>,
    /// What would mend it, where the margin is short.
    pub mend: Option<Mending>,
}

/// One landing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OneLanding {
    /// Sides struck, along length, width and height: -1 left, front or floor; +1 right, back or top; 0 neither.
    pub strikes: [i8; 3],
    /// Least margin of any bundle.
    pub margin: f64,
    /// Number of the bundle that has it, as in the plan.
    pub bundle: u32,
    /// What it feels, in multiples of gravity.
    pub peak_g: f64,
    /// What it is designed to bear, in the same unit.
    pub designed_g: f64,
}

/// A distance to the carton by rule and by computation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Wall {
    /// The bundle.
    pub label: String,
    /// By the rule, mm.
    pub rule_mm: f64,
    /// By the computed cushion, mm; absent where no thickness of this fill is enough.
    pub computed_mm: Option<f64>,
    /// What was asked for, mm.
    pub used_mm: f64,
}

/// A change that mends a parcel.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Mending {
    /// What changes.
    pub change: String,
    /// Its cost, cents.
    pub cost_cents: i64,
    /// Its postage to the farthest zone, cents.
    pub farthest_postage_cents: i64,
    /// That zone.
    pub farthest_zone: u8,
    /// The margin after it.
    pub margin: f64,
}

/// The drop of a parcel.
pub fn dropped(shipped: &Shipped) -> Dropped {
    let (guard, refused): (Option<&Guard>, _) = match &shipped.guard {
        Ok(guard) => (Some(guard), None),
        Err(why) => (None, Some(why.clone())),
    };
    let by_shock = guard.is_some_and(|guard| guard.walls.iter().any(|wall| wall.bears_g < NOT_BY_SHOCK));
    Dropped {
        refused,
        height_mm: guard.map(|guard| guard.assessment.height.mm()),
        by: guard.map(|guard| guard.by.clone()),
        safety: guard.map(|guard| guard.safety),
        margin: guard.filter(|_| by_shock).map(|guard| guard.assessment.margin()),
        chance_of_breakage: shipped.chance_of_breakage,
        expected_breakage_cents: shipped.expected_breakage.cents(),
        landings: guard.map_or_else(Vec::new, |guard| {
            let of = |landed: &droptest::Landed| {
                let worst = landed.worst();
                let felt = landed.felt.get(worst)?;
                Some(OneLanding {
                    strikes: landed.strikes,
                    margin: landed.margin(),
                    bundle: shipped.plan.bundles.get(worst)?.number,
                    peak_g: felt.peak_g,
                    designed_g: felt.bears_g,
                })
            };
            guard.assessment.landings.iter().filter_map(of).collect()
        }),
        walls: guard.map_or_else(Vec::new, |guard| {
            let of = |wall: &trade::WallAsked| Wall {
                label: wall.label.clone(),
                rule_mm: wall.rule.mm(),
                computed_mm: wall.computed.map(Length::mm),
                used_mm: wall.used.mm(),
            };
            guard.walls.iter().map(of).collect()
        }),
        mend: guard.and_then(|guard| guard.mend.as_ref()).map(|mend| Mending {
            change: mend.change.clone(),
            cost_cents: mend.cost.cents(),
            farthest_postage_cents: mend.farthest.0.cents(),
            farthest_zone: mend.farthest.1,
            margin: mend.margin,
        }),
    }
}
