//! A lot size, the orders it may bring, and what each order leaves.

use std::collections::BTreeMap;

use measure::Money;

use crate::SellingError;
use crate::cents::currency;
use crate::sizing::{LARGEST_AMOUNT, Terms, amount, half_up, within};

/// Least and most minutes of an order (judgement): packing is never done in no time.
const MINUTES: std::ops::RangeInclusive<f64> = 0.001..=10_000.0;

/// What an order costs to send, for one number of lots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderCost {
    /// Postage expected over the buyers' zones, currency, unrounded.
    pub postage: f64,
    /// Carton, wrap, fill, tape and label, currency.
    pub materials: f64,
    /// Packing and handing over, minutes, more than 0.
    pub minutes: f64,
    /// What the buyer is charged for shipping.
    pub shipping_charged: Money,
}

/// Lots of one size: their price, their demand and what their orders cost.
#[derive(Debug, Clone, PartialEq)]
pub struct LotSize {
    /// Pieces in one lot, from 1 to 1000.
    pub pieces: u32,
    /// Price of one lot delivered, currency, shipping charged included, unrounded.
    pub delivered: f64,
    /// Orders per day while the lot is listed.
    pub rate_per_day: f64,
    /// What an order of so many lots costs. A number of lots that no parcel carries is left out: an order
    /// for it takes the most lots below that a parcel does carry. Without an order of one lot the size is
    /// not offered.
    pub orders: BTreeMap<u32, OrderCost>,
}

/// The arithmetic of one order, every line of it.
///
/// `net = items + shipping - fee - postage - materials - labour - damage`
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderMoney {
    /// Pieces in the order.
    pub pieces: u32,
    /// Lots in the order.
    pub lots: u32,
    /// Price of one lot.
    pub item: Money,
    /// Price of all its lots.
    pub items: Money,
    /// Charged for shipping.
    pub shipping: Money,
    /// Items and shipping: what the buyer pays before tax.
    pub delivered: Money,
    /// Sales tax on top; it passes through.
    pub tax: Money,
    /// The venue's fee.
    pub fee: Money,
    /// What of the fee comes back on a refund.
    pub fee_given_back: Money,
    /// Expected postage, currency.
    pub postage: f64,
    /// Materials, currency.
    pub materials: f64,
    /// Packing, minutes.
    pub minutes: f64,
    /// The minutes at the wage, currency.
    pub labour: f64,
    /// Expected refunds for damage, less the fee given back, currency.
    pub damage: f64,
    /// What is left, currency.
    pub net: f64,
}

impl OrderMoney {
    /// What is left per piece, currency.
    #[must_use]
    pub fn net_per_piece(&self) -> f64 {
        self.net / f64::from(self.pieces.max(1))
    }
}

impl LotSize {
    /// What an order of so many lots leaves, line by line.
    ///
    /// # Errors
    /// When a figure is out of range, there is no parcel for the order, or shipping eats the price.
    pub fn money(&self, lots: u32, terms: &Terms) -> Result<OrderMoney, SellingError> {
        terms.check()?;
        self.check()?;
        let item = self.item()?;
        let order = self.orders.get(&lots);
        let order = order.ok_or(SellingError::NoParcel { pieces: self.pieces, lots })?;
        Ok(self.order_money(lots, item, order, terms))
    }

    /// Price of one lot without the shipping charged for it.
    pub(crate) fn item(&self) -> Result<Money, SellingError> {
        let single = self.single()?;
        let item = half_up((self.delivered - currency(single.shipping_charged)) * 100.0);
        if item > Money::ZERO {
            Ok(item)
        } else {
            Err(SellingError::ShippingAbovePrice {
                pieces: self.pieces,
                delivered: self.delivered,
                shipping: single.shipping_charged,
            })
        }
    }

    pub(crate) fn single(&self) -> Result<&OrderCost, SellingError> {
        self.orders.get(&1).ok_or(SellingError::NoParcel { pieces: self.pieces, lots: 1 })
    }

    /// The arithmetic itself, on checked figures.
    pub(crate) fn order_money(&self, lots: u32, item: Money, order: &OrderCost, terms: &Terms) -> OrderMoney {
        let items = item * i64::from(lots);
        let shipping = order.shipping_charged;
        let delivered = items + shipping;
        let tax = half_up(terms.tax_rate * delivered.cents() as f64);
        let fee = terms.fees.fee(items, shipping, tax);
        let fee_given_back = terms.fees.given_back(items, shipping);
        let labour = terms.labour(order.minutes);
        let damage = terms.chance_of_damage * currency(delivered - fee_given_back);
        OrderMoney {
            pieces: self.pieces.saturating_mul(lots),
            lots,
            item,
            items,
            shipping,
            delivered,
            tax,
            fee,
            fee_given_back,
            postage: order.postage,
            materials: order.materials,
            minutes: order.minutes,
            labour,
            damage,
            net: currency(delivered - fee) - order.postage - order.materials - labour - damage,
        }
    }

    /// Whether every figure lies in its range.
    pub(crate) fn check(&self) -> Result<(), SellingError> {
        let pieces = self.pieces;
        let place = |what: &str| format!("lots of {pieces}, {what}");
        within(|| place("pieces"), f64::from(pieces), 1.0..=1000.0, "a number from 1 to 1000")?;
        let price = 0.01..=LARGEST_AMOUNT;
        within(|| place("price delivered"), self.delivered, price, "an amount from 0.01 to 100,000")?;
        let rate = 1e-18..=1e3;
        within(|| place("orders per day"), self.rate_per_day, rate, "a rate above 0 and up to 1000")?;
        for (&lots, order) in &self.orders {
            let place = |what: &str| format!("lots of {pieces}, order of {lots}, {what}");
            within(|| place("lots"), f64::from(lots), 1.0..=1000.0, "a number from 1 to 1000")?;
            amount(|| place("postage"), order.postage)?;
            amount(|| place("materials"), order.materials)?;
            amount(|| place("shipping charged"), currency(order.shipping_charged))?;
            let right = "a number of minutes above 0 and up to 10,000";
            within(|| place("minutes"), order.minutes, MINUTES, right)?;
        }
        Ok(())
    }
}
