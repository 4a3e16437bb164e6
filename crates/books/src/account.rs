//! The chart of accounts.

use std::fmt;

/// Where money, goods and their uses are kept apart. Miles and sales tax that a venue remits are memos on an
/// entry and have no account: they are no money of the person's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Account {
    /// Cash and the bank account.
    Cash,
    /// What a venue holds for the person.
    PlatformBalance,
    /// Owed on the card.
    Card,
    /// Goods for sale, at cost.
    Goods,
    /// Packing supplies on hand, at moving average.
    SuppliesOnHand,
    /// Tools and furniture that last; their depreciation is the preparer's.
    Equipment,
    /// Sales tax that the person collects and has to remit.
    SalesTaxHeld,
    /// Own money put in, and own money with which something was paid.
    OwnerPutIn,
    /// Money taken out.
    OwnerTookOut,
    /// Goods taken for oneself, at cost.
    PersonalWithdrawals,
    /// Item prices.
    Sales,
    /// Shipping charged to buyers.
    ShippingCharged,
    /// Money given back to buyers.
    Refunds,
    /// Paid by carriers and insurers for damage and loss.
    ClaimsIncome,
    /// Other income.
    OtherIncome,
    /// Basis of what buyers got.
    CostOfGoods,
    /// Basis of what broke or was lost.
    DamageLoss,
    /// Basis of what was given away.
    GivenAway,
    /// Selling, payment and per-order fees.
    Fees,
    /// Promoted listings and other advertising.
    Advertising,
    /// Postage.
    Postage,
    /// Packing supplies used.
    SuppliesUsed,
    /// Insurance bought apart from postage.
    Insurance,
    /// Parking and tolls on business trips.
    ParkingAndTolls,
    /// Office expense.
    OfficeExpense,
    /// Taxes and licences of the business; never the sales tax that a buyer pays.
    TaxesAndLicences,
    /// Whatever else the business costs.
    OtherExpense,
}

/// What an account is in a balance of accounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Something held.
    Asset,
    /// Something owed.
    Liability,
    /// Between the business and its owner.
    Owner,
    /// Income, and what is taken off it.
    Income,
    /// What was spent or used up.
    Expense,
}

impl Account {
    /// Every account.
    pub const ALL: [Self; 27] = [
        Self::Cash,
        Self::PlatformBalance,
        Self::Card,
        Self::Goods,
        Self::SuppliesOnHand,
        Self::Equipment,
        Self::SalesTaxHeld,
        Self::OwnerPutIn,
        Self::OwnerTookOut,
        Self::PersonalWithdrawals,
        Self::Sales,
        Self::ShippingCharged,
        Self::Refunds,
        Self::ClaimsIncome,
        Self::OtherIncome,
        Self::CostOfGoods,
        Self::DamageLoss,
        Self::GivenAway,
        Self::Fees,
        Self::Advertising,
        Self::Postage,
        Self::SuppliesUsed,
        Self::Insurance,
        Self::ParkingAndTolls,
        Self::OfficeExpense,
        Self::TaxesAndLicences,
        Self::OtherExpense,
    ];

    /// Its class.
    #[must_use]
    pub const fn class(self) -> Class {
        match self {
            Self::Cash | Self::PlatformBalance | Self::Goods | Self::SuppliesOnHand | Self::Equipment => {
                Class::Asset
            }
            Self::Card | Self::SalesTaxHeld => Class::Liability,
            Self::OwnerPutIn | Self::OwnerTookOut | Self::PersonalWithdrawals => Class::Owner,
            Self::Sales | Self::ShippingCharged | Self::Refunds | Self::ClaimsIncome | Self::OtherIncome => {
                Class::Income
            }
            Self::CostOfGoods
            | Self::DamageLoss
            | Self::GivenAway
            | Self::Fees
            | Self::Advertising
            | Self::Postage
            | Self::SuppliesUsed
            | Self::Insurance
            | Self::ParkingAndTolls
            | Self::OfficeExpense
            | Self::TaxesAndLicences
            | Self::OtherExpense => Class::Expense,
        }
    }

    /// Its name in a listing, and the word a store keeps.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cash => "cash",
            Self::PlatformBalance => "platform balance",
            Self::Card => "card",
            Self::Goods => "goods",
            Self::SuppliesOnHand => "supplies on hand",
            Self::Equipment => "equipment",
            Self::SalesTaxHeld => "sales tax held",
            Self::OwnerPutIn => "owner put in",
            Self::OwnerTookOut => "owner took out",
            Self::PersonalWithdrawals => "personal withdrawals",
            Self::Sales => "sales",
            Self::ShippingCharged => "shipping charged",
            Self::Refunds => "refunds",
            Self::ClaimsIncome => "claims income",
            Self::OtherIncome => "other income",
            Self::CostOfGoods => "cost of goods",
            Self::DamageLoss => "damage and loss",
            Self::GivenAway => "given away",
            Self::Fees => "fees",
            Self::Advertising => "advertising",
            Self::Postage => "postage",
            Self::SuppliesUsed => "supplies used",
            Self::Insurance => "insurance",
            Self::ParkingAndTolls => "parking and tolls",
            Self::OfficeExpense => "office expense",
            Self::TaxesAndLicences => "taxes and licences",
            Self::OtherExpense => "other expense",
        }
    }

    /// The account of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|account| account.name() == name)
    }
}

impl fmt::Display for Account {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A side of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// What is received, held or used up.
    Debit,
    /// What is given, owed or earned.
    Credit,
}

impl Side {
    /// The other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Debit => Self::Credit,
            Self::Credit => Self::Debit,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Debit => "debit",
            Self::Credit => "credit",
        })
    }
}

/// Where money comes from or goes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Purse {
    /// Cash or the bank account of the business.
    Cash,
    /// The balance a venue holds.
    Platform,
    /// The card.
    Card,
    /// The person's private money.
    OwnPocket,
}

impl Purse {
    /// The account that is credited when it pays.
    #[must_use]
    pub const fn paying(self) -> Account {
        match self {
            Self::Cash => Account::Cash,
            Self::Platform => Account::PlatformBalance,
            Self::Card => Account::Card,
            Self::OwnPocket => Account::OwnerPutIn,
        }
    }

    /// The account that is debited when it receives.
    #[must_use]
    pub const fn receiving(self) -> Account {
        match self {
            Self::Cash => Account::Cash,
            Self::Platform => Account::PlatformBalance,
            Self::Card => Account::Card,
            Self::OwnPocket => Account::OwnerTookOut,
        }
    }
}
