//! The description, from the record: what the buyer receives, measures, condition, what to know.

use measure::Units;

use crate::{
    Conditions, Content, Count, Disclosures, Known, ListingError, Noun, Reader, Shots, stated_measures,
};

/// How it is packed, when the record says nothing else.
const PACKING: &str =
    "Packing: every piece is wrapped by itself and packed in a sturdy carton with padding on all sides.";
/// What a listing says when no flaw was recorded; "mint" is an opinion and never said for the person.
const NO_FLAW: &str = "No flaw was recorded; it is used, so please look at the pictures as well.";
/// What pictures may show and a lot doesn't hold.
const NO_PROPS: &str = "Anything in the pictures that is not listed above.";

/// All that is known of a listing beside its price.
#[derive(Debug, Clone, PartialEq)]
pub struct Record<'a> {
    /// The count a lot goes by.
    pub count: Count,
    /// How many such lots are offered, from 1.
    pub lots: u32,
    /// What is in one lot, the main kind first.
    pub contents: Vec<Content<'a>>,
    /// What a buyer might expect and doesn't get ("saucers").
    pub not_included: Vec<String>,
    /// What only the seller can know.
    pub known: Vec<Known>,
    /// How electrical parts were tried; may be empty.
    pub electrical_test: String,
}

/// The tables that a listing is written with.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    /// The condition vocabulary.
    pub conditions: Conditions,
    /// The photo list.
    pub shots: Shots,
    /// The disclosures.
    pub disclosures: Disclosures,
}

impl Tables {
    /// The tables that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self {
            conditions: Conditions::published(),
            shots: Shots::published(),
            disclosures: Disclosures::published(),
        }
    }
}

/// A description and what it is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Description {
    /// What one lot is and how many there are.
    pub first_line: String,
    /// What is in one lot, line by line.
    pub contents: Vec<String>,
    /// Measures, kind by kind.
    pub measures: Vec<String>,
    /// Condition lines, each with its count.
    pub condition: Vec<String>,
    /// What is not included.
    pub not_included: Vec<String>,
    /// Disclosures to the buyer.
    pub disclosures: Vec<String>,
    /// How it is packed.
    pub packing: String,
    /// Measures to take before listing; never printed in the description.
    pub to_measure: Vec<String>,
}

impl Description {
    /// Writes the description of a record.
    ///
    /// # Errors
    /// [`ListingError::NoContents`], [`ListingError::NoCount`] for no lot, or a flaw that can't be said.
    pub fn compose(record: &Record<'_>, tables: &Tables, units: Units) -> Result<Self, ListingError> {
        let contents = &record.contents;
        if contents.is_empty() {
            return Err(ListingError::NoContents);
        }
        if record.lots == 0 {
            return Err(ListingError::NoCount { what: "0 lots" });
        }
        if contents.iter().any(|content| content.per_lot == 0) {
            return Err(ListingError::NoCount { what: "0 of a kind" });
        }
        let (mut measures, mut to_measure, mut condition) = (Vec::new(), Vec::new(), Vec::new());
        for content in contents {
            let stated =
                stated_measures(content.form, content.built, tables.shots.stands_up(content.form), units);
            let capacity = content.capacity.iter().map(|text| format!("holds approx. {}", text.trim()));
            let phrases: Vec<String> = stated.phrases.into_iter().chain(capacity).collect();
            let name = capital(&content.noun.one);
            if !phrases.is_empty() {
                measures.push(format!("{name}: {}", phrases.join("; ")));
            }
            to_measure.extend(
                stated
                    .to_measure
                    .iter()
                    .map(|measure| format!("{} of the {}", measure.replace('_', " "), content.noun.one)),
            );
            // With one kind in the lot its name goes without saying.
            let noun = if contents.len() > 1 { content.noun.word(content.per_lot) } else { "" };
            for flaw in &content.flaws {
                condition.push(tables.conditions.line(flaw, content.per_lot, noun, units)?);
            }
        }
        let disclosures = |to| {
            let test = &record.electrical_test;
            tables.disclosures.lines(contents, &tables.conditions, &record.known, test, to)
        };
        Ok(Self {
            first_line: first_line(record),
            contents: contents.iter().map(Content::line).collect(),
            measures,
            condition,
            not_included: record.not_included.clone(),
            disclosures: disclosures(Reader::Buyer),
            packing: PACKING.to_owned(),
            to_measure,
        })
    }

    /// The whole description as plain text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{}\n\nIn one lot:\n{}", self.first_line, listed(&self.contents));
        if !self.measures.is_empty() {
            text.push_str(&format!("\n\nMeasures:\n{}", listed(&self.measures)));
        }
        let none = [NO_FLAW.to_owned()];
        let condition = if self.condition.is_empty() { &none[..] } else { &self.condition };
        text.push_str(&format!("\n\nCondition:\n{}", listed(condition)));
        let not_included: Vec<String> =
            self.not_included.iter().cloned().chain([NO_PROPS.to_owned()]).collect();
        text.push_str(&format!("\n\nNot included:\n{}", listed(&not_included)));
        if !self.disclosures.is_empty() {
            text.push_str(&format!("\n\nPlease note:\n{}", listed(&self.disclosures)));
        }
        text.push_str(&format!("\n\n{}", self.packing));
        text
    }
}

/// Lines with a dash before each.
pub(crate) fn listed(lines: &[String]) -> String {
    lines.iter().map(|line| format!("- {line}")).collect::<Vec<_>>().join("\n")
}

/// "You receive 4 cups with 4 saucers (one lot of 4). 3 such lots are available."
fn first_line(record: &Record<'_>) -> String {
    let count = record.count.pieces();
    let said = match record.contents.split_first() {
        Some((main, rest)) if main.per_lot == count => {
            let rest: Vec<String> = rest.iter().map(|content| content.noun.of(content.per_lot)).collect();
            let with = if rest.is_empty() { String::new() } else { format!(" with {}", rest.join(" and ")) };
            format!("{}{with}", main.noun.of(count))
        }
        Some(_) | None => Noun::new("piece").of(count),
    };
    let available = match record.lots {
        1 => "1 such lot is available.".to_owned(),
        lots => format!("{lots} such lots are available."),
    };
    format!("You receive {said} ({}). {available}", record.count.one_lot())
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
