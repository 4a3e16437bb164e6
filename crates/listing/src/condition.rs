//! The words for condition: what each means, how bad it is, and what must be said with it.

use std::collections::BTreeMap;

use forms::Flag;
use measure::{Length, nearest, plain};
use toml::{Table, Value};

use crate::ListingError;
use crate::keys::{Keys, check_id, overlay, parse};
use crate::vocabulary::vocabulary;

const PUBLISHED: &str = include_str!("../data/conditions.toml");
const FILE: &str = "conditions file";
const KEYS: &[&str] = &[
    "name", "synonyms", "meaning", "kind", "severity", "family", "below_mm", "up_to_mm", "needs", "source",
    "flag",
];
/// Worst severity there is.
const WORST: u32 = 5;
/// Damage from this severity on goes in the title: text can't overrule a title. Source: common practice.
pub const TITLE_SEVERITY: u8 = 3;

vocabulary! {
    /// What kind of remark a term is.
    Kind {
        /// An opinion of the whole.
        Grade = "grade",
        /// Loss from use.
        Wear = "wear",
        /// Harm from a blow, heat or chemicals, or a mend of it.
        Damage = "damage",
        /// Made in the making; no damage, still said.
        Made = "made",
        /// Dirt that stayed.
        Soil = "soil",
        /// What years do.
        Age = "age",
        /// Doesn't stand, fit or belong.
        Defect = "defect",
        /// Neither good nor bad.
        Fact = "fact",
    }
}

vocabulary! {
    /// What must be said with a term, beside how many pieces have it.
    Needs {
        /// Where it is.
        Place = "place",
        /// How large it is.
        Size = "size",
    }
}

/// The largest size a term may be used for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeBound {
    /// Any size.
    Any,
    /// Under this length.
    Below(Length),
    /// This length at most.
    UpTo(Length),
}

impl SizeBound {
    fn holds(self, size: Length) -> bool {
        match self {
            Self::Any => true,
            Self::Below(limit) => size < limit,
            Self::UpTo(limit) => size <= limit,
        }
    }

    /// Smaller bounds first.
    fn reach_mm(self) -> f64 {
        match self {
            Self::Any => f64::INFINITY,
            Self::Below(limit) | Self::UpTo(limit) => limit.mm(),
        }
    }

    /// The bound in words ("under 2 mm").
    #[must_use]
    pub fn text(self) -> String {
        match self {
            Self::Any => "any size".to_owned(),
            Self::Below(limit) => format!("under {} mm", limit.mm()),
            Self::UpTo(limit) => format!("at most {} mm", limit.mm()),
        }
    }
}

/// How a term goes with a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeFit<'a> {
    /// It is the word for this size, or the word has no size.
    Right,
    /// The flaw is larger than the word says; the right word is given.
    Understated(&'a Term),
    /// A smaller word would do, if the flaw is hard to see; the word stands, since it hides nothing.
    Overstated(&'a Term),
}

/// A term of the condition vocabulary.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Its snake_case id ("flea_bite").
    pub id: String,
    /// The word for it.
    pub name: String,
    /// Other words for it.
    pub synonyms: Vec<String>,
    /// What it means, in plain words.
    pub meaning: String,
    /// What kind of remark it is.
    pub kind: Kind,
    /// How bad it is, from 0 to 5: at best and at worst.
    pub severity: (u8, u8),
    /// The terms for one thing in several sizes share a family.
    pub family: Option<String>,
    /// The largest size it may be used for.
    pub bound: SizeBound,
    /// What must be said with it, beside the count.
    pub needs: Vec<Needs>,
    /// Where the meaning comes from, in words.
    pub source: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

impl Term {
    /// Whether it belongs in the title: damage that can be as bad as [`TITLE_SEVERITY`].
    #[must_use]
    pub fn goes_in_title(&self) -> bool {
        self.kind == Kind::Damage && self.severity.1 >= TITLE_SEVERITY
    }
}

/// All condition terms.
///
/// ```
/// use listing::Conditions;
///
/// let conditions = Conditions::published();
/// let flaw = conditions.read_flaw("1 hairline 1.5 in rim", 4)?;
/// assert_eq!(
///     conditions.line(&flaw, 4, "", measure::Units::UsCustomary)?,
///     "1 of 4: hairline, 1 1/2 in, at the rim"
/// );
/// assert!(conditions.read_flaw("1 flea bite 1/4 in rim", 4).is_err(), "that is a chip");
/// # Ok::<(), listing::ListingError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    table: Table,
    terms: BTreeMap<String, Term>,
    /// Plain name to id.
    names: BTreeMap<String, String>,
}

