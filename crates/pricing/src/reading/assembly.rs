//! From what was stated to a comp, or to what is missing or doesn't fit.

use std::ops::Range;

use measure::{LARGEST_MONEY, Money};

use super::comp_error::{CompError, CompFault, CompPart};
use super::figure::{AGE, PIECES};
use super::stated::{Asked, Facts, Kind, OnOffer, Stated, twice};
use crate::{Bids, Comp, Evidence, Shipping};

const OFFER: &str = "offer under 24, or sold 20 of 24 where both are known";
const UNSOLD: &str = "unsold 35 for 90d";
const AUCTION: &str = "auction 18, one bid; or no bids 7d; or several bids";
const SOLD: &str = "sold 17.50, or sold 22 of 30";

/// The pieces of a text's statement, and the text that errors point into.
struct Assembly<'a> {
    text: &'a str,
    facts: Facts,
    pieces: u32,
}

impl Facts {
    /// Makes the comp; `text` is what was read, `whole` the bytes to point at when a thing is missing.
    pub(super) fn assemble(self, text: &str, whole: Range<usize>) -> Result<Comp, CompError> {
        let pieces = self.pieces.as_ref().map_or(1, |stated| stated.value);
        let mut assembly = Assembly { text, facts: self, pieces };
        let kind = assembly.kind()?;
        let place = assembly.facts.kind.as_ref().map_or(whole, |stated| stated.span.clone());
        assembly.place_bare_days(kind)?;
        let evidence = match kind {
            Kind::Sold => assembly.sold(place)?,
            Kind::Offer => assembly.offer(place)?,
            Kind::Unsold => assembly.unsold(place)?,
            Kind::Auction => assembly.auction(place)?,
        };
        let days_to_sell = match kind {
            Kind::Sold | Kind::Offer => assembly.facts.on_offer.as_ref().map(|stated| stated.value.days),
            Kind::Unsold | Kind::Auction => None,
        };
        let Facts { shipping, age, grade, likeness, .. } = assembly.facts;
        Ok(Comp {
            evidence,
            shipping: shipping.map_or(Shipping::Unknown, |stated| stated.value),
            pieces,
            grade: grade.map(|stated| stated.value).unwrap_or_default(),
            age_days: age.map_or(0.0, |stated| stated.value),
            days_to_sell,
            likeness: likeness.map_or(1.0, |stated| stated.value),
        })
    }
}

