//! The measures a listing states: body and overall, rounded, and only what was measured.

use std::f64::consts::PI;

use forms::{BodyKind, BuiltPiece, Field, Form, Value};
use measure::{Length, Units};

/// Steps that measures are rounded to in inches: eighths. Source: common practice.
const STEP_IN: f64 = 0.125;
/// Steps that measures are rounded to in centimetres. Source: common practice.
const STEP_CM: f64 = 0.5;

/// What can be said of a piece's size.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StatedMeasures {
    /// Phrases with measured figures ("body approx. 2 3/8 in H x 4 in Dia (6 x 10 cm)").
    pub phrases: Vec<String>,
    /// Names of measures to take before the piece is listed; never printed as facts.
    pub to_measure: Vec<&'static str>,
}

/// A side with its letter ("H", "Dia").
#[derive(Clone, Copy)]
struct Side {
    length: Length,
    letter: &'static str,
}

/// A length to the nearest eighth of an inch, or half centimetre, as a number without its unit.
///
/// Never rounded to nothing: the least is one step.
fn rounded(length: Length, units: Units) -> String {
    match units {
        Units::UsCustomary => {
            let steps = (length.inches() / STEP_IN).round().max(1.0);
            let text = Length::from_inches(steps * STEP_IN).write(Units::UsCustomary);
            text.strip_suffix(" in").map_or(text.clone(), str::to_owned)
        }
        Units::Metric => {
            let steps = (length.mm() / 10.0 / STEP_CM).round().max(1.0);
            let text = format!("{:.1}", steps * STEP_CM);
            text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
        }
    }
}

/// "2 3/8 in H x 4 in Dia (6 x 10 cm)", or in metric "6 cm H x 10 cm Dia (2 3/8 x 4 in)".
fn sides(sides: &[Side], units: Units) -> String {
    let (unit, other, other_unit) = match units {
        Units::UsCustomary => ("in", Units::Metric, "cm"),
        Units::Metric => ("cm", Units::UsCustomary, "in"),
    };
    let main: Vec<String> =
        sides.iter().map(|side| format!("{} {unit} {}", rounded(side.length, units), side.letter)).collect();
    let beside: Vec<String> = sides.iter().map(|side| rounded(side.length, other)).collect();
    format!("{} ({} {other_unit})", main.join(" x "), beside.join(" x "))
}

/// The figures of a piece, split by whether a person took them.
struct Figures<'a> {
    built: &'a BuiltPiece,
    to_measure: Vec<&'static str>,
}

impl Figures<'_> {
    fn used(&self, field: Field) -> Option<&forms::UsedFigure> {
        self.built.used.iter().find(|figure| figure.field == field)
    }

    /// The measured length; an estimate is noted as still to be measured.
    fn measured(&mut self, field: Field) -> Option<Length> {
        let (value, measured) = self.used(field).map(|figure| (figure.value, figure.measured))?;
        if !measured {
            if !self.to_measure.contains(&field.name()) {
                self.to_measure.push(field.name());
            }
            return None;
        }
        match value {
            Value::Length(length) => Some(length),
            Value::Mass(_) | Value::Count(_) | Value::Degrees(_) | Value::Volume(_) => None,
        }
    }

    /// How many handles; they are seen, so the form's own number counts as known.
    fn handles(&self) -> u32 {
        match self.used(Field::Handles).map(|figure| figure.value) {
            Some(Value::Count(count)) => count,
            _ => 0,
        }
    }
}

/// What can be said of a piece: body, overall with handles and spout, with its lid, foot.
///
/// Order is height x diameter, or height x width x depth; `stands_up` is for what lies flat in the forms
/// table but is looked at upright (books, frames): its length is then the height and its height the
/// thickness. Figures that are estimates are left out and named in `to_measure`.
#[must_use]
pub fn stated_measures(form: &Form, built: &BuiltPiece, stands_up: bool, units: Units) -> StatedMeasures {
    let mut figures = Figures { built, to_measure: Vec::new() };
    let mut stated = StatedMeasures::default();
    let height = figures.measured(Field::Height);
    let flat = match form.body {
        BodyKind::Cylinder | BodyKind::Stemmed => {
            let across = figures.measured(Field::Diameter);
            across.map(|across| (across, across))
        }
        BodyKind::Block => {
            let (length, width) = (figures.measured(Field::Length), figures.measured(Field::Width));
            length.zip(width).map(|(a, b)| (a.max(b), a.min(b)))
        }
    };
    let side = |letter, length| Side { length, letter };
    let body = match (height, flat, form.body) {
        (Some(thick), Some((long, short)), BodyKind::Block) if stands_up => {
            vec![side("H", long), side("W", short), side("thick", thick)]
        }
        (Some(height), Some((long, short)), BodyKind::Block) => {
            vec![side("H", height), side("W", long), side("D", short)]
        }
        (Some(height), Some((across, _)), BodyKind::Cylinder | BodyKind::Stemmed) => {
            vec![side("H", height), side("Dia", across)]
        }
        (Some(height), None, _) if !(stands_up && form.body == BodyKind::Block) => vec![side("H", height)],
        (None, Some((across, _)), BodyKind::Cylinder | BodyKind::Stemmed) => vec![side("Dia", across)],
        (Some(_), None, _) | (None, _, _) => Vec::new(),
    };
    if !body.is_empty() {
        stated.phrases.push(format!("body approx. {}", sides(&body, units)));
    }
    let reach = overall_reach(&mut figures, flat);
    if let (Some((long, short)), Some(Overall { width, name })) = (flat, reach) {
        let overall = match height {
            Some(height) => vec![side("H", height), side("W", width.max(long)), side("D", short)],
            None => vec![side("W", width.max(long)), side("D", short)],
        };
        stated.phrases.push(format!("overall with {name} approx. {}", sides(&overall, units)));
    }
    if figures.used(Field::LidHeight).is_some() {
        let lid = figures.measured(Field::LidHeight);
        if let (Some(height), Some(lid)) = (height, lid) {
            let tall = sides(&[side("H", height + lid)], units);
            stated.phrases.push(format!("with lid to the top of the knob approx. {tall}"));
        }
    }
    if let Some(figure) = figures.used(Field::FootDiameter)
        && figure.measured
        && let Value::Length(foot) = figure.value
    {
        stated.phrases.push(format!("foot approx. {}", sides(&[side("Dia", foot)], units)));
    }
    stated.to_measure = figures.to_measure;
    stated
}

