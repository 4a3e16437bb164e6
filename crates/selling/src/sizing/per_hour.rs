//! The best split by what an hour of work earns.
//!
//! Earnings per hour are a ratio, so plans can't be added up by it. Dinkelbach's method (Management
//! Science 13, 1967) asks instead for the plan with the most `earnings - rate x time`, takes its ratio as
//! the next rate, and ends when nothing beats the rate. Every step is the same exact knapsack on whole
//! numbers, so the end is the exact optimum over all mixtures.

use measure::Money;

use super::best::{Choice, limit};
use super::figure::within;
use super::knapsack::{Among, Knapsack, Listings, Parts};
use super::table::UNITS;
use super::{LARGEST_AMOUNT, Sizing};
use crate::SellingError;
use crate::cents::currency;

/// Earnings less the cost of goods, and the time they take, in fixed-point units.
#[derive(Debug, Clone, Copy)]
struct Ratio {
    earned: i128,
    time: i128,
}

struct Search<'a> {
    sizing: &'a Sizing,
    earnings: Vec<Vec<Option<(i128, i128)>>>,
    cost: i128,
    pieces: u32,
    listings: Listings,
}

impl Search<'_> {
    /// The knapsack of `earnings x time of the ratio - earnings of the ratio x time`.
    fn against(&self, ratio: Ratio) -> Knapsack {
        let value = |figure: &Option<(i128, i128)>| {
            figure.map(|(earned, time)| earned * ratio.time - ratio.earned * time)
        };
        let values = self.earnings.iter().map(|line| line.iter().map(value).collect()).collect();
        Knapsack::solve(self.sizing.lines(values), self.pieces, self.listings)
    }

    fn ratio(&self, parts: &Parts) -> Ratio {
        let mut ratio = Ratio { earned: -self.cost, time: 0 };
        for (size, line) in self.sizing.offered().zip(&self.earnings) {
            let lots = parts.get(&size).and_then(|lots| lots.checked_sub(1));
            if let Some(&Some((earned, time))) = lots.and_then(|index| line.get(index as usize)) {
                ratio.earned += earned;
                ratio.time += time;
            }
        }
        ratio
    }

    /// The best ratio of one listing alone: where the climb begins.
    fn best_of_one_listing(&self) -> Option<Ratio> {
        let single = self.earnings.iter().flatten().flatten();
        let ratios = single.map(|&(earned, time)| Ratio { earned: earned - self.cost, time });
        ratios.max_by(|a, b| (a.earned * b.time).cmp(&(b.earned * a.time)))
    }

    /// The best plan of `among` and the knapsack that proves it, starting from any knapsack.
    fn best(&self, among: Among<'_>, start: &Knapsack) -> Option<(Parts, Knapsack)> {
        let mut pick = start.best(self.pieces, among, true)?;
        loop {
            // The ratio of a plan that exists, so no later pick is worse and the loop climbs to its end.
            let ratio = self.ratio(&pick.parts);
            let knapsack = self.against(ratio);
            let next = knapsack.best(self.pieces, among, true)?;
            if next.value <= self.cost * ratio.time {
                return Some((next.parts, knapsack));
            }
            pick = next;
        }
    }
}

impl Sizing {
    /// The best split of so many pieces by what an hour of work earns, when the goods cost so much, with
    /// at most so many lot sizes at once; none when nothing is offered.
    ///
    /// The plan that sells nothing takes no hours and does not count. Where every plan earns less than the
    /// goods cost, the least bad rate is not a goal worth having: look at the profit.
    ///
    /// # Errors
    /// When there are more pieces than were planned for, the limit is past [`super::MOST_KEPT_SIZES`], or
    /// the cost is not from 0 to 100,000.
    pub fn per_hour(
        &self,
        pieces: u32,
        cost: Money,
        most_sizes: Option<u32>,
    ) -> Result<Option<Choice>, SellingError> {
        self.covers(pieces)?;
        let place = || "cost of the goods".to_owned();
        let cost = within(place, currency(cost), 0.0..=LARGEST_AMOUNT, "an amount from 0 to 100,000")?;
        let search = Search {
            sizing: self,
            earnings: self.earnings(),
            cost: (cost * UNITS).round() as i128,
            pieces,
            listings: limit(most_sizes)?,
        };
        let Some(first) = search.best_of_one_listing() else { return Ok(None) };
        let start = search.against(first);
        let Some((best, proof)) = search.best(Among::All, &start) else { return Ok(None) };
        let lead = best.keys().next_back().copied();
        let other = |among| search.best(among, &proof).map(|(parts, _)| parts);
        let split = |parts: Parts| self.split_of_parts(pieces, &parts);
        Ok(Some(Choice {
            second: other(Among::AllBut(&best)).map(split),
            runner_up: other(Among::NotLedBy(lead)).map(split),
            best: split(best),
        }))
    }
}
