//! How likely something breaks on one trip through the parcel network.
//!
//! A study of parcels sent overnight counted what befell them; the drops among it, how high they were and what they
//! landed on, are taken for one trip. Something breaks when a drop is higher than the one at which its landing just
//! spends what the weakest piece bears; shock is taken to grow with height. Kicks and tosses are left out, as are
//! the scatter of pieces and what earlier blows did to them, so the figure ranks parcels better than it foretells.

use measure::Length;

use crate::{Assessment, Landed, Landing};

/// Drops of one trip: 31 % of 24 shocks over 10 G (Singh and Cheema, Journal of Testing and Evaluation 24(4), 1996).
const DROPS: f64 = 0.31 * 24.0;
/// 95 % of drops stay under this, in (same).
const MOST_UNDER_IN: f64 = 16.0;
/// Highest of the drops of its hundred trips, in (same).
const HIGHEST_IN: f64 = 77.8;
/// Trips of the study.
const TRIPS: f64 = 100.0;
/// Shares of drops that land on a face, on an edge and on a corner (same).
const SHARES: [(Landing, f64); 3] = [(Landing::Face, 0.069), (Landing::Edge, 0.511), (Landing::Corner, 0.42)];

/// Share of drops that are higher than this: the Weibull tail through the two heights of the study (derived).
fn higher_than(height: Length) -> f64 {
    let (near, far) = (20.0f64.ln(), (DROPS * TRIPS).ln());
    let shape = (far / near).ln() / (HIGHEST_IN / MOST_UNDER_IN).ln();
    (-near * (height.inches().max(0.0) / MOST_UNDER_IN).powf(shape)).exp()
}

impl Assessment {
    /// Chance that something in the parcel breaks on one trip, 0 to 1.
    ///
    /// `safety` is the factor by which pieces bear more than they are designed for.
    ///
    /// Source: drops of Singh and Cheema 1996, published; that shock grows with height is judgement.
    #[must_use]
    pub fn chance_of_breakage(&self, safety: f64) -> f64 {
        let breaks = |landed: &Landed| {
            let least = landed
                .felt
                .iter()
                .map(|felt| safety * felt.bears_g / felt.peak_g.max(f64::MIN_POSITIVE))
                .fold(f64::INFINITY, f64::min);
            higher_than(self.height * least.clamp(0.0, 1e6))
        };
        let expected: f64 = SHARES
            .iter()
            .map(|(landing, share)| {
                let of: Vec<f64> =
                    self.landings.iter().filter(|one| one.landing() == *landing).map(breaks).collect();
                let mean = of.iter().sum::<f64>() / (of.len().max(1)) as f64;
                DROPS * share * mean
            })
            .sum();
        -(-expected).exp_m1()
    }
}

#[cfg(test)]
mod tests {
    use super::higher_than;
    use measure::Length;

    #[test]
    fn the_tail_goes_through_the_heights_of_the_study() {
        let share = |inches| higher_than(Length::from_inches(inches));
        assert!((share(16.0) - 0.05).abs() < 1e-12);
        assert!((share(77.8) * 744.0 - 1.0).abs() < 1e-9);
        assert!(share(30.0) < share(20.0) && share(0.0) == 1.0);
    }
}
