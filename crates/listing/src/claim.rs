//! What a text claims about the count: "4 mugs", "set of 4", "a pair", "half dozen", "service for 4".

use std::ops::Range;

use crate::aside::{Lot, is_aside};
use crate::noun::same_word;
use crate::number::word_value;
use crate::token::{Token, tokens};

/// How far from its number the name of a piece may stand, in words. Source: judgement.
const REACH: usize = 6;
/// Words that end the search for the name of a piece.
const STOPS: &[&str] =
    &["with", "for", "from", "in", "on", "without", "plus", "of", "is", "are", "has", "have"];
/// Words before "of" and a number that group pieces.
const GROUPS: &[&str] = &[
    "set",
    "lot",
    "group",
    "grouping",
    "box",
    "case",
    "collection",
    "bundle",
    "suite",
    "pack",
    "total",
    "count",
    "quantity",
    "qty",
    "assortment",
    "sets",
    "lots",
];
/// Words right before a number that group pieces.
const DIRECT: &[&str] =
    &["set", "lot", "qty", "quantity", "total", "exactly", "all", "only", "these", "just"];

/// What is counted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Counted {
    /// The lot as a group, perhaps with the name of a kind after it.
    Group(Vec<usize>),
    /// Kinds of pieces, by their place in the lot.
    Kinds(Vec<usize>),
    /// Pieces of any kind.
    Pieces,
    /// Persons of a service.
    Persons,
    /// Lots that are to be had.
    Lots,
    /// A number at the front.
    Front,
    /// A number that nothing explains.
    Bare,
}

/// A claim with its place in the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Claim {
    pub(crate) value: u32,
    pub(crate) counted: Counted,
    pub(crate) span: Range<usize>,
}

/// Names of the kinds of pieces in a lot: for each kind its names, each as plain words in the singular.
pub(crate) type Names = [Vec<Vec<String>>];

/// A number in the text.
struct Candidate {
    at: usize,
    end: usize,
    value: f64,
    digits: bool,
    /// The number is made by a word like "pair" or "dozen".
    collective: bool,
}

/// All claims of a text, in its order.
pub(crate) fn claims(text: &str, names: &Names) -> Vec<Claim> {
    let tokens = tokens(text);
    let reading = Reading { tokens: &tokens, names };
    let mut claims: Vec<Claim> = Vec::new();
    // Tokens that are part of a size or the like, so that a name is found behind them.
    let mut asides = vec![false; tokens.len()];
    let mut candidates = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let Some(candidate) = reading.candidate(at) else {
            at += 1;
            continue;
        };
        at = candidate.end;
        if reading.counts_nothing(&candidate) {
            // The unit goes with it, unless what follows is the name of a piece.
            let named = reading.word(candidate.end).is_some_and(|word| reading.heads(word).next().is_some());
            let stop = if named { candidate.end } else { candidate.end + 1 };
            asides.iter_mut().take(stop).skip(candidate.at).for_each(|aside| *aside = true);
        } else {
            candidates.push(candidate);
        }
    }
    let starts: Vec<usize> = candidates.iter().map(|candidate| candidate.at).collect();
    let mut skip_to = 0;
    for candidate in candidates {
        if candidate.at < skip_to {
            continue;
        }
        let (claim, end) = reading.claim(&candidate, &asides, &starts);
        skip_to = end;
        claims.extend(claim);
    }
    claims
}

struct Reading<'a> {
    tokens: &'a [Token],
    names: &'a Names,
}

