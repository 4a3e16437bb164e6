//! What is expected of a listing from the first order to the last.

use std::collections::BTreeMap;

use super::OrderMix;
use crate::OrderMoney;
use crate::cents::currency;

/// What a listing is expected to bring and cost until its last lot is sold; money in currency.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Expected {
    /// Prices of the goods.
    pub items: f64,
    /// Charged for shipping.
    pub shipping: f64,
    /// The venue's fees.
    pub fees: f64,
    /// Postage.
    pub postage: f64,
    /// Packing materials.
    pub materials: f64,
    /// Packing at the wage.
    pub labour: f64,
    /// Refunds for damage, less fees given back.
    pub damage: f64,
    /// What the orders leave, before listing and keeping.
    pub net: f64,
    /// Packing, minutes.
    pub minutes: f64,
    /// Orders.
    pub orders: f64,
    /// Days that pieces are kept, summed over the pieces.
    pub piece_days: f64,
    /// Day of the last sale, counted from the listing.
    pub last_sale_day: f64,
}

impl Expected {
    fn of_order(order: &OrderMoney) -> Self {
        Self {
            items: currency(order.items),
            shipping: currency(order.shipping),
            fees: currency(order.fee),
            postage: order.postage,
            materials: order.materials,
            labour: order.labour,
            damage: order.damage,
            net: order.net,
            minutes: order.minutes,
            orders: 1.0,
            piece_days: 0.0,
            last_sale_day: 0.0,
        }
    }

    fn add(&mut self, other: &Self, weight: f64) {
        self.items += weight * other.items;
        self.shipping += weight * other.shipping;
        self.fees += weight * other.fees;
        self.postage += weight * other.postage;
        self.materials += weight * other.materials;
        self.labour += weight * other.labour;
        self.damage += weight * other.damage;
        self.net += weight * other.net;
        self.minutes += weight * other.minutes;
        self.orders += weight * other.orders;
        self.piece_days += weight * other.piece_days;
        self.last_sale_day += weight * other.last_sale_day;
    }
}

/// The orders that a parcel carries, by number of lots; never without an order of one lot.
#[derive(Debug, Clone)]
pub(super) struct Orders(BTreeMap<u32, OrderMoney>);

impl Orders {
    pub(super) fn new(single: OrderMoney, all: impl Iterator<Item = OrderMoney>) -> Self {
        let mut orders = BTreeMap::from([(1, single)]);
        orders.extend(all.map(|order| (order.lots, order)));
        Self(orders)
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &OrderMoney> {
        self.0.values()
    }

    /// The order that is sent when `wanted` lots are ordered and `left` are there: the most lots within
    /// both that a parcel carries.
    fn sent(&self, wanted: u32, left: u32) -> Option<&OrderMoney> {
        self.0.range(..=wanted.min(left)).next_back().map(|(_, order)| order)
    }

    /// Shares of orders by the lots really sent while `left` are there, and what each leaves.
    pub(super) fn outcomes(&self, mix: &OrderMix, left: u32) -> Vec<(f64, &OrderMoney)> {
        let mut outcomes: Vec<(f64, &OrderMoney)> = Vec::new();
        for (wanted, share) in mix.shares() {
            let Some(order) = self.sent(wanted, left) else { continue };
            match outcomes.last_mut() {
                Some((total, last)) if last.lots == order.lots => *total += share,
                Some(_) | None => outcomes.push((share, order)),
            }
        }
        outcomes
    }
}

/// What is expected of listings of 0, 1, ... up to `most` lots, by the exact recursion over the lots left.
pub(super) fn courses(
    pieces: u32,
    rate_per_day: f64,
    orders: &Orders,
    mix: &OrderMix,
    most: u32,
) -> Vec<Expected> {
    let single: BTreeMap<u32, Expected> =
        orders.all().map(|order| (order.lots, Expected::of_order(order))).collect();
    let mut known = vec![Expected::default()];
    for left in 1..=most {
        let mut now = Expected {
            piece_days: f64::from(pieces) * f64::from(left) / rate_per_day,
            last_sale_day: 1.0 / rate_per_day,
            ..Expected::default()
        };
        for (share, order) in orders.outcomes(mix, left) {
            if let Some(of_order) = single.get(&order.lots) {
                now.add(of_order, share);
            }
            if let Some(after) = known.get((left - order.lots) as usize) {
                now.add(after, share);
            }
        }
        known.push(now);
    }
    known
}
