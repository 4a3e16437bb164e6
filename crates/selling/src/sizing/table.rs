//! Every listing of every lot size, reckoned once for a pile.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use measure::Money;

use super::course::{Expected, Orders, courses};
use super::sold_by::sold_by;
use super::{Demand, Listing, OrderMix, Split, Terms};
use crate::{LotSize, SellingError};

/// The most pieces in one plan (judgement: more are never one haul, and the exact search stays quick).
pub const MOST_PIECES: u32 = 1000;
/// The most lot sizes in one plan (judgement).
pub const MOST_LOT_SIZES: usize = 100;
/// Fixed-point units in one unit of currency or one minute; sums of whole units are exact, in any order.
pub(super) const UNITS: f64 = 1e9;
/// A listing that gains or loses more than this, currency, or takes more minutes, is no choice at all; the
/// bound keeps the products of exact sums far within 128 bits.
const BEYOND_REASON: f64 = 1e8;

/// Why a lot size is not offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotOffered {
    /// No parcel carries one lot.
    NoParcel,
    /// The shipping charged leaves nothing for the goods.
    ShippingAbovePrice {
        /// Charged for shipping one lot.
        shipping: Money,
    },
}

#[derive(Debug, Clone)]
pub(super) struct Offered {
    pub(super) pieces: u32,
    rate_per_day: f64,
    pub(super) orders: Orders,
    /// For 0, 1, 2... lots.
    courses: Vec<Expected>,
}

/// Every listing of every lot size, reckoned once for a pile of like pieces.
///
/// From it come the best splits ([`Sizing::by_profit`], [`Sizing::per_hour`]), the plans of equal lots and
/// the arithmetic of any single listing.
///
/// ```
/// use std::collections::BTreeMap;
/// use measure::Money;
/// use selling::{Demand, FeeRule, LotSize, OrderCost, Sizing, Terms};
///
/// let fees = FeeRule {
///     share_of_item: 0.13,
///     share_of_shipping: 0.13,
///     share_of_tax: 0.0,
///     fixed: Money::from_cents(30),
///     share_given_back: 1.0,
/// };
/// let terms = Terms {
///     fees,
///     tax_rate: 0.07,
///     wage: 15.0,
///     listing_minutes: 12.0,
///     chance_of_damage: 0.015,
///     holding: 0.01,
/// };
/// let demand = Demand::default();
/// let size = |pieces: u32, delivered: f64, postage: f64| {
///     let order = OrderCost { postage, materials: 1.5, minutes: 12.0, shipping_charged: Money::ZERO };
///     LotSize { pieces, delivered, rate_per_day: demand.rate(pieces), orders: BTreeMap::from([(1, order)]) }
/// };
/// let sizing = Sizing::new(6, &[size(2, 18.0, 9.0), size(4, 38.0, 11.5)], &terms, &demand)?;
/// let best = sizing.by_profit(None)?.split(6)?;
/// assert_eq!(best.parts(), BTreeMap::from([(4, 1)]), "a pair would not pay for its own listing");
/// assert_eq!(best.dropped(), 2);
/// # Ok::<(), selling::SellingError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Sizing {
    pieces: u32,
    terms: Terms,
    pub(super) mix: OrderMix,
    horizon_days: f64,
    /// Smallest size first.
    pub(super) table: Vec<Offered>,
    not_offered: Vec<(u32, NotOffered)>,
}

impl Sizing {
    /// Reckons every listing for up to `pieces` pieces.
    ///
    /// Of `demand`, the mix of orders and the horizon are used; the rates are those of the lot sizes.
    ///
    /// # Errors
    /// When a figure is out of range, a size is given twice, or there are more than [`MOST_PIECES`] pieces
    /// or [`MOST_LOT_SIZES`] sizes. A size without a parcel for one lot, or whose shipping eats its price,
    /// is no error: it is told by [`Sizing::not_offered`].
    pub fn new(pieces: u32, sizes: &[LotSize], terms: &Terms, demand: &Demand) -> Result<Self, SellingError> {
        if pieces > MOST_PIECES {
            return Err(SellingError::TooManyPieces { pieces, most: MOST_PIECES });
        }
        if sizes.len() > MOST_LOT_SIZES {
            return Err(SellingError::TooManySizes { sizes: sizes.len(), most: MOST_LOT_SIZES });
        }
        terms.check()?;
        demand.check()?;
        let mut seen = BTreeSet::new();
        let mut table = BTreeMap::new();
        let mut not_offered = BTreeMap::new();
        for size in sizes {
            size.check()?;
            if !seen.insert(size.pieces) {
                return Err(SellingError::SizeTwice { pieces: size.pieces });
            }
            match reckon(pieces, size, terms, &demand.mix) {
                Ok(offered) => _ = table.insert(size.pieces, offered),
                Err(why) => _ = not_offered.insert(size.pieces, why),
            }
        }
        Ok(Self {
            pieces,
            terms: *terms,
            mix: demand.mix.clone(),
            horizon_days: demand.horizon_days,
            table: table.into_values().collect(),
            not_offered: not_offered.into_iter().collect(),
        })
    }

