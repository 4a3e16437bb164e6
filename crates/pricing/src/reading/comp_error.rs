//! Why a typed comp was not understood.

use std::ops::Range;

use measure::Money;

/// Which part of a comp is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CompPart {
    /// The line as a whole.
    Line,
    /// Sold, offer, unsold or auction.
    Kind,
    /// The price of the lot.
    Price,
    /// The public price beside what was paid, or of an offer.
    Ask,
    /// What the buyer pays for shipping.
    Shipping,
    /// Pieces in the lot.
    Pieces,
    /// Days since it sold or was seen.
    Age,
    /// Days on offer.
    Days,
    /// Condition.
    Grade,
    /// How many bid.
    Bids,
    /// How alike it is to the find.
    Likeness,
}

impl CompPart {
    /// In words, as it fits after "the".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Kind => "kind of evidence",
            Self::Price => "price",
            Self::Ask => "ask",
            Self::Shipping => "shipping",
            Self::Pieces => "number of pieces",
            Self::Age => "age",
            Self::Days => "time on offer",
            Self::Grade => "grade",
            Self::Bids => "number of bids",
            Self::Likeness => "likeness",
        }
    }
}

/// What was wrong with a typed comp.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CompFault {
    /// Nothing was typed.
    #[error("there is nothing to read")]
    Empty,
    /// More than 200 characters.
    #[error("a line has at most {most} characters, and this one has {characters}")]
    TooLong {
        /// Characters of the line.
        characters: usize,
        /// How many it may have.
        most: usize,
    },
    /// A character that can't be seen.
    #[error("there is a control character (code {code}) in the line")]
    Control {
        /// Its code.
        code: u32,
    },
    /// A word or sign that says nothing here.
    #[error("`{found}` is not understood here{}", meant(.nearest))]
    Unknown {
        /// What stands there.
        found: String,
        /// Words that may have been meant.
        nearest: Vec<String>,
    },
    /// A figure that can't be read as what it must be.
    #[error("the {} `{found}` can't be read: {reason}", .part.name())]
    Figure {
        /// What it would be.
        part: CompPart,
        /// What stands there.
        found: String,
        /// What is wrong with it.
        reason: String,
    },
    /// Something must follow.
    #[error("after `{after}` {wanted} must follow")]
    Cut {
        /// The word or sign before.
        after: String,
        /// What must follow.
        wanted: &'static str,
    },
    /// Something is said twice.
    #[error("the {} is said twice: `{first}` and `{second}`", .part.name())]
    Twice {
        /// What is said twice.
        part: CompPart,
        /// First, as typed.
        first: String,
        /// Then, as typed.
        second: String,
    },
    /// Something that this kind of evidence needs is not said.
    #[error("{reason}")]
    Missing {
        /// What is missing, and why it matters.
        reason: &'static str,
    },
    /// It may mean two things.
    #[error("`{found}` may mean two things: {reason}")]
    Unclear {
        /// What stands there.
        found: String,
        /// Which things.
        reason: &'static str,
    },
    /// It doesn't go with the rest of the line.
    #[error("`{found}` doesn't fit here: {reason}")]
    Unfit {
        /// What stands there.
        found: String,
        /// Why.
        reason: &'static str,
    },
    /// A day that is still to come.
    #[error("`{found}` is in the future: today is {today}")]
    Future {
        /// The date as typed.
        found: String,
        /// The day that it was compared with.
        today: jiff::civil::Date,
    },
    /// What was asked is below what was paid.
    #[error("the ask {ask} is less than the price {price}")]
    AskBelowPrice {
        /// The ask.
        ask: Money,
        /// The price.
        price: Money,
    },
}

fn meant(nearest: &[String]) -> String {
    match nearest {
        [] => String::new(),
        [one] => format!("; did you mean `{one}`?"),
        [first @ .., last] => format!("; did you mean `{}` or `{last}`?", first.join("`, `")),
    }
}

/// A typed comp that was not understood: where, what was wrong, and what would be right.
///
/// ```
/// use jiff::civil::date;
/// use pricing::Comp;
///
/// let error = Comp::read("unsol 35 90d", date(2026, 11, 25)).expect_err("misspelt");
/// assert_eq!((error.span.clone(), error.column), (0..5, 1));
/// assert_eq!(
///     error.to_string(),
///     "`unsol` is not understood here; did you mean `unsold`?; right would be: 2 for 17.50 + 8.25 \
///      (a note goes behind #)"
/// );
/// ```
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{fault}; right would be: {right}")]
pub struct CompError {
    /// What was wrong.
    pub fault: CompFault,
    /// Which part of the comp it is about.
    pub part: CompPart,
    /// Bytes of the text that it is about; within the text and on character boundaries.
    pub span: Range<usize>,
    /// Column in characters, from 1.
    pub column: usize,
    /// What would be right, or an example of it.
    pub right: &'static str,
}

impl CompError {
    /// An error at a place of `text`.
    pub(super) fn at(
        text: &str,
        span: Range<usize>,
        part: CompPart,
        fault: CompFault,
        right: &'static str,
    ) -> Self {
        let before = text.get(..span.start).unwrap_or(text);
        Self { fault, part, column: before.chars().count() + 1, span, right }
    }
}

/// A quotation that is short and can be printed.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut shown: String =
        text.trim().chars().take(LONGEST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.trim().chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}
