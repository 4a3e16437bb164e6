//! The clauses of a line: each states one thing, and they come in any order.

use std::ops::Range;

use super::comp_error::{CompError, CompPart};
use super::figure::{AGE, LIKENESS};
use super::scan::Scan;
use super::shipping::SHIPPING;
use super::stated::{Asked, Kind, OnOffer, state};
use super::token::Sort;
use super::words;

const PRICE: &str = "17.50, or 2 for 17.50";
const ASK: &str = "offer under 24, or sold 22 of 30";
const BIDS: &str = "auction 18, one bid";
const DAYS: &str = "unsold 35 for 90d, or sold 35 in 12d";

impl Scan<'_> {
    /// Reads every clause of the line.
    pub(super) fn clauses(&mut self) -> Result<(), CompError> {
        while let Some(sort) = self.token(0).map(|token| token.sort) {
            match sort {
                Sort::Figure => self.figure_clause()?,
                Sort::Date => {
                    let from = self.place();
                    let days = self.date()?;
                    self.state_age(from, days)?;
                }
                Sort::Word => self.word_clause()?,
                Sort::Sign(sign) => self.sign_clause(sign)?,
            }
        }
        match self.open.take() {
            Some(span) => Err(self.unfit(span, CompPart::Line, "the bracket is not closed", BIDS)),
            None => Ok(()),
        }
    }

    fn sign_clause(&mut self, sign: char) -> Result<(), CompError> {
        let from = self.place();
        match sign {
            ',' | ';' => self.advance(1),
            '(' if self.open.is_none() => {
                self.open = Some(self.here());
                self.advance(1);
            }
            ')' if self.open.is_some() => {
                self.open = None;
                self.advance(1);
            }
            '+' => {
                self.advance(1);
                self.shipping_clause(from)?;
            }
            '@' => self.price_clause()?,
            '<' => {
                self.advance(1);
                self.under_clause(from)?;
            }
            // A dash that parts nothing is a minus sign, and an amount says best what is wrong with that.
            '-' if self.figure(1).is_some() => {
                self.positive(CompPart::Price, PRICE)?;
            }
            _ => return Err(self.unknown()),
        }
        Ok(())
    }

    /// A clause that begins with a figure: what stands behind it says what it is.
    fn figure_clause(&mut self) -> Result<(), CompError> {
        let from = self.place();
        if self.unit(1).is_some() {
            let nothing_sold = self
                .facts
                .kind
                .as_ref()
                .is_some_and(|kind| matches!(kind.value, Kind::Unsold | Kind::Auction));
            let part = if nothing_sold { CompPart::Days } else { CompPart::Age };
            let days = self.duration(part, None, if nothing_sold { DAYS } else { AGE })?;
            if self.take_word(&["ago"]) {
                return self.state_age(from, days);
            }
            return state(self.text, self.since(from), part, days, &mut self.facts.bare_days);
        }
        if self.is_sign(1, '%') {
            let share = self.share()?;
            if !self.take_word(words::ALIKE) {
                return Err(self.unclear(self.since(from), CompPart::Likeness, "a share of what?", LIKENESS));
            }
            return self.state_likeness(from, share);
        }
        if self.is_word(1, words::BIDS) {
            return self.bids_clause(from);
        }
        if self.is_word(1, words::PIECES) {
            let count = self.count()?;
            self.advance(1);
            return self.state_pieces(from, count);
        }
        if self.is_word(1, words::SHIPPING) && !self.price_must_follow() {
            if self.facts.price.is_some() {
                return self.shipping_clause(from);
            }
            // Of a price nobody says that it lies between two amounts.
            if self.is_amount(2) && !self.is_range(2) {
                let span = self.spanning(0, 2);
                let reason = "either figure may be the price";
                return Err(self.unclear(span, CompPart::Price, reason, SHIPPING));
            }
        }
        if self.is_word(1, &["x"]) {
            self.refuse_doubtful_times()?;
        }
        if self.counts_pieces() {
            let count = self.count()?;
            return self.state_pieces(from, count);
        }
        // Of "3 moths ago" the word is wrong, and not a second price.
        if self.word(1).is_some_and(|word| !words::is_known(word)) {
            self.advance(1);
            return Err(self.unknown());
        }
        self.state_price(from)
    }

    /// The word before says that a price follows.
    fn price_must_follow(&self) -> bool {
        self.before().is_some_and(|token| matches!(token.lower.as_str(), "sold" | "unsold" | "auction"))
    }

    /// `2 for 17.50`, `4 @ 36`, `4 at 9 each`, `3 each 9`: the figure before the word is a count.
    fn counts_pieces(&self) -> bool {
        let priced = self.is_sign(1, '@') || self.is_word(1, &["for", "at"]);
        let each = self.is_word(1, words::EACH) && self.facts.pieces.is_none();
        (priced || each) && self.is_amount(2)
    }

    /// `x2` behind a price is a count; `6x 49`, `2x17` and `2 x 17` may as well mean the price of each.
    fn refuse_doubtful_times(&self) -> Result<(), CompError> {
        let close = |ahead| self.token(ahead).is_some_and(|token| token.close);
        let tight_before = close(1);
        let loose = !close(2) && self.figure(2).is_some();
        let whole = self.figure(0).is_some_and(|figure| !figure.contains(['.', '$']));
        if tight_before || (loose && whole) {
            let last = if self.figure(2).is_some() { 2 } else { 1 };
            return Err(self.unclear(
                self.spanning(0, last),
                CompPart::Pieces,
                "a count with a price for all, or a price of each",
                "2 for 17.50, or 2 at 17.50 each",
            ));
        }
        Ok(())
    }

    fn word_clause(&mut self) -> Result<(), CompError> {
        let from = self.place();
        if self.kind_clause(from)? || self.grade_clause(from)? {
            return Ok(());
        }
        // Bids first: "no", "one" and "two" mean nothing else.
        if self.is_word(1, words::BIDS) {
            return self.bids_clause(from);
        }
        if self.is_word(0, &["for", "at"]) || self.is_word(0, words::EACH) {
            return self.price_clause();
        }
        if self.take_word(words::UNDER) {
            return self.under_clause(from);
        }
        if self.take_word(words::ASK) {
            self.skip_lead();
            let asked = self.asked(CompPart::Ask, ASK)?;
            return state(self.text, self.since(from), CompPart::Ask, asked, &mut self.facts.ask);
        }
        if self.take_word(&["plus"]) || self.is_word(0, words::SHIPPING) {
            return self.shipping_clause(from);
        }
        if self.free_shipping() {
            let free = crate::Shipping::Free;
            return state(self.text, self.since(from), CompPart::Shipping, free, &mut self.facts.shipping);
        }
        if self.take_word(&["x"]) {
            let count = self.count()?;
            return self.state_pieces(from, count);
        }
        if self.is_word(0, words::LOT) && self.is_word(1, &["of"]) {
            self.advance(2);
            let count = self.count()?;
            return self.state_pieces(from, count);
        }
        if self.take_word(&["pair"]) {
            return self.state_pieces(from, 2);
        }
        if self.take_word(words::ALIKE) {
            let share = self.share()?;
            return self.state_likeness(from, share);
        }
        if self.take_word(words::ON_OFFER) {
            // "ran for 7 days"
            self.take_word(&["for"]);
            return self.on_offer(from, false);
        }
        self.age_clause(from)
    }

    pub(super) fn age_clause(&mut self, from: usize) -> Result<(), CompError> {
        let days = if self.take_word(&["today"]) {
            0.0
        } else if self.take_word(&["yesterday"]) {
            1.0
        } else if self.take_word(&["on"]) {
            self.date()?
        } else if self.take_word(&["age"]) {
            self.duration(CompPart::Age, None, AGE)?
        } else {
            return Err(self.unknown());
        };
        self.state_age(from, days)
    }

    /// `for 49`, `@ 36`, `at 9 each`, `each 9`; and `for 90d`, which is no price.
    fn price_clause(&mut self) -> Result<(), CompError> {
        let from = self.place();
        let is_for = self.is_word(0, &["for"]);
        let is_each = self.is_word(0, words::EACH);
        self.advance(1);
        if is_for && self.unit(1).is_some() {
            return self.on_offer(from, true);
        }
        if self.figure(0).is_some() && !self.is_amount(0) {
            return Err(self.unfit(self.here(), CompPart::Price, "an amount of money is needed", PRICE));
        }
        let from = self.place();
        self.state_price(from)?;
        if let Some(price) = self.facts.price.as_mut().filter(|_| is_each) {
            price.value.each = true;
        }
        Ok(())
    }

    /// The figure that stands next is the price; `each` and `of 30` may follow.
    pub(super) fn state_price(&mut self, from: usize) -> Result<(), CompError> {
        let asked = self.asked(CompPart::Price, PRICE)?;
        state(self.text, self.since(from), CompPart::Price, asked, &mut self.facts.price)?;
        let sold = self.facts.kind.as_ref().is_some_and(|kind| kind.value == Kind::Sold);
        if sold && self.is_word(0, &["of"]) {
            let from = self.place();
            self.advance(1);
            let asked = self.asked(CompPart::Ask, ASK)?;
            state(self.text, self.since(from), CompPart::Ask, asked, &mut self.facts.ask)?;
        }
        Ok(())
    }

    /// An amount of more than nothing, and `each` behind it.
    fn asked(&mut self, part: CompPart, right: &'static str) -> Result<Asked, CompError> {
        let from = self.place();
        let amount = self.positive(part, right)?;
        if self.is_sign(0, '-') && self.figure(1).is_some() {
            self.advance(2);
            let reason = "a price is one figure, and only shipping may lie between two";
            return Err(self.unfit(self.since(from), part, reason, "17.50 + 7-12"));
        }
        Ok(Asked { amount, each: self.take_word(words::EACH) })
    }

    /// Behind `under`, `below` or `<`.
    fn under_clause(&mut self, from: usize) -> Result<(), CompError> {
        self.take_word(words::ASK);
        let asked = self.asked(CompPart::Ask, ASK)?;
        state(self.text, self.since(from), CompPart::Ask, asked, &mut self.facts.under)
    }

    /// Skips what may stand between `ask` and its amount.
    fn skip_lead(&mut self) {
        let _ = self.take_word(&["at", "of"]) || self.take_sign('@');
    }

    /// `+ 8.25`, `+ 8 ship`, `ship 8`, `8 ship`; the words of shipping may stand on either side.
    pub(super) fn shipping_clause(&mut self, from: usize) -> Result<(), CompError> {
        let named = self.take_word(words::SHIPPING);
        let shipping = self.shipping()?;
        if !named {
            self.take_word(words::SHIPPING);
        }
        state(self.text, self.since(from), CompPart::Shipping, shipping, &mut self.facts.shipping)
    }

    /// Takes `free ship`, `free`, `shipped`, `delivered`, `incl ship`.
    fn free_shipping(&mut self) -> bool {
        if self.take_word(&["free"]) {
            self.take_word(words::SHIPPING);
            return true;
        }
        if self.take_word(words::SHIPPED) {
            self.take_word(&["free"]);
            return true;
        }
        let including = self.is_word(0, words::INCLUDING) && self.is_word(1, words::SHIPPING);
        if including {
            self.advance(2);
        }
        including
    }

    fn on_offer(&mut self, from: usize, said_for: bool) -> Result<(), CompError> {
        let days = self.duration(CompPart::Days, None, DAYS)?;
        let value = OnOffer { days, said_for };
        state(self.text, self.since(from), CompPart::Days, value, &mut self.facts.on_offer)
    }

    pub(super) fn state_age(&mut self, from: usize, days: f64) -> Result<(), CompError> {
        state(self.text, self.since(from), CompPart::Age, days, &mut self.facts.age)
    }

    pub(super) fn state_likeness(&mut self, from: usize, share: f64) -> Result<(), CompError> {
        state(self.text, self.since(from), CompPart::Likeness, share, &mut self.facts.likeness)
    }

    pub(super) fn state_pieces(&mut self, from: usize, count: u32) -> Result<(), CompError> {
        state(self.text, self.since(from), CompPart::Pieces, count, &mut self.facts.pieces)
    }

    fn spanning(&self, first: usize, last: usize) -> Range<usize> {
        let start = self.token(first).map_or(self.text.len(), |token| token.span.start);
        start..self.token(last).map_or(self.text.len(), |token| token.span.end)
    }
}
