//! How many lots are sold by a day.

use super::OrderMix;
use super::course::Orders;

/// Lots sold by a day, and the chance that all are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SoldBy {
    /// Lots, expected.
    pub(super) lots: f64,
    /// Chance, from 0 to 1.
    pub(super) all: f64,
}

/// Of `lots` lots, those sold when `mean` orders are expected by the day.
///
/// Orders arrive as a Poisson process; the lots left after so many orders follow the mix exactly, and
/// after as many orders as lots none are left.
pub(super) fn sold_by(lots: u32, orders: &Orders, mix: &OrderMix, mean: f64) -> SoldBy {
    let steps: Vec<Vec<(f64, u32)>> = (0..=lots)
        .map(|left| {
            orders.outcomes(mix, left).into_iter().map(|(share, order)| (share, order.lots)).collect()
        })
        .collect();
    let log_mean = mean.max(f64::MIN_POSITIVE).ln();
    let mut left = vec![0.0; lots as usize + 1];
    if let Some(start) = left.last_mut() {
        *start = 1.0;
    }
    let (mut sold, mut all, mut likely, mut log_factorial) = (0.0, 0.0, 0.0, 0.0);
    for count in 0..lots {
        let count = f64::from(count);
        if count > 0.0 {
            log_factorial += count.ln();
        }
        // In logs, because exp(-mean) alone is 0 for a large mean.
        let chance = (count * log_mean - mean - log_factorial).exp();
        let remaining: f64 = left.iter().enumerate().map(|(lots, share)| lots as f64 * share).sum();
        sold += chance * (f64::from(lots) - remaining);
        all += chance * left.first().copied().unwrap_or(0.0);
        likely += chance;
        left = after_one_order(&left, &steps);
    }
    let more = (1.0 - likely).max(0.0);
    SoldBy { lots: sold + more * f64::from(lots), all: (all + more).min(1.0) }
}

fn after_one_order(left: &[f64], steps: &[Vec<(f64, u32)>]) -> Vec<f64> {
    let mut next = vec![0.0; left.len()];
    for (lots, (&chance, outcomes)) in left.iter().zip(steps).enumerate() {
        if lots == 0 {
            if let Some(none) = next.first_mut() {
                *none += chance;
            }
        } else if chance > 0.0 {
            for &(share, sent) in outcomes {
                if let Some(fewer) = next.get_mut(lots.saturating_sub(sent as usize)) {
                    *fewer += chance * share;
                }
            }
        }
    }
    next
}
