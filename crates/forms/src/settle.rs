//! Settling measures against defaults: which figure is used, and whether it can be.

use std::collections::BTreeMap;

use measure::{Length, Mass};

use crate::{Field, Flag, Form, FormsError, Measures, Quantity, Value};

/// Longest measure accepted. Source: judgement; half the length and girth of the largest parcels posts
/// take.
pub const MAX_LENGTH: Length = Length::from_inches(60.0);
/// Heaviest piece accepted. Source: common practice; the ceiling of the parcel carriers.
pub const MAX_WEIGHT: Mass = Mass::from_pounds(150.0);
/// Most handles accepted on one piece. Source: judgement.
pub const MAX_HANDLES: u32 = 8;

/// Share of its limit that an estimated part is cut down to when a measured body is too small for it.
const CUT_DOWN: f64 = 0.95;

/// How far past a closed bound a figure may be by rounding alone (0.8 in of 1.4 in less 0.6 in), mm or g.
const ROUNDING: f64 = 1e-6;

/// A figure that a built piece rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsedFigure {
    /// Which figure.
    pub field: Field,
    /// Its name ("handle_reach").
    pub name: &'static str,
    /// The value used.
    pub value: Value,
    /// Whether the person measured it on this piece.
    pub measured: bool,
    /// `measured` when it was; else where the form's default comes from, and `judgement` for a default
    /// that was fitted to a measured body.
    pub flag: Flag,
}

/// The bound a part must keep to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bound {
    /// The bound in the field's reckoned unit (mm or g).
    pub limit: f64,
    /// Whether the bound itself is still allowed.
    pub closed: bool,
    /// What sets it.
    pub of: &'static str,
}

impl Bound {
    pub(crate) const fn at_most(limit: f64, of: &'static str) -> Self {
        Self { limit, closed: true, of }
    }

    pub(crate) const fn less_than(limit: f64, of: &'static str) -> Self {
        Self { limit, closed: false, of }
    }

    fn holds(self, number: f64) -> bool {
        if self.closed { number <= self.limit + ROUNDING } else { number < self.limit }
    }

    /// The value an estimate falls back to, which always keeps the bound (limits are more than 0).
    fn fallback(self) -> f64 {
        if self.closed { self.limit } else { self.limit * CUT_DOWN }
    }
}

/// Measures and defaults of one piece, and a record of what was used.
pub(crate) struct Settling<'a> {
    pub(crate) form: &'a Form,
    measures: &'a Measures,
    used: BTreeMap<Field, UsedFigure>,
}

impl<'a> Settling<'a> {
    /// Takes up measures after checking each one by itself.
    pub(crate) fn begin(form: &'a Form, measures: &'a Measures) -> Result<Self, FormsError> {
        let settling = Self { form, measures, used: BTreeMap::new() };
        for &field in Field::ALL {
            if let Some(value) = measures.get(field) {
                settling.check(field, value)?;
            }
        }
        Ok(settling)
    }

    fn check(&self, field: Field, value: Value) -> Result<(), FormsError> {
        let form = self.form;
        if !form.takes(field) {
            return Err(no_such_measure(form, field));
        }
        let of_handles = matches!(
            field,
            Field::HandleReach | Field::HandleWidth | Field::HandleHeight | Field::HandleBottom
        );
        if of_handles && self.number(Field::Handles).unwrap_or(0.0) < 1.0 {
            return Err(FormsError::NoHandles { form: form.id.clone(), field: field.name() });
        }
        let number = value.reckoned();
        if field == Field::HandleReach && number == 0.0 {
            return Err(self.handle_without_reach());
        }
        let least_is_zero = matches!(field, Field::Handles | Field::HandleBottom);
        let positive = number.is_finite() && (number > 0.0 || (least_is_zero && number == 0.0));
        if !positive {
            return Err(FormsError::NotPositive {
                form: form.id.clone(),
                field: field.name(),
                found: value.text(),
                example: self.example(field),
            });
        }
        let limit = match field.quantity() {
            Quantity::Length => Value::Length(MAX_LENGTH),
            Quantity::Mass => Value::Mass(MAX_WEIGHT),
            Quantity::Count => Value::Count(MAX_HANDLES),
            Quantity::Angle | Quantity::Volume => return Ok(()),
        };
        if number > limit.reckoned() {
            return Err(FormsError::TooLarge {
                form: form.id.clone(),
                field: field.name(),
                found: value.text(),
                limit: limit.text(),
                example: self.example(field),
            });
        }
        Ok(())
    }

