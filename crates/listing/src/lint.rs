//! One count everywhere: title, first line, contents, pictures, quantity and stock must agree.

use std::fmt;
use std::ops::Range;

use crate::claim::{Claim, Counted, claims};
use crate::noun::same_word;
use crate::token::tokens;
use crate::{Content, Count, Noun};

/// A kind of piece, counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counting {
    /// What it is called.
    pub noun: Noun,
    /// Other names for one of it.
    pub also: Vec<String>,
    /// How many one lot has.
    pub per_lot: u32,
    /// How many are in stock.
    pub stock: u32,
}

/// The one count: what a lot has, how many lots there are, and what is in stock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The count a lot goes by: of its main kind, or of all its pieces.
    pub count: u32,
    /// Its kinds of pieces, the main one first.
    pub kinds: Vec<Counting>,
    /// For how many persons it is a service, if it is one.
    pub service_for: Option<u32>,
    /// How many such lots are offered.
    pub lots: u32,
}

impl Tally {
    /// So many of one kind in each of so many lots, from this stock.
    #[must_use]
    pub fn of(noun: Noun, count: u32, lots: u32, stock: u32) -> Self {
        let kind = Counting { noun, also: Vec::new(), per_lot: count, stock };
        Self { count, kinds: vec![kind], service_for: None, lots }
    }

    /// From the contents of a lot.
    #[must_use]
    pub fn from_contents(count: Count, contents: &[Content<'_>], lots: u32) -> Self {
        let kind = |content: &Content<'_>| Counting {
            noun: content.noun.clone(),
            also: content
                .also
                .iter()
                .chain(&content.form.synonyms)
                .chain([&content.form.name])
                .cloned()
                .collect(),
            per_lot: content.per_lot,
            stock: content.stock,
        };
        Self {
            count: count.pieces(),
            kinds: contents.iter().map(kind).collect(),
            service_for: count.service_for(),
            lots,
        }
    }

    /// All pieces of one lot.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        self.kinds.iter().fold(0, |sum, kind| sum.saturating_add(kind.per_lot))
    }

    fn names(&self) -> Vec<Vec<Vec<String>>> {
        let of = |kind: &Counting| {
            let also = kind.also.iter().map(|name| Noun::new(name));
            let all = std::iter::once(kind.noun.clone()).chain(also);
            let mut names: Vec<Vec<String>> =
                all.map(|noun| noun.plain_words()).filter(|n| !n.is_empty()).collect();
            names.sort();
            names.dedup();
            names
        };
        self.kinds.iter().map(of).collect()
    }

    /// Whether a claim about pieces is true.
    fn agrees(&self, claim: &Claim) -> bool {
        match &claim.counted {
            Counted::Group(kinds) => claim.value == self.count || self.of_kinds(kinds, claim.value),
            Counted::Kinds(kinds) => self.of_kinds(kinds, claim.value),
            Counted::Pieces => claim.value == self.pieces(),
            Counted::Persons => claim.value == self.service_for.unwrap_or(self.count),
            Counted::Lots => claim.value == self.lots,
            Counted::Front => claim.value == self.count,
            Counted::Bare => true,
        }
    }

    fn of_kinds(&self, kinds: &[usize], value: u32) -> bool {
        let counts: Vec<u32> =
            kinds.iter().filter_map(|&kind| self.kinds.get(kind)).map(|kind| kind.per_lot).collect();
        let sum = counts.iter().fold(0_u32, |sum, &count| sum.saturating_add(count));
        counts.contains(&value) || (!counts.is_empty() && value == sum)
    }

    /// What a claim should have said.
    fn expected(&self, claim: &Claim) -> (u32, String) {
        match &claim.counted {
            Counted::Kinds(kinds) => match kinds.first().and_then(|&kind| self.kinds.get(kind)) {
                Some(kind) => (kind.per_lot, format!("one lot has {}", kind.noun.of(kind.per_lot))),
                None => (self.count, format!("one lot has {}", self.count)),
            },
            Counted::Pieces => {
                (self.pieces(), format!("one lot has {} in all", Noun::new("piece").of(self.pieces())))
            }
            Counted::Persons => {
                let persons = self.service_for.unwrap_or(self.count);
                (persons, format!("it is a service for {persons}"))
            }
            Counted::Lots => (self.lots, format!("{} offered", Noun::new("lot").of(self.lots))),
            Counted::Group(_) | Counted::Front | Counted::Bare => {
                (self.count, format!("one lot has {}", self.headline()))
            }
        }
    }

    fn headline(&self) -> String {
        match self.kinds.first() {
            Some(main) if main.per_lot == self.count => main.noun.of(self.count),
            Some(_) | None => Noun::new("piece").of(self.count),
        }
    }

    /// Whether a claim states the count the lot goes by.
    fn states(&self, claim: &Claim) -> bool {
        let about_the_lot = match &claim.counted {
            Counted::Group(_) | Counted::Front | Counted::Pieces | Counted::Persons | Counted::Bare => true,
            Counted::Kinds(kinds) => kinds.contains(&0),
            Counted::Lots => false,
        };
        about_the_lot && (claim.value == self.count || self.agrees(claim) && claim.counted != Counted::Bare)
    }
}

