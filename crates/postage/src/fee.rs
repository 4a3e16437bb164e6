//! Fees for awkward sizes.

use measure::{Mass, Money};
use serde::Deserialize;

use crate::CardError;
use crate::prices::WEIGHT_TOLERANCE_LB;
use crate::rules::{positive, wrong};

/// What a fee looks at; sides and volume are those rounded as the card says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FeeMeasure {
    /// Longest side, in.
    LongestSide,
    /// Second longest side, in.
    SecondSide,
    /// Longest side plus girth, in.
    LengthPlusGirth,
    /// Volume of the enclosing box, in3.
    Volume,
    /// Weight as handed over, lb.
    Weight,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FeeText {
    label: String,
    measure: FeeMeasure,
    over: f64,
    amount: String,
    group: Option<String>,
}

/// A fee that is due when a measure exceeds a bound.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fee {
    pub(crate) label: String,
    pub(crate) measure: FeeMeasure,
    over: f64,
    pub(crate) amount: Money,
    /// Of the fees of one group only the dearest is due.
    group: Option<String>,
}

impl Fee {
    pub(crate) fn read(place: usize, text: FeeText) -> Result<Self, CardError> {
        let field = |name: &str| format!("fees, number {}, {name}", place + 1);
        let amount = Money::read(&text.amount).ok().filter(|&amount| amount >= Money::ZERO);
        Ok(Self {
            over: positive(&field("over"), text.over)?,
            amount: amount
                .ok_or_else(|| wrong(&field("amount"), &text.amount, "an amount such as \"4.50\""))?,
            label: text.label,
            measure: text.measure,
            group: text.group,
        })
    }
}

/// A parcel as fees and cautions look at it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bulk {
    /// Rounded sides, longest first, in.
    pub(crate) sides_in: [f64; 3],
    pub(crate) gross: Mass,
}

impl Bulk {
    pub(crate) fn volume_in3(self) -> f64 {
        self.sides_in.iter().product()
    }

    pub(crate) fn length_plus_girth_in(self) -> f64 {
        let [length, width, height] = self.sides_in;
        length + 2.0 * (width + height)
    }

    fn measured(self, measure: FeeMeasure) -> (f64, f64) {
        let [longest, second, _] = self.sides_in;
        match measure {
            FeeMeasure::LongestSide => (longest, 0.0),
            FeeMeasure::SecondSide => (second, 0.0),
            FeeMeasure::LengthPlusGirth => (self.length_plus_girth_in(), 0.0),
            FeeMeasure::Volume => (self.volume_in3(), 0.0),
            FeeMeasure::Weight => (self.gross.pounds(), WEIGHT_TOLERANCE_LB),
        }
    }
}

/// The fees that are due, in the card's order.
pub(crate) fn fees_due(fees: &[Fee], bulk: Bulk) -> Vec<&Fee> {
    let mut due: Vec<&Fee> = Vec::new();
    for fee in fees {
        let (found, tolerance) = bulk.measured(fee.measure);
        if found <= fee.over + tolerance {
            continue;
        }
        match due.iter_mut().find(|other| fee.group.is_some() && other.group == fee.group) {
            Some(other) if other.amount < fee.amount => *other = fee,
            Some(_) => {}
            None => due.push(fee),
        }
    }
    due
}
