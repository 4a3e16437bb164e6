//! Rules for cushion that stand beside the computed one, read from a data file.

use std::collections::BTreeMap;

use measure::{Length, Money};
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::overlay::overlay;
use crate::profile::WIDEST_IN;
use crate::{AppliesTo, DoubleBoxRule, Figure, Flag, Profile, ProtectionError, WallRule};

const PUBLISHED: &str = include_str!("../data/cushion_rules.toml");
const EXAMPLE: &str = "[walls.my_rule]";
const FILE_KEYS: &[&str] = &["walls", "double_boxes", "advice"];
const WALL_KEYS: &[&str] = &["applies_to", "in_low", "in_high", "words", "flag", "source"];
const DOUBLE_KEYS: &[&str] = &["in_low", "in_high", "profiles", "take", "words", "flag", "source"];
const ADVICE_KEYS: &[&str] = &["usual", "fragility_g", "high_value"];
/// Highest fragility and value that are read.
const MOST: f64 = 1e6;

/// Which end of its range a rule takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Take {
    Low,
    High,
}

impl Take {
    const ALL: [Self; 2] = [Self::Low, Self::High];

    const fn word(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::High => "high",
        }
    }
}

/// All rules for walls and for double boxes, and when a double box is advised.
#[derive(Debug, Clone, PartialEq)]
pub struct CushionRules {
    rows: Table,
    walls: BTreeMap<String, WallRule>,
    double_boxes: BTreeMap<String, DoubleBoxRule>,
    usual: String,
    /// Fragility in multiples of g at or under which a second box is advised.
    pub fragility_g: Figure,
    high_value: Figure,
}

impl CushionRules {
    /// The rules that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the cushion rules compiled in are read by a test")
    }

    /// Reads a whole file of cushion rules.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown or out of range.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("cushion rules", text, EXAMPLE)?)
    }

    /// These rules with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`CushionRules::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        let over = table("cushion rules", text, EXAMPLE)?;
        Self::from_rows(overlay(&self.rows, &over, FILE_KEYS))
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the cushion rules".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let mut walls = BTreeMap::new();
        for (name, keys) in file.rows("walls", "wall rule")? {
            walls.insert(name.to_owned(), wall(name, &keys)?);
        }
        let mut double_boxes = BTreeMap::new();
        for (name, keys) in file.rows("double_boxes", "double box rule")? {
            double_boxes.insert(name.to_owned(), double_box(name, &keys)?);
        }
        let advice = file
            .inner("advice")?
            .ok_or_else(|| file.missing("advice", "{ usual = \"carrier\", fragility_g = { value = 40 } }"))?;
        advice.only(ADVICE_KEYS)?;
        let usual =
            find("double box rule", &double_boxes, advice.need_text("usual", "\"carrier\"")?)?.name.clone();
        Ok(Self {
            walls,
            double_boxes,
            usual,
            fragility_g: advice.need_figure("fragility_g", 0.0, MOST)?,
            high_value: advice.need_figure("high_value", 0.0, MOST)?,
            rows,
        })
    }

    /// The rule for walls with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn wall(&self, name: &str) -> Result<&WallRule, ProtectionError> {
        find("wall rule", &self.walls, name)
    }

    /// The rules for walls that are about such goods, the strictest first; by name where they ask alike.
    #[must_use]
    pub fn walls_for(&self, goods: AppliesTo) -> Vec<&WallRule> {
        let mut all: Vec<&WallRule> = self.walls.values().filter(|rule| rule.applies_to == goods).collect();
        all.sort_by(|a, b| b.least.total_cmp(&a.least).then_with(|| a.name.cmp(&b.name)));
        all
    }

    /// All rules for walls by name.
    pub fn walls(&self) -> impl Iterator<Item = &WallRule> {
        self.walls.values()
    }

    /// The rule for double boxes with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn double_box(&self, name: &str) -> Result<&DoubleBoxRule, ProtectionError> {
        find("double box rule", &self.double_boxes, name)
    }

    /// All rules for double boxes by name.
    pub fn double_boxes(&self) -> impl Iterator<Item = &DoubleBoxRule> {
        self.double_boxes.values()
    }

    /// The rule for double boxes that goes with a profile; the usual one when none names it.
    #[must_use]
    pub fn double_box_for(&self, profile: &Profile) -> &DoubleBoxRule {
        self.double_boxes
            .values()
            .find(|rule| rule.profiles.contains(&profile.name))
            .or_else(|| self.double_boxes.get(&self.usual))
            .expect("the usual rule was found when the file was read")
    }

    /// What a parcel must be worth for a second box to be advised.
    #[must_use]
    pub fn high_value(&self) -> Money {
        // At most a million, far below what whole cents hold.
        Money::from_cents((self.high_value.value * 100.0).round() as i64)
    }
}

fn find<'a, T>(
    kind: &'static str,
    all: &'a BTreeMap<String, T>,
    name: &str,
) -> Result<&'a T, ProtectionError> {
    let wanted = plain(name);
    all.iter().find(|(key, _)| plain(key) == wanted).map(|(_, rule)| rule).ok_or_else(|| {
        ProtectionError::UnknownName {
            kind,
            name: name.to_owned(),
            nearest: nearest(name, all.keys().map(String::as_str)),
        }
    })
}

fn range(keys: &Keys<'_>) -> Result<(Length, Length), ProtectionError> {
    let low = keys.need_number("in_low", 0.0, WIDEST_IN)?;
    let high = keys.number("in_high", 0.0, WIDEST_IN)?.unwrap_or(low);
    if high < low {
        return Err(keys.wrong("in_high", "less than in_low", "at least in_low"));
    }
    Ok((Length::from_inches(low), Length::from_inches(high)))
}

fn wall(name: &str, keys: &Keys<'_>) -> Result<WallRule, ProtectionError> {
    keys.only(WALL_KEYS)?;
    let (least, most) = range(keys)?;
    Ok(WallRule {
        name: name.to_owned(),
        applies_to: keys
            .word("applies_to", &AppliesTo::ALL, AppliesTo::word)?
            .ok_or_else(|| keys.missing("applies_to", "\"fragile\""))?,
        least,
        most,
        words: keys.text("words")?.unwrap_or(name).to_owned(),
        origin: keys.origin(Flag::Own)?,
    })
}

fn double_box(name: &str, keys: &Keys<'_>) -> Result<DoubleBoxRule, ProtectionError> {
    keys.only(DOUBLE_KEYS)?;
    let (least, most) = range(keys)?;
    Ok(DoubleBoxRule {
        name: name.to_owned(),
        least,
        most,
        take_most: match keys.word("take", &Take::ALL, Take::word)? {
            Some(Take::High) => true,
            Some(Take::Low) | None => false,
        },
        profiles: profiles(keys)?,
        words: keys.text("words")?.unwrap_or(name).to_owned(),
        origin: keys.origin(Flag::Own)?,
    })
}

/// Names of profiles, which another file holds.
fn profiles(keys: &Keys<'_>) -> Result<Vec<String>, ProtectionError> {
    let right = "a list of names of profiles, for example [\"careful\"]";
    let Some(value) = keys.table.get("profiles") else { return Ok(Vec::new()) };
    let wrong = || keys.wrong("profiles", &value.to_string(), right);
    let name = |entry: &toml::Value| entry.as_str().map(str::to_owned).ok_or_else(wrong);
    value.as_array().ok_or_else(wrong)?.iter().map(name).collect()
}
