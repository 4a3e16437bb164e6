//! The money events that are entered, and which accounts each may move.

use std::fmt;

use crate::{Account, Fate, Side};

/// What an entry records. A correction keeps the kind of the entry it reverses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A haul was bought, with its tax and freight.
    HaulBought,
    /// A haul turned out to cost more or less after its basis was frozen.
    HaulAdjusted,
    /// Packing supplies were bought.
    SuppliesBought,
    /// Packing supplies were used.
    SuppliesUsed,
    /// A buyer paid an order.
    OrderPaid,
    /// Goods went to the buyer.
    GoodsSent,
    /// Money was given back, all or a part.
    Refund,
    /// Goods came back and are for sale again.
    Returned,
    /// Goods broke or were lost, on the shelf or on the way.
    Damage,
    /// Goods were given away.
    Gift,
    /// Goods were taken for oneself.
    PersonalWithdrawal,
    /// A fee or an advertising charge.
    Fee,
    /// A fee was credited.
    FeeReturned,
    /// Postage was bought.
    PostageBought,
    /// The carrier charged more, or gave back.
    PostageAdjusted,
    /// A claim was paid.
    ClaimPaid,
    /// A venue paid out its balance.
    Payout,
    /// Money moved between purses; the card was paid.
    Transfer,
    /// An expense of the business.
    Expense,
    /// Other income.
    OtherIncome,
    /// Own money was put in.
    OwnerPutIn,
    /// Money was taken out.
    OwnerTookOut,
    /// Sales tax collected by the person was remitted.
    TaxRemitted,
    /// A business trip; no money moves.
    Mileage,
}

const PURSES: &[Account] = &[Account::Cash, Account::PlatformBalance, Account::Card];
const PAYING: &[Account] = &[Account::Cash, Account::PlatformBalance, Account::Card, Account::OwnerPutIn];
const RECEIVING: &[Account] =
    &[Account::Cash, Account::PlatformBalance, Account::Card, Account::OwnerTookOut];
