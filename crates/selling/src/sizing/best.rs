//! The best split by profit, with the plans it is to be compared with.

use super::knapsack::{Among, Knapsack, Line, Listings, Pick};
use super::{Sizing, Split};
use crate::SellingError;

/// The largest limit on lot sizes at once (judgement: nobody keeps more listings of one pile).
pub const MOST_KEPT_SIZES: u32 = 12;

/// The best split and the plans it is to be compared with.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The best. Of equals it has fewer listings, then fewer lots, then larger lots.
    pub best: Split,
    /// The best of all other plans, however little it differs.
    pub second: Option<Split>,
    /// The best plan whose largest lot is of another size: the best that is really another plan.
    pub runner_up: Option<Split>,
}

/// The best splits by profit, for every number of pieces up to that of the sizing.
///
/// The cost of goods is the same for every split, so it plays no part here.
pub struct ByProfit<'a> {
    pub(super) sizing: &'a Sizing,
    knapsack: Knapsack,
}

pub(super) fn limit(most_sizes: Option<u32>) -> Result<Listings, SellingError> {
    match most_sizes {
        None => Ok(Listings::Any),
        Some(asked) if asked > MOST_KEPT_SIZES => {
            Err(SellingError::LooseLimit { asked, most: MOST_KEPT_SIZES })
        }
        Some(most) => Ok(Listings::AtMost(most as usize)),
    }
}

impl Sizing {
    pub(super) fn lines(&self, values: Vec<Vec<Option<i128>>>) -> Vec<Line> {
        self.offered().zip(values).map(|(size, values)| Line { size, values }).collect()
    }

    /// The best splits by profit, with at most so many lot sizes at once; none sets no limit.
    ///
    /// # Errors
    /// When the limit is past [`MOST_KEPT_SIZES`].
    pub fn by_profit(&self, most_sizes: Option<u32>) -> Result<ByProfit<'_>, SellingError> {
        let lines = self.lines(self.worths());
        Ok(ByProfit { sizing: self, knapsack: Knapsack::solve(lines, self.pieces(), limit(most_sizes)?) })
    }
}

impl ByProfit<'_> {
    /// The best split of so many pieces; it may drop pieces, even all of them.
    ///
    /// # Errors
    /// When there are more pieces than were planned for.
    pub fn split(&self, pieces: u32) -> Result<Split, SellingError> {
        let pick = self.pick(pieces)?;
        Ok(self.sizing.split_of_parts(pieces, &pick.parts))
    }

    /// The best split of so many pieces, the second best, and the best with another largest lot.
    ///
    /// # Errors
    /// When there are more pieces than were planned for.
    pub fn choice(&self, pieces: u32) -> Result<Choice, SellingError> {
        let best = self.pick(pieces)?;
        let lead = best.parts.keys().next_back().copied();
        let split = |pick: Pick| self.sizing.split_of_parts(pieces, &pick.parts);
        Ok(Choice {
            second: self.knapsack.best(pieces, Among::AllBut(&best.parts), false).map(split),
            runner_up: self.knapsack.best(pieces, Among::NotLedBy(lead), false).map(split),
            best: split(best),
        })
    }

    pub(super) fn pick(&self, pieces: u32) -> Result<Pick, SellingError> {
        self.sizing.covers(pieces)?;
        let nothing = Pick { value: 0, listings: 0, lots: 0, parts: [].into() };
        Ok(self.knapsack.best(pieces, Among::All, false).unwrap_or(nothing))
    }
}
