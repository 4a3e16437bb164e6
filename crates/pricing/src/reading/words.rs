//! The words that lines of comps are written in.

use crate::Grade;

/// Cost of getting it to the buyer.
pub(super) const SHIPPING: &[&str] = &["ship", "shipping", "postage", "delivery"];
/// The price holds the shipping.
pub(super) const SHIPPED: &[&str] = &["shipped", "delivered"];
/// Before [`SHIPPING`]: the price holds it.
pub(super) const INCLUDING: &[&str] = &["incl", "including", "includes", "included", "inc"];
/// What a count counts when it is pieces.
pub(super) const PIECES: &[&str] = &["pc", "pcs", "piece", "pieces"];
/// What a count counts when it is bidders.
pub(super) const BIDS: &[&str] = &["bid", "bids", "bidder", "bidders"];
/// Before [`BIDS`]: nobody.
pub(super) const NOBODY: &[&str] = &["no", "none", "zero", "without"];
/// Before [`BIDS`]: one.
pub(super) const ONE: &[&str] = &["one", "single"];
/// Before [`BIDS`]: two or more.
pub(super) const SEVERAL: &[&str] =
    &["several", "many", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
/// Said of a lot: `lot of 4`.
pub(super) const LOT: &[&str] = &["lot", "set"];
/// Price of one piece.
pub(super) const EACH: &[&str] = &["each", "ea"];
/// The public price of an offer or of what is unsold.
pub(super) const ASK: &[&str] = &["ask", "asked", "asking"];
/// Below a public price.
pub(super) const UNDER: &[&str] = &["under", "below"];
/// How alike.
pub(super) const ALIKE: &[&str] = &["alike", "like", "likeness"];
/// Before the days something was on offer.
pub(super) const ON_OFFER: &[&str] = &["in", "after", "ran", "took"];

/// Days in a month as an age is counted (judgement: an age needs no better).
const DAYS_OF_MONTH: u32 = 30;
/// Days in a year as an age is counted (judgement: an age needs no better).
const DAYS_OF_YEAR: u32 = 365;

/// Units of time and their days.
const UNITS: &[(u32, &[&str])] = &[
    (1, &["d", "day", "days"]),
    (7, &["w", "wk", "wks", "week", "weeks"]),
    (DAYS_OF_MONTH, &["m", "mo", "mos", "month", "months"]),
    (DAYS_OF_YEAR, &["y", "yr", "yrs", "year", "years"]),
];

/// Grades in words, the longer before the shorter.
const GRADES: &[(&[&str], Grade)] = &[
    (&["as", "new"], Grade::A),
    (&["like", "new"], Grade::A),
    (&["mint"], Grade::A),
    (&["light", "wear"], Grade::B),
    (&["used"], Grade::C),
    (&["small", "flaws"], Grade::D),
    (&["small", "flaw"], Grade::D),
    (&["flawed"], Grade::D),
    (&["chip"], Grade::D),
    (&["chips"], Grade::D),
    (&["chipped"], Grade::D),
    (&["damaged"], Grade::E),
    (&["cracked"], Grade::E),
];

/// Words and phrases that belong to no list above.
const OTHERS: &[&str] = &[
    "sold",
    "offer",
    "accepted",
    "unsold",
    "auction",
    "for",
    "at",
    "of",
    "plus",
    "pair",
    "free",
    "ago",
    "age",
    "on",
    "today",
    "yesterday",
    "grade",
    "to",
    "unknown",
    "not",
    "stated",
    "x",
];

/// Days in the unit that a word names.
pub(super) fn days_of(word: &str) -> Option<u32> {
    UNITS.iter().find(|(_, words)| words.contains(&word)).map(|(days, _)| *days)
}

/// The grade that a row of words begins with, and how many of them it takes.
pub(super) fn grade_of<'a>(word_at: impl Fn(usize) -> Option<&'a str>) -> Option<(Grade, usize)> {
    GRADES
        .iter()
        .find(|(words, _)| words.iter().enumerate().all(|(place, word)| word_at(place) == Some(word)))
        .map(|(words, grade)| (*grade, words.len()))
}

/// The grade that a letter names.
pub(super) fn grade_letter(letter: &str) -> Option<Grade> {
    match letter {
        "a" => Some(Grade::A),
        "b" => Some(Grade::B),
        "c" => Some(Grade::C),
        "d" => Some(Grade::D),
        "e" => Some(Grade::E),
        _ => None,
    }
}

/// The grade's letter and what it means.
pub(super) const fn grade_words(grade: Grade) -> (&'static str, &'static str) {
    match grade {
        Grade::A => ("A", "as new"),
        Grade::B => ("B", "light wear"),
        Grade::C => ("C", "used"),
        Grade::D => ("D", "small flaws"),
        Grade::E => ("E", "damaged"),
    }
}

/// Every list of words of its own.
const LISTS: [&[&str]; 15] = [
    SHIPPING, SHIPPED, INCLUDING, PIECES, BIDS, NOBODY, ONE, SEVERAL, LOT, EACH, ASK, UNDER, ALIKE, ON_OFFER,
    OTHERS,
];

/// The word says something in some place.
pub(super) fn is_known(word: &str) -> bool {
    LISTS.iter().any(|list| list.contains(&word))
        || days_of(word).is_some()
        || GRADES.iter().any(|(words, _)| words.contains(&word))
}

/// The words that may have been meant, the nearest first, at most three.
pub(super) fn nearest(typed: &str) -> Vec<String> {
    let phrases: Vec<String> = GRADES.iter().map(|(words, _)| words.join(" ")).collect();
    let units = UNITS.iter().flat_map(|(_, words)| words.iter().copied());
    let known = LISTS.into_iter().flatten().copied().chain(units).chain(phrases.iter().map(String::as_str));
    // A word of a letter or two is near to half of the list.
    measure::nearest(typed, known.filter(|word| word.len() > 2))
}
