//! The measures of a piece as fields: what each is called, how it is taken, and where it stands on the drawing.

use draw::{PieceFigure, PieceMeasure};
use forms::{Field as Measure, Form, FormsError, Measures, Quantity, UsedFigure, Value};
use measure::Units;

use crate::form::{Field, Filled, Kind, Mistakes};

/// Most handles a field takes; the forms room has the last word.
const MOST_HANDLES: u32 = 8;

/// Label, and how it is taken.
const fn words(measure: Measure) -> (&'static str, &'static str) {
    match measure {
        Measure::Diameter => ("Across", "The body at its widest, without handles."),
        Measure::Length => ("Length", "The longer side as it stands."),
        Measure::Width => ("Width", "The shorter side as it stands."),
        Measure::Height => {
            ("Height", "From the table to the rim, without a lid; how thick it is, if it lies flat.")
        }
        Measure::WaistDiameter => ("Across the waist", "Where it is narrowest, half way up."),
        Measure::Handles => ("Handles", "How many."),
        Measure::HandleReach => ("Reach of a handle", "From the body outwards, not through the middle."),
        Measure::HandleWidth => ("Width of a handle", "Seen from above."),
        Measure::HandleHeight => ("Height of a handle", "From its lower to its upper end."),
        Measure::HandleBottom => ("Handle above the table", "From the table to its lower end."),
        Measure::HandleAngle => ("Direction of the handle", ""),
        Measure::SpoutReach => ("Reach of the spout", "From the body outwards."),
        Measure::SpoutWidth => ("Width of the spout", "Seen from above."),
        Measure::SpoutHeight => ("Height of the spout", "From its lower end up to the rim."),
        Measure::StemDiameter => ("Across the stem", ""),
        Measure::StemHeight => ("Height of the stem", "From the foot up to the bowl."),
        Measure::FootDiameter => ("Across the foot", ""),
        Measure::FootHeight => ("Thickness of the foot", ""),
        Measure::Wall => ("Wall", "How thick the rim is."),
        Measure::Hollow => ("Hollow", ""),
        Measure::LidDiameter => ("Across the lid", ""),
        Measure::LidHeight => ("Height of the lid", "From its rim to the top of its knob."),
        Measure::KnobHeight => ("Height of the knob", "Its share of the lid's height."),
        Measure::KnobDiameter => ("Across the knob", ""),
        Measure::Pitch => {
            ("Further height of each nested one", "How much a second one adds to the height of a stack.")
        }
        Measure::Weight => ("Weight of one", "Its lid included."),
        Measure::LidWeight => ("Weight of the lid", ""),
    }
}

/// Where a measure stands on the drawing, where it does.
const fn on_drawing(measure: Measure) -> Option<PieceMeasure> {
    match measure {
        Measure::Diameter | Measure::Length => Some(PieceMeasure::Across),
        Measure::Width => Some(PieceMeasure::Width),
        Measure::Height => Some(PieceMeasure::Height),
        Measure::WaistDiameter => Some(PieceMeasure::Waist),
        Measure::HandleReach => Some(PieceMeasure::HandleReach),
        Measure::HandleWidth => Some(PieceMeasure::HandleWidth),
        Measure::HandleHeight => Some(PieceMeasure::HandleHeight),
        Measure::HandleBottom => Some(PieceMeasure::HandleBottom),
        Measure::SpoutReach => Some(PieceMeasure::SpoutReach),
        Measure::SpoutWidth => Some(PieceMeasure::SpoutWidth),
        Measure::SpoutHeight => Some(PieceMeasure::SpoutHeight),
        Measure::StemDiameter => Some(PieceMeasure::StemDiameter),
        Measure::StemHeight => Some(PieceMeasure::StemHeight),
        Measure::FootDiameter => Some(PieceMeasure::FootDiameter),
        Measure::FootHeight => Some(PieceMeasure::FootHeight),
        Measure::LidDiameter => Some(PieceMeasure::LidDiameter),
        Measure::LidHeight => Some(PieceMeasure::LidHeight),
        Measure::KnobHeight => Some(PieceMeasure::KnobHeight),
        Measure::KnobDiameter => Some(PieceMeasure::KnobDiameter),
        Measure::Handles
        | Measure::HandleAngle
        | Measure::Wall
        | Measure::Hollow
        | Measure::Pitch
        | Measure::Weight
        | Measure::LidWeight => None,
    }
}

/// The measures that a form takes, with the letter of each: A, B, C ... in the order of the form.
pub(crate) fn lettered(form: &Form) -> Vec<(char, Measure)> {
    let takes = Measure::ALL.iter().copied().filter(|measure| form.takes(*measure));
    ('A'..='Z').zip(takes).collect()
}