    /// The most pieces that are planned for.
    #[must_use]
    pub const fn pieces(&self) -> u32 {
        self.pieces
    }

    /// The lot sizes that are offered, smallest first.
    pub fn offered(&self) -> impl Iterator<Item = u32> {
        self.table.iter().map(|offered| offered.pieces)
    }

    /// The lot sizes that are not offered, smallest first, and why.
    #[must_use]
    pub fn not_offered(&self) -> &[(u32, NotOffered)] {
        &self.not_offered
    }

    pub(super) fn covers(&self, pieces: u32) -> Result<(), SellingError> {
        if pieces <= self.pieces {
            Ok(())
        } else {
            Err(SellingError::BeyondPlan { asked: pieces, planned: self.pieces })
        }
    }

    pub(super) fn of_size(&self, size: u32) -> Option<&Offered> {
        self.table.iter().find(|offered| offered.pieces == size)
    }

    /// What is expected of a listing of so many lots of so many pieces.
    ///
    /// None when the size is not offered, there are no lots, or they hold more pieces than were planned for.
    #[must_use]
    pub fn listing(&self, size: u32, lots: u32) -> Option<Listing> {
        let offered = self.of_size(size)?;
        let expected = *offered.courses.get(lots as usize).filter(|_| lots > 0)?;
        let value = self.value(&expected);
        let mean = offered.rate_per_day * self.horizon_days;
        let sold = sold_by(lots, &offered.orders, &self.mix, mean);
        Some(Listing {
            size,
            lots,
            rate_per_day: offered.rate_per_day,
            orders: offered.orders.all().copied().collect(),
            expected,
            listing_minutes: self.terms.listing_minutes,
            listing_labour: value.listing_labour,
            holding: value.holding,
            worth: value.worth,
            hours: value.minutes / 60.0,
            sold_by_horizon: sold.lots,
            all_by_horizon: sold.all,
        })
    }

    fn value(&self, expected: &Expected) -> Value {
        let listing_labour = self.terms.labour(self.terms.listing_minutes);
        let holding = self.terms.holding * expected.piece_days;
        Value {
            listing_labour,
            holding,
            worth: expected.net - listing_labour - holding,
            minutes: self.terms.listing_minutes + expected.minutes,
        }
    }

    pub(super) fn split(&self, pieces: u32, mut listings: Vec<Listing>) -> Split {
        listings.sort_by_key(|listing| Reverse(listing.size));
        Split { pieces, listings, wage: self.terms.wage }
    }

    pub(super) fn split_of_parts(&self, pieces: u32, parts: &BTreeMap<u32, u32>) -> Split {
        let listings = parts.iter().filter_map(|(&size, &lots)| self.listing(size, lots)).collect();
        self.split(pieces, listings)
    }

    /// For every size the worth of 1, 2, 3... lots, in fixed-point units.
    pub(super) fn worths(&self) -> Vec<Vec<Option<i128>>> {
        self.figures(|value| units(value.worth))
    }

    /// For every size what 1, 2, 3... lots earn before the wage, in fixed-point units of currency, and the
    /// time they take, in fixed-point units of a minute: a third of an hour is no whole number, and would tell
    /// equal plans apart.
    pub(super) fn earnings(&self) -> Vec<Vec<Option<(i128, i128)>>> {
        self.figures(|value| units(value.worth + self.terms.labour(value.minutes)).zip(units(value.minutes)))
    }

    fn figures<T>(&self, figure: impl Fn(&Value) -> Option<T>) -> Vec<Vec<Option<T>>> {
        let of_size =
            |offered: &Offered| offered.courses.iter().skip(1).map(|e| figure(&self.value(e))).collect();
        self.table.iter().map(of_size).collect()
    }
}

struct Value {
    listing_labour: f64,
    holding: f64,
    worth: f64,
    minutes: f64,
}

fn units(figure: f64) -> Option<i128> {
    (figure.abs() <= BEYOND_REASON).then(|| (figure * UNITS).round() as i128)
}

fn reckon(pieces: u32, size: &LotSize, terms: &Terms, mix: &OrderMix) -> Result<Offered, NotOffered> {
    let single = size.single().map_err(|_| NotOffered::NoParcel)?;
    let shipping = single.shipping_charged;
    let item = size.item().map_err(|_| NotOffered::ShippingAbovePrice { shipping })?;
    let money = |(&lots, order)| size.order_money(lots, item, order, terms);
    let orders = Orders::new(money((&1, single)), size.orders.iter().map(money));
    let most = pieces / size.pieces.max(1);
    let courses = courses(size.pieces, size.rate_per_day, &orders, mix, most);
    Ok(Offered { pieces: size.pieces, rate_per_day: size.rate_per_day, orders, courses })
}