impl Assembly<'_> {
    fn error(&self, span: Range<usize>, part: CompPart, fault: CompFault, right: &'static str) -> CompError {
        CompError::at(self.text, span, part, fault, right)
    }

    fn missing(
        &self,
        place: Range<usize>,
        part: CompPart,
        reason: &'static str,
        right: &'static str,
    ) -> CompError {
        self.error(place, part, CompFault::Missing { reason }, right)
    }

    fn unfit<T>(
        &self,
        stated: &Stated<T>,
        part: CompPart,
        reason: &'static str,
        right: &'static str,
    ) -> CompError {
        let fault = CompFault::Unfit { found: stated.text.clone(), reason };
        self.error(stated.span.clone(), part, fault, right)
    }

    /// The kind named; bids make an auction of what is named nothing or sold.
    fn kind(&self) -> Result<Kind, CompError> {
        let named = self.facts.kind.as_ref().map(|stated| stated.value);
        let Some(bids) = &self.facts.bids else {
            return Ok(named.unwrap_or(Kind::Sold));
        };
        match named {
            None | Some(Kind::Sold | Kind::Auction) => Ok(Kind::Auction),
            Some(Kind::Offer | Kind::Unsold) => {
                Err(self.unfit(bids, CompPart::Bids, "only an auction has bids", AUCTION))
            }
        }
    }

    /// A bare `60d` is an age where something sold, and the time on offer where nothing did.
    fn place_bare_days(&mut self, kind: Kind) -> Result<(), CompError> {
        let Some(bare) = self.facts.bare_days.take() else {
            return Ok(());
        };
        let Stated { value: days, span, text } = bare;
        let nobody = self.facts.bids.as_ref().is_some_and(|bids| bids.value == Bids::None);
        let on_offer = match kind {
            Kind::Sold | Kind::Offer => false,
            Kind::Unsold => true,
            Kind::Auction => nobody,
        };
        if on_offer {
            if let Some(first) = &self.facts.on_offer {
                return Err(twice(CompPart::Days, &first.text, &text, self.text, span));
            }
            let value = OnOffer { days, said_for: true };
            self.facts.on_offer = Some(Stated { value, span, text });
        } else {
            if let Some(first) = &self.facts.age {
                return Err(twice(CompPart::Age, &first.text, &text, self.text, span));
            }
            self.facts.age = Some(Stated { value: days, span, text });
        }
        Ok(())
    }

    /// The amount for the whole lot.
    fn whole(&self, stated: &Stated<Asked>, part: CompPart) -> Result<Money, CompError> {
        let Asked { amount, each } = stated.value;
        if !each {
            return Ok(amount);
        }
        if self.facts.pieces.is_none() {
            let reason = "a price of each needs the number of pieces";
            return Err(self.missing(stated.span.clone(), CompPart::Pieces, reason, "4 at 9 each"));
        }
        let whole = amount * i64::from(self.pieces);
        if whole > LARGEST_MONEY {
            let reason = "that many pieces come to more than ten million, the most that is believed";
            return Err(self.unfit(stated, part, reason, PIECES));
        }
        Ok(whole)
    }

    fn refuse_under(&self, right: &'static str) -> Result<(), CompError> {
        match &self.facts.under {
            Some(under) => {
                let reason = "only of an accepted offer is a price known to be less than the ask";
                Err(self.unfit(under, CompPart::Ask, reason, right))
            }
            None => Ok(()),
        }
    }

    fn sold(&self, place: Range<usize>) -> Result<Evidence, CompError> {
        self.refuse_under(OFFER)?;
        self.refuse_for_days()?;
        let Some(stated) = &self.facts.price else {
            return Err(match &self.facts.ask {
                Some(ask) => {
                    let reason = "an ask alone doesn't say whether it sold";
                    self.unfit(ask, CompPart::Ask, reason, "unsold 24 for 30d, or offer under 24")
                }
                None => self.missing(place, CompPart::Price, "there is no price", SOLD),
            });
        };
        let price = self.whole(stated, CompPart::Price)?;
        // The ask is checked and dropped: beside the price paid it says nothing more.
        if let Some(stated) = &self.facts.ask {
            let ask = self.whole(stated, CompPart::Ask)?;
            if ask < price {
                let fault = CompFault::AskBelowPrice { ask, price };
                return Err(self.error(stated.span.clone(), CompPart::Ask, fault, SOLD));
            }
        }
        Ok(Evidence::Sold { price })
    }

    fn offer(&self, place: Range<usize>) -> Result<Evidence, CompError> {
        self.refuse_for_days()?;
        if let Some(price) = &self.facts.price {
            let reason = "of an accepted offer it may be the ask or what was paid";
            return Err(self.unfit(price, CompPart::Price, reason, OFFER));
        }
        let stated = match (&self.facts.under, &self.facts.ask) {
            (Some(first), Some(second)) => {
                let span = first.span.start.max(second.span.start)..first.span.end.max(second.span.end);
                let ordered =
                    if first.span.start < second.span.start { [first, second] } else { [second, first] };
                let [first, second] = ordered.map(|stated| stated.text.as_str());
                return Err(twice(CompPart::Ask, first, second, self.text, span));
            }
            (Some(stated), None) | (None, Some(stated)) => stated,
            (None, None) => {
                let reason = "an accepted offer says nothing without the ask that it was below";
                return Err(self.missing(place, CompPart::Ask, reason, OFFER));
            }
        };
        Ok(Evidence::AcceptedOffer { ask: self.whole(stated, CompPart::Ask)? })
    }

    fn unsold(&self, place: Range<usize>) -> Result<Evidence, CompError> {
        self.refuse_under(UNSOLD)?;
        let stated = match (&self.facts.price, &self.facts.ask) {
            (Some(price), Some(ask)) => {
                let second = if price.span.start < ask.span.start { ask } else { price };
                let reason = "what is unsold has one figure, its ask";
                return Err(self.unfit(second, CompPart::Ask, reason, UNSOLD));
            }
            (Some(stated), None) | (None, Some(stated)) => stated,
            (None, None) => {
                let reason = "what is unsold says nothing without its ask";
                return Err(self.missing(place, CompPart::Price, reason, UNSOLD));
            }
        };
        let ask = self.whole(stated, CompPart::Price)?;
        let reason = "what is unsold says more the longer it was on offer: for how long?";
        Ok(Evidence::Unsold { ask, days: self.days_on_offer(place, reason, UNSOLD)? })
    }

    fn auction(&self, place: Range<usize>) -> Result<Evidence, CompError> {
        self.refuse_under(AUCTION)?;
        if let Some(ask) = &self.facts.ask {
            let reason = "an auction has a price and bids, and no ask";
            return Err(self.unfit(ask, CompPart::Ask, reason, AUCTION));
        }
        let Some(stated) = &self.facts.price else {
            return Err(self.missing(place, CompPart::Price, "there is no price", AUCTION));
        };
        let price = self.whole(stated, CompPart::Price)?;
        let Some(bids) = self.facts.bids.as_ref().map(|bids| bids.value) else {
            let reason =
                "with one bid the price is a lower limit, with several the price itself: how many bid?";
            return Err(self.missing(place, CompPart::Bids, reason, AUCTION));
        };
        let days = match (bids, &self.facts.on_offer) {
            (Bids::None, _) => {
                let reason = "without a bid it counts as unsold for the days it ran: how many?";
                self.days_on_offer(place, reason, "auction 5, no bids 7d")?
            }
            (Bids::One | Bids::Several, Some(ran)) => ran.value.days,
            (Bids::One | Bids::Several, None) => 0.0,
        };
        Ok(Evidence::Auction { price, bids, days })
    }

    fn days_on_offer(
        &self,
        place: Range<usize>,
        reason: &'static str,
        right: &'static str,
    ) -> Result<f64, CompError> {
        let Some(stated) = &self.facts.on_offer else {
            return Err(self.missing(place, CompPart::Days, reason, right));
        };
        if stated.value.days > 0.0 {
            return Ok(stated.value.days);
        }
        let reason = "after no time on offer it says nothing";
        Err(self.unfit(stated, CompPart::Days, reason, right))
    }

    /// `sold 35 for 90d` may be meant for its age or for its time on offer.
    fn refuse_for_days(&self) -> Result<(), CompError> {
        let Some(stated) = self.facts.on_offer.as_ref().filter(|stated| stated.value.said_for) else {
            return Ok(());
        };
        let reason = "its age, or how long it took to sell";
        let fault = CompFault::Unclear { found: stated.text.clone(), reason };
        let right = if self.facts.age.is_some() { "in 12d" } else { AGE };
        Err(self.error(stated.span.clone(), CompPart::Days, fault, right))
    }
}
