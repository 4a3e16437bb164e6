//! A comparable sale: what was seen, as evidence about a price.

use measure::Money;

/// What the buyer was asked for shipping beside the price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shipping {
    /// Nothing: the price is the delivered price.
    Free,
    /// A known amount.
    Charged(Money),
    /// Not known, somewhere from the first to the second amount.
    Between(Money, Money),
    /// Not stated; the assumptions say within what bounds it is taken.
    Unknown,
}

/// How many bid in an auction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bids {
    /// Nobody: the pieces stayed unsold at the starting price.
    None,
    /// One: that bidder would have paid at least the starting price.
    One,
    /// Two or more: the second-highest value made the price.
    Several,
}

/// What kind of evidence a comp is. All amounts are for the whole lot, without shipping.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Evidence {
    /// Sold at this price.
    Sold {
        /// Price paid.
        price: Money,
    },
    /// Sold by an accepted offer of which only the public ask is known.
    AcceptedOffer {
        /// The ask.
        ask: Money,
    },
    /// Still unsold at this ask.
    Unsold {
        /// The ask.
        ask: Money,
        /// Days it has been offered.
        days: f64,
    },
    /// An auction: the hammer price, or the starting price when nobody bid.
    Auction {
        /// The price.
        price: Money,
        /// How many bid.
        bids: Bids,
        /// Days it ran; counts only without a bid.
        days: f64,
    },
}

/// Condition, from A (as new) to E (damaged); the offsets between grades are assumptions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Grade {
    /// As new.
    A,
    /// Light wear.
    B,
    /// Ordinary used condition.
    #[default]
    C,
    /// Small flaws.
    D,
    /// Damaged.
    E,
}

/// A comparable sale as it was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Comp {
    /// What was seen.
    pub evidence: Evidence,
    /// Shipping beside the price.
    pub shipping: Shipping,
    /// Pieces in the lot, 1 or more.
    pub pieces: u32,
    /// Condition of those pieces.
    pub grade: Grade,
    /// Days since it sold or was seen.
    pub age_days: f64,
    /// Days it was on offer before it sold, where that is known.
    pub days_to_sell: Option<f64>,
    /// How alike it is to the find, more than 0 and at most 1.
    pub likeness: f64,
}
