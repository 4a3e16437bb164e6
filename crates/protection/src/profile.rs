//! Profiles: how much cushion, chosen by name or typed as a length.

use std::collections::BTreeMap;

use measure::Length;
use plan::Crush;
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::overlay::overlay;
use crate::{Figure, Flag, Origin, ProtectionError};

const PUBLISHED: &str = include_str!("../data/profiles.toml");
const EXAMPLE: &str = "[profiles.my_way]";
const FILE_KEYS: &[&str] = &["profiles", "rules"];
const RULE_KEYS: &[&str] = &["crush", "overfill"];
const PROFILE_KEYS: &[&str] =
    &["words", "very_fragile_in", "fragile_in", "robust_in", "books_in", "separation_in", "flag", "source"];
/// Widest cushion that any carton of the post leaves room for, in.
pub(crate) const WIDEST_IN: f64 = 12.0;
/// Most of a wrap that may be pressed away, and most overfill, as shares.
const MOST_SHARE: f64 = 0.9;

/// How much cushion a piece asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cushion {
    /// Thin stems, spouts, projections.
    VeryFragile,
    /// Household china and glass.
    Fragile,
    /// What hardly breaks: iron, cutlery, toys.
    Robust,
    /// Books and other flat paper goods.
    Books,
}

impl Cushion {
    /// Every class.
    pub const ALL: [Self; 4] = [Self::VeryFragile, Self::Fragile, Self::Robust, Self::Books];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::VeryFragile => "very_fragile",
            Self::Fragile => "fragile",
            Self::Robust => "robust",
            Self::Books => "books",
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::VeryFragile => "very_fragile_in",
            Self::Fragile => "fragile_in",
            Self::Robust => "robust_in",
            Self::Books => "books_in",
        }
    }
}

/// A level of protection.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Its name ("rule_of_two").
    pub name: String,
    /// What it asks for, in words.
    pub words: String,
    walls: [Length; 4],
    /// Least distance between hard parts of different bundles instead of the recipe's.
    pub separation: Option<Length>,
    /// How far wrap may be pressed.
    pub crush: Crush,
    /// Further fill for settling, as a share of the void.
    pub overfill: f64,
    /// Where it comes from.
    pub origin: Origin,
}

impl Profile {
    /// Least distance of hard parts to the carton for this class.
    #[must_use]
    pub fn wall(&self, cushion: Cushion) -> Length {
        match cushion {
            Cushion::VeryFragile => self.walls[0],
            Cushion::Fragile => self.walls[1],
            Cushion::Robust => self.walls[2],
            Cushion::Books => self.walls[3],
        }
    }

    /// This profile with one length, typed by the person, for everything.
    ///
    /// # Errors
    /// When it is less than nothing or more than 12 in.
    pub fn with_clearance(&self, clearance: Length) -> Result<Self, ProtectionError> {
        if !(0.0..=WIDEST_IN).contains(&clearance.inches()) {
            return Err(ProtectionError::Wrong {
                place: format!("profile {}", self.name),
                key: "clearance".to_owned(),
                found: format!("{} in", clearance.inches()),
                right: format!("0 to {WIDEST_IN} in"),
            });
        }
        let origin = Origin { flag: Flag::Own, source: Flag::Own.word().to_owned() };
        let words = format!("{} in of cushion round everything", clearance.inches());
        Ok(Self { walls: [clearance; 4], words, origin, ..self.clone() })
    }
}

/// All profiles.
#[derive(Debug, Clone, PartialEq)]
pub struct Profiles {
    rows: Table,
    all: BTreeMap<String, Profile>,
    crush: Figure,
    overfill: Figure,
}

impl Profiles {
    /// The name of the profile taken when nothing else is said.
    pub const USUAL: &'static str = "rule_of_two";

    /// The profiles that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the profiles compiled in are read by a test")
    }

    /// Reads a whole profiles file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown or out of range.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("profiles", text, EXAMPLE)?)
    }

    /// These profiles with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Profiles::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(overlay(&self.rows, &table("profiles", text, EXAMPLE)?, FILE_KEYS))
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the profiles file".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let rules = file.inner("rules")?.ok_or_else(|| {
            file.missing("rules", "{ crush = { value = 0.25 }, overfill = { value = 0.1 } }")
        })?;
        rules.only(RULE_KEYS)?;
        let crush = rules.need_figure("crush", 0.0, MOST_SHARE)?;
        let overfill = rules.need_figure("overfill", 0.0, MOST_SHARE)?;
        let mut all = BTreeMap::new();
        for (name, keys) in file.rows("profiles", "profile")? {
            keys.only(PROFILE_KEYS)?;
            let mut walls = [Length::ZERO; 4];
            for (wall, cushion) in walls.iter_mut().zip(Cushion::ALL) {
                *wall = Length::from_inches(keys.need_number(cushion.key(), 0.0, WIDEST_IN)?);
            }
            let profile = Profile {
                name: name.to_owned(),
                words: keys.text("words")?.unwrap_or(name).to_owned(),
                walls,
                separation: keys.number("separation_in", 0.0, WIDEST_IN)?.map(Length::from_inches),
                crush: Crush { sideways: crush.value },
                overfill: overfill.value,
                origin: keys.origin(Flag::Own)?,
            };
            all.insert(name.to_owned(), profile);
        }
        Ok(Self { all, crush, overfill, rows })
    }

    /// The profile with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn find(&self, name: &str) -> Result<&Profile, ProtectionError> {
        let wanted = plain(name);
        self.all.values().find(|one| plain(&one.name) == wanted).ok_or_else(|| ProtectionError::UnknownName {
            kind: "profile",
            name: name.to_owned(),
            nearest: nearest(name, self.all.keys().map(String::as_str)),
        })
    }

    /// All of them by name.
    pub fn iter(&self) -> impl Iterator<Item = &Profile> {
        self.all.values()
    }

    /// Largest share of a wrap that may be pressed away sideways, with its source.
    #[must_use]
    pub fn crush(&self) -> &Figure {
        &self.crush
    }

    /// Further fill for settling as a share of the void, with its source.
    #[must_use]
    pub fn overfill(&self) -> &Figure {
        &self.overfill
    }
}
