//! Going through the tokens of a line.

use std::ops::Range;

use jiff::civil::Date;

use super::comp_error::{CompError, CompFault, CompPart, quoted};
use super::stated::Facts;
use super::token::{Sort, Token, tokens};
use super::words;

/// An example for whatever has none that fits better.
const RIGHT: &str = "2 for 17.50 + 8.25 (a note goes behind #)";

/// A line, how far it was read, and what it has stated so far.
pub(super) struct Scan<'a> {
    pub(super) text: &'a str,
    tokens: Vec<Token<'a>>,
    place: usize,
    pub(super) today: Date,
    pub(super) facts: Facts,
    /// A bracket is open, and where.
    pub(super) open: Option<Range<usize>>,
}

impl<'a> Scan<'a> {
    pub(super) fn new(text: &'a str, today: Date) -> Self {
        Self { text, tokens: tokens(text), place: 0, today, facts: Facts::default(), open: None }
    }

    /// The token `ahead` places on.
    pub(super) fn token(&self, ahead: usize) -> Option<&Token<'a>> {
        self.tokens.get(self.place.saturating_add(ahead))
    }

    /// The token just read.
    pub(super) fn before(&self) -> Option<&Token<'a>> {
        self.tokens.get(self.place.checked_sub(1)?)
    }

    pub(super) fn advance(&mut self, by: usize) {
        self.place = self.place.saturating_add(by);
    }

    /// The word `ahead` places on, in small letters.
    pub(super) fn word(&self, ahead: usize) -> Option<&str> {
        self.token(ahead).filter(|token| token.sort == Sort::Word).map(|token| token.lower.as_str())
    }

    pub(super) fn is_word(&self, ahead: usize, words: &[&str]) -> bool {
        self.word(ahead).is_some_and(|word| words.contains(&word))
    }

    pub(super) fn is_sign(&self, ahead: usize, sign: char) -> bool {
        self.token(ahead).is_some_and(|token| token.sort == Sort::Sign(sign))
    }

    /// The figure `ahead` places on, as typed.
    pub(super) fn figure(&self, ahead: usize) -> Option<&'a str> {
        self.token(ahead).filter(|token| token.sort == Sort::Figure).map(|token| token.text)
    }

    /// Days in the unit that stands `ahead` places on.
    pub(super) fn unit(&self, ahead: usize) -> Option<u32> {
        self.word(ahead).and_then(words::days_of)
    }

    /// A figure that nothing behind it makes into days, bids, pieces or a share.
    pub(super) fn is_amount(&self, ahead: usize) -> bool {
        let behind = ahead.saturating_add(1);
        self.figure(ahead).is_some()
            && self.unit(behind).is_none()
            && !self.is_sign(behind, '%')
            && !self.is_word(behind, words::BIDS)
            && !self.is_word(behind, words::PIECES)
    }

    /// Two figures and a dash or "to" between them.
    pub(super) fn is_range(&self, ahead: usize) -> bool {
        let between = ahead.saturating_add(1);
        self.figure(ahead).is_some()
            && (self.is_sign(between, '-') || self.is_word(between, &["to"]))
            && self.figure(between.saturating_add(1)).is_some()
    }

    /// Takes the next word, if it is one of these.
    pub(super) fn take_word(&mut self, words: &[&str]) -> bool {
        let taken = self.is_word(0, words);
        if taken {
            self.advance(1);
        }
        taken
    }

    pub(super) fn take_sign(&mut self, sign: char) -> bool {
        let taken = self.is_sign(0, sign);
        if taken {
            self.advance(1);
        }
        taken
    }

    /// Bytes from the token at `from` (counted from the start of the line) to the one just read.
    pub(super) fn since(&self, from: usize) -> Range<usize> {
        let start = self.tokens.get(from).map_or(self.text.len(), |token| token.span.start);
        start..self.before().map_or(start, |token| token.span.end).max(start)
    }

    /// Where reading stands, for [`Scan::since`].
    pub(super) const fn place(&self) -> usize {
        self.place
    }

    /// Bytes of the next token; where there is none, of the last, so that there is something to point at.
    pub(super) fn here(&self) -> Range<usize> {
        self.token(0).or(self.tokens.last()).map_or(0..0, |token| token.span.clone())
    }

    pub(super) fn error(
        &self,
        span: Range<usize>,
        part: CompPart,
        fault: CompFault,
        right: &'static str,
    ) -> CompError {
        CompError::at(self.text, span, part, fault, right)
    }

    pub(super) fn quoted(&self, span: &Range<usize>) -> String {
        quoted(self.text.get(span.clone()).unwrap_or(""))
    }

    /// The next token says nothing here.
    pub(super) fn unknown(&self) -> CompError {
        let span = self.here();
        let found = self.quoted(&span);
        if self.is_word(0, &["nan", "inf", "infinity"]) {
            let fault =
                CompFault::Figure { part: CompPart::Price, found, reason: "it is no amount".to_owned() };
            return self.error(span, CompPart::Price, fault, RIGHT);
        }
        let nearest = self.word(0).map(words::nearest).unwrap_or_default();
        // A word that is known but misplaced is no help as its own correction.
        let nearest = nearest.into_iter().filter(|word| *word != found.to_lowercase()).take(2).collect();
        self.error(span, CompPart::Line, CompFault::Unknown { found, nearest }, RIGHT)
    }

    /// Something must follow the token just read, and the line ends or goes on with something else.
    pub(super) fn cut(&self, part: CompPart, wanted: &'static str, right: &'static str) -> CompError {
        let after = self.before().map(|token| token.text).unwrap_or_default();
        let fault = CompFault::Cut { after: quoted(after), wanted };
        self.error(self.here(), part, fault, right)
    }

    pub(super) fn unfit(
        &self,
        span: Range<usize>,
        part: CompPart,
        reason: &'static str,
        right: &'static str,
    ) -> CompError {
        let found = self.quoted(&span);
        self.error(span, part, CompFault::Unfit { found, reason }, right)
    }

    pub(super) fn unclear(
        &self,
        span: Range<usize>,
        part: CompPart,
        reason: &'static str,
        right: &'static str,
    ) -> CompError {
        let found = self.quoted(&span);
        self.error(span, part, CompFault::Unclear { found, reason }, right)
    }
}
