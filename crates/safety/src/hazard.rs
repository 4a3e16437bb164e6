//! Things that the mail limits or refuses.

use std::collections::BTreeSet;

use forms::Flag;
use measure::plain;
use toml::Table;

use crate::SafetyError;
use crate::keys::{Keys, overlay, parse};
use crate::vocabulary::vocabulary;

const PUBLISHED: &str = include_str!("../data/hazards.toml");
const FILE: &str = "hazards file";
const KEYS: &[&str] = &["words", "text", "mailing", "answers_for", "publisher", "flag"];

vocabulary! {
    /// What the mail does with a thing.
    Mailing {
        /// It may not be mailed.
        Never = "never",
        /// It may be mailed within limits.
        Limited = "limited",
    }
}

/// A thing that the mail limits or refuses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hazard {
    /// Its key ("perfume").
    pub key: String,
    /// Words that name it, in small letters.
    pub words: Vec<String>,
    /// What to know, one sentence.
    pub text: String,
    /// What the mail does with it.
    pub mailing: Mailing,
    /// Keys of cautions of forms that it stands in for.
    pub answers_for: BTreeSet<String>,
    /// Who publishes the rule.
    pub publisher: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

/// All of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Hazards {
    table: Table,
    rows: Vec<Hazard>,
}

impl Hazards {
    /// The list that comes with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the hazards compiled in are read by a test")
    }

    /// Reads a whole hazards file (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, or unknown, missing or wrong keys.
    pub fn read(text: &str) -> Result<Self, SafetyError> {
        Self::from_table(parse(FILE, text)?)
    }

    /// This list with a person's own file laid over it, row by row and key by key.
    ///
    /// # Errors
    /// As [`Hazards::read`].
    pub fn with(&self, text: &str) -> Result<Self, SafetyError> {
        Self::from_table(overlay(&self.table, &parse(FILE, text)?))
    }

    fn from_table(table: Table) -> Result<Self, SafetyError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["hazards"])?;
        let mut rows = Vec::new();
        for (key, keys) in file.rows("hazards", "hazard")? {
            keys.only(KEYS)?;
            let words: Vec<String> = keys.texts("words")?.iter().map(|word| spaced(word)).collect();
            if words.is_empty() {
                return Err(keys.missing("words", "[\"perfume\"]"));
            }
            let (publisher, flag) = keys.origin()?;
            rows.push(Hazard {
                key: key.to_owned(),
                words,
                text: keys.text("text", "Ground transport only.")?,
                mailing: keys.word("mailing", Mailing::ALL, Mailing::word)?,
                answers_for: keys.texts("answers_for")?,
                publisher,
                flag,
            });
        }
        Ok(Self { table, rows })
    }

    /// All of them by key.
    pub fn iter(&self) -> impl Iterator<Item = &Hazard> {
        self.rows.iter()
    }

    /// Those that a title or description names, whole words, one or several of them.
    ///
    /// ```
    /// let hazards = safety::Hazards::published();
    /// let found: Vec<&str> =
    ///     hazards.in_text("Vintage perfume bottle, half full").iter().map(|one| one.key.as_str()).collect();
    /// assert_eq!(found, ["perfume"]);
    /// assert!(hazards.in_text("six matching cups").is_empty(), "no matches in it");
    /// ```
    #[must_use]
    pub fn in_text(&self, text: &str) -> Vec<&Hazard> {
        let text = format!(" {} ", spaced(text));
        let named = |word: &String| {
            [format!(" {word} "), format!(" {word}s ")].iter().any(|whole| text.contains(whole))
        };
        self.rows.iter().filter(|row| row.words.iter().any(named)).collect()
    }
}

/// Words in small letters with one space between them.
fn spaced(text: &str) -> String {
    let words: Vec<String> =
        text.split(|c: char| !c.is_alphanumeric()).map(plain).filter(|word| !word.is_empty()).collect();
    words.join(" ")
}