/// The texts of a listing; what is `None` or empty isn't looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Texts<'a> {
    /// The title, as it stands or as a person typed it.
    pub title: Option<&'a str>,
    /// The first line of the description.
    pub first_line: Option<&'a str>,
    /// The contents, line by line.
    pub contents: &'a [String],
    /// The photo list, line by line.
    pub photos: &'a [String],
    /// The quantity to be put in at the venue: how many lots.
    pub quantity: Option<u32>,
}

/// Where a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// The title.
    Title,
    /// The first line of the description.
    FirstLine,
    /// A line of the contents, counted from 1; 0 for all of them.
    Contents(usize),
    /// A line of the photo list, counted from 1; 0 for all of them.
    Photos(usize),
    /// The quantity of lots.
    Quantity,
    /// The stock.
    Stock,
    /// The record itself.
    Record,
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Title => f.write_str("title"),
            Self::FirstLine => f.write_str("first line"),
            Self::Contents(0) => f.write_str("contents"),
            Self::Contents(line) => write!(f, "contents, line {line}"),
            Self::Photos(0) => f.write_str("photo list"),
            Self::Photos(line) => write!(f, "photo list, line {line}"),
            Self::Quantity => f.write_str("quantity"),
            Self::Stock => f.write_str("stock"),
            Self::Record => f.write_str("record"),
        }
    }
}

/// A place that doesn't agree on the count; always an error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Where it is.
    pub spot: Spot,
    /// The words that say it; empty when nothing does.
    pub quote: String,
    /// Their bytes in the text of that place; empty when nothing does.
    pub span: Range<usize>,
    /// The number said, if one was.
    pub said: Option<u32>,
    /// The number that would be right.
    pub right: u32,
    /// Why, in words.
    pub why: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.said {
            Some(said) if !self.quote.is_empty() => {
                write!(f, "{}: \"{}\" says {said}, but {}", self.spot, self.quote, self.why)
            }
            Some(said) => write!(f, "{}: {said}, but {}", self.spot, self.why),
            None => write!(f, "{}: no count is said; {}", self.spot, self.why),
        }
    }
}

/// Every place where the texts and figures of a listing disagree on the count; empty when all agree.
///
/// Reads free text: number words, pairs and dozens, sets, lots and services, and the names of the pieces.
/// Sizes, years, labels, prices, parts and flaws are told apart ("8 oz", "3 1/4 in", "No. 8", "1950s",
/// "two-handled", "1 chipped").
///
/// ```
/// use listing::{Noun, Tally, Texts, lint};
///
/// let tally = Tally::of(Noun::new("mug"), 4, 3, 14);
/// let title = |title| lint(&Texts { title: Some(title), ..Texts::default() }, &tally);
/// assert!(title("Set of 4 Diner Mugs 8 oz Heavy 1950s").is_empty());
/// let found = title("Six Diner Mugs 8 oz");
/// assert_eq!(found[0].to_string(), "title: \"Six Diner Mugs\" says 6, but one lot has 4 mugs");
/// ```
#[must_use]
pub fn lint(texts: &Texts<'_>, tally: &Tally) -> Vec<Finding> {
    let names = tally.names();
    let mut findings = of_the_record(tally);
    if let Some(title) = texts.title {
        of_a_statement(Spot::Title, title, tally, &names, &mut findings);
    }
    if let Some(line) = texts.first_line {
        of_a_statement(Spot::FirstLine, line, tally, &names, &mut findings);
    }
    if !texts.contents.is_empty() {
        of_the_contents(texts.contents, tally, &names, &mut findings);
    }
    if !texts.photos.is_empty() {
        of_the_photos(texts.photos, tally, &names, &mut findings);
    }
    if let Some(quantity) = texts.quantity
        && quantity != tally.lots
    {
        let why = format!("{} offered", Noun::new("lot").of(tally.lots));
        findings.push(unquoted(Spot::Quantity, Some(quantity), tally.lots, why));
    }
    for kind in &tally.kinds {
        let needed = u64::from(kind.per_lot) * u64::from(tally.lots);
        if needed > u64::from(kind.stock) {
            let why = format!(
                "{} of {} take {needed} {}",
                Noun::new("lot").of(tally.lots),
                kind.per_lot,
                kind.noun.many
            );
            findings.push(unquoted(
                Spot::Stock,
                Some(kind.stock),
                u32::try_from(needed).unwrap_or(u32::MAX),
                why,
            ));
        }
    }
    findings
}

