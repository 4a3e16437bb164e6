//! Reading a flaw as a person types it: `1 hairline 1.5 in rim`, `2 flea bite foot`, `crazing all over`.

use std::ops::Range;

use measure::{Length, nearest};

use crate::{Conditions, Flaw, ListingError, Place};

/// Longest flaw that is read, in words. Source: judgement.
const MOST_WORDS: usize = 60;
/// A right flaw for messages.
const EXAMPLE: &str = "1 hairline 1.5 in rim";
/// Words for every piece of the lot.
const EVERY: &[&str] = &["all", "each", "every", "both"];

/// A word of the text with its bytes.
struct Word<'a> {
    text: &'a str,
    span: Range<usize>,
}

struct Reading<'a> {
    text: &'a str,
    words: Vec<Word<'a>>,
}

impl<'a> Reading<'a> {
    fn error(
        &self,
        span: Range<usize>,
        problem: impl Into<String>,
        right: impl Into<String>,
    ) -> ListingError {
        ListingError::FlawText {
            text: self.text.to_owned(),
            span,
            problem: problem.into(),
            right: right.into(),
        }
    }

    fn word(&self, at: usize) -> Option<&'a str> {
        self.words.get(at).map(|word| word.text)
    }

    /// Bytes of the words from `from` up to but not with `to`.
    fn span(&self, from: usize, to: usize) -> Range<usize> {
        let end = self.words.last().map_or(0, |word| word.span.end);
        let start = self.words.get(from).map_or(end, |word| word.span.start);
        let stop = to.checked_sub(1).and_then(|last| self.words.get(last)).map_or(end, |word| word.span.end);
        start..stop.max(start)
    }

    fn slice(&self, from: usize, to: usize) -> &'a str {
        self.text.get(self.span(from, to)).unwrap_or("")
    }
}

impl Conditions {
    /// Reads a flaw of a lot of `count` pieces: how many pieces, the term, its size, its place, and after a
    /// semicolon or a colon a note.
    ///
    /// The number of pieces may be left out or be `all`: then every piece has it, since no flaw is hoped
    /// away. Prepositions before the place are passed over.
    ///
    /// # Errors
    /// [`ListingError::FlawText`] with the bytes that are wrong and what would be right there.
    pub fn read_flaw(&self, text: &str, count: u32) -> Result<Flaw, ListingError> {
        let (body, note) = match text.find([';', ':']) {
            Some(at) => (text.get(..at).unwrap_or(""), text.get(at + 1..).unwrap_or("")),
            None => (text, ""),
        };
        let reading = Reading { text, words: words_of(body) };
        if reading.words.len() > MOST_WORDS {
            return Err(reading.error(
                reading.span(MOST_WORDS, usize::MAX),
                "it has too many words",
                EXAMPLE,
            ));
        }
        let (pieces, counted, at) = take_pieces(&reading, count)?;
        let (term, after) = self.take_term(&reading, at)?;
        let term_span = reading.span(at, after);
        let (size, size_span, after) = take_size(&reading, after)?;
        let rest = reading.slice(after, reading.words.len());
        let place = Place::from_words(rest);
        if !rest.is_empty() && place.is_none() {
            let right = Place::near(rest).first().cloned().unwrap_or_else(|| EXAMPLE.to_owned());
            let span = reading.span(after, reading.words.len());
            return Err(reading.error(span, "no place on a piece is called this", right));
        }
        let flaw = Flaw { term, place, size, pieces, note: note.trim().to_owned() };
        let end = reading.span(usize::MAX, usize::MAX);
        match self.check(&flaw, count) {
            Ok(_) => Ok(flaw),
            Err(ListingError::Understated { size, term, bound, right }) => Err(reading.error(
                term_span,
                format!("{size} is more than a {term}, which is {bound}"),
                right,
            )),
            Err(ListingError::FlawNeeds { needs, example, .. }) => {
                Err(reading.error(end, format!("the {needs} is missing"), example))
            }
            Err(ListingError::FlawSize { .. }) => {
                Err(reading.error(size_span, "the size must be more than 0", EXAMPLE))
            }
            Err(ListingError::FlawCount { pieces, count, .. }) => {
                let problem = format!("{pieces} of {count} can't have it");
                Err(reading.error(counted, problem, format!("from 1 to {count}")))
            }
            Err(other) => Err(other),
        }
    }

