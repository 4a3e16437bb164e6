//! Cautions that a card attaches to some of its prices.

use serde::Deserialize;

use crate::fee::Bulk;
use crate::rules::{positive, wrong};
use crate::{CardError, Zone};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CautionText {
    words: String,
    over_lb: Option<f64>,
    zone_from: Option<u8>,
    longest_side_over_in: Option<f64>,
    volume_over_in3: Option<f64>,
}

/// Words to say when all stated conditions hold.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Caution {
    words: String,
    over_lb: Option<f64>,
    zone_from: Option<Zone>,
    longest_side_over_in: Option<f64>,
    volume_over_in3: Option<f64>,
}

impl Caution {
    pub(crate) fn read(place: usize, text: CautionText) -> Result<Self, CardError> {
        let field = |name: &str| format!("cautions, number {}, {name}", place + 1);
        let zone = |number: u8| {
            Zone::new(number)
                .ok_or_else(|| wrong(&field("zone_from"), &number.to_string(), "a zone from 1 to 9"))
        };
        let bound =
            |name: &str, value: Option<f64>| value.map(|value| positive(&field(name), value)).transpose();
        Ok(Self {
            over_lb: bound("over_lb", text.over_lb)?,
            zone_from: text.zone_from.map(zone).transpose()?,
            longest_side_over_in: bound("longest_side_over_in", text.longest_side_over_in)?,
            volume_over_in3: bound("volume_over_in3", text.volume_over_in3)?,
            words: text.words,
        })
    }
}

/// Adds words once.
pub(crate) fn say_once(said: &mut Vec<String>, words: String) {
    if !said.contains(&words) {
        said.push(words);
    }
}

/// Adds the card's cautions that apply to a parcel billed at `row_lb`.
pub(crate) fn add_cautions(
    cautions: &[Caution],
    row_lb: f64,
    zone: Zone,
    bulk: Bulk,
    said: &mut Vec<String>,
) {
    let [longest, ..] = bulk.sides_in;
    for caution in cautions {
        let applies = caution.over_lb.is_none_or(|bound| row_lb > bound)
            && caution.zone_from.is_none_or(|bound| zone >= bound)
            && caution.longest_side_over_in.is_none_or(|bound| longest > bound)
            && caution.volume_over_in3.is_none_or(|bound| bulk.volume_in3() > bound);
        if applies {
            say_once(said, caution.words.clone());
        }
    }
}
