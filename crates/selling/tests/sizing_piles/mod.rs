//! Piles drawn from a seed, and every mixture of lots that a pile allows.
#![allow(dead_code, reason = "each test binary uses its part")]

use std::collections::BTreeMap;

use measure::Money;
use selling::{Demand, FeeRule, LotSize, OrderCost, OrderMix, Sizing, Terms};

/// The splitmix64 sequence (Steele, Lea and Flood, OOPSLA 2014).
pub struct Draw(pub u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, end: u32) -> u32 {
        (self.next() % u64::from(end)) as u32
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[derive(Debug, Clone)]
pub struct Pile {
    pub pieces: u32,
    pub cost: Money,
    pub sizes: Vec<LotSize>,
    pub terms: Terms,
    pub demand: Demand,
}

pub type Parts = BTreeMap<u32, u32>;

impl Pile {
    pub fn sizing(&self) -> Sizing {
        Sizing::new(self.pieces, &self.sizes, &self.terms, &self.demand).expect("figures in range")
    }
}

pub fn mix(shares: &[(u32, f64)]) -> OrderMix {
    OrderMix::new(shares.iter().copied().collect()).expect("a whole")
}

/// A small pile: some sizes missing, some orders without a parcel, often orders of several lots.
pub fn pile(seed: u64) -> Pile {
    let draw = &mut Draw(seed);
    let pieces = 1 + draw.below(12);
    let share = draw.between(0.0, 0.2);
    let terms = Terms {
        fees: FeeRule {
            share_of_item: share,
            share_of_shipping: draw.between(0.0, 0.15),
            share_of_tax: if draw.below(2) == 0 { 0.0 } else { share },
            fixed: Money::from_cents(i64::from(draw.below(60))),
            share_given_back: draw.between(0.0, 1.0),
        },
        tax_rate: draw.between(0.0, 0.1),
        wage: draw.between(0.0, 25.0),
        listing_minutes: draw.between(0.0, 20.0),
        chance_of_damage: draw.between(0.0, 0.05),
        holding: draw.between(0.0, 0.02),
    };
    let mix = match draw.below(3) {
        0 => OrderMix::default(),
        1 => mix(&[(1, 0.75), (2, 0.25)]),
        _ => mix(&[(1, 0.5), (2, 0.2), (3, 0.1), (5, 0.2)]),
    };
    let (at_one, horizon_days) = (draw.between(0.02, 0.2), draw.between(20.0, 200.0));
    let demand = Demand { at_one, horizon_days, mix, ..Demand::default() };
    let (price, elasticity) = (draw.between(6.0, 20.0), draw.between(-0.4, 0.0));
    let mut sizes = Vec::new();
    for s in (1..=8).filter(|_| draw.below(4) != 0).collect::<Vec<u32>>() {
        let shipping = Money::from_cents(if draw.below(2) == 0 { 0 } else { 650 });
        let orders = (1..=4).filter(|&lots| draw.below(4) != 0 || lots == 1 && draw.below(4) != 0);
        let orders: Vec<u32> = orders.collect();
        let orders = orders.into_iter().map(|lots| {
            let weight = f64::from(s * lots);
            let order = OrderCost {
                postage: draw.between(5.0, 8.0) + weight * 0.9,
                materials: draw.between(0.5, 1.0) + weight * 0.3,
                minutes: draw.between(5.0, 10.0) + weight * 2.0,
                shipping_charged: shipping * i64::from(lots),
            };
            (lots, order)
        });
        sizes.push(LotSize {
            pieces: s,
            delivered: price * f64::from(s).powf(1.0 + elasticity),
            rate_per_day: demand.rate(s),
            orders: orders.collect(),
        });
    }
    Pile { pieces, cost: Money::from_cents(i64::from(draw.below(3000))), sizes, terms, demand }
}

/// Every mixture of the offered sizes that the pieces allow, the empty one included, as split.
pub fn mixtures(sizing: &Sizing, pieces: u32, most_sizes: Option<u32>) -> Vec<Mixture> {
    let sizes: Vec<u32> = sizing.offered().collect();
    let mut found = Vec::new();
    grow(sizing, &sizes, pieces, most_sizes.unwrap_or(u32::MAX), &Mixture::default(), &mut found);
    found
}

#[derive(Debug, Clone, Default)]
pub struct Mixture {
    pub parts: Parts,
    pub worth: f64,
    pub hours: f64,
}

impl Mixture {
    pub fn lead(&self) -> Option<u32> {
        self.parts.keys().next_back().copied()
    }

    pub fn per_hour(&self, cost: f64, wage: f64) -> f64 {
        (self.worth - cost + wage * self.hours) / self.hours
    }
}

fn grow(sizing: &Sizing, sizes: &[u32], left: u32, more: u32, so_far: &Mixture, found: &mut Vec<Mixture>) {
    let Some((&size, smaller)) = sizes.split_last() else {
        found.push(so_far.clone());
        return;
    };
    grow(sizing, smaller, left, more, so_far, found);
    for lots in (1..=left / size).filter(|_| more > 0) {
        let listing = sizing.listing(size, lots).expect("it fits");
        let mut next = so_far.clone();
        next.parts.insert(size, lots);
        next.worth += listing.worth;
        next.hours += listing.hours;
        grow(sizing, smaller, left - size * lots, more - 1, &next, found);
    }
}

/// The largest figure among mixtures.
pub fn best<'a>(
    mixtures: impl Iterator<Item = &'a Mixture>,
    figure: impl Fn(&Mixture) -> f64,
) -> Option<f64> {
    mixtures.map(figure).max_by(f64::total_cmp)
}
