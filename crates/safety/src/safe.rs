//! All that this room knows, and the cautions that a job calls for.

use std::collections::BTreeSet;

use toml::Table;

use crate::keys::{Keys, overlay, parse};
use crate::rule::Detail;
use crate::{Carry, Caution, Facts, Hazards, LeachLimits, Mailing, Rule, SafetyError, Urgency, carry};

const PUBLISHED: &str = include_str!("../data/cautions.toml");
const FILE: &str = "cautions file";

/// Cautions, leach limits and things that the mail limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Safety {
    table: Table,
    rules: Vec<Rule>,
    /// Leach limits of ceramic ware.
    pub leach: LeachLimits,
    /// Things that the mail limits or refuses.
    pub hazards: Hazards,
}

impl Safety {
    /// All that comes with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the cautions compiled in are read by a test")
    }

    /// Reads a whole cautions file (TOML); leach limits and hazards are those that come with the program.
    ///
    /// # Errors
    /// Text that isn't TOML, or unknown, missing or wrong keys. Keys of forms' cautions belong to another
    /// file and are taken as they are.
    pub fn read(text: &str) -> Result<Self, SafetyError> {
        Self::from_table(parse(FILE, text)?, LeachLimits::published(), Hazards::published())
    }

    /// These cautions with a person's own file laid over them, row by row and key by key.
    ///
    /// # Errors
    /// As [`Safety::read`].
    pub fn with(&self, text: &str) -> Result<Self, SafetyError> {
        let table = overlay(&self.table, &parse(FILE, text)?);
        Self::from_table(table, self.leach.clone(), self.hazards.clone())
    }

    fn from_table(table: Table, leach: LeachLimits, hazards: Hazards) -> Result<Self, SafetyError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["cautions"])?;
        let mut rules = Vec::new();
        for (key, keys) in file.rows("cautions", "caution")? {
            rules.push(Rule::read(key, &keys)?);
        }
        rules.sort_by(|a, b| (a.urgency, a.order, &a.key).cmp(&(b.urgency, b.order, &b.key)));
        let known: BTreeSet<&str> = rules.iter().map(|rule| rule.key.as_str()).collect();
        for rule in &rules {
            if let Some(none) = rule.replaces.iter().find(|key| !known.contains(key.as_str())) {
                return Err(SafetyError::Wrong {
                    place: format!("caution {}", rule.key),
                    key: "replaces".to_owned(),
                    found: format!("\"{none}\""),
                    right: "the key of another caution of this file".to_owned(),
                });
            }
        }
        Ok(Self { table, rules, leach, hazards })
    }

    /// All rules, the most pressing first.
    pub fn rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.iter()
    }

    /// The cautions that a job calls for, the most pressing first, each once: this room's rules, then what
    /// the mail limits, then the forms' own in their own words.
    #[must_use]
    pub fn cautions(&self, facts: &Facts) -> Vec<Caution> {
        let lift = self.carry(facts);
        let called: Vec<(&Rule, String)> = self
            .rules
            .iter()
            .filter_map(|rule| Some((rule, rule.called_by(facts, lift.as_ref())?)))
            .collect();
        let replaced: BTreeSet<&str> =
            called.iter().flat_map(|(rule, _)| &rule.replaces).map(String::as_str).collect();
        let is_called = |rule: &Rule| called.iter().any(|(one, _)| one.key == rule.key);
        let answered: BTreeSet<String> = self
            .rules
            .iter()
            .filter(|rule| rule.answers(facts, is_called(rule)))
            .flat_map(|rule| &rule.answers_for)
            .chain(facts.hazards.iter().flat_map(|hazard| &hazard.answers_for))
            .cloned()
            .collect();
        let mut all: Vec<Caution> = called
            .into_iter()
            .filter(|(rule, _)| !replaced.contains(rule.key.as_str()))
            .map(|(rule, because)| self.say(rule, because, facts, lift.as_ref()))
            .collect();
        all.extend(mail(facts));
        let mut said: BTreeSet<String> = BTreeSet::new();
        for caution in &facts.form_cautions {
            if !answered.contains(&caution.key) && said.insert(caution.key.clone()) {
                all.push(of_form(caution));
            }
        }
        // Stable: within an urgency the order above is kept.
        all.sort_by_key(|caution| caution.urgency);
        all
    }

    /// The parcel as a lift; `None` while its mass or size isn't known or is no number.
    fn carry(&self, facts: &Facts) -> Option<Carry> {
        carry(facts.outside?, facts.gross?).ok()
    }

    fn say(&self, rule: &Rule, because: String, facts: &Facts, lift: Option<&Carry>) -> Caution {
        let detail = match rule.detail {
            Detail::Nothing => None,
            Detail::Lifting => lift.zip(facts.gross).map(|(lift, gross)| lift.text(gross)),
            Detail::Leach => facts.ware.and_then(|ware| self.leach.text(ware)),
        };
        Caution {
            key: rule.key.clone(),
            text: rule.text.clone(),
            detail,
            because,
            urgency: rule.urgency,
            publisher: rule.publisher.clone(),
            flag: rule.flag,
        }
    }
}

/// What the mail limits among the things of a job, each once.
fn mail(facts: &Facts) -> Vec<Caution> {
    let mut said: BTreeSet<&str> = BTreeSet::new();
    let once = facts.hazards.iter().filter(|hazard| said.insert(&hazard.key));
    once.map(|hazard| Caution {
        key: format!("mail_{}", hazard.key),
        text: hazard.text.clone(),
        detail: None,
        because: format!("{} in the job", hazard.key.replace('_', " ")),
        urgency: match hazard.mailing {
            Mailing::Never => Urgency::Strong,
            Mailing::Limited => Urgency::Warn,
        },
        publisher: hazard.publisher.clone(),
        flag: hazard.flag,
    })
    .collect()
}

fn of_form(caution: &forms::Caution) -> Caution {
    Caution {
        key: caution.key.clone(),
        text: caution.text.clone(),
        detail: None,
        because: "the form of a piece".to_owned(),
        urgency: Urgency::Notice,
        publisher: caution.publisher.clone(),
        flag: caution.flag,
    }
}
