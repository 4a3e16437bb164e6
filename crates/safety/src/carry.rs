//! A parcel as a lift: where the hands are when one person picks it up.

use measure::{Length, Mass};

use crate::{Coupling, Lift, Lifting, LiftingBand, SafetyError, Work, lifting};

/// From the ankles to the near side of a box, in: with the hands from 10 in up, and lower (NIOSH 94-110, from
/// memory: H = 8 + W/2 and H = 10 + W/2).
const TO_BOX_IN: (f64, f64) = (8.0, 10.0);
/// Height of the hands from which a box can be held nearer, in.
const HELD_NEARER_FROM_IN: f64 = 10.0;
/// Height of a packing table, and of the hands there (judgement: waist height, the equation's best).
const TABLE: Length = Length::from_inches(30.0);
/// Travel off a table (judgement: the least that the equation counts).
const OFF_TABLE: Length = Length::from_inches(10.0);
/// Lifts per minute when parcels are carried out one by one (judgement: the lowest row of the table).
const NOW_AND_THEN: f64 = 0.2;
/// Longest front and greatest height of a box that is handy to hold without handles, in (NIOSH 94-110, from
/// memory).
const HANDY_IN: (f64, f64) = (16.0, 12.0);

/// Where a parcel is picked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LiftFrom {
    /// Off a table at the waist, carried level.
    Table,
    /// Off the floor up to the waist, hands under its edges.
    Floor,
}

/// One parcel as one person lifts it, off a table and off the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carry {
    /// Off a table at the waist.
    pub table: Lifting,
    /// Off the floor.
    pub floor: Lifting,
}

impl Carry {
    /// The arithmetic in a sentence.
    #[must_use]
    pub fn text(&self, gross: Mass) -> String {
        let limit = |lifting: &Lifting| {
            let pounds = lifting.limit.pounds();
            match lifting.index {
                None => "not at all".to_owned(),
                Some(_) => format!("{pounds:.0} lb"),
            }
        };
        let beside = match (self.table.band, self.table.index) {
            (LiftingBand::Within, _) => "within what is recommended off a table".to_owned(),
            (LiftingBand::Raised | LiftingBand::High, Some(index)) => {
                format!("{index:.1} times what is recommended")
            }
            (LiftingBand::Raised | LiftingBand::High, None) => "more than is recommended".to_owned(),
        };
        format!(
            "For a box of this size the equation recommends at most {} off a table and {} off the floor; this one \
             is {:.1} lb, {beside}.",
            limit(&self.table),
            limit(&self.floor),
            gross.pounds(),
        )
    }
}

/// Where the hands are, level with the floor, for a box that reaches this far away from the body.
///
/// Source: NIOSH 94-110, from memory.
#[must_use]
pub fn hand_distance(box_width: Length, hands_height: Length) -> Length {
    let near = hands_height.inches() >= HELD_NEARER_FROM_IN;
    let to_box = if near { TO_BOX_IN.0 } else { TO_BOX_IN.1 };
    Length::from_inches(to_box) + box_width / 2.0
}

/// A parcel of this outside length, width and height as one person lifts it, its narrower side to the body.
///
/// # Errors
/// When a side or the mass is no number or less than nothing.
///
/// Source: NIOSH revised lifting equation; heights, travel and frequency are judgement.
pub fn carry(outside: [Length; 3], gross: Mass) -> Result<Carry, SafetyError> {
    for side in outside {
        if !(side.inches().is_finite() && side.inches() >= 0.0) {
            return Err(SafetyError::Lift {
                what: "box side",
                found: format!("{} in", side.inches()),
                right: "0 or more inches",
            });
        }
    }
    let of = |from| lifting(&parcel_lift(outside, from), gross);
    Ok(Carry { table: of(LiftFrom::Table)?, floor: of(LiftFrom::Floor)? })
}

fn parcel_lift(outside: [Length; 3], from: LiftFrom) -> Lift {
    let [length, width, height] = outside;
    let (front, deep) = (length.max(width), length.min(width));
    let handy = front.inches() <= HANDY_IN.0 && height.inches() <= HANDY_IN.1;
    let (vertical, travel) = match from {
        LiftFrom::Table => (TABLE, OFF_TABLE),
        LiftFrom::Floor => (Length::ZERO, TABLE),
    };
    Lift {
        horizontal: hand_distance(deep, vertical),
        vertical,
        travel,
        asymmetry_deg: 0.0,
        per_minute: NOW_AND_THEN,
        work: Work::Short,
        coupling: if handy { Coupling::Fair } else { Coupling::Poor },
    }
}
