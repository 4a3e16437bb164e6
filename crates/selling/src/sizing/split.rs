//! A way to split a pile: its listings together.

use std::collections::BTreeMap;

use measure::Money;

use super::ledger::{Ledger, LedgerEntry, LedgerLine};
use super::listing::Listing;
use crate::cents::currency;

/// A way to split a pile of like pieces into listings. Money in currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// Pieces in the pile.
    pub pieces: u32,
    /// The listings, largest lots first; empty when nothing is worth selling.
    pub listings: Vec<Listing>,
    pub(super) wage: f64,
}

/// How much better one split is than another; below 0 where it is worse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Profit, currency.
    pub profit: f64,
    /// Hours of work.
    pub hours: f64,
    /// Contribution per hour, currency; none where one of them takes no work.
    pub per_hour: Option<f64>,
}

impl Split {
    /// Lots by pieces in the lot.
    #[must_use]
    pub fn parts(&self) -> BTreeMap<u32, u32> {
        self.listings.iter().map(|listing| (listing.size, listing.lots)).collect()
    }

    /// The largest lot size: the one the split is built on, smaller ones take what is left over.
    #[must_use]
    pub fn lead(&self) -> Option<u32> {
        self.listings.iter().map(|listing| listing.size).max()
    }

    /// Pieces that are not sold.
    #[must_use]
    pub fn dropped(&self) -> u32 {
        self.pieces.saturating_sub(self.listings.iter().map(Listing::pieces).sum())
    }

    /// What the orders leave, before listing, keeping and the cost of goods.
    #[must_use]
    pub fn net_of_lots(&self) -> f64 {
        self.listings.iter().map(|listing| listing.expected.net).sum()
    }

    /// Making the listings, at the wage.
    #[must_use]
    pub fn listing_labour(&self) -> f64 {
        self.listings.iter().map(|listing| listing.listing_labour).sum()
    }

    /// Keeping the pieces until they are sold.
    #[must_use]
    pub fn holding(&self) -> f64 {
        self.listings.iter().map(|listing| listing.holding).sum()
    }

    /// Days that pieces are kept, summed over the pieces.
    #[must_use]
    pub fn piece_days(&self) -> f64 {
        self.listings.iter().map(|listing| listing.expected.piece_days).sum()
    }

    /// Day of the last sale: that of the listing expected to last longest.
    #[must_use]
    pub fn last_sale_day(&self) -> f64 {
        self.listings.iter().map(|listing| listing.expected.last_sale_day).fold(0.0, f64::max)
    }

    /// Hours of listing and packing.
    #[must_use]
    pub fn hours(&self) -> f64 {
        self.listings.iter().map(|listing| listing.hours).sum()
    }

    /// The lines of the profit when the goods cost so much.
    #[must_use]
    pub fn ledger(&self, cost: Money) -> Ledger {
        let mut lines = self.lines(0);
        lines.push(cost_line(cost));
        Ledger { lines }
    }

    pub(super) fn lines(&self, pool: usize) -> Vec<LedgerLine> {
        let lines = self.listings.iter().flat_map(|listing| {
            let line = |entry, amount| LedgerLine { entry, pool, size: Some(listing.size), amount };
            [
                line(LedgerEntry::NetOfLots, listing.expected.net),
                line(LedgerEntry::ListingLabour, -listing.listing_labour),
                line(LedgerEntry::Holding, -listing.holding),
            ]
        });
        lines.collect()
    }

    /// Worth before the cost of goods.
    #[must_use]
    pub fn worth(&self) -> f64 {
        self.profit(Money::ZERO)
    }

    /// Profit when the goods cost so much: the sum of the ledger's lines.
    #[must_use]
    pub fn profit(&self, cost: Money) -> f64 {
        self.ledger(cost).total()
    }

    /// What an hour of work earns: profit before the wage, by the hours; none without work.
    #[must_use]
    pub fn contribution_per_hour(&self, cost: Money) -> Option<f64> {
        let hours = self.hours();
        (hours > 0.0).then(|| (self.profit(cost) + self.wage * hours) / hours)
    }

    /// How much better this split is than another.
    #[must_use]
    pub fn gap_to(&self, other: &Self, cost: Money) -> Gap {
        let per_hour = self.contribution_per_hour(cost).zip(other.contribution_per_hour(cost));
        Gap {
            profit: self.profit(cost) - other.profit(cost),
            hours: self.hours() - other.hours(),
            per_hour: per_hour.map(|(this, that)| this - that),
        }
    }
}

pub(super) fn cost_line(cost: Money) -> LedgerLine {
    LedgerLine { entry: LedgerEntry::CostOfGoods, pool: 0, size: None, amount: -currency(cost) }
}
