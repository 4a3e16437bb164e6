//! One form: a family of pieces with its default figures.

use std::collections::{BTreeMap, BTreeSet};

use shape::Company;

use crate::{
    BodyKind, BuiltPiece, Caution, Field, Flag, FormsError, Fragility, Material, Measures, Value, piece,
};

/// A default figure of a form with its spread and its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fact {
    /// The typical value.
    pub value: Value,
    /// The low end of what is usual, when known.
    pub low: Option<Value>,
    /// The high end of what is usual, when known.
    pub high: Option<Value>,
    /// Where it comes from.
    pub flag: Flag,
}

/// A row of a form's listing: one default figure, ready to be shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Which figure.
    pub field: Field,
    /// Its name ("handle_reach").
    pub name: &'static str,
    /// The typical value.
    pub value: Value,
    /// The typical value as people read it ("1.1 in").
    pub value_text: String,
    /// Where it comes from.
    pub flag: Flag,
    /// The low end of what is usual, when known.
    pub low: Option<Value>,
    /// The high end of what is usual, when known.
    pub high: Option<Value>,
}

/// A family of household pieces: a row of the forms table.
///
/// Forms come only from a forms file, which is checked as it is read, so every form builds a piece
/// from its own defaults.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Its snake_case id ("diner_mug").
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Other names it answers to.
    pub synonyms: Vec<String>,
    /// What it is made of.
    pub material: Material,
    /// Which goods it may share a carton with.
    pub company: Company,
    /// How hard a shock it stands.
    pub fragility: Fragility,
    /// Name of the recipe it is packed by.
    pub recipe: String,
    /// The solid that stands for its body.
    pub body: BodyKind,
    /// Whether its body has a hollow to be stuffed.
    pub hollow: bool,
    /// Where its figures come from, in words.
    pub source: String,
    /// What to think of before it is bought, listed or mailed.
    pub cautions: Vec<Caution>,
    pub(crate) facts: BTreeMap<Field, Fact>,
    pub(crate) may_have: BTreeSet<Field>,
}

impl Form {
    /// The default of a field; `None` when the form has no default for it.
    #[must_use]
    pub fn fact(&self, field: Field) -> Option<Fact> {
        self.facts.get(&field).copied()
    }

    /// All default figures in the order in which they are shown.
    #[must_use]
    pub fn figures(&self) -> Vec<Figure> {
        self.facts
            .iter()
            .map(|(&field, fact)| Figure {
                field,
                name: field.name(),
                value: fact.value,
                value_text: fact.value.text(),
                flag: fact.flag,
                low: fact.low,
                high: fact.high,
            })
            .collect()
    }

    /// Whether a person's measure of this field means something on this form.
    #[must_use]
    pub fn takes(&self, field: Field) -> bool {
        let has = |field| self.facts.contains_key(&field) || self.may_have.contains(&field);
        match field {
            // Directions and odd hollows are facts of a form, not something a tape gives.
            Field::HandleAngle | Field::Hollow => false,
            Field::Weight => true,
            Field::Wall => self.hollow,
            Field::FootHeight => self.body == BodyKind::Stemmed,
            Field::HandleReach | Field::HandleWidth | Field::HandleHeight | Field::HandleBottom => {
                has(Field::Handles)
            }
            Field::SpoutWidth | Field::SpoutHeight => has(Field::SpoutReach),
            Field::KnobHeight | Field::KnobDiameter | Field::LidWeight => has(Field::LidHeight),
            Field::LidDiameter => {
                has(Field::LidDiameter) || (has(Field::LidHeight) && self.body != BodyKind::Block)
            }
            Field::Height => true,
            Field::Diameter => self.body != BodyKind::Block,
            Field::Length | Field::Width => self.body == BodyKind::Block,
            Field::StemDiameter | Field::StemHeight | Field::FootDiameter => self.body == BodyKind::Stemmed,
            Field::WaistDiameter => self.body == BodyKind::Cylinder && has(field),
            Field::Handles | Field::SpoutReach | Field::LidHeight | Field::Pitch => has(field),
        }
    }

    /// The piece with these measures; whatever is absent is filled from the form.
    ///
    /// The piece stands upright in its own frame: origin in the middle of the body's footprint at the
    /// lowest point, z up, x toward the first handle or spout (toward the longer side of a block). Lids
    /// are packed apart, each in its own frame, rim down and knob up. All wraps are 0. An oval or
    /// irregular piece is the block around it, so it is never larger than its solid.
    ///
    /// # Errors
    /// A measure that is zero, negative or absurd, that the form doesn't have, or a part that doesn't fit
    /// into what it belongs to; the message names the field and a right example.
    pub fn piece(&self, measures: &Measures) -> Result<BuiltPiece, FormsError> {
        piece::build(self, measures)
    }

    /// Its own defaults, stated as if a person had measured them, so that the checks of measures apply.
    pub(crate) fn stated(&self) -> Measures {
        let length = |field| match self.fact(field).map(|fact| fact.value) {
            Some(Value::Length(length)) => Some(length),
            _ => None,
        };
        let mass = |field| match self.fact(field).map(|fact| fact.value) {
            Some(Value::Mass(mass)) => Some(mass),
            _ => None,
        };
        let handles = match self.fact(Field::Handles).map(|fact| fact.value) {
            Some(Value::Count(count)) => Some(count),
            _ => None,
        };
        // Figures of handles may wait in a form whose usual piece has none.
        let of_handles = |field| if handles == Some(0) { None } else { length(field) };
        Measures {
            diameter: length(Field::Diameter),
            length: length(Field::Length),
            width: length(Field::Width),
            height: length(Field::Height),
            waist_diameter: length(Field::WaistDiameter),
            handles,
            handle_reach: of_handles(Field::HandleReach),
            handle_width: of_handles(Field::HandleWidth),
            handle_height: of_handles(Field::HandleHeight),
            handle_bottom: of_handles(Field::HandleBottom),
            spout_reach: length(Field::SpoutReach),
            spout_width: length(Field::SpoutWidth),
            spout_height: length(Field::SpoutHeight),
            stem_diameter: length(Field::StemDiameter),
            stem_height: length(Field::StemHeight),
            foot_diameter: length(Field::FootDiameter),
            foot_height: length(Field::FootHeight),
            wall: length(Field::Wall),
            lid_diameter: length(Field::LidDiameter),
            lid_height: length(Field::LidHeight),
            knob_height: length(Field::KnobHeight),
            knob_diameter: length(Field::KnobDiameter),
            pitch: length(Field::Pitch),
            weight: mass(Field::Weight),
            lid_weight: mass(Field::LidWeight),
        }
    }
}
