//! How often lots are ordered, and how many at a time.

use std::collections::{BTreeMap, BTreeSet};

use super::figure::within;
use crate::SellingError;

/// Lot sizes that buyers look for (judgement).
const NATURAL: [u32; 6] = [1, 2, 4, 6, 8, 12];
/// Demand for any other size, as a share of that for a natural one (judgement).
const ODD: f64 = 0.4;
/// How demand falls with the size of the lot (judgement).
const GAMMA: f64 = 0.35;
/// Orders per day for single pieces: one in 45 days (judgement).
const AT_ONE: f64 = 1.0 / 45.0;
/// Days by which "sold by then" is told (judgement).
const HORIZON_DAYS: f64 = 90.0;
/// How far shares of orders, as typed, may be from a whole.
const WHOLE: f64 = 1e-6;
/// Most lots in one order that a mix may tell of (judgement).
const MOST_LOTS_IN_ORDER: u32 = 1000;

/// How often lots are ordered. Every default is a judgement, to be mended by one's own sales.
///
/// ```
/// let demand = selling::Demand { at_one: 0.05, ..Default::default() };
/// assert!((demand.rate(6) - 0.05 * 6.0_f64.powf(-0.35)).abs() < 1e-15);
/// assert!((demand.rate(5) - 0.4 * 0.05 * 5.0_f64.powf(-0.35)).abs() < 1e-15, "5 is an odd size");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Orders per day for lots of one piece; from a millionth to a thousand.
    pub at_one: f64,
    /// Demand falls as the lot size to this power; from 0 to 3.
    pub gamma: f64,
    /// Sizes that buyers look for.
    pub natural: BTreeSet<u32>,
    /// Demand for other sizes as a share of that for natural ones; from 0.001 to 1.
    pub odd: f64,
    /// Days by which the expected number sold is told; from 1 to 10,000.
    pub horizon_days: f64,
    /// How many lots one order takes.
    pub mix: OrderMix,
}

impl Default for Demand {
    fn default() -> Self {
        Self {
            at_one: AT_ONE,
            gamma: GAMMA,
            natural: NATURAL.into(),
            odd: ODD,
            horizon_days: HORIZON_DAYS,
            mix: OrderMix::default(),
        }
    }
}

impl Demand {
    /// Orders per day for lots of so many pieces.
    #[must_use]
    pub fn rate(&self, pieces: u32) -> f64 {
        let wanted = if self.natural.contains(&pieces) { 1.0 } else { self.odd };
        self.at_one * f64::from(pieces).powf(-self.gamma) * wanted
    }

    /// Whether every figure lies in its range.
    ///
    /// # Errors
    /// Names the first that does not.
    pub fn check(&self) -> Result<(), SellingError> {
        let figure = |place: &str, found, range, right| within(|| place.to_owned(), found, range, right);
        figure("orders per day for single pieces", self.at_one, 1e-6..=1e3, "a rate from 0.000001 to 1000")?;
        figure("fall of demand with lot size", self.gamma, 0.0..=3.0, "a power from 0 to 3")?;
        figure("demand for odd sizes", self.odd, 0.001..=1.0, "a share from 0.001 to 1")?;
        figure("horizon", self.horizon_days, 1.0..=1e4, "a number of days from 1 to 10,000")?;
        Ok(())
    }
}

/// Which share of orders takes one lot, two lots, three lots...
///
/// An order for more than remains takes all that remains; an order for more than any parcel carries
/// takes the most that one does.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderMix(BTreeMap<u32, f64>);

impl Default for OrderMix {
    /// Every order takes one lot.
    fn default() -> Self {
        Self(BTreeMap::from([(1, 1.0)]))
    }
}

impl OrderMix {
    /// From shares by the number of lots that an order takes.
    ///
    /// # Errors
    /// When a share is not from 0 to 1, a number of lots not from 1 to 1000, or the shares do not add up
    /// to 1 within a millionth.
    pub fn new(shares: BTreeMap<u32, f64>) -> Result<Self, SellingError> {
        for (&lots, &share) in &shares {
            let place = || format!("share of orders that take {lots} lots");
            within(place, share, 0.0..=1.0, "a share from 0 to 1")?;
            let most = f64::from(MOST_LOTS_IN_ORDER);
            let place = || "lots that one order takes".to_owned();
            within(place, f64::from(lots), 1.0..=most, "a number from 1 to 1000")?;
        }
        let sum: f64 = shares.values().sum();
        if (sum - 1.0).abs() > WHOLE {
            return Err(SellingError::MixNotWhole { sum });
        }
        let real = shares.into_iter().filter(|&(_, share)| share > 0.0);
        Ok(Self(real.map(|(lots, share)| (lots, share / sum)).collect()))
    }

    /// The number of lots and the share of orders that take it, fewest first.
    pub fn shares(&self) -> impl Iterator<Item = (u32, f64)> {
        self.0.iter().map(|(&lots, &share)| (lots, share))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_orders_must_make_a_whole() {
        assert_eq!(OrderMix::new(BTreeMap::from([(1, 1.0), (2, 0.0)])), Ok(OrderMix::default()));
        assert!(matches!(
            OrderMix::new(BTreeMap::from([(1, 0.5), (2, 0.4)])),
            Err(SellingError::MixNotWhole { .. })
        ));
        assert!(OrderMix::new(BTreeMap::new()).is_err());
        assert!(OrderMix::new(BTreeMap::from([(0, 1.0)])).is_err());
        assert!(OrderMix::new(BTreeMap::from([(1, 1.5), (2, -0.5)])).is_err());
        assert!(OrderMix::new(BTreeMap::from([(1, f64::NAN)])).is_err());
    }

    #[test]
    fn demand_out_of_range_is_refused() {
        assert_eq!(Demand::default().check(), Ok(()));
        for wrong in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(Demand { at_one: wrong, ..Demand::default() }.check().is_err());
            assert!(Demand { horizon_days: wrong, ..Demand::default() }.check().is_err());
            assert!(Demand { odd: wrong, ..Demand::default() }.check().is_err());
        }
        assert!(Demand { gamma: -0.1, ..Demand::default() }.check().is_err());
    }
}
