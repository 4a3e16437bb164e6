//! Where half an inch or an ounce would cross a step of the rate card.

use jiff::civil::Date;
use measure::{Length, Mass, Money};
use postage::{ParcelFacts, RateCard};

use crate::order::Destination;

/// A small change that changes the postage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepNote {
    /// The change ("1 oz less", "1/2 in less height").
    pub change: String,
    /// Difference of the expected postage: negative saves.
    pub difference: Money,
}

const NAMES: [&str; 3] = ["length", "width", "height"];

/// Notes on a parcel: the changes that would save, and the ounce that would cost.
pub(crate) fn step_notes(
    facts: &ParcelFacts,
    expected: Money,
    card: &RateCard,
    date: Date,
    destinations: &[Destination],
) -> Vec<StepNote> {
    let price = |changed: &ParcelFacts| -> Option<Money> {
        let totals: Option<Vec<Money>> = destinations
            .iter()
            .map(|to| card.quote(changed, to.zone.zone, date).ok().map(|quote| quote.total))
            .collect();
        Some(crate::order::expected(totals?.into_iter(), destinations))
    };
    let mut notes = Vec::new();
    let mut note = |change: String, changed: ParcelFacts, wanted: fn(Money) -> bool| {
        if let Some(now) = price(&changed) {
            let difference = now - expected;
            if wanted(difference) {
                notes.push(StepNote { change, difference });
            }
        }
    };
    let saves = |difference: Money| difference < Money::ZERO;
    let costs = |difference: Money| difference > Money::ZERO;
    let ounce = Mass::from_ounces(1.0);
    if facts.gross > ounce {
        note(String::from("1 oz less"), ParcelFacts { gross: facts.gross - ounce, ..*facts }, saves);
    }
    note(String::from("1 oz more"), ParcelFacts { gross: facts.gross + ounce, ..*facts }, costs);
    let half = Length::from_inches(0.5);
    for (axis, name) in NAMES.iter().enumerate() {
        let mut changed = *facts;
        changed.outside[axis] = changed.outside[axis] - half;
        note(format!("1/2 in less {name}"), changed, saves);
        let mut changed = *facts;
        changed.outside[axis] += half;
        note(format!("1/2 in more {name}"), changed, costs);
    }
    notes
}