impl Reading<'_> {
    fn word(&self, at: usize) -> Option<&str> {
        self.tokens.get(at).and_then(Token::word)
    }

    fn back(&self, at: usize, steps: usize) -> Option<&Token> {
        at.checked_sub(steps).and_then(|k| self.tokens.get(k))
    }

    fn back_word(&self, at: usize, steps: usize) -> Option<&str> {
        self.back(at, steps).and_then(Token::word)
    }

    fn is_hyphen(&self, at: usize) -> bool {
        self.tokens.get(at).and_then(Token::mark) == Some('-')
    }

    /// The number that begins at a token, with its dozens and pairs.
    fn candidate(&self, at: usize) -> Option<Candidate> {
        let collective = |value, end| Some(Candidate { at, end, value, digits: false, collective: true });
        let after_hyphen = |at| if self.is_hyphen(at) { at + 1 } else { at };
        match self.word(at) {
            Some("pair" | "pairs") => return collective(2.0, at + 1),
            Some("couple" | "duo") if self.word(at + 1) == Some("of") => return collective(2.0, at + 1),
            Some("trio") if self.word(at + 1) == Some("of") => return collective(3.0, at + 1),
            Some("quartet") if self.word(at + 1) == Some("of") => return collective(4.0, at + 1),
            Some("dozen") => return collective(12.0, at + 1),
            Some("half") => {
                let next = after_hyphen(at + 1);
                let next = if self.word(next) == Some("a") { next + 1 } else { next };
                return if self.word(next) == Some("dozen") { collective(6.0, next + 1) } else { None };
            }
            Some(_) | None => {}
        }
        let (mut value, mut end, digits, whole) = self.plain_number(at)?;
        let next = after_hyphen(end);
        match self.word(next) {
            Some("dozen") => (value, end) = (value * 12.0, next + 1),
            Some("pair" | "pairs") => (value, end) = (value * 2.0, next + 1),
            Some(_) | None => {
                let whole = whole && (0.0..=f64::from(u32::MAX)).contains(&value);
                let value = if whole { value } else { f64::NAN };
                return Some(Candidate { at, end, value, digits, collective: false });
            }
        }
        let value = if value.fract() == 0.0 && value <= f64::from(u32::MAX) { value } else { f64::NAN };
        Some(Candidate { at, end, value, digits, collective: true })
    }

    /// Value, end, whether in digits, whether whole: `4`, `3 1/4`, `3-1/4`, `twenty-four`.
    fn plain_number(&self, at: usize) -> Option<(f64, usize, bool, bool)> {
        if let Some(word) = self.word(at) {
            let value = word_value(word)?;
            let unit = if self.is_hyphen(at + 1) { self.word(at + 2).and_then(word_value) } else { None };
            return Some(match unit {
                Some(unit) if value >= 20 && unit < 10 => (f64::from(value + unit), at + 3, false, true),
                Some(_) | None => (f64::from(value), at + 1, false, true),
            });
        }
        let (value, whole) = self.tokens.get(at)?.number()?;
        if !whole {
            return Some((value, at + 1, true, false));
        }
        let next = if self.is_hyphen(at + 1) { at + 2 } else { at + 1 };
        match self.tokens.get(next).and_then(Token::number) {
            // "4 1/2 pint jars" are four jars: nobody writes four and a half pints.
            Some((part, false)) if part == 0.5 && self.half_measure(next + 1) => {
                Some((value, at + 1, true, true))
            }
            Some((part, false)) if part < 1.0 => Some((value + part, next + 1, true, false)),
            Some(_) | None => Some((value, at + 1, true, true)),
        }
    }

    /// Whether it may be a size or a count: "12 pint jars". It may state the count but contradicts none.
    fn either(&self, candidate: &Candidate) -> bool {
        let end = candidate.end;
        let measure = matches!(self.word(end), Some("pint" | "pt" | "quart" | "qt" | "gallon" | "gal"));
        let head = |at| self.word(at).is_some_and(|word| self.heads(word).next().is_some());
        measure && !candidate.collective && !self.grouped(candidate.at) && (head(end + 1) || head(end + 2))
    }

    fn half_measure(&self, at: usize) -> bool {
        let at = if self.is_hyphen(at) { at + 1 } else { at };
        matches!(self.word(at), Some("pint" | "pints" | "pt" | "pts" | "gallon" | "gal"))
    }

    fn counts_nothing(&self, candidate: &Candidate) -> bool {
        if candidate.value.is_nan() || candidate.value < 1.0 {
            return true;
        }
        let (at, end) = (candidate.at, candidate.end);
        if candidate.collective {
            return false;
        }
        if self.service(at) || self.lots(candidate) || self.either(candidate) {
            return false;
        }
        let is_head = |word: &str| self.heads(word).next().is_some();
        let name_begins = |at: usize| self.name_begins(at);
        let grouped = self.grouped(at);
        let lot = Lot { is_head: &is_head, name_begins: &name_begins, grouped };
        is_aside(self.tokens, at, end, &lot)
    }

    /// Kinds one of whose names ends with this word.
    fn heads(&self, word: &str) -> impl Iterator<Item = (usize, &Vec<String>)> {
        let word = word.to_owned();
        self.names.iter().enumerate().flat_map(move |(kind, names)| {
            let word = word.clone();
            names
                .iter()
                .filter(move |name| name.last().is_some_and(|head| same_word(head, &word)))
                .map(move |name| (kind, name))
        })
    }

    /// Whether a full name of several words begins at a token ("pint glasses").
    fn name_begins(&self, at: usize) -> bool {
        self.names.iter().flatten().filter(|name| name.len() > 1).any(|name| {
            name.iter()
                .enumerate()
                .all(|(k, part)| self.word(at + k).is_some_and(|word| same_word(part, word)))
        })
    }

    fn service(&self, at: usize) -> bool {
        let before = match self.back_word(at, 1) {
            Some("for") => self.back_word(at, 2),
            other => other,
        };
        matches!(before, Some("service" | "setting" | "settings"))
    }

    /// Whether the number stands after a word that groups pieces.
    fn grouped(&self, at: usize) -> bool {
        // "set-of-4".
        if self.back(at, 1).and_then(Token::mark) == Some('-') && self.back_word(at, 2) == Some("of") {
            return self.back_word(at, 4).is_some_and(|word| GROUPS.contains(&word));
        }
        match self.back_word(at, 1) {
            Some("of") => self.back_word(at, 2).is_some_and(|word| GROUPS.contains(&word)),
            Some("x") => self.back(at, 2).is_none_or(|token| token.number().is_none()),
            Some(word) => DIRECT.contains(&word),
            None => match self.back(at, 1).and_then(Token::mark) {
                Some('(' | '/' | ':') => {
                    self.back_word(at, 2).is_some_and(|word| DIRECT.contains(&word)) || self.in_brackets(at)
                }
                Some('×') => self.back(at, 2).is_none_or(|token| token.number().is_none()),
                Some(_) | None => false,
            },
        }
    }

    /// `(4)`.
    fn in_brackets(&self, at: usize) -> bool {
        self.back(at, 1).and_then(Token::mark) == Some('(')
            && self.tokens.get(at + 1).and_then(Token::mark) == Some(')')
    }

    /// Whether lots are counted: "3 lots", "3 such lots", "3 available", "available: 3".
    fn lots(&self, candidate: &Candidate) -> bool {
        let end = candidate.end;
        let such = matches!(self.word(end), Some("such" | "identical" | "more" | "like"));
        let noun = self.word(if such { end + 1 } else { end });
        let follows = match noun {
            Some("lots") => true,
            Some("lot") => such,
            Some("available" | "remaining" | "left") => true,
            Some(_) | None => false,
        };
        let led = [1, 2].iter().any(|&steps| self.back_word(candidate.at, steps) == Some("available"));
        follows || led
    }

    /// What a number that counts something claims, and the token after what was read.
    fn claim(&self, candidate: &Candidate, asides: &[bool], starts: &[usize]) -> (Option<Claim>, usize) {
        let (at, end) = (candidate.at, candidate.end);
        // Checked when the candidate was made: whole, from 1 to u32::MAX.
        let value = candidate.value as u32;
        let start = self.tokens.get(at).map_or(0, |token| token.span.start);
        let span_to = |last: usize| {
            let stop =
                last.checked_sub(1).and_then(|k| self.tokens.get(k)).map_or(start, |token| token.span.end);
            start..stop.max(start)
        };
        let said = |counted, last: usize| (Some(Claim { value, counted, span: span_to(last) }), last);
        if self.service(at) {
            return said(Counted::Persons, end);
        }
        if self.either(candidate) {
            return said(Counted::Bare, end);
        }
        let unit = if self.is_hyphen(end) { end + 1 } else { end };
        match self.word(unit) {
            Some("piece" | "pieces" | "pc" | "pcs") => return said(Counted::Pieces, unit + 1),
            Some("pack" | "pk" | "count" | "ct") => return said(Counted::Group(Vec::new()), unit + 1),
            Some("place" | "setting" | "settings") => return said(Counted::Persons, unit + 1),
            // "2 sets of 4" is eight pieces.
            Some("sets") if self.word(unit + 1) == Some("of") => {
                if let Some(inner) = self.candidate(unit + 2).filter(|inner| inner.value >= 1.0) {
                    let value = value.saturating_mul(inner.value as u32);
                    let claim =
                        Claim { value, counted: Counted::Group(Vec::new()), span: span_to(inner.end) };
                    return (Some(claim), inner.end);
                }
            }
            // "one lot of 4" says its count with the number that follows.
            Some("lot" | "set" | "service") if value == 1 => return (None, end),
            Some(_) | None => {}
        }
        if self.lots(candidate) {
            return said(Counted::Lots, end);
        }
        let named = self.named(candidate, value, asides, starts);
        if candidate.collective || self.grouped(at) {
            let (kinds, last) = named.unwrap_or((Vec::new(), end));
            return (
                Some(Claim { value, counted: Counted::Group(kinds), span: span_to(end) }),
                last.min(end),
            );
        }
        if let Some((kinds, last)) = named {
            return (Some(Claim { value, counted: Counted::Kinds(kinds), span: span_to(last) }), end);
        }
        if self.word(end) == Some("x") || self.tokens.get(end).and_then(Token::mark) == Some('×') {
            return said(Counted::Group(Vec::new()), end);
        }
        let front = self.tokens.iter().take(at).all(|token| token.mark().is_some());
        if front && (candidate.digits || value == 1) {
            return said(Counted::Front, end);
        }
        said(Counted::Bare, end)
    }

    /// The kinds whose name follows a number, and the token after the name. The name that says most counts.
    fn named(
        &self,
        candidate: &Candidate,
        value: u32,
        asides: &[bool],
        starts: &[usize],
    ) -> Option<(Vec<usize>, usize)> {
        let mut between: Vec<&str> = Vec::new();
        let mut words = 0;
        let mut at = candidate.end;
        // "pair of cups", "4 of these cups".
        if self.word(at) == Some("of") {
            at += 1;
        }
        while words < REACH {
            let token = self.tokens.get(at)?;
            let aside = asides.get(at).copied().unwrap_or(false);
            if starts.contains(&at) && !(candidate.collective && self.word(at).is_none()) {
                return None;
            }
            if !aside {
                match (token.word(), token.mark()) {
                    (Some(word), _) => {
                        if STOPS.contains(&word) {
                            return None;
                        }
                        let found: Vec<(usize, &Vec<String>)> = self
                            .heads(word)
                            .filter(|(_, name)| {
                                // One piece is said in the singular, several in the plural.
                                let singular = name.last().is_some_and(|head| head == word);
                                (value == 1) == singular || candidate.collective || unchanging(name)
                            })
                            .collect();
                        if !found.is_empty() {
                            return Some((fullest(&found, &between), at + 1));
                        }
                        between.push(word);
                        words += 1;
                    }
                    (None, Some('-' | '&' | '+' | '\'' | '’')) => {}
                    (None, _) => return None,
                }
            }
            at += 1;
        }
        None
    }
}

/// Whether a name has no plural of its own.
fn unchanging(name: &[String]) -> bool {
    name.last().is_some_and(|head| measure::plural(head) == *head)
}

/// Of names with one head word, those most of whose words were said.
fn fullest(found: &[(usize, &Vec<String>)], between: &[&str]) -> Vec<usize> {
    let said = |name: &Vec<String>| {
        name.iter().filter(|part| between.iter().any(|word| same_word(part, word))).count()
    };
    let most = found.iter().map(|(_, name)| said(name)).max().unwrap_or(0);
    let mut kinds: Vec<usize> =
        found.iter().filter(|(_, name)| said(name) == most).map(|(kind, _)| *kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}