fn unquoted(spot: Spot, said: Option<u32>, right: u32, why: String) -> Finding {
    Finding { spot, quote: String::new(), span: 0..0, said, right, why }
}

fn mismatch(spot: Spot, text: &str, claim: &Claim, tally: &Tally) -> Finding {
    let (right, why) = tally.expected(claim);
    let quote = text.get(claim.span.clone()).unwrap_or("").to_owned();
    Finding { spot, quote, span: claim.span.clone(), said: Some(claim.value), right, why }
}

/// A lot goes by the count of its main kind or by that of all its pieces.
fn of_the_record(tally: &Tally) -> Vec<Finding> {
    let main = tally.kinds.first().map_or(0, |main| main.per_lot);
    if tally.count == main || tally.count == tally.pieces() {
        return Vec::new();
    }
    let why = format!("its contents come to {main} of the main kind and {} pieces in all", tally.pieces());
    vec![unquoted(Spot::Record, Some(tally.count), main, why)]
}

/// A title or a first line: no claim may be wrong, and the count must be said.
fn of_a_statement(
    spot: Spot,
    text: &str,
    tally: &Tally,
    names: &[Vec<Vec<String>>],
    findings: &mut Vec<Finding>,
) {
    let claims = claims(text, names);
    let before = findings.len();
    findings.extend(
        claims.iter().filter(|claim| !tally.agrees(claim)).map(|claim| mismatch(spot, text, claim, tally)),
    );
    let stated = claims.iter().any(|claim| tally.states(claim));
    if findings.len() > before || stated {
        return;
    }
    // A single piece needs no number, as long as its name isn't said in the plural.
    let explicit = claims.iter().any(|claim| claim.counted != Counted::Bare);
    if tally.count == 1 && !explicit && !says_several(text, names) {
        return;
    }
    match claims.iter().find(|claim| claim.counted == Counted::Bare) {
        Some(bare) => findings.push(mismatch(spot, text, bare, tally)),
        None => {
            findings.push(unquoted(spot, None, tally.count, format!("one lot has {}", tally.headline())));
        }
    }
}

/// Whether the main kind is named in the plural.
fn says_several(text: &str, names: &[Vec<Vec<String>>]) -> bool {
    let heads: Vec<&String> = names.first().into_iter().flatten().filter_map(|name| name.last()).collect();
    tokens(text).iter().filter_map(|token| token.word().map(str::to_owned)).any(|word| {
        heads.iter().any(|head| **head != word && measure::plural(head) == word && same_word(head, &word))
    })
}

/// Contents: each named line must be right, and together they must come to all pieces.
fn of_the_contents(lines: &[String], tally: &Tally, names: &[Vec<Vec<String>>], findings: &mut Vec<Finding>) {
    let before = findings.len();
    let mut counted: u32 = 0;
    for (line, at) in lines.iter().zip(1..) {
        let claims = claims(line, names);
        let wrong: Vec<&Claim> = claims
            .iter()
            .filter(|claim| !matches!(claim.counted, Counted::Front | Counted::Bare) && !tally.agrees(claim))
            .collect();
        findings.extend(wrong.iter().map(|claim| mismatch(Spot::Contents(at), line, claim, tally)));
        let first = claims.iter().find(|claim| claim.counted != Counted::Lots);
        counted = counted.saturating_add(first.map_or(0, |claim| claim.value));
    }
    if findings.len() == before && counted != tally.pieces() {
        let pieces = Noun::new("piece").of(tally.pieces());
        let said = (counted > 0).then_some(counted);
        findings.push(unquoted(
            Spot::Contents(0),
            said,
            tally.pieces(),
            format!("one lot has {pieces} in all"),
        ));
    }
}

/// Pictures: single pieces may be shown, but a larger number must be the count, and one line must say it.
fn of_the_photos(lines: &[String], tally: &Tally, names: &[Vec<Vec<String>>], findings: &mut Vec<Finding>) {
    let before = findings.len();
    let mut stated = false;
    for (line, at) in lines.iter().zip(1..) {
        for claim in claims(line, names) {
            stated |= tally.states(&claim);
            let counts = claim.value > 1 && !matches!(claim.counted, Counted::Front | Counted::Bare);
            if counts && !tally.agrees(&claim) {
                findings.push(mismatch(Spot::Photos(at), line, &claim, tally));
            }
        }
    }
    if !stated && findings.len() == before {
        let why = format!("one picture must show exactly {}", tally.headline());
        findings.push(unquoted(Spot::Photos(0), None, tally.count, why));
    }
}
