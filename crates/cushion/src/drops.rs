//! The table of drops: schedules and profiles, published defaults and the person's own.

use std::collections::BTreeMap;

use measure::{Length, Mass};
use toml::Table;

use crate::nearest::find;
use crate::profile::RawProfile;
use crate::rows::{only, overlay, rows, table};
use crate::schedule::{RawSchedule, SLACK_LB};
use crate::{CushionError, Drop, DropProfile, PackageType, Schedule};

const PUBLISHED: &str = include_str!("../data/drops.toml");
const FILE: &str = "drops";
const EXAMPLE: &str = "[profiles.my_way]";
const FILE_KEYS: &[&str] = &["schedules", "profiles"];

/// All schedules and profiles.
#[derive(Debug, Clone, PartialEq)]
pub struct Drops {
    rows: Table,
    schedules: BTreeMap<String, Schedule>,
    profiles: BTreeMap<String, DropProfile>,
}

impl Drops {
    /// The name of the profile taken when nothing else is said.
    pub const USUAL: &'static str = "usual";

    /// The drops that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the drops compiled in are read by a test")
    }

    /// Reads a whole drops file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown, out of range or at odds with another, or a
    /// profile names no schedule.
    pub fn read(text: &str) -> Result<Self, CushionError> {
        Self::from_rows(table(FILE, text, EXAMPLE)?)
    }

    /// These drops with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Drops::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, CushionError> {
        Self::from_rows(overlay(&self.rows, &table(FILE, text, EXAMPLE)?))
    }

    fn from_rows(file: Table) -> Result<Self, CushionError> {
        only(FILE, &file, FILE_KEYS)?;
        let schedules: BTreeMap<String, Schedule> = rows::<RawSchedule>(&file, "schedules", "schedule")?
            .into_iter()
            .map(|(key, raw)| Ok((key.clone(), Schedule::read(&key, raw)?)))
            .collect::<Result<_, CushionError>>()?;
        let mut profiles = BTreeMap::new();
        for (key, raw) in rows::<RawProfile>(&file, "profiles", "profile")? {
            let profile = DropProfile::read(&key, raw)?;
            find(&schedules, "drop schedule", &profile.schedule, |schedule| &schedule.name)?;
            profiles.insert(key, profile);
        }
        Ok(Self { rows: file, schedules, profiles })
    }

    /// The schedule with this key or name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest keys.
    pub fn schedule(&self, name: &str) -> Result<&Schedule, CushionError> {
        find(&self.schedules, "drop schedule", name, |schedule| &schedule.name)
    }

    /// The profile with this key or wording, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest keys.
    pub fn profile(&self, name: &str) -> Result<&DropProfile, CushionError> {
        find(&self.profiles, "drop profile", name, |profile| &profile.words)
    }

    /// All schedules by their keys.
    pub fn schedules(&self) -> impl Iterator<Item = &Schedule> {
        self.schedules.values()
    }

    /// All profiles by their keys.
    pub fn profiles(&self) -> impl Iterator<Item = &DropProfile> {
        self.profiles.values()
    }

    /// The drops to design for: those of the profile's schedule, no lower and no higher than the profile says.
    ///
    /// # Errors
    /// When the weight can't be used or is over where the schedule ends, or the schedule isn't here.
    pub fn design(
        &self,
        profile: &DropProfile,
        gross: Mass,
        package: Option<PackageType>,
    ) -> Result<Drop, CushionError> {
        let mut drop = self.schedule(&profile.schedule)?.drop(gross, package)?;
        let least = profile.least.filter(|(_, under)| gross.pounds() < *under - SLACK_LB);
        let hold = |height: Length| {
            let raised = least.map_or(height, |(least, _)| height.max(least));
            profile.most.map_or(raised, |most| raised.min(most))
        };
        drop.height = hold(drop.height);
        drop.flat_once = drop.flat_once.map(hold);
        for planned in &mut drop.sequence {
            planned.height = hold(planned.height);
        }
        drop.note = if drop.note.is_empty() {
            profile.words.clone()
        } else {
            format!("{}; {}", profile.words, drop.note)
        };
        drop.origin = if profile.least.is_some() || profile.most.is_some() {
            profile.origin.clone()
        } else {
            drop.origin
        };
        Ok(drop)
    }
}
