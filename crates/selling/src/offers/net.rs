//! What remains of an item price.

use std::fmt;

use measure::{LARGEST_MONEY, Money};

use crate::SellingError;
use crate::cents::{NOISE, currency};
use crate::figure::Place;

/// From the item price to what remains after fee, postage, materials and labour.
#[derive(Clone, Copy)]
pub enum NetOf<'a> {
    /// item (1 - `fee_share`) - `costs`.
    Linear {
        /// Share of the item price that the fee takes, from 0 to under 1.
        fee_share: f64,
        /// All costs that don't depend on the price; below 0 when shipping charged exceeds them.
        costs: Money,
    },
    /// The caller's own arithmetic. A higher price must never leave less; where it does, the prices that are
    /// found may not be the lowest.
    Function(&'a dyn Fn(Money) -> Money),
}

impl fmt::Debug for NetOf<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Linear { fee_share, costs } => {
                f.debug_struct("Linear").field("fee_share", fee_share).field("costs", costs).finish()
            }
            Self::Function(_) => f.write_str("Function(..)"),
        }
    }
}

impl NetOf<'_> {
    pub(crate) fn check(&self) -> Result<(), SellingError> {
        match *self {
            Self::Linear { fee_share, costs } => {
                let place = Place("net of an offer");
                place.share_below_one("fee_share", fee_share)?;
                place.signed_amount("costs", currency(costs))?;
                Ok(())
            }
            Self::Function(_) => Ok(()),
        }
    }

    /// What remains of `item`, in currency.
    pub(crate) fn of(&self, item: Money) -> f64 {
        match *self {
            Self::Linear { fee_share, costs } => currency(item) * (1.0 - fee_share) - currency(costs),
            Self::Function(net) => currency(net(item)),
        }
    }

    /// The lowest item price of which at least `net` remains.
    pub(crate) fn lowest_item(&self, net: f64) -> Result<Money, SellingError> {
        let enough = |cents: i64| self.of(Money::from_cents(cents)) >= net - NOISE;
        let mut high = LARGEST_MONEY.cents();
        if !enough(high) {
            return Err(Place("net of an offer").wrong(
                "net",
                format!("under {net:.2} at every price up to ten million"),
                "a rule by which a high enough price leaves enough",
            ));
        }
        // Everything at or under `low` leaves too little, `high` leaves enough.
        let mut low = -1;
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if enough(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(Money::from_cents(high))
    }
}

#[cfg(test)]
mod tests {
    use super::NetOf;
    use measure::Money;

    #[test]
    fn the_lowest_item_price_leaves_enough_and_a_cent_less_does_not() {
        let rounded = |item: Money| {
            let fee = Money::from_cents_rounded(item.cents() as f64 * 0.129) + Money::from_cents(30);
            item - fee - Money::from_cents(940)
        };
        for net in [
            NetOf::Linear { fee_share: 0.129, costs: Money::from_cents(970) },
            NetOf::Linear { fee_share: 0.0, costs: Money::from_cents(-310) },
            NetOf::Function(&rounded),
        ] {
            for wanted in [0.0, 0.01, 12.34, 500.0] {
                let item = net.lowest_item(wanted).unwrap();
                assert!(net.of(item) >= wanted - 1e-8);
                let below = item - Money::from_cents(1);
                assert!(item == Money::ZERO || net.of(below) < wanted, "{wanted} {item}");
            }
        }
        let never = |_: Money| Money::ZERO;
        assert!(NetOf::Function(&never).lowest_item(1.0).is_err());
    }
}
