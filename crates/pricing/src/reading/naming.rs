//! Clauses that name one of a few things: the kind of evidence, the grade, how many bid.

use super::comp_error::{CompError, CompPart};
use super::scan::Scan;
use super::stated::{Kind, state};
use super::words;
use crate::Bids;

const BIDS: &str = "auction 18, one bid";

impl Scan<'_> {
    pub(super) fn kind_clause(&mut self, from: usize) -> Result<bool, CompError> {
        let named = [
            (&["sold"][..], Kind::Sold),
            (&["still", "unsold"], Kind::Unsold),
            (&["unsold"], Kind::Unsold),
            (&["accepted", "offer"], Kind::Offer),
            (&["best", "offer"], Kind::Offer),
            (&["offer"], Kind::Offer),
            (&["auction"], Kind::Auction),
        ]
        .into_iter()
        .find(|(words, _)| words.iter().enumerate().all(|(place, word)| self.word(place) == Some(word)));
        let Some((words, kind)) = named else {
            return Ok(false);
        };
        self.advance(words.len());
        if kind == Kind::Offer {
            self.take_word(&["accepted"]);
        }
        state(self.text, self.since(from), CompPart::Kind, kind, &mut self.facts.kind)?;
        Ok(true)
    }

    pub(super) fn grade_clause(&mut self, from: usize) -> Result<bool, CompError> {
        let grade = if self.is_word(0, &["grade"]) {
            self.advance(1);
            let Some(grade) = self.word(0).and_then(words::grade_letter) else {
                return Err(self.cut(CompPart::Grade, "a letter from A to E", "grade B, or light wear"));
            };
            self.advance(1);
            grade
        } else if let Some((grade, length)) = words::grade_of(|place| self.word(place)) {
            self.advance(length);
            grade
        } else {
            return Ok(false);
        };
        state(self.text, self.since(from), CompPart::Grade, grade, &mut self.facts.grade)?;
        Ok(true)
    }

    /// `7 bids`, `one bid`, `no bids`.
    pub(super) fn bids_clause(&mut self, from: usize) -> Result<(), CompError> {
        let bids = self.bids()?;
        self.take_word(words::BIDS);
        state(self.text, self.since(from), CompPart::Bids, bids, &mut self.facts.bids)
    }

    /// Reads how many bid, in digits or a word.
    fn bids(&mut self) -> Result<Bids, CompError> {
        let from = self.place();
        let counted = if self.is_word(0, words::NOBODY) {
            Bids::None
        } else if self.is_word(0, words::ONE) {
            Bids::One
        } else if self.is_word(0, words::SEVERAL) {
            Bids::Several
        } else if let Some(figure) = self.figure(0) {
            match super::figure::scaled(figure, 0) {
                Ok(0) => Bids::None,
                Ok(1) => Bids::One,
                Ok(_) => Bids::Several,
                Err(_) => {
                    self.advance(1);
                    let reason = "bids are counted in whole numbers";
                    return Err(self.figure_error(self.since(from), CompPart::Bids, reason, BIDS));
                }
            }
        } else {
            return Err(self.unknown());
        };
        self.advance(1);
        Ok(counted)
    }
}
