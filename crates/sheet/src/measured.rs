//! The measures of a piece, each under the name of its field.

use forms::{Field, Form, FormsError, Measures, Quantity};
use measure::{Length, Mass};

use crate::entry::Entry;
use crate::figure::{self, Bare};
use crate::nearest::listed;
use crate::section::Section;
use crate::told::{Problems, Told, parted};

/// Reads every measure of a piece and has the form build the piece with them, so that measures which
/// can't go together are told at the measure that is wrong.
pub(crate) fn measures(
    section: &mut Section<'_, '_>,
    form: Option<(&Form, &Entry<'_, '_>)>,
    bare: Bare,
    problems: &mut Problems<'_>,
) -> Result<Measures, Told> {
    let mut measures = Measures::default();
    let mut entries = Vec::new();
    let mut told = None;
    for &field in Field::ALL.iter().filter(|&&field| is_measure(field)) {
        let Some(entry) = section.take(field.name()) else { continue };
        match read(&entry, field, form.map(|(form, _)| form), bare, problems) {
            Ok(figure) => {
                set(&mut measures, field, figure);
                entries.push((field, entry));
            }
            Err(error) => told = Some(error),
        }
    }
    if let Some(told) = told {
        return Err(told);
    }
    let Some((form, named)) = form else { return Ok(measures) };
    match form.piece(&measures) {
        Ok(_) => Ok(measures),
        Err(error) => Err(refused(&error, &entries, form, named, section, problems)),
    }
}

/// A measure as it is stored.
#[derive(Clone, Copy)]
enum Figure {
    Length(Length),
    Mass(Mass),
    Count(u32),
}

/// Directions and odd hollows are facts of a form, not something a tape or a scale gives.
fn is_measure(field: Field) -> bool {
    !matches!(field, Field::HandleAngle | Field::Hollow)
}

fn read(
    entry: &Entry<'_, '_>,
    field: Field,
    form: Option<&Form>,
    bare: Bare,
    problems: &mut Problems<'_>,
) -> Result<Figure, Told> {
    if let Some(form) = form.filter(|form| !form.takes(field)) {
        let has = Field::ALL.iter().filter(|&&field| form.takes(field)).map(|field| field.name());
        let message = format!("{} has no {}", form.name, field.name());
        let right = format!("one of its measures: {}", listed(has));
        return Err(problems.tell(entry.path(), entry.key_span(), message, right));
    }
    let right = example(field, form);
    match field.quantity() {
        Quantity::Count => entry.whole(0..=forms::MAX_HANDLES, &right, problems).map(Figure::Count),
        Quantity::Mass => figure::mass(entry, bare, &right, problems).map(Figure::Mass),
        // A handle may begin at the table; that one must stand out is the form's to say.
        _ if matches!(field, Field::HandleBottom | Field::HandleReach) => {
            figure::length_or_none(entry, bare, &right, problems).map(Figure::Length)
        }
        _ => figure::length(entry, bare, &right, problems).map(Figure::Length),
    }
}

/// A right line for a field: what the form usually has.
fn example(field: Field, form: Option<&Form>) -> String {
    let usual = form.and_then(|form| form.fact(field)).map(|fact| fact.value.text());
    match field.quantity() {
        Quantity::Count => format!("{} = {}", field.name(), usual.unwrap_or_else(|| "1".to_owned())),
        Quantity::Mass => {
            format!("{} = \"{}\"", field.name(), usual.unwrap_or_else(|| "1 lb 3.5 oz".to_owned()))
        }
        _ => format!("{} = \"{}\"", field.name(), usual.unwrap_or_else(|| "3 1/4 in".to_owned())),
    }
}

/// Tells what a form refuses, at the measure it is about.
fn refused(
    error: &FormsError,
    entries: &[(Field, Entry<'_, '_>)],
    form: &Form,
    named: &Entry<'_, '_>,
    section: &Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Told {
    let (message, right) = parted(&error.to_string(), "measures that fit together, taken again");
    let (about, right) = match error {
        FormsError::NotPositive { field, example, .. }
        | FormsError::TooLarge { field, example, .. }
        | FormsError::DoesNotFit { field, example, .. } => (Some(*field), format!("{field} = \"{example}\"")),
        FormsError::NoSuchMeasure { field, .. } | FormsError::NoHandles { field, .. } => {
            (Some(*field), right)
        }
        FormsError::HandleWithoutReach { .. } => {
            (Some(Field::HandleReach.name()), example(Field::HandleReach, Some(form)))
        }
        _ => (None, right),
    };
    let entry_of =
        |name: &str| entries.iter().find(|(field, _)| field.name() == name).map(|(_, entry)| entry);
    match about {
        Some(name) => {
            // A measure that isn't there at all is told where the handles are counted, or at the form.
            let place = entry_of(name).or_else(|| entry_of(Field::Handles.name())).unwrap_or(named);
            problems.tell(&section.path_of(name), place.span(), message, right)
        }
        None => named.wrong(problems, message, right),
    }
}

fn set(measures: &mut Measures, field: Field, figure: Figure) {
    let length = match figure {
        Figure::Length(length) => length,
        Figure::Mass(mass) => {
            let slot =
                if field == Field::LidWeight { &mut measures.lid_weight } else { &mut measures.weight };
            *slot = Some(mass);
            return;
        }
        Figure::Count(count) => {
            measures.handles = Some(count);
            return;
        }
    };
    let slot = match field {
        Field::Diameter => &mut measures.diameter,
        Field::Length => &mut measures.length,
        Field::Width => &mut measures.width,
        Field::Height => &mut measures.height,
        Field::WaistDiameter => &mut measures.waist_diameter,
        Field::HandleReach => &mut measures.handle_reach,
        Field::HandleWidth => &mut measures.handle_width,
        Field::HandleHeight => &mut measures.handle_height,
        Field::HandleBottom => &mut measures.handle_bottom,
        Field::SpoutReach => &mut measures.spout_reach,
        Field::SpoutWidth => &mut measures.spout_width,
        Field::SpoutHeight => &mut measures.spout_height,
        Field::StemDiameter => &mut measures.stem_diameter,
        Field::StemHeight => &mut measures.stem_height,
        Field::FootDiameter => &mut measures.foot_diameter,
        Field::FootHeight => &mut measures.foot_height,
        Field::Wall => &mut measures.wall,
        Field::LidDiameter => &mut measures.lid_diameter,
        Field::LidHeight => &mut measures.lid_height,
        Field::KnobHeight => &mut measures.knob_height,
        Field::KnobDiameter => &mut measures.knob_diameter,
        Field::Pitch => &mut measures.pitch,
        // None of these is read as a length.
        Field::Handles | Field::Weight | Field::LidWeight | Field::HandleAngle | Field::Hollow => return,
    };
    *slot = Some(length);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measure_of_a_form_is_stored_under_its_own_field() {
        for &field in Field::ALL.iter().filter(|&&field| is_measure(field)) {
            let figure = match field.quantity() {
                Quantity::Count => Figure::Count(2),
                Quantity::Mass => Figure::Mass(Mass::from_ounces(3.0)),
                _ => Figure::Length(Length::from_inches(3.0)),
            };
            let mut measures = Measures::default();
            set(&mut measures, field, figure);
            let stored: Vec<_> = Field::ALL.iter().filter(|&&other| measures.get(other).is_some()).collect();
            assert_eq!(stored, [&field]);
        }
    }
}
