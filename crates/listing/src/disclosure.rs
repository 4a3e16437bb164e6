//! What a listing should own up to, by form, material, flaw and what the seller knows.

use forms::{Flag, Material};
use toml::Table;

use crate::keys::{Keys, check_id, overlay, parse};
use crate::vocabulary::vocabulary;
use crate::{Conditions, Content, ListingError};

const PUBLISHED: &str = include_str!("../data/disclosures.toml");
const FILE: &str = "disclosures file";
const KEYS: &[&str] =
    &["text", "cautions", "materials", "terms", "known", "unless", "to", "order", "source", "flag"];

vocabulary! {
    /// What only the seller can know.
    Known {
        /// From a home where people smoke.
        SmokeHome = "smoke home",
        /// From a home with pets.
        PetHome = "pet home",
        /// Not an old piece.
        Reproduction = "reproduction",
        /// Marked or drilled as not for food.
        OrnamentalOnly = "ornamental only",
        /// Electrical parts were tried; say how.
        ElectricallyTested = "electrically tested",
        /// The recall lists were searched.
        RecallChecked = "recall checked",
        /// Packed in new materials only.
        NewPacking = "new packing",
    }
}

vocabulary! {
    /// Who a line is for.
    Reader {
        /// Printed in the listing.
        Buyer = "buyer",
        /// To be done before the listing goes up; never printed in it.
        Seller = "seller",
    }
}

/// A line of the disclosures table.
#[derive(Debug, Clone, PartialEq)]
pub struct Disclosure {
    /// Its snake_case id.
    pub id: String,
    /// The line; `{test}` stands for how electrical parts were tried.
    pub text: String,
    /// Keys of cautions, one of which a form must have; none means any form.
    pub cautions: Vec<String>,
    /// Materials, one of which a form must be of; none means any.
    pub materials: Vec<Material>,
    /// Ids of condition terms, one of which must be recorded; none means any.
    pub terms: Vec<String>,
    /// What the seller must know, one of them; none means nothing.
    pub known: Vec<Known>,
    /// What takes the line away.
    pub unless: Vec<Known>,
    /// Who it is for.
    pub to: Reader,
    /// Where it comes among the others.
    pub order: u32,
    /// Where it comes from, in words.
    pub source: String,
    /// How far that can be trusted.
    pub flag: Flag,
}

impl Disclosure {
    /// Whether it belongs to a lot. Caution, material and flaw must meet in one kind of piece.
    fn belongs(&self, contents: &[Content<'_>], conditions: &Conditions, known: &[Known]) -> bool {
        let said = self.known.is_empty() || self.known.iter().any(|one| known.contains(one));
        let taken_away = self.unless.iter().any(|one| known.contains(one));
        let of_a_piece = |content: &Content<'_>| {
            let caution = |caution: &forms::Caution| self.cautions.contains(&caution.key);
            let term = |flaw: &crate::Flaw| {
                conditions.get(&flaw.term).is_some_and(|term| self.terms.contains(&term.id))
            };
            (self.cautions.is_empty() || content.form.cautions.iter().any(caution))
                && (self.materials.is_empty() || self.materials.contains(&content.form.material))
                && (self.terms.is_empty() || content.flaws.iter().any(term))
        };
        let about_pieces = !(self.cautions.is_empty() && self.materials.is_empty() && self.terms.is_empty());
        said && !taken_away && (!about_pieces || contents.iter().any(of_a_piece))
    }
}

/// All disclosures.
#[derive(Debug, Clone, PartialEq)]
pub struct Disclosures {
    table: Table,
    rows: Vec<Disclosure>,
}

impl Disclosures {
    /// The lines that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the compiled-in disclosures are read by this room's tests")
    }

    /// Reads a whole disclosures file (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, or unknown, missing or wrong keys; the message names the row, the field and
    /// what's right. Keys of cautions and ids of terms belong to other files and are taken as they are.
    pub fn read(toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(parse(FILE, toml_text)?)
    }

    /// These lines with a person's own file laid over them, row by row and key by key.
    ///
    /// # Errors
    /// As [`Disclosures::read`].
    pub fn with(&self, toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(overlay(&self.table, &parse(FILE, toml_text)?))
    }

    fn from_table(table: Table) -> Result<Self, ListingError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["disclosures"])?;
        let mut rows = Vec::new();
        for (id, keys) in file.rows("disclosures", "disclosure")? {
            check_id(FILE, id)?;
            rows.push(disclosure(id, &keys)?);
        }
        rows.sort_by(|a, b| a.order.cmp(&b.order).then_with(|| a.id.cmp(&b.id)));
        Ok(Self { table, rows })
    }

    /// All lines in their order.
    pub fn iter(&self) -> impl Iterator<Item = &Disclosure> {
        self.rows.iter()
    }

    /// The lines for a lot, each once, in their order.
    ///
    /// `electrical_test` says how electrical parts were tried; where it is empty they count as untested,
    /// whatever `known` says.
    #[must_use]
    pub fn lines(
        &self,
        contents: &[Content<'_>],
        conditions: &Conditions,
        known: &[Known],
        electrical_test: &str,
        to: Reader,
    ) -> Vec<String> {
        let test = electrical_test.split_whitespace().collect::<Vec<_>>().join(" ");
        let known: Vec<Known> = known
            .iter()
            .copied()
            .filter(|&one| one != Known::ElectricallyTested || !test.is_empty())
            .collect();
        self.rows
            .iter()
            .filter(|row| row.to == to && row.belongs(contents, conditions, &known))
            .map(|row| row.text.replace("{test}", test.trim_end_matches('.')))
            .collect()
    }
}

fn disclosure(id: &str, keys: &Keys<'_>) -> Result<Disclosure, ListingError> {
    keys.only(KEYS)?;
    let (source, flag) = keys.origin()?;
    Ok(Disclosure {
        id: id.to_owned(),
        text: keys.text("text", "Not tested for lead or cadmium; offered for display.")?,
        cautions: keys.texts("cautions")?,
        materials: keys.words("materials", Material::ALL, Material::word)?,
        terms: keys.texts("terms")?,
        known: keys.words("known", Known::ALL, Known::word)?,
        unless: keys.words("unless", Known::ALL, Known::word)?,
        to: keys
            .word("to", Reader::ALL, Reader::word)?
            .ok_or_else(|| keys.missing("to", "to = \"buyer\""))?,
        order: keys.whole("order", 0, 10_000)?.ok_or_else(|| keys.missing("order", "order = 30"))?,
        source,
        flag,
    })
}
