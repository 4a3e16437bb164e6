//! Money that moved by itself: fees, refunds, supplies, expenses, trips, payouts.

use books::{
    Adjustment, BuyerTax, Charge, Expense, FindId, HaulId, LotId, OrderId, Part, Purse, Quantity,
    RefundMoney, SupplyId, Trip, TripUse, Voucher,
};
use jiff::civil::Date;
use measure::Money;
use serde::{Deserialize, Serialize};

use crate::event::Event;
use crate::fold::Fold;
use crate::ledger::miles;
use crate::stored::{self, ExpenseWord, PurseWord, TripUseWord};
use crate::{Record, Shop, ShopError, Stamp};

/// What the money was for, and how much it was.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Movement {
    /// A selling, payment or per-order fee, or advertising.
    Fee {
        /// The order, if it was for one.
        #[serde(with = "stored::order_opt")]
        order: Option<OrderId>,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
        /// Whether it was for advertising.
        advertising: bool,
    },
    /// A fee or advertising given back.
    FeeReturned {
        /// The order, if it was for one.
        #[serde(with = "stored::order_opt")]
        order: Option<OrderId>,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
        /// Whether it was for advertising.
        advertising: bool,
    },
    /// Money given back to a buyer.
    Refund {
        /// The order.
        #[serde(with = "stored::order")]
        order: OrderId,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
        /// Sales tax given back with it.
        #[serde(with = "stored::tax")]
        tax: BuyerTax,
        /// The listing, if it was for one lot.
        #[serde(with = "stored::lot_opt")]
        lot: Option<LotId>,
        /// The find, if it was for one.
        #[serde(with = "stored::find_opt")]
        find: Option<FindId>,
    },
    /// The carrier charged more afterwards, or gave back.
    PostageAdjusted {
        /// The order.
        #[serde(with = "stored::order")]
        order: OrderId,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
        /// Whether it came back; otherwise it was paid.
        back: bool,
    },
    /// A carrier or insurer paid a claim.
    ClaimPaid {
        /// The order.
        #[serde(with = "stored::order")]
        order: OrderId,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Supplies were bought, or more were counted than the file knew (at no cost).
    SuppliesBought {
        /// The supply.
        #[serde(with = "stored::supply")]
        supply: SupplyId,
        /// How much of it.
        #[serde(rename = "micros", with = "stored::micros")]
        quantity: Quantity,
        /// What it cost, 0.00 or more.
        #[serde(with = "stored::cents")]
        cost: Money,
    },
    /// Supplies were used apart from a parcel, spoiled, or fewer were counted; the purse plays no part.
    SuppliesUsed {
        /// The supply.
        #[serde(with = "stored::supply")]
        supply: SupplyId,
        /// How much of it.
        #[serde(rename = "micros", with = "stored::micros")]
        quantity: Quantity,
        /// The order, if it was for one.
        #[serde(with = "stored::order_opt")]
        order: Option<OrderId>,
    },
    /// A haul whose basis is frozen cost more, or less.
    HaulAdjusted {
        /// The haul.
        #[serde(with = "stored::haul")]
        haul: HaulId,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
        /// Whether it came back; otherwise it was paid.
        back: bool,
    },
    /// An expense.
    Expense {
        /// What it was.
        #[serde(with = "ExpenseWord")]
        what: Expense,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Other income.
    OtherIncome {
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// A venue paid out into the purse.
    Payout {
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Money moved from the purse to another.
    Transfer {
        /// The purse that received.
        #[serde(with = "PurseWord")]
        to: Purse,
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Own money was put into the purse.
    OwnerPutIn {
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Money was taken out of the purse for oneself.
    OwnerTookOut {
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// Sales tax that the person had collected was remitted.
    TaxRemitted {
        /// How much, above 0.00.
        #[serde(with = "stored::cents")]
        amount: Money,
    },
    /// A trip, in hundredths of a mile; the purse plays no part.
    Trip {
        /// How far, in hundredths of a mile.
        hundredths: u32,
        /// What for.
        purpose: String,
        /// Whether it counts as business.
        #[serde(with = "TripUseWord")]
        counts: TripUse,
    },
}

/// Money that moved on a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MoneyMoved {
    /// The day.
    pub date: Date,
    /// The purse that paid or received.
    #[serde(with = "PurseWord")]
    pub purse: Purse,
    /// What for.
    pub movement: Movement,
    /// Anything to remember.
    pub note: String,
}

impl Shop {
    /// Enters a movement of money. Gives the number of its entry.
    ///
    /// # Errors
    /// When the books don't accept it.
    pub fn move_money(&mut self, stamp: &Stamp, moved: &MoneyMoved) -> Result<u64, ShopError> {
        self.write(|writing| writing.enter(stamp, &Event::MoneyMoved(moved.clone()), None))
    }
}

const fn charge(amount: Money, advertising: bool) -> Charge {
    if advertising { Charge::Advertising(amount) } else { Charge::Fee(amount) }
}

const fn difference(amount: Money, back: bool) -> Adjustment {
    if back { Adjustment::Back(amount) } else { Adjustment::More(amount) }
}

impl Fold<'_> {
    pub(crate) fn money_moved(&mut self, moved: &MoneyMoved) -> Result<u64, ShopError> {
        let voucher: Voucher = self.voucher(moved.date);
        let purse = moved.purse;
        if let Some(order) = moved.movement.order() {
            self.touch(Record::Order, order.0);
        }
        let entry = match &moved.movement {
            Movement::Fee { order, amount, advertising } => {
                books::fee(voucher, *order, charge(*amount, *advertising), purse)
            }
            Movement::FeeReturned { order, amount, advertising } => {
                books::fee_returned(voucher, *order, charge(*amount, *advertising), purse)
            }
            Movement::Refund { order, amount, tax, lot, find } => {
                let part = Part { lot: *lot, find: *find };
                let money = RefundMoney { order: *order, amount: *amount, tax: *tax, part, from: purse };
                books::refund(voucher, &money)
            }
            Movement::PostageAdjusted { order, amount, back } => {
                books::postage_adjusted(voucher, *order, difference(*amount, *back), purse)
            }
            Movement::ClaimPaid { order, amount } => books::claim_paid(voucher, *order, *amount, purse),
            Movement::SuppliesBought { supply, quantity, cost } => {
                books::supplies_bought(voucher, *supply, *quantity, *cost, purse)
            }
            Movement::SuppliesUsed { supply, quantity, order } => {
                let cost = self.books.supply_cost(*supply, *quantity)?;
                books::supplies_used(voucher, *supply, *quantity, cost, *order)
            }
            Movement::HaulAdjusted { haul, amount, back } => {
                self.touch(Record::Haul, haul.0);
                books::haul_adjusted(voucher, *haul, difference(*amount, *back), purse)
            }
            Movement::Expense { what, amount } => books::expense(voucher, *what, *amount, purse, &moved.note),
            Movement::OtherIncome { amount } => books::other_income(voucher, *amount, purse, &moved.note),
            Movement::Payout { amount } => books::payout(voucher, *amount, purse),
            Movement::Transfer { to, amount } => books::transfer(voucher, *amount, purse, *to),
            Movement::OwnerPutIn { amount } => books::owner_put_in(voucher, *amount, purse),
            Movement::OwnerTookOut { amount } => books::owner_took_out(voucher, *amount, purse),
            Movement::TaxRemitted { amount } => books::tax_remitted(voucher, *amount, purse),
            Movement::Trip { hundredths, purpose, counts } => {
                let trip = Trip {
                    date: moved.date,
                    miles: miles(*hundredths)?,
                    purpose: purpose.clone(),
                    counts: *counts,
                };
                books::mileage(voucher, trip)
            }
        }?;
        self.post(entry, &moved.note)
    }
}

impl Movement {
    const fn order(&self) -> Option<OrderId> {
        match self {
            Self::Fee { order, .. } | Self::FeeReturned { order, .. } | Self::SuppliesUsed { order, .. } => {
                *order
            }
            Self::Refund { order, .. }
            | Self::PostageAdjusted { order, .. }
            | Self::ClaimPaid { order, .. } => Some(*order),
            Self::SuppliesBought { .. }
            | Self::HaulAdjusted { .. }
            | Self::Expense { .. }
            | Self::OtherIncome { .. }
            | Self::Payout { .. }
            | Self::Transfer { .. }
            | Self::OwnerPutIn { .. }
            | Self::OwnerTookOut { .. }
            | Self::TaxRemitted { .. }
            | Self::Trip { .. } => None,
        }
    }
}