    /// The longest run of words from `at` that is a term.
    fn take_term(&self, reading: &Reading<'_>, at: usize) -> Result<(String, usize), ListingError> {
        let stop = (at..reading.words.len())
            .find(|&k| reading.word(k).is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit())))
            .unwrap_or(reading.words.len());
        for end in (at + 1..=stop).rev() {
            let words = reading.slice(at, end);
            let single = words.strip_suffix('s').unwrap_or(words);
            if let Some(term) = self.get(words).or_else(|| self.get(single)) {
                return Ok((term.id.clone(), end));
            }
        }
        if at >= stop {
            let span = reading.span(at, at + 1);
            return Err(reading.error(span, "a word for the flaw was expected here", EXAMPLE));
        }
        // The nearest term to the first word or to the first two: the rest is size and place.
        let near = [at + 2, at + 1, stop].into_iter().filter(|&end| end <= stop).find_map(|end| {
            nearest(reading.slice(at, end), self.spoken()).into_iter().next().map(|n| (n, end))
        });
        let (right, end) = near.unwrap_or_else(|| (EXAMPLE.to_owned(), at + 1));
        Err(reading.error(reading.span(at, end), "no condition term is called this", right))
    }
}

fn words_of(text: &str) -> Vec<Word<'_>> {
    let mut words = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        // A comma parts words as a blank does; one inside a figure is an error of the size below.
        let parts = c.is_whitespace() || c == ',';
        match (start, parts) {
            (None, false) => start = Some(at),
            (Some(from), true) => {
                words.push(Word { text: text.get(from..at).unwrap_or(""), span: from..at });
                start = None;
            }
            (None, true) | (Some(_), false) => {}
        }
    }
    words
}

/// How many pieces, the bytes that say so, and the word after them.
fn take_pieces(reading: &Reading<'_>, count: u32) -> Result<(u32, Range<usize>, usize), ListingError> {
    let Some(first) = reading.word(0) else {
        return Err(reading.error(0..0, "nothing was typed", EXAMPLE));
    };
    if EVERY.contains(&first.to_lowercase().as_str()) {
        return Ok((count, reading.span(0, 1), 1));
    }
    if !first.starts_with(|c: char| c.is_ascii_digit()) {
        return Ok((count, reading.span(0, 0), 0));
    }
    let span = reading.span(0, 1);
    let pieces: u32 = first
        .parse()
        .map_err(|_| reading.error(span.clone(), "a whole number of pieces was expected", EXAMPLE))?;
    if reading.word(1).is_some_and(|word| word.eq_ignore_ascii_case("of")) {
        let span = reading.span(2, 3);
        return match reading.word(2).map(str::parse::<u32>) {
            Some(Ok(of)) if of == count => Ok((pieces, reading.span(0, 1), 3)),
            _ => Err(reading.error(span, format!("the lot has {count} of them"), format!("1 of {count}"))),
        };
    }
    Ok((pieces, span, 1))
}

/// The size that begins at word `at`, if a figure stands there, with its bytes and the word after it.
fn take_size(
    reading: &Reading<'_>,
    at: usize,
) -> Result<(Option<Length>, Range<usize>, usize), ListingError> {
    let is_figure =
        |k| reading.word(k).is_some_and(|word: &str| word.starts_with(|c: char| c.is_numeric() || c == '.'));
    if !is_figure(at) {
        return Ok((None, reading.span(at, at), at));
    }
    let figures = (at..).take_while(|&k| is_figure(k)).count();
    let end = at + figures;
    // With its unit glued on (1/4", 8mm) a figure is complete; else the next word is its unit.
    let complete = Length::read_positive(reading.slice(at, end), None);
    let with_unit = Length::read_positive(reading.slice(at, end + 1), None);
    match (complete, with_unit) {
        (Ok(size), _) => Ok((Some(size), reading.span(at, end), end)),
        (Err(_), Ok(size)) => Ok((Some(size), reading.span(at, end + 1), end + 1)),
        (Err(_), Err(error)) => {
            let span = reading.span(at, end + 1);
            Err(reading.error(span, format!("this can't be read as a size: {error}"), EXAMPLE))
        }
    }
}
