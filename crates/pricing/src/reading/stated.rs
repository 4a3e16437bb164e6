//! What a line has stated so far: each thing once, with its place.

use std::ops::Range;

use measure::Money;

use super::comp_error::{CompError, CompFault, CompPart, quoted};
use crate::{Bids, Grade, Shipping};

/// A value and the bytes that it was read from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stated<T> {
    pub(super) value: T,
    pub(super) span: Range<usize>,
    /// As typed, shortened.
    pub(super) text: String,
}

/// The kind of evidence as it was named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Sold,
    Offer,
    Unsold,
    Auction,
}

/// An amount of the lot, or of each piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Asked {
    pub(super) amount: Money,
    /// It is the price of one piece.
    pub(super) each: bool,
}

/// Days on offer, and whether they were said with a bare "for".
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OnOffer {
    pub(super) days: f64,
    pub(super) said_for: bool,
}

/// What was stated; nothing yet where `None`.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Facts {
    pub(super) kind: Option<Stated<Kind>>,
    pub(super) price: Option<Stated<Asked>>,
    pub(super) ask: Option<Stated<Asked>>,
    /// The price is less than this.
    pub(super) under: Option<Stated<Asked>>,
    pub(super) shipping: Option<Stated<Shipping>>,
    pub(super) pieces: Option<Stated<u32>>,
    pub(super) age: Option<Stated<f64>>,
    pub(super) on_offer: Option<Stated<OnOffer>>,
    /// Days of which the kind decides what they mean.
    pub(super) bare_days: Option<Stated<f64>>,
    pub(super) grade: Option<Stated<Grade>>,
    pub(super) bids: Option<Stated<Bids>>,
    pub(super) likeness: Option<Stated<f64>>,
}

/// Keeps a value in its slot.
///
/// # Errors
/// When the slot is taken: nothing is said twice.
pub(super) fn state<T>(
    text: &str,
    span: Range<usize>,
    part: CompPart,
    value: T,
    slot: &mut Option<Stated<T>>,
) -> Result<(), CompError> {
    let typed = quoted(text.get(span.clone()).unwrap_or(""));
    if let Some(first) = slot {
        return Err(twice(part, &first.text, &typed, text, span));
    }
    *slot = Some(Stated { value, span, text: typed });
    Ok(())
}

/// The error of something that is said twice, at the second place.
pub(super) fn twice(part: CompPart, first: &str, second: &str, text: &str, span: Range<usize>) -> CompError {
    let fault = CompFault::Twice { part, first: first.to_owned(), second: second.to_owned() };
    let right = match part {
        CompPart::Price | CompPart::Ask => {
            "one price; pieces as in `2 for 17.50`, shipping as in `17.50 + 8.25`"
        }
        CompPart::Shipping => "one amount as in `17.50 + 8.25`, or `17.50 shipped`",
        CompPart::Line
        | CompPart::Kind
        | CompPart::Pieces
        | CompPart::Age
        | CompPart::Days
        | CompPart::Grade
        | CompPart::Bids
        | CompPart::Likeness => "one of them, and a line of its own for another comp",
    };
    CompError::at(text, span, part, fault, right)
}