/// The fields of a form, each led by its letter; what is left out is said to be taken from the form.
pub(crate) fn fields(form: &Form) -> Vec<Field> {
    let usual = |measure: Measure| {
        form.fact(measure).map(|fact| format!(" Left out: {} ({}).", fact.value.text(), fact.flag.word()))
    };
    lettered(form)
        .into_iter()
        .map(|(letter, measure)| {
            let (label, how) = words(measure);
            let kind = if measure.quantity() == Quantity::Count { Kind::Whole } else { Kind::Measure };
            let hint = format!("{how}{}", usual(measure).unwrap_or_default());
            Field::optional(measure.name(), &format!("{letter}. {label}"), hint.trim(), kind)
        })
        .collect()
}

/// What was measured.
pub(crate) fn measures(form: &Form, filled: &Filled, mistakes: &mut Mistakes) -> Measures {
    let mut length =
        |measure: Measure| form.takes(measure).then(|| filled.length(measure.name(), mistakes)).flatten();
    let mut found = Measures {
        diameter: length(Measure::Diameter),
        length: length(Measure::Length),
        width: length(Measure::Width),
        height: length(Measure::Height),
        waist_diameter: length(Measure::WaistDiameter),
        handles: None,
        handle_reach: length(Measure::HandleReach),
        handle_width: length(Measure::HandleWidth),
        handle_height: length(Measure::HandleHeight),
        handle_bottom: length(Measure::HandleBottom),
        spout_reach: length(Measure::SpoutReach),
        spout_width: length(Measure::SpoutWidth),
        spout_height: length(Measure::SpoutHeight),
        stem_diameter: length(Measure::StemDiameter),
        stem_height: length(Measure::StemHeight),
        foot_diameter: length(Measure::FootDiameter),
        foot_height: length(Measure::FootHeight),
        wall: length(Measure::Wall),
        lid_diameter: length(Measure::LidDiameter),
        lid_height: length(Measure::LidHeight),
        knob_height: length(Measure::KnobHeight),
        knob_diameter: length(Measure::KnobDiameter),
        pitch: length(Measure::Pitch),
        weight: None,
        lid_weight: None,
    };
    let mut mass =
        |measure: Measure| form.takes(measure).then(|| filled.mass(measure.name(), mistakes)).flatten();
    found.weight = mass(Measure::Weight);
    found.lid_weight = mass(Measure::LidWeight);
    if form.takes(Measure::Handles) {
        found.handles = filled.whole(Measure::Handles.name(), 0..=MOST_HANDLES, mistakes);
    }
    found
}

/// What the forms room refuses, at its field.
pub(crate) fn told(error: &FormsError, mistakes: &mut Mistakes) {
    let field = match error {
        FormsError::NotPositive { field, .. }
        | FormsError::TooLarge { field, .. }
        | FormsError::NoSuchMeasure { field, .. }
        | FormsError::NoHandles { field, .. }
        | FormsError::DoesNotFit { field, .. } => field,
        FormsError::HandleWithoutReach { .. } => Measure::HandleReach.name(),
        FormsError::UnknownForm { .. } => "form",
        FormsError::NotToml { .. }
        | FormsError::UnknownKey { .. }
        | FormsError::Missing { .. }
        | FormsError::Wrong { .. }
        | FormsError::NameTaken { .. } => "",
    };
    mistakes.add(field, error.to_string());
}

/// A row of the table beside the drawing.
pub(crate) struct Row {
    pub letter: Option<char>,
    pub what: &'static str,
    pub value: String,
    pub from: &'static str,
}

/// The table that says in words what the drawing shows.
pub(crate) fn table(form: &Form, used: &[UsedFigure], units: Units) -> Vec<Row> {
    let letters = lettered(form);
    let letter = |measure| letters.iter().find(|(_, known)| *known == measure).map(|(letter, _)| *letter);
    used.iter()
        .filter(|figure| letter(figure.field).is_some())
        .map(|figure| Row {
            letter: letter(figure.field),
            what: words(figure.field).0,
            value: written(figure.value, units),
            from: if figure.measured { "measured" } else { figure.flag.word() },
        })
        .collect()
}

fn written(value: Value, units: Units) -> String {
    match value {
        Value::Length(length) => length.write(units),
        Value::Mass(mass) => mass.write(units),
        Value::Volume(volume) => volume.write(units),
        Value::Count(_) | Value::Degrees(_) => value.text(),
    }
}

/// The figures that have a line on the drawing.
pub(crate) fn drawn(form: &Form, used: &[UsedFigure]) -> Vec<PieceFigure> {
    lettered(form)
        .into_iter()
        .filter_map(|(letter, field)| {
            let figure = used.iter().find(|figure| figure.field == field)?;
            let Value::Length(length) = figure.value else { return None };
            Some(PieceFigure { measure: on_drawing(field)?, letter, length, measured: figure.measured })
        })
        .collect()
}
