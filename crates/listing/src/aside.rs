//! Numbers in a listing that count no pieces: sizes, years, labels, parts, prices, flaws.

use crate::token::Token;

/// Units of size, capacity, weight, time and money. Source: common practice.
const UNITS: &[&str] = &[
    "oz", "ozs", "ounce", "ounces", "fl", "fluid", "inch", "inches", "ft", "cm", "cms", "mm", "ml", "cl",
    "l", "lt", "ltr", "liter", "liters", "litre", "litres", "qt", "qts", "quart", "quarts", "pt", "pts",
    "pint", "pints", "gal", "gallon", "gallons", "g", "gr", "gram", "grams", "kg", "lb", "lbs", "pound",
    "pounds", "m", "yd", "percent", "deg", "degree", "degrees", "yr", "yrs", "k", "kt", "karat", "carat",
    "w", "watt", "watts", "v", "volt", "volts", "amp", "amps", "usd", "dollar", "dollars", "cent", "cents",
    "tsp", "tbsp", "point",
];
/// Words after an inch that make it an inch. Source: judgement.
const AFTER_IN: &[&str] = &[
    "tall", "high", "h", "wide", "w", "d", "dia", "diam", "diameter", "long", "deep", "across", "x", "by",
    "square", "round", "oval", "each",
];
/// Parts, features and spans that are counted without counting pieces. Source: judgement.
const PARTS: &[&str] = &[
    "handle",
    "handled",
    "foot",
    "feet",
    "footed",
    "side",
    "sided",
    "tone",
    "toned",
    "color",
    "colored",
    "colour",
    "coloured",
    "panel",
    "paneled",
    "panelled",
    "tier",
    "tiered",
    "leg",
    "legged",
    "arm",
    "armed",
    "light",
    "petal",
    "lobe",
    "lobed",
    "band",
    "banded",
    "ring",
    "ringed",
    "stripe",
    "striped",
    "line",
    "section",
    "compartment",
    "hole",
    "spout",
    "spouted",
    "burner",
    "ply",
    "layer",
    "part",
    "way",
    "day",
    "week",
    "month",
    "year",
    "hour",
    "minute",
    "time",
    "century",
    "generation",
    "picture",
    "photo",
    "view",
    "shot",
    "page",
    "person",
    "people",
    "size",
    "sized",
    "style",
    "type",
    "kind",
    "season",
    "business",
    "star",
    "mark",
    "marked",
    "lid",
    "letter",
    "digit",
    "quality",
    "owner",
    "dimensional",
    "initial",
];
/// What can be wrong with some of the pieces. Source: judgement.
const FAULTS: &[&str] = &[
    "chip",
    "chipped",
    "flea",
    "hairline",
    "crack",
    "cracked",
    "nick",
    "nicked",
    "flake",
    "repair",
    "repaired",
    "scratch",
    "scratched",
    "stain",
    "stained",
    "bruise",
    "flaw",
    "flawed",
    "fault",
    "damaged",
    "mended",
    "missing",
    "imperfect",
    "small",
    "tiny",
    "minor",
    "as",
    "has",
    "have",
    "is",
    "are",
    "with",
    "without",
    "lacks",
];
/// Words before a number that make it a label or a date. Source: judgement.
const LABELS: &[&str] = &[
    "no",
    "nr",
    "num",
    "number",
    "size",
    "model",
    "style",
    "pattern",
    "shape",
    "mold",
    "mould",
    "vol",
    "volume",
    "series",
    "grade",
    "item",
    "ref",
    "circa",
    "c",
    "ca",
    "approx",
    "approximately",
    "about",
    "page",
    "pages",
    "p",
    "code",
    "by",
    "est",
    "since",
    "dated",
    "marked",
    "stamped",
    "numbered",
    "impressed",
    "serves",
    "seats",
    "holds",
    "fits",
    "type",
    "class",
    "chapter",
    "edition",
    "year",
    "apartment",
    "over",
    "under",
    "usd",
    "measures",
];
/// Labels that are written with a stop.
const STOPPED: &[&str] = &["no", "nr", "num", "vol", "c", "ca", "p", "approx", "ref", "est"];
/// Years, in digits.
const YEARS: std::ops::RangeInclusive<f64> = 1500.0..=2099.0;

fn listed(words: &[&str], word: &str) -> bool {
    words.contains(&word) || word.strip_suffix('s').is_some_and(|one| words.contains(&one))
}

/// What the rules need to know of the lot.
pub(crate) struct Lot<'a> {
    /// Whether this word (at a token) is a head word of a piece in the lot.
    pub(crate) is_head: &'a dyn Fn(&str) -> bool,
    /// Whether the full name of a piece begins at this token.
    pub(crate) name_begins: &'a dyn Fn(usize) -> bool,
    /// Whether the number stands after "set of", "lot of" or the like.
    pub(crate) grouped: bool,
}

