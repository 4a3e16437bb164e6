//! What a lot is worth, as it is shown.

use measure::Money;

use crate::Caution;

/// What a lot of one size is worth: delivered prices of the whole lot in currency units, not rounded.
///
/// Two ranges, which are never to be mistaken for each other: the *next sale* lies between
/// [`p10`](Self::p10) and [`p90`](Self::p90) in 8 of 10 cases; the *median of the market*, about which the
/// sales scatter, lies between [`median_least`](Self::median_least) and [`median_most`](Self::median_most)
/// with a chance of 80 %. The first is about twice as wide as the second with ten comps, and does not close
/// however many there are.
#[derive(Debug, Clone, PartialEq)]
pub struct LotWorth {
    /// Pieces in the lot.
    pub pieces: u32,
    /// One next sale in ten brings less.
    pub p10: f64,
    /// One in four brings less.
    pub p25: f64,
    /// Half bring less.
    pub median: f64,
    /// One in four brings more.
    pub p75: f64,
    /// One in ten brings more.
    pub p90: f64,
    /// The market's median is below this with a chance of one in ten.
    pub median_least: f64,
    /// The market's median is above this with a chance of one in ten.
    pub median_most: f64,
    /// The median over the pieces.
    pub per_piece: f64,
    /// Why the figures should be taken with care.
    pub cautions: Vec<Caution>,
}

impl LotWorth {
    /// The median to the cent.
    #[must_use]
    pub fn median_price(&self) -> Money {
        to_the_cent(self.median)
    }

    /// The median over the pieces, to the cent.
    #[must_use]
    pub fn per_piece_price(&self) -> Money {
        to_the_cent(self.per_piece)
    }

    /// Range of the next sale (8 of 10), to the cent.
    #[must_use]
    pub fn next_sale(&self) -> (Money, Money) {
        (to_the_cent(self.p10), to_the_cent(self.p90))
    }

    /// Range of the market's median (80 %), to the cent.
    #[must_use]
    pub fn median_range(&self) -> (Money, Money) {
        (to_the_cent(self.median_least), to_the_cent(self.median_most))
    }
}

fn to_the_cent(amount: f64) -> Money {
    Money::from_cents_rounded(amount * 100.0)
}
