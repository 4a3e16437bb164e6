//! Numbers written as words.

const ONES: &[&str] = &[
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: &[&str] = &["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// The value of a small-letter number word from one to ninety, without compounds.
pub(crate) fn word_value(word: &str) -> Option<u32> {
    let of = |words: &[&str], first: u32, step: u32| {
        words.iter().zip(0_u32..).find(|(one, _)| **one == word).map(|(_, at)| first + at * step)
    };
    of(ONES, 1, 1).or_else(|| of(TENS, 20, 10))
}