impl Conditions {
    /// The vocabulary that comes with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the compiled-in conditions are read by this room's tests")
    }

    /// Reads a whole conditions file (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, unknown or missing keys, values out of range, or words that two terms claim;
    /// the message names the term, the field and what's right.
    pub fn read(toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(parse(FILE, toml_text)?)
    }

    /// This vocabulary with a person's own file laid over it: new ids are added, and a row of an id that
    /// exists changes only the keys it states.
    ///
    /// # Errors
    /// As [`Conditions::read`].
    pub fn with(&self, toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(overlay(&self.table, &parse(FILE, toml_text)?))
    }

    fn from_table(table: Table) -> Result<Self, ListingError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["terms"])?;
        let mut terms = BTreeMap::new();
        let mut names: BTreeMap<String, String> = BTreeMap::new();
        for (id, keys) in file.rows("terms", "term")? {
            check_id(FILE, id)?;
            let term = term(id, &keys)?;
            let spoken = std::iter::once(&term.name).chain(&term.synonyms).map(String::as_str);
            for name in spoken.chain([id]) {
                let taken = names.insert(plain(name), id.to_owned()).filter(|by| by != id);
                if let Some(taken_by) = taken {
                    return Err(ListingError::NameTaken {
                        place: keys.place,
                        name: name.to_owned(),
                        taken_by,
                    });
                }
            }
            terms.insert(id.to_owned(), term);
        }
        Ok(Self { table, terms, names })
    }

    /// The term with this id, name or synonym; case, spaces and hyphens don't matter.
    ///
    /// # Errors
    /// [`ListingError::Unknown`] with up to three words that may have been meant.
    pub fn find(&self, word: &str) -> Result<&Term, ListingError> {
        self.get(word).ok_or_else(|| ListingError::Unknown {
            what: "condition term",
            name: word.to_owned(),
            nearest: nearest(word, self.spoken()),
        })
    }

    pub(crate) fn get(&self, word: &str) -> Option<&Term> {
        self.names.get(&plain(word)).and_then(|id| self.terms.get(id))
    }

    pub(crate) fn spoken(&self) -> impl Iterator<Item = &str> {
        self.terms
            .values()
            .flat_map(|term| std::iter::once(&term.name).chain(&term.synonyms))
            .map(String::as_str)
    }

    /// All terms, by id.
    pub fn iter(&self) -> impl Iterator<Item = &Term> {
        self.terms.values()
    }

    /// Whether a term is the right word for a size, and which one is.
    #[must_use]
    pub fn size_fit<'a>(&'a self, term: &Term, size: Length) -> SizeFit<'a> {
        let Some(family) = &term.family else { return SizeFit::Right };
        let mut kin: Vec<&Term> =
            self.terms.values().filter(|other| other.family.as_ref() == Some(family)).collect();
        kin.sort_by(|a, b| a.bound.reach_mm().total_cmp(&b.bound.reach_mm()));
        match kin.into_iter().find(|other| other.bound.holds(size)) {
            Some(right) if right.id == term.id => SizeFit::Right,
            Some(right) if term.bound.holds(size) => SizeFit::Overstated(right),
            Some(right) => SizeFit::Understated(right),
            None => SizeFit::Right,
        }
    }
}

fn term(id: &str, keys: &Keys<'_>) -> Result<Term, ListingError> {
    keys.only(KEYS)?;
    let bound = match (size(keys, "below_mm")?, size(keys, "up_to_mm")?) {
        (None, None) => SizeBound::Any,
        (Some(limit), None) => SizeBound::Below(limit),
        (None, Some(limit)) => SizeBound::UpTo(limit),
        (Some(_), Some(limit)) => {
            return Err(keys.wrong("up_to_mm", limit.mm(), "left out where below_mm is given"));
        }
    };
    let family = keys.optional_text("family")?;
    if bound != SizeBound::Any && family.is_none() {
        return Err(keys.missing("family", "family = \"edge_loss\""));
    }
    let (source, flag) = keys.origin()?;
    Ok(Term {
        id: id.to_owned(),
        name: keys.text("name", "flea bite")?,
        synonyms: keys.texts("synonyms")?,
        meaning: keys.text("meaning", "a loss under 2 mm, felt more than seen")?,
        kind: keys
            .word("kind", Kind::ALL, Kind::word)?
            .ok_or_else(|| keys.missing("kind", "kind = \"damage\""))?,
        severity: severity(keys)?,
        family,
        bound,
        needs: keys.words("needs", Needs::ALL, Needs::word)?,
        source,
        flag,
    })
}

fn size(keys: &Keys<'_>, key: &str) -> Result<Option<Length>, ListingError> {
    match keys.number(key)? {
        None => Ok(None),
        Some(mm) if mm > 0.0 => Ok(Some(Length::from_mm(mm))),
        Some(mm) => Err(keys.wrong(key, mm, "more than 0, for example 2")),
    }
}

fn severity(keys: &Keys<'_>) -> Result<(u8, u8), ListingError> {
    let right = "a whole number from 0 to 5, or two of them, the lower first: [2, 3]";
    let entry = keys.table.get("severity").ok_or_else(|| keys.missing("severity", "severity = 2"))?;
    let one = |entry: &Value| {
        let whole = entry.as_integer().and_then(|number| u32::try_from(number).ok());
        // The filter makes the cast exact.
        whole.filter(|&number| number <= WORST).map(|number| number as u8)
    };
    let pair = match entry {
        Value::Array(two) => match two.as_slice() {
            [low, high] => one(low).zip(one(high)),
            _ => None,
        },
        other => one(other).map(|only| (only, only)),
    };
    pair.filter(|(low, high)| low <= high).ok_or_else(|| keys.wrong("severity", entry, right))
}