    pub(crate) fn handle_without_reach(&self) -> FormsError {
        FormsError::HandleWithoutReach {
            form: self.form.id.clone(),
            example: named(Field::HandleReach, self.example(Field::HandleReach)),
        }
    }

    /// A right value to show in a message: the form's default, else the field's example.
    fn example(&self, field: Field) -> String {
        example(self.form, field)
    }

    fn number(&self, field: Field) -> Option<f64> {
        let default = || self.form.fact(field).map(|fact| fact.value);
        self.measures.get(field).or_else(default).map(Value::reckoned)
    }

    fn note(&mut self, field: Field, number: f64, measured: bool, flag: Flag) -> f64 {
        let value = field.reckoned(number);
        self.used.insert(field, UsedFigure { field, name: field.name(), value, measured, flag });
        number
    }

    /// The measured figure, else the default, else nothing.
    pub(crate) fn take(&mut self, field: Field) -> Option<f64> {
        if let Some(value) = self.measures.get(field) {
            return Some(self.note(field, value.reckoned(), true, Flag::Measured));
        }
        let fact = self.form.fact(field)?;
        Some(self.note(field, fact.value.reckoned(), false, fact.flag))
    }

    /// The measured figure, else the default; a form without either is not complete.
    pub(crate) fn need(&mut self, field: Field) -> Result<f64, FormsError> {
        self.take(field).ok_or_else(|| FormsError::Missing {
            place: self.form.id.clone(),
            key: field.key().to_owned(),
            example: field_line(field),
        })
    }

    /// The measured figure, else the default times `scale`, else `otherwise`.
    pub(crate) fn scaled(&mut self, field: Field, scale: f64, otherwise: f64) -> f64 {
        if self.measures.get(field).is_none()
            && scale != 1.0
            && let Some(fact) = self.form.fact(field)
        {
            return self.note(field, fact.value.reckoned() * scale, false, Flag::Judgement);
        }
        match self.take(field) {
            Some(number) => number,
            None => self.note(field, otherwise, false, Flag::Judgement),
        }
    }

    /// As [`Settling::scaled`], kept to a bound: a measured figure past it is refused, an estimate is cut
    /// down to it.
    pub(crate) fn within(
        &mut self,
        field: Field,
        scale: f64,
        otherwise: f64,
        bound: Bound,
    ) -> Result<f64, FormsError> {
        let number = self.scaled(field, scale, otherwise);
        if bound.holds(number) {
            return Ok(number.min(bound.limit));
        }
        if self.is_measured(field) {
            let words = if bound.closed { "at most" } else { "less than" };
            return Err(FormsError::DoesNotFit {
                form: self.form.id.clone(),
                field: field.name(),
                found: field.reckoned(number).text(),
                limit: format!("{words} {}, {}", field.reckoned(bound.limit).text(), bound.of),
                example: field.reckoned(bound.limit * 0.5).text(),
            });
        }
        Ok(self.note(field, bound.fallback(), false, Flag::Judgement))
    }

    pub(crate) fn is_measured(&self, field: Field) -> bool {
        self.measures.get(field).is_some()
    }

    /// Whether the person measured it or the form has a default for it.
    pub(crate) fn has(&self, field: Field) -> bool {
        self.is_measured(field) || self.form.fact(field).is_some()
    }

    /// By what factor a used figure differs from the form's default (1 when either is unknown).
    pub(crate) fn growth(&self, field: Field) -> f64 {
        let default = self.form.fact(field).map_or(0.0, |fact| fact.value.reckoned());
        match self.number(field) {
            Some(used) if default > 0.0 => used / default,
            _ => 1.0,
        }
    }

    /// What was used, in the order in which it is shown.
    pub(crate) fn used(self) -> Vec<UsedFigure> {
        self.used.into_values().collect()
    }
}

fn example(form: &Form, field: Field) -> String {
    match form.fact(field).map(|fact| fact.value) {
        Some(value) if value.reckoned() > 0.0 => value.text(),
        _ => field.value(field.example()).map_or_else(String::new, Value::text),
    }
}

fn named(field: Field, text: String) -> String {
    format!("{} {text}", field.name())
}

/// A right line of a forms file for a field.
pub(crate) fn field_line(field: Field) -> String {
    format!("{} = {}", field.key(), field.example())
}

fn no_such_measure(form: &Form, field: Field) -> FormsError {
    let fields: Vec<Field> = Field::ALL.iter().copied().filter(|&field| form.takes(field)).collect();
    let first = fields.first().copied().unwrap_or(Field::Weight);
    FormsError::NoSuchMeasure {
        form: form.id.clone(),
        field: field.name(),
        has: fields.iter().map(|field| field.name()).collect(),
        example: named(first, example(form, first)),
    }
}
