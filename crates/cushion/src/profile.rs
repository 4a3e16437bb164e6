//! How careful to be about drops, by name.

use measure::Length;
use protection::Origin;
use serde::Deserialize;

use crate::CushionError;
use crate::rows::{origin, ranged};
use crate::schedule::DROP_IN;

/// Lightest and heaviest limit of a profile, lb.
const UNDER_LB: (f64, f64) = (0.0, 1e5);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawProfile {
    words: Option<String>,
    schedule: String,
    least_in: Option<f64>,
    under_lb: Option<f64>,
    most_in: Option<f64>,
    flag: Option<String>,
    source: Option<String>,
}

/// A schedule, perhaps with a height that it never goes below or above.
#[derive(Debug, Clone, PartialEq)]
pub struct DropProfile {
    /// Its key ("usual").
    pub key: String,
    /// What it asks for, in words.
    pub words: String,
    /// The schedule it rests on.
    pub schedule: String,
    /// Least height under a gross weight (lb), where it has one.
    pub least: Option<(Length, f64)>,
    /// Most height, where it has one.
    pub most: Option<Length>,
    /// Where it comes from.
    pub origin: Origin,
}

impl DropProfile {
    pub(crate) fn read(key: &str, raw: RawProfile) -> Result<Self, CushionError> {
        let place = format!("profile {key}");
        let height = |key, value: Option<f64>| -> Result<Option<Length>, CushionError> {
            value.map(|value| ranged(&place, key, value, DROP_IN).map(Length::from_inches)).transpose()
        };
        let (least, most) = (height("least_in", raw.least_in)?, height("most_in", raw.most_in)?);
        let under = raw.under_lb.map(|lb| ranged(&place, "under_lb", lb, UNDER_LB)).transpose()?;
        let refuse = |what: &str, right: &str| {
            Err(CushionError::Contradiction {
                place: place.clone(),
                what: what.to_owned(),
                right: right.to_owned(),
            })
        };
        if let (Some(least), Some(most)) = (least, most)
            && least > most
        {
            return refuse("least_in is over most_in", "least_in at most most_in");
        }
        if under.is_some() && least.is_none() {
            return refuse("under_lb has no least_in that it limits", "both or neither");
        }
        Ok(Self {
            key: key.to_owned(),
            words: raw.words.unwrap_or_else(|| key.to_owned()),
            schedule: raw.schedule,
            least: least.map(|least| (least, under.unwrap_or(f64::INFINITY))),
            most,
            origin: origin(&place, raw.flag.as_deref(), raw.source.as_deref())?,
        })
    }
}
