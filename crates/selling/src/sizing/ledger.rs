//! The lines that make a plan's profit.

use measure::Money;

/// What a line of a ledger stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LedgerEntry {
    /// What the orders of a listing leave.
    NetOfLots,
    /// Making a listing.
    ListingLabour,
    /// Keeping a listing's pieces until they are sold.
    Holding,
    /// What the goods cost.
    CostOfGoods,
}

/// One line of a ledger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LedgerLine {
    /// What it stands for.
    pub entry: LedgerEntry,
    /// Which pool it belongs to: 0 is the only one, or the sets; bare pools follow in their order.
    pub pool: usize,
    /// Pieces in a lot of the listing; none for the cost of goods.
    pub size: Option<u32>,
    /// Gain, or loss below 0, currency.
    pub amount: f64,
}

/// The lines of a plan, which add up to its profit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// In the order in which they are added up.
    pub lines: Vec<LedgerLine>,
}

impl Ledger {
    /// The profit, currency: the sum of the lines.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.lines.iter().map(|line| line.amount).sum()
    }

    /// The lines in whole cents, which add up to the profit in whole cents.
    ///
    /// Rounded down, with the cents that are missing given to the lines that lost most (largest
    /// remainder); a line that is whole already stays as it is.
    #[must_use]
    pub fn in_cents(&self) -> Vec<Money> {
        let exact: Vec<f64> = self.lines.iter().map(|line| line.amount * 100.0).collect();
        let mut whole: Vec<Money> = exact.iter().map(|c| Money::from_cents_rounded(c.floor())).collect();
        let profit = Money::from_cents_rounded(self.total() * 100.0);
        let missing = (profit - whole.iter().copied().sum()).cents();
        let mut order: Vec<(usize, f64)> = exact.iter().map(|c| c - c.floor()).enumerate().collect();
        order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let missing = usize::try_from(missing).unwrap_or(0);
        for (place, _) in order.into_iter().take(missing) {
            if let Some(line) = whole.get_mut(place) {
                *line += Money::from_cents(1);
            }
        }
        whole
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_cent_goes_to_the_line_that_lost_most() {
        let line = |amount| LedgerLine { entry: LedgerEntry::Holding, pool: 0, size: Some(2), amount };
        let ledger = Ledger { lines: [1.0, 0.335, 0.337, -0.29, -5.3].map(line).to_vec() };
        let cents: Vec<i64> = ledger.in_cents().into_iter().map(Money::cents).collect();
        assert_eq!(cents, [100, 33, 34, -29, -530], "whole lines stay, and the sum is that of the profit");
        assert_eq!(Ledger::default().in_cents(), []);
    }
}
