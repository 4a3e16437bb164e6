//! A schedule: drop heights by gross weight, from a test or a handbook.

use measure::{Length, Mass};
use protection::Origin;
use serde::Deserialize;

use crate::bounds::weight_lb;
use crate::drop::{DropOnto, ExtraDrop, PlannedDrop};
use crate::rows::{origin, ranged, wrong};
use crate::{CushionError, Drop, PackageType};

/// Lightest and heaviest bound of a step, lb.
const STEP_LB: (f64, f64) = (0.0, 1e5);
/// Lowest and highest drop of a schedule, in.
pub(crate) const DROP_IN: (f64, f64) = (0.5, 400.0);
/// What a weight may miss a bound by and still reach it, lb: rounding of unit conversion.
pub(crate) const SLACK_LB: f64 = 1e-9;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawSchedule {
    name: String,
    bound: String,
    heaviest_lb: Option<f64>,
    steps: Vec<RawStep>,
    #[serde(default)]
    sequence: Vec<RawPlanned>,
    #[serde(default)]
    extras: Vec<RawExtra>,
    #[serde(default)]
    note: String,
    other_packages: Option<String>,
    flag: Option<String>,
    source: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStep {
    lb: f64,
    height_in: f64,
    once_in: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPlanned {
    onto: String,
    at: String,
    #[serde(default)]
    once: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawExtra {
    packages: Vec<String>,
    what: String,
    height_in: Option<f64>,
}

/// Whether a weight that stands on a bound is in the step above it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bound {
    From,
    Over,
}

#[derive(Debug, Clone, PartialEq)]
struct Heights {
    lb: f64,
    usual: Length,
    once: Option<Length>,
}

/// A schedule of drops.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// Its key ("ista_1a").
    pub key: String,
    /// Its name in words.
    pub name: String,
    /// Where it comes from.
    pub origin: Origin,
    bound: Bound,
    heaviest_lb: Option<f64>,
    steps: Vec<Heights>,
    sequence: Vec<(DropOnto, String, bool)>,
    extras: Vec<(Vec<PackageType>, ExtraDrop)>,
    note: String,
    other_packages: Option<String>,
}

impl Schedule {
    pub(crate) fn read(key: &str, raw: RawSchedule) -> Result<Self, CushionError> {
        let place = format!("schedule {key}");
        let bound = match raw.bound.as_str() {
            "from" => Bound::From,
            "over" => Bound::Over,
            other => return Err(wrong(&place, "bound", &format!("\"{other}\""), "\"from\" or \"over\"")),
        };
        let sequence = raw
            .sequence
            .into_iter()
            .map(|one| {
                let onto =
                    DropOnto::ALL.into_iter().find(|onto| onto.word() == one.onto).ok_or_else(|| {
                        wrong(&place, "onto", &format!("\"{}\"", one.onto), "face or edge or corner")
                    })?;
                Ok((onto, one.at, one.once))
            })
            .collect::<Result<_, CushionError>>()?;
        let extras = raw
            .extras
            .into_iter()
            .map(|one| {
                let packages = one
                    .packages
                    .iter()
                    .map(|word| {
                        PackageType::ALL.into_iter().find(|package| package.word() == word).ok_or_else(|| {
                            wrong(
                                &place,
                                "packages",
                                &format!("\"{word}\""),
                                "small, flat, elongated or standard",
                            )
                        })
                    })
                    .collect::<Result<_, CushionError>>()?;
                let height = one.height_in.map(|height| inches(&place, "height_in", height)).transpose()?;
                Ok((packages, ExtraDrop { what: one.what, height }))
            })
            .collect::<Result<_, CushionError>>()?;
        Ok(Self {
            key: key.to_owned(),
            name: raw.name,
            origin: origin(&place, raw.flag.as_deref(), raw.source.as_deref())?,
            bound,
            heaviest_lb: raw.heaviest_lb.map(|lb| ranged(&place, "heaviest_lb", lb, STEP_LB)).transpose()?,
            steps: heights(&place, raw.steps)?,
            sequence,
            extras,
            note: raw.note,
            other_packages: raw.other_packages,
        })
    }

    /// The drops of a parcel of this gross weight. `package` is asked only by schedules that tell types of
    /// package apart; without it a standard one is meant.
    ///
    /// # Errors
    /// When the weight can't be used, or is over where the schedule ends.
    pub fn drop(&self, gross: Mass, package: Option<PackageType>) -> Result<Drop, CushionError> {
        let pounds = weight_lb(gross)?;
        if let Some(heaviest_lb) = self.heaviest_lb
            && pounds > heaviest_lb + SLACK_LB
        {
            let schedule = self.name.clone();
            return Err(CushionError::OverSchedule { schedule, heaviest_lb, found_lb: pounds });
        }
        let reached = |step: &Heights| match self.bound {
            Bound::From => pounds + SLACK_LB >= step.lb,
            Bound::Over => pounds - SLACK_LB > step.lb,
        };
        // The first step begins at 0 lb, which a weight near nothing may not pass by the slack.
        let at = self.steps.iter().rposition(reached).unwrap_or(0);
        let step = self.steps.get(at).ok_or_else(|| CushionError::Row {
            place: self.name.clone(),
            reason: "it has no steps".to_owned(),
        })?;
        let package = package.unwrap_or(PackageType::Standard);
        let sequence = self.sequence.iter().map(|(onto, at, once)| PlannedDrop {
            onto: *onto,
            at: at.clone(),
            height: step.once.filter(|_| *once).unwrap_or(step.usual),
        });
        let note = match (&self.other_packages, package) {
            (Some(other), PackageType::Small | PackageType::Flat | PackageType::Elongated) => {
                format!("{}; {other}", self.note)
            }
            (Some(_), PackageType::Standard) | (None, _) => self.note.clone(),
        };
        let extras = self.extras.iter().filter(|(packages, _)| packages.contains(&package));
        Ok(Drop {
            schedule: self.key.clone(),
            weights: self.weights(at),
            height: step.usual,
            flat_once: step.once,
            sequence: sequence.collect(),
            extras: extras.map(|(_, extra)| extra.clone()).collect(),
            note,
            origin: self.origin.clone(),
        })
    }
}

impl Schedule {
    /// The gross weights of a step in words.
    fn weights(&self, at: usize) -> String {
        let from = self.steps.get(at).map(|step| step.lb).filter(|lb| *lb > 0.0);
        let to = self.steps.get(at + 1).map(|step| step.lb);
        let open = to.is_some();
        match (self.bound, from, to.or(self.heaviest_lb)) {
            (_, None, None) => "any weight".to_owned(),
            (Bound::From, None, Some(to)) if open => format!("under {to} lb"),
            (_, None, Some(to)) => format!("up to {to} lb"),
            (Bound::From, Some(from), None) => format!("from {from} lb"),
            (Bound::Over, Some(from), None) => format!("over {from} lb"),
            // The last step of a schedule that ends takes its own end in.
            (Bound::From, Some(from), Some(to)) if open => format!("{from} to under {to} lb"),
            (Bound::From, Some(from), Some(to)) => format!("{from} to {to} lb"),
            (Bound::Over, Some(from), Some(to)) => format!("over {from} to {to} lb"),
        }
    }
}

fn inches(place: &str, key: &str, value: f64) -> Result<Length, CushionError> {
    ranged(place, key, value, DROP_IN).map(Length::from_inches)
}

/// Steps from 0 lb upwards, never rising with weight.
fn heights(place: &str, raw: Vec<RawStep>) -> Result<Vec<Heights>, CushionError> {
    let refuse = |what: String, right: &str| {
        Err(CushionError::Contradiction { place: place.to_owned(), what, right: right.to_owned() })
    };
    let mut steps: Vec<Heights> = Vec::with_capacity(raw.len());
    for step in raw {
        let lb = ranged(place, "lb", step.lb, STEP_LB)?;
        let usual = inches(place, "height_in", step.height_in)?;
        let once = step.once_in.map(|once| inches(place, "once_in", once)).transpose()?;
        if once.is_some_and(|once| once < usual) {
            return refuse(
                format!("the one high drop at {lb} lb is under the usual one"),
                "once_in over height_in",
            );
        }
        match steps.last() {
            None if lb > 0.0 => {
                return refuse(format!("the first step begins at {lb} lb"), "a first step at 0 lb");
            }
            Some(last) if lb <= last.lb => {
                return refuse(
                    format!("a step at {lb} lb follows one at {} lb", last.lb),
                    "steps in rising order",
                );
            }
            Some(last) if usual > last.usual => {
                return refuse(
                    format!("the drop at {lb} lb is higher than a lighter parcel's"),
                    "heights that never rise",
                );
            }
            None | Some(_) => steps.push(Heights { lb, usual, once }),
        }
    }
    if steps.is_empty() {
        refuse("it has no steps".to_owned(), "at least one step, at 0 lb")
    } else {
        Ok(steps)
    }
}

#[cfg(test)]
mod tests {
    use measure::Mass;

    use crate::Drops;

    #[test]
    fn the_weights_of_a_step_are_told_with_the_bounds_that_they_have() {
        let drops = Drops::published();
        let weights = |schedule: &str, lb: f64| {
            drops
                .schedule(schedule)
                .and_then(|one| one.drop(Mass::from_pounds(lb), None))
                .expect("a drop")
                .weights
        };
        for (schedule, lb, words) in [
            ("ista_1a", 20.9, "under 21 lb"),
            ("ista_1a", 21.0, "21 to under 41 lb"),
            ("ista_1a", 150.0, "100 to 150 lb"),
            ("d4169_ii", 20.0, "up to 20 lb"),
            ("d4169_ii", 20.1, "over 20 to 40 lb"),
            ("d4169_ii", 200.0, "over 100 to 200 lb"),
            ("mil_hdbk_304", 5000.0, "from 1001 lb"),
        ] {
            assert_eq!(weights(schedule, lb), words, "{schedule} at {lb} lb");
        }
    }
}
