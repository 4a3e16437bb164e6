//! What is asked about a cushion, as it was typed, and what can be wrong with it.

/// How fields are called in messages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spell {
    /// As options of a terminal ("--bears 60").
    Options,
    /// As fields of a page ("60 at \"It bears, in G\"").
    #[default]
    Fields,
}

/// Fields with their labels on a page.
const LABELS: [(&str, &str); 15] = [
    ("form", "What the piece is"),
    ("measure", "Its measures"),
    ("weight", "Its weight"),
    ("area", "Area that bears on the cushion"),
    ("sides", "Sides of that area"),
    ("fragility", "How fragile it is"),
    ("bears", "It bears, in G"),
    ("drop", "How careful about drops"),
    ("schedule", "Heights of a test"),
    ("height", "A height of your own"),
    ("gross", "Weight of the whole parcel"),
    ("safety", "Safety factor"),
    ("material", "Materials"),
    ("thickness", "Thicknesses"),
    ("wrap", "Wrap on the piece"),
];

/// What a field is called on a page; the field itself where it has no label.
#[must_use]
pub fn guard_label(field: &str) -> &str {
    LABELS.iter().find(|(known, _)| *known == field).map_or(field, |(_, label)| label)
}

/// What is asked about the cushion of a piece, each as it was typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct GuardAsked {
    /// How fields are called in messages.
    pub spell: Spell,
    /// What the piece is, by its form.
    pub form: Option<String>,
    /// Measures of the bare piece ("diameter=5 1/2 in").
    pub measure: Vec<String>,
    /// Weight of the bare piece.
    pub weight: Option<String>,
    /// Without a form: the area that bears on the cushion ("10 in2").
    pub area: Option<String>,
    /// Without a form: the sides of that area, or all three of a block.
    pub sides: Option<String>,
    /// Class of fragility.
    pub fragility: Option<String>,
    /// The shock it bears instead, in multiples of gravity.
    pub bears: Option<String>,
    /// Drop profile.
    pub drop: Option<String>,
    /// A test's or handbook's heights instead.
    pub schedule: Option<String>,
    /// A height of one's own instead.
    pub height: Option<String>,
    /// Weight of the whole parcel.
    pub gross: Option<String>,
    /// Factor between what the piece bears and what is allowed.
    pub safety: Option<String>,
    /// Materials by name; all when there are none.
    pub material: Vec<String>,
    /// Thicknesses; usual ones when there are none.
    pub thickness: Vec<String>,
    /// Wraps from inside out ("bubble_small x 2").
    pub wrap: Vec<String>,
    /// The published rule that stands against the computation.
    pub rule: Option<String>,
    /// Whether measures are written in centimetres and grams.
    pub metric: bool,
}

impl GuardAsked {
    /// What a field is called.
    pub(super) fn called(&self, field: &str) -> String {
        match self.spell {
            Spell::Options => format!("--{field}"),
            Spell::Fields => format!("\"{}\"", guard_label(field)),
        }
    }

    /// An example of what to type into a field.
    pub(super) fn example(&self, field: &str, value: &str) -> String {
        match self.spell {
            Spell::Options if value.contains(' ') => format!("--{field} \"{value}\""),
            Spell::Options => format!("--{field} {value}"),
            Spell::Fields => format!("{value} at \"{}\"", guard_label(field)),
        }
    }
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GuardMistake {
    /// The field, as [`GuardAsked`] calls it.
    pub field: &'static str,
    /// The same as an option of a terminal, without its dashes; of a measure with its name.
    pub option: String,
    /// Whether nothing was typed where something is needed.
    pub is_missing: bool,
    /// What is wrong; what would be right too, unless it stands in `right`.
    pub message: String,
    /// What would be right, where it is told apart.
    pub right: Option<String>,
}

impl GuardMistake {
    pub(super) fn at(field: &'static str, message: String) -> Self {
        Self { field, option: field.to_owned(), is_missing: false, message, right: None }
    }

    pub(super) fn missing(field: &'static str, message: String) -> Self {
        Self { is_missing: true, ..Self::at(field, message) }
    }

    pub(super) fn with_right(field: &'static str, option: String, message: String, right: String) -> Self {
        Self { option, right: Some(right), ..Self::at(field, message) }
    }

    /// The whole of it in a sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        let missing = if self.is_missing { "this is missing: " } else { "" };
        match &self.right {
            Some(right) => format!("{missing}{}; right would be: {right}", self.message),
            None => format!("{missing}{}", self.message),
        }
    }
}
