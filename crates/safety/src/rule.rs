//! A row of the cautions table: what calls for it, and what it says.

use std::collections::BTreeSet;

use forms::{Flag, Material};
use measure::Mass;

use crate::keys::Keys;
use crate::vocabulary::vocabulary;
use crate::{Carry, Facts, SafetyError, Situation, Urgency};

const KEYS: &[&str] = &[
    "text",
    "urgency",
    "order",
    "situations",
    "unless",
    "form_cautions",
    "materials",
    "gross_from_lb",
    "lifting_index_over",
    "made_before",
    "replaces",
    "answers_for",
    "detail",
    "publisher",
    "flag",
];
/// Heaviest weight and highest index that are read.
const MOST: f64 = 1000.0;

vocabulary! {
    /// Figures that go with a caution.
    Detail {
        /// None.
        Nothing = "nothing",
        /// The recommended weight limit of the parcel.
        Lifting = "lifting",
        /// The leach limits of the ware.
        Leach = "leach",
    }
}

/// A row of the cautions table. It is called for when each kind of condition that it states is met, a list by
/// any one of its words.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Its key.
    pub key: String,
    /// What it says.
    pub text: String,
    /// How much it presses.
    pub urgency: Urgency,
    /// Where it comes among those that press alike.
    pub order: i32,
    /// What must be so, one of them; none means anything.
    pub situations: BTreeSet<Situation>,
    /// What takes it away.
    pub unless: BTreeSet<Situation>,
    /// Keys of cautions of forms, one of which must be there; none means any form.
    pub form_cautions: BTreeSet<String>,
    /// Materials, one of which must be there; none means any.
    pub materials: BTreeSet<Material>,
    /// Gross mass from which it is called for.
    pub gross_from: Option<Mass>,
    /// Lifting index off a table over which it is called for.
    pub lifting_index_over: Option<f64>,
    /// Year before which the ware was made; old ware of an unknown year counts.
    pub made_before: Option<i32>,
    /// Keys of rules that need not be said beside it.
    pub replaces: BTreeSet<String>,
    /// Keys of cautions of forms that it stands in for: when it is said, when the person has seen to it, and,
    /// where it asks for figures alone, as soon as they are known.
    pub answers_for: BTreeSet<String>,
    /// Figures that go with it.
    pub(crate) detail: Detail,
    /// Who publishes it.
    pub publisher: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

impl Rule {
    pub(crate) fn read(key: &str, keys: &Keys<'_>) -> Result<Self, SafetyError> {
        keys.only(KEYS)?;
        let (publisher, flag) = keys.origin()?;
        let rule = Self {
            key: key.to_owned(),
            text: keys.text("text", "Cut away from the body.")?,
            urgency: keys.word("urgency", Urgency::ALL, Urgency::word)?,
            order: keys.whole("order", 0, 10_000)?.ok_or_else(|| keys.missing("order", "30"))?,
            situations: keys.words("situations", Situation::ALL, Situation::word)?,
            unless: keys.words("unless", Situation::ALL, Situation::word)?,
            form_cautions: keys.texts("form_cautions")?,
            materials: keys.words("materials", Material::ALL, Material::word)?,
            gross_from: keys.number("gross_from_lb", 0.0, MOST)?.map(Mass::from_pounds),
            lifting_index_over: keys.number("lifting_index_over", 0.0, MOST)?,
            made_before: keys.whole("made_before", 0, 3000)?,
            replaces: keys.texts("replaces")?,
            answers_for: keys.texts("answers_for")?,
            detail: match keys.table.get("detail") {
                None => Detail::Nothing,
                Some(_) => keys.word("detail", Detail::ALL, Detail::word)?,
            },
            publisher,
            flag,
        };
        let no_condition = rule.situations.is_empty()
            && rule.form_cautions.is_empty()
            && rule.materials.is_empty()
            && rule.gross_from.is_none()
            && rule.lifting_index_over.is_none()
            && rule.made_before.is_none();
        if no_condition {
            return Err(keys.missing("situations", "[\"cut down\"]"));
        }
        Ok(rule)
    }

    /// Whether it stands in for the forms' cautions that it names: it is said, the person has seen to it, or
    /// it asks for nothing but figures and they are known.
    pub(crate) fn answers(&self, facts: &Facts, called: bool) -> bool {
        let seen_to = !self.unless.is_disjoint(&facts.situations);
        let only_figures =
            self.situations.is_empty() && self.form_cautions.is_empty() && self.materials.is_empty();
        let known = (self.gross_from.is_none() || facts.gross.is_some())
            && (self.lifting_index_over.is_none() || (facts.gross.is_some() && facts.outside.is_some()))
            && (self.made_before.is_none() || facts.made_in.is_some());
        called || seen_to || (only_figures && known)
    }

    /// What in the facts calls for it; `None` when nothing does.
    pub(crate) fn called_by(&self, facts: &Facts, carry: Option<&Carry>) -> Option<String> {
        if !self.unless.is_disjoint(&facts.situations) {
            return None;
        }
        let mut because = Vec::new();
        if !self.situations.is_empty() {
            because.push(self.situations.intersection(&facts.situations).next()?.word().to_owned());
        }
        if !self.form_cautions.is_empty() {
            let named = |caution: &&forms::Caution| self.form_cautions.contains(&caution.key);
            because.push(format!("a form's caution {}", facts.form_cautions.iter().find(named)?.key));
        }
        if !self.materials.is_empty() {
            because.push(self.materials.intersection(&facts.materials).next()?.word().to_owned());
        }
        if let Some(from) = self.gross_from {
            let gross = facts.gross?;
            // A mass that is no number is not hoped to be light.
            if gross.grams() < from.grams() * (1.0 - 1e-12) {
                return None;
            }
            because.push(format!("{:.1} lb gross, {:.0} lb or more", gross.pounds(), from.pounds()));
        }
        if let Some(over) = self.lifting_index_over {
            if facts.gross.is_none() || facts.outside.is_none() {
                return None;
            }
            because.push(match carry.map(|carry| carry.table.index) {
                Some(Some(index)) if index <= over => return None,
                Some(Some(index)) => format!("a lifting index of {index:.2}, over {over}"),
                Some(None) => "hands too far out for any weight limit".to_owned(),
                None => "a weight or size that is no number".to_owned(),
            });
        }
        if let Some(before) = self.made_before {
            because.push(match facts.made_in {
                Some(year) if year < before => format!("made in {year}, before {before}"),
                Some(_) => return None,
                None if facts.situations.contains(&Situation::Vintage) => {
                    "old ware of an unknown year".to_owned()
                }
                None => return None,
            });
        }
        Some(because.join("; "))
    }
}