/// Whether the number in the tokens `at..end` counts no pieces.
pub(crate) fn is_aside(tokens: &[Token], at: usize, end: usize, lot: &Lot<'_>) -> bool {
    before(tokens, at, lot.grouped) || after(tokens, at, end, lot) || is_year(tokens, at, end)
}

fn is_year(tokens: &[Token], at: usize, end: usize) -> bool {
    let lone = end == at + 1;
    lone && tokens
        .get(at)
        .and_then(Token::number)
        .is_some_and(|(value, whole)| whole && YEARS.contains(&value))
}

fn before(tokens: &[Token], at: usize, grouped: bool) -> bool {
    let back = |steps: usize| at.checked_sub(steps).and_then(|k| tokens.get(k));
    let Some(last) = back(1) else { return false };
    let glued = tokens.get(at).is_some_and(|token| token.glued);
    if let Some(word) = last.word() {
        // "EA4" and the like; "x4" is a count.
        let code = glued && word != "x";
        let across = word == "x" && back(2).is_some_and(|token| token.number().is_some());
        let range = word == "to" && back(2).is_some_and(|token| token.number().is_some());
        return code || across || range || LABELS.contains(&word);
    }
    match last.mark() {
        Some('#' | '$' | '£' | '€' | '~' | '\'' | '’') => true,
        Some('×' | '*') => back(2).is_some_and(|token| token.number().is_some()),
        Some('-') => glued && last.glued && !grouped,
        Some('.') => back(2).and_then(Token::word).is_some_and(|word| STOPPED.contains(&word)),
        _ => false,
    }
}

fn after(tokens: &[Token], at: usize, end: usize, lot: &Lot<'_>) -> bool {
    let Some(next) = tokens.get(end) else { return false };
    if let Some(mark) = next.mark() {
        return match mark {
            '"' | '″' | '”' => !closes_a_quote(tokens, at),
            '\'' | '′' | '’' | '%' | '°' => next.glued,
            '×' | '*' => tokens.get(end + 1).is_some_and(|token| token.number().is_some()),
            '-' => next.glued && hyphened(tokens, end),
            _ => false,
        };
    }
    if next.number().is_some() {
        return false;
    }
    if (lot.name_begins)(end) {
        return false;
    }
    let Some(word) = next.word() else { return false };
    let number_at = |k: usize| tokens.get(k).is_some_and(|token| token.number().is_some());
    if next.glued && matches!(word, "s" | "st" | "nd" | "rd" | "th" | "er" | "d") {
        return true;
    }
    match word {
        "x" | "by" | "to" => number_at(end + 1),
        "of" => {
            !matches!(tokens.get(end + 1).and_then(Token::word), Some("these" | "those" | "them" | "the"))
        }
        "in" => inches(tokens, end, lot),
        "cup" | "cups" => !(lot.is_head)(word),
        "business" => true,
        _ => UNITS.contains(&word) || listed(PARTS, word) || listed(FAULTS, word),
    }
}

/// After a hyphen only "piece" makes a count: "two-handled", "10-inch" and "4-6" don't.
fn hyphened(tokens: &[Token], hyphen: usize) -> bool {
    let Some(next) = tokens.get(hyphen + 1) else { return false };
    let counts =
        matches!(next.word(), Some("piece" | "pieces" | "pc" | "pcs" | "place" | "pack" | "pk" | "count"));
    (next.word().is_some() || next.number().is_some()) && next.glued && !counts
}

/// Whether "in" after a number is an inch.
fn inches(tokens: &[Token], at: usize, lot: &Lot<'_>) -> bool {
    let word = |k: usize| tokens.get(k).and_then(Token::word);
    let heads = [at + 1, at + 2].into_iter().any(|k| word(k).is_some_and(|word| (lot.is_head)(word)));
    match tokens.get(at + 1) {
        None => true,
        Some(token) if token.word().is_none() => true,
        Some(_) => !lot.grouped || heads || word(at + 1).is_some_and(|next| AFTER_IN.contains(&next)),
    }
}

/// Whether a quotation mark after the number closes a quotation that began before it.
fn closes_a_quote(tokens: &[Token], at: usize) -> bool {
    let mut open = false;
    let mut last_was_number = false;
    for token in tokens.iter().take(at) {
        match token.mark() {
            Some('"' | '“' | '”') if open => open = false,
            Some('"' | '“') if !last_was_number => open = true,
            _ => {}
        }
        last_was_number = token.number().is_some();
    }
    open
}
