//! Whether to keep a piece back for an order that breaks.

use super::best::ByProfit;
use super::course::Orders;
use super::figure::{amount, share};
use super::{OrderMix, Split};
use crate::SellingError;

/// Keeping pieces back to mend orders that arrive with one broken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spare {
    /// Pieces kept back, at most all of them.
    pub kept: u32,
    /// Chance that an order arrives with a broken piece, from 0 to 1.
    pub chance_of_break: f64,
    /// What is saved when a spare is sent instead of a refund, after its postage and packing, currency.
    pub saving: f64,
}

/// What keeping pieces back costs and saves.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareWorth {
    /// The best split of all pieces.
    pub without: Split,
    /// The best split of those not kept back.
    pub with: Split,
    /// What keeping them costs: the profit forgone, currency. Nothing if they would be dropped anyway. That
    /// an unused spare may still be sold at the end is left out.
    pub costs: f64,
    /// Orders that break, expected, until all is sold.
    pub breaks: f64,
    /// Chance that at least one order breaks, from 0 to 1.
    pub any_break: f64,
    /// Breaks mended by a spare, expected; one spare each.
    pub mended: f64,
    /// What the mended breaks save, currency.
    pub saves: f64,
}

impl SpareWorth {
    /// What keeping pieces back is worth, currency; below 0 it is better to sell them.
    #[must_use]
    pub fn gain(&self) -> f64 {
        self.saves - self.costs
    }

    /// Whether keeping pieces back pays.
    #[must_use]
    pub fn pays(&self) -> bool {
        self.gain() > 0.0
    }
}

impl ByProfit<'_> {
    /// What keeping pieces back costs and saves, of so many pieces.
    ///
    /// # Errors
    /// When there are more pieces than were planned for, more are kept than there are, or a figure is out
    /// of range.
    pub fn spare(&self, pieces: u32, spare: &Spare) -> Result<SpareWorth, SellingError> {
        share("chance that an order breaks", spare.chance_of_break)?;
        amount(|| "saving per break mended".to_owned(), spare.saving)?;
        let rest = pieces.checked_sub(spare.kept);
        let rest = rest.ok_or(SellingError::BeyondPlan { asked: spare.kept, planned: pieces })?;
        let without = self.split(pieces)?;
        let with = self.split(rest)?;
        let breaks = with.listings.iter().fold(vec![1.0], |total, listing| {
            let of_listing = self.sizing.of_size(listing.size).map_or(vec![1.0], |offered| {
                let mix = &self.sizing.mix;
                broken_orders(listing.lots, &offered.orders, mix, spare.chance_of_break, spare.kept)
            });
            both(&total, &of_listing, spare.kept)
        });
        let orders: f64 = with.listings.iter().map(|listing| listing.expected.orders).sum();
        let none: f64 = with
            .listings
            .iter()
            .filter_map(|listing| {
                let orders = &self.sizing.of_size(listing.size)?.orders;
                broken_orders(listing.lots, orders, &self.sizing.mix, spare.chance_of_break, 1)
                    .first()
                    .copied()
            })
            .product();
        let mended = breaks.iter().enumerate().map(|(count, chance)| count as f64 * chance).sum();
        Ok(SpareWorth {
            costs: without.worth() - with.worth(),
            breaks: spare.chance_of_break * orders,
            any_break: 1.0 - none,
            mended,
            saves: spare.saving * mended,
            without,
            with,
        })
    }
}

/// The chance of 0, 1, 2... broken orders in a listing; the last entry, `most`, stands for that or more.
fn broken_orders(lots: u32, orders: &Orders, mix: &OrderMix, chance: f64, most: u32) -> Vec<f64> {
    let mut by_left = vec![vec![1.0]];
    for left in 1..=lots {
        let mut now = Vec::new();
        for (share, order) in orders.outcomes(mix, left) {
            let after = by_left.get((left - order.lots) as usize).map_or(&[][..], Vec::as_slice);
            add(&mut now, &both(after, &[1.0 - chance, chance], most), share);
        }
        by_left.push(now);
    }
    by_left.pop().unwrap_or_default()
}

/// The chances of the sum of two independent counts, from `most` on in one entry.
fn both(these: &[f64], those: &[f64], most: u32) -> Vec<f64> {
    let most = most as usize;
    let longest = (these.len() + those.len()).saturating_sub(1).min(most + 1);
    let mut sum = vec![0.0; longest];
    for (first, p) in these.iter().enumerate() {
        for (second, q) in those.iter().enumerate() {
            if let Some(entry) = sum.get_mut((first + second).min(most)) {
                *entry += p * q;
            }
        }
    }
    sum
}

fn add(sum: &mut Vec<f64>, part: &[f64], weight: f64) {
    sum.resize(sum.len().max(part.len()), 0.0);
    for (entry, chance) in sum.iter_mut().zip(part) {
        *entry += weight * chance;
    }
}