const EXPENSES: &[Account] = &[
    Account::Advertising,
    Account::Equipment,
    Account::Insurance,
    Account::OfficeExpense,
    Account::OtherExpense,
    Account::ParkingAndTolls,
    Account::TaxesAndLicences,
];

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 24] = [
        Self::HaulBought,
        Self::HaulAdjusted,
        Self::SuppliesBought,
        Self::SuppliesUsed,
        Self::OrderPaid,
        Self::GoodsSent,
        Self::Refund,
        Self::Returned,
        Self::Damage,
        Self::Gift,
        Self::PersonalWithdrawal,
        Self::Fee,
        Self::FeeReturned,
        Self::PostageBought,
        Self::PostageAdjusted,
        Self::ClaimPaid,
        Self::Payout,
        Self::Transfer,
        Self::Expense,
        Self::OtherIncome,
        Self::OwnerPutIn,
        Self::OwnerTookOut,
        Self::TaxRemitted,
        Self::Mileage,
    ];

    /// Its name in a listing, and the word a store keeps.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::HaulBought => "haul bought",
            Self::HaulAdjusted => "haul adjusted",
            Self::SuppliesBought => "supplies bought",
            Self::SuppliesUsed => "supplies used",
            Self::OrderPaid => "order paid",
            Self::GoodsSent => "goods sent",
            Self::Refund => "refund",
            Self::Returned => "returned to stock",
            Self::Damage => "damage or loss",
            Self::Gift => "gift",
            Self::PersonalWithdrawal => "personal withdrawal",
            Self::Fee => "fee",
            Self::FeeReturned => "fee returned",
            Self::PostageBought => "postage bought",
            Self::PostageAdjusted => "postage adjusted",
            Self::ClaimPaid => "claim paid",
            Self::Payout => "payout",
            Self::Transfer => "transfer",
            Self::Expense => "expense",
            Self::OtherIncome => "other income",
            Self::OwnerPutIn => "owner put in",
            Self::OwnerTookOut => "owner took out",
            Self::TaxRemitted => "sales tax remitted",
            Self::Mileage => "mileage",
        }
    }

    /// The kind of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Whether pieces may go from one fate to another with an entry of this kind. A correction goes back.
    #[must_use]
    pub fn moves(self, from: Fate, to: Fate) -> bool {
        match self {
            Self::GoodsSent => (from, to) == (Fate::OnHand, Fate::Sold),
            Self::Returned => (from, to) == (Fate::Sold, Fate::OnHand),
            Self::Damage => matches!(from, Fate::OnHand | Fate::Sold) && to == Fate::Broken,
            Self::Gift => (from, to) == (Fate::OnHand, Fate::GivenAway),
            Self::PersonalWithdrawal => (from, to) == (Fate::OnHand, Fate::Personal),
            Self::HaulBought
            | Self::HaulAdjusted
            | Self::SuppliesBought
            | Self::SuppliesUsed
            | Self::OrderPaid
            | Self::Refund
            | Self::Fee
            | Self::FeeReturned
            | Self::PostageBought
            | Self::PostageAdjusted
            | Self::ClaimPaid
            | Self::Payout
            | Self::Transfer
            | Self::Expense
            | Self::OtherIncome
            | Self::OwnerPutIn
            | Self::OwnerTookOut
            | Self::TaxRemitted
            | Self::Mileage => false,
        }
    }

    /// Whether an entry of this kind may have the account on that side. A correction has the sides swapped.
    #[must_use]
    pub fn allows(self, account: Account, side: Side) -> bool {
        let (debits, credits): (&[Account], &[Account]) = match self {
            Self::HaulBought => (&[Account::Goods], PAYING),
            Self::HaulAdjusted => return account == Account::CostOfGoods || is_purse(account, side),
            Self::SuppliesBought => (&[Account::SuppliesOnHand], PAYING),
            Self::SuppliesUsed => (&[Account::SuppliesUsed], &[Account::SuppliesOnHand]),
            Self::OrderPaid => {
                (RECEIVING, &[Account::Sales, Account::ShippingCharged, Account::SalesTaxHeld])
            }
            Self::GoodsSent => (&[Account::CostOfGoods], &[Account::Goods]),
            Self::Refund => (&[Account::Refunds, Account::SalesTaxHeld], PAYING),
            Self::Returned => (&[Account::Goods], &[Account::CostOfGoods]),
            Self::Damage => (&[Account::DamageLoss], &[Account::Goods, Account::CostOfGoods]),
            Self::Gift => (&[Account::GivenAway], &[Account::Goods]),
            Self::PersonalWithdrawal => (&[Account::PersonalWithdrawals], &[Account::Goods]),
            Self::Fee => (&[Account::Fees, Account::Advertising], PAYING),
            Self::FeeReturned => (RECEIVING, &[Account::Fees, Account::Advertising]),
            Self::PostageBought => (&[Account::Postage], PAYING),
            Self::PostageAdjusted => return account == Account::Postage || is_purse(account, side),
            Self::ClaimPaid => (RECEIVING, &[Account::ClaimsIncome]),
            Self::Payout => (&[Account::Cash, Account::OwnerTookOut], &[Account::PlatformBalance]),
            Self::Transfer => (PURSES, PURSES),
            Self::Expense => (EXPENSES, PAYING),
            Self::OtherIncome => (RECEIVING, &[Account::OtherIncome]),
            Self::OwnerPutIn => (PURSES, &[Account::OwnerPutIn]),
            Self::OwnerTookOut => (&[Account::OwnerTookOut], PURSES),
            Self::TaxRemitted => (&[Account::SalesTaxHeld], PAYING),
            Self::Mileage => (&[], &[]),
        };
        match side {
            Side::Debit => debits.contains(&account),
            Side::Credit => credits.contains(&account),
        }
    }
}

fn is_purse(account: Account, side: Side) -> bool {
    match side {
        Side::Debit => RECEIVING.contains(&account),
        Side::Credit => PAYING.contains(&account),
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::Kind;
    use crate::{Account, Side};

    #[test]
    fn names_lead_back_to_what_they_name() {
        for kind in Kind::ALL {
            assert_eq!(Kind::named(kind.name()), Some(kind));
        }
        for account in Account::ALL {
            assert_eq!(Account::named(account.name()), Some(account));
        }
        assert_eq!(Kind::named("swap"), None);
    }

    #[test]
    fn income_is_never_debited_by_a_sale_nor_credited_by_a_refund() {
        assert!(!Kind::OrderPaid.allows(Account::Sales, Side::Debit));
        assert!(!Kind::Refund.allows(Account::Refunds, Side::Credit));
        assert!(!Kind::Fee.allows(Account::Fees, Side::Credit));
    }
}
