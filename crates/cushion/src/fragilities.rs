//! The table of fragility: classes, the safety factor, the classic steps, and how a record moves a class.

use std::collections::BTreeMap;

use protection::{Figure, Flag, Origin};
use serde::Deserialize;
use toml::{Table, Value};

use crate::bounds::SHOCK_G;
use crate::fragility::{RawFragility, SAFETY};
use crate::nearest::find;
use crate::rows::{RawFigure, figure, only, overlay, ranged, read, rows, table};
use crate::tuned::RawTuning;
use crate::{CushionError, Fragility, Tuning};

const PUBLISHED: &str = include_str!("../data/fragility.toml");
const FILE: &str = "fragility";
const EXAMPLE: &str = "[classes.my_ware]";
const FILE_KEYS: &[&str] = &["classes", "rules", "tuning", "steps"];
/// Where the classic steps come from.
const STEPS_SOURCE: &str = "MIL-HDBK-304, approximate fragility of typical packaged articles; second wording: \
                            Brandenburg and Lee, Fundamentals of Packaging Dynamics";

/// One step of the classic table of instruments and machines.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassicStep {
    /// Its name ("delicate").
    pub name: String,
    /// Its name in a later textbook.
    pub also: String,
    /// Where it begins (inclusive), in multiples of gravity.
    pub from_g: f64,
    /// Where it ends (exclusive); `None` for the last.
    pub to_g: Option<f64>,
    /// The handbook's examples.
    pub examples: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStep {
    name: String,
    also: String,
    from_g: f64,
    to_g: Option<f64>,
    examples: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawRules {
    safety: RawFigure,
}

/// All classes of fragility.
#[derive(Debug, Clone, PartialEq)]
pub struct Fragilities {
    rows: Table,
    all: BTreeMap<String, Fragility>,
    safety: Figure,
    tuning: Tuning,
    steps: Vec<ClassicStep>,
}

impl Fragilities {
    /// The classes that come with the program; every one is judgement.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the classes compiled in are read by a test")
    }

    /// Reads a whole fragility file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown, out of range or at odds with another.
    pub fn read(text: &str) -> Result<Self, CushionError> {
        Self::from_rows(table(FILE, text, EXAMPLE)?)
    }

    /// These classes with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Fragilities::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, CushionError> {
        Self::from_rows(overlay(&self.rows, &table(FILE, text, EXAMPLE)?))
    }

    fn from_rows(file: Table) -> Result<Self, CushionError> {
        only(FILE, &file, FILE_KEYS)?;
        let all = rows::<RawFragility>(&file, "classes", "class")?
            .into_iter()
            .map(|(key, raw)| Ok((key.clone(), Fragility::read(&key, raw)?)))
            .collect::<Result<_, CushionError>>()?;
        let missing = |key: &str| CushionError::Row {
            place: format!("the {FILE} file"),
            reason: format!("[{key}] is missing; right would be the table of the default file"),
        };
        let rules: RawRules = read("rules", file.get("rules").ok_or_else(|| missing("rules"))?)?;
        let tuning: RawTuning = read("tuning", file.get("tuning").ok_or_else(|| missing("tuning"))?)?;
        let steps = match file.get("steps") {
            None => Vec::new(),
            Some(value) => classic(value)?,
        };
        Ok(Self {
            all,
            safety: figure("rules", "safety", rules.safety, SAFETY)?,
            tuning: Tuning::read(tuning)?,
            steps,
            rows: file,
        })
    }

    /// The class with this key or wording, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest keys.
    pub fn find(&self, name: &str) -> Result<&Fragility, CushionError> {
        find(&self.all, "fragility class", name, |class| &class.words)
    }

    /// All of them by their keys.
    pub fn iter(&self) -> impl Iterator<Item = &Fragility> {
        self.all.values()
    }

    /// Factor between what a piece stands and what a design allows.
    #[must_use]
    pub const fn safety(&self) -> &Figure {
        &self.safety
    }

    /// How a record of breakages moves a class.
    #[must_use]
    pub const fn tuning(&self) -> &Tuning {
        &self.tuning
    }

    /// The classic steps, lowest first.
    #[must_use]
    pub fn classic_steps(&self) -> &[ClassicStep] {
        &self.steps
    }

    /// The classic step that a shock falls in; `None` below the table or when it is no number.
    #[must_use]
    pub fn classic(&self, shock_g: f64) -> Option<&ClassicStep> {
        self.steps.iter().rev().find(|step| shock_g >= step.from_g && step.to_g.is_none_or(|to| shock_g < to))
    }

    /// Where the classic steps come from.
    #[must_use]
    pub fn classic_origin() -> Origin {
        Origin { flag: Flag::FromMemory, source: STEPS_SOURCE.to_owned() }
    }
}

/// The classic steps, each beginning where the one before ends.
fn classic(value: &Value) -> Result<Vec<ClassicStep>, CushionError> {
    let raw: Vec<RawStep> = read("steps", value)?;
    let mut steps: Vec<ClassicStep> = Vec::with_capacity(raw.len());
    for step in raw {
        let place = format!("step {}", step.name);
        let from_g = ranged(&place, "from_g", step.from_g, SHOCK_G)?;
        let to_g = step.to_g.map(|to| ranged(&place, "to_g", to, (from_g, SHOCK_G.1))).transpose()?;
        if let Some(last) = steps.last()
            && last.to_g.is_none_or(|to| to.total_cmp(&from_g).is_ne())
        {
            return Err(CushionError::Contradiction {
                place,
                what: format!("it begins at {from_g}, where the step before does not end"),
                right: "steps without gaps, the lowest first".to_owned(),
            });
        }
        steps.push(ClassicStep { name: step.name, also: step.also, from_g, to_g, examples: step.examples });
    }
    Ok(steps)
}