struct Overall {
    width: Length,
    name: &'static str,
}

/// The width over handles and spout, when the piece has any and all that it takes was measured.
fn overall_reach(figures: &mut Figures<'_>, flat: Option<(Length, Length)>) -> Option<Overall> {
    let handles = figures.handles();
    let has_spout = figures.used(Field::SpoutReach).is_some();
    if handles == 0 && !has_spout {
        return None;
    }
    let name = match (handles, has_spout) {
        (0, _) => "spout",
        (1, false) => "handle",
        (1, true) => "handle and spout",
        (_, false) => "handles",
        (_, true) => "handles and spout",
    };
    let handle = if handles > 0 { figures.measured(Field::HandleReach).map(Some) } else { Some(None) };
    let spout = if has_spout { figures.measured(Field::SpoutReach).map(Some) } else { Some(None) };
    let (handle, spout) = (handle?.unwrap_or(Length::ZERO), spout?.unwrap_or(Length::ZERO));
    let (long, _) = flat?;
    let half = long / 2.0;
    let one_side = half + handle;
    // Opposite the first handle: the spout, or whichever handle of an even ring comes nearest to it.
    let other_side = match handles {
        0 | 1 => half + spout,
        count if count % 2 == 0 => one_side.max(half + spout),
        count => (one_side * (PI / f64::from(count)).cos()).max(half + spout),
    };
    Some(Overall { width: one_side + other_side, name })
}

#[cfg(test)]
mod tests {
    use super::*;
    use forms::{Catalogue, Measures};

    fn inches(inches: f64) -> Option<Length> {
        Some(Length::from_inches(inches))
    }

    fn stated(form: &str, measures: &Measures, stands_up: bool, units: Units) -> StatedMeasures {
        let catalogue = Catalogue::published();
        let form = catalogue.find(form).unwrap();
        stated_measures(form, &form.piece(measures).unwrap(), stands_up, units)
    }

    #[test]
    fn body_and_overall_are_rounded_to_eighths_and_half_centimetres() {
        let cup = Measures {
            diameter: inches(4.03),
            height: inches(2.4),
            handle_reach: inches(0.9),
            ..Measures::default()
        };
        let us = stated("consomme cup", &cup, false, Units::UsCustomary);
        assert_eq!(
            us.phrases,
            [
                "body approx. 2 3/8 in H x 4 in Dia (6 x 10 cm)",
                "overall with handles approx. 2 3/8 in H x 5 7/8 in W x 4 in D (6 x 15 x 10 cm)"
            ]
        );
        assert!(us.to_measure.is_empty());
        let metric = stated("consomme cup", &cup, false, Units::Metric);
        assert_eq!(metric.phrases[0], "body approx. 6 cm H x 10 cm Dia (2 3/8 x 4 in)");
    }

    #[test]
    fn an_estimate_is_never_printed() {
        let none = stated("teapot, 4-cup", &Measures::default(), false, Units::UsCustomary);
        assert!(none.phrases.is_empty());
        assert_eq!(none.to_measure, ["height", "diameter", "handle_reach", "spout_reach", "lid_height"]);
        let some = Measures { diameter: inches(5.25), ..Measures::default() };
        let some = stated("teapot, 4-cup", &some, false, Units::UsCustomary);
        assert_eq!(some.phrases, ["body approx. 5 1/4 in Dia (13.5 cm)"]);
    }

    #[test]
    fn a_teapot_is_stated_to_the_rim_over_all_and_to_the_knob() {
        let pot = Measures {
            diameter: inches(5.25),
            height: inches(5.5),
            handle_reach: inches(1.75),
            spout_reach: inches(2.0),
            lid_height: inches(1.25),
            ..Measures::default()
        };
        assert_eq!(
            stated("teapot, 4-cup", &pot, false, Units::UsCustomary).phrases,
            [
                "body approx. 5 1/2 in H x 5 1/4 in Dia (14 x 13.5 cm)",
                "overall with handle and spout approx. 5 1/2 in H x 9 in W x 5 1/4 in D (14 x 23 x 13.5 cm)",
                "with lid to the top of the knob approx. 6 3/4 in H (17 cm)"
            ]
        );
    }

    #[test]
    fn a_book_is_stated_as_it_stands_on_a_shelf() {
        let book =
            Measures { length: inches(9.5), width: inches(6.3), height: inches(1.25), ..Measures::default() };
        assert_eq!(
            stated("book, hardback", &book, true, Units::UsCustomary).phrases,
            ["body approx. 9 1/2 in H x 6 1/4 in W x 1 1/4 in thick (24 x 16 x 3 cm)"]
        );
    }
}
