//! The balance a venue holds, and whether its payouts agree with the books.

use measure::Money;

use crate::{Account, Books, Entry, Kind};

/// What went through a venue's balance in a year. `opening + expected() = paid_out + closing`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Deposits {
    /// Held by the venue at the beginning of the year.
    pub opening: Money,
    /// Item and shipping of orders paid through it, with tax that it passed on to be remitted by the person.
    pub orders: Money,
    /// Given back to buyers from it.
    pub refunds: Money,
    /// Fees and advertising taken from it, less those given back.
    pub fees: Money,
    /// Postage bought from it, with adjustments.
    pub postage: Money,
    /// Whatever else was paid from it, less what came into it.
    pub other: Money,
    /// Paid out.
    pub paid_out: Money,
    /// Held at the end of the year: income of the year all the same, since it is available.
    pub closing: Money,
}

impl Deposits {
    /// What the venue should have paid out or still hold from this year.
    #[must_use]
    pub fn expected(&self) -> Money {
        self.orders - self.refunds - self.fees - self.postage - self.other
    }
}

/// What went through the venue's balance in a year.
#[must_use]
pub fn deposits(books: &Books, year: i16) -> Deposits {
    let account = Account::PlatformBalance;
    let mut found = Deposits {
        opening: books.net(account, |date| date.year() < year),
        closing: books.net(account, |date| date.year() <= year),
        ..Deposits::default()
    };
    for entry in books.entries().iter().filter(|entry| entry.date().year() == year) {
        let moved = entry.net(account);
        match entry.kind() {
            Kind::OrderPaid => found.orders += moved,
            Kind::Refund => found.refunds += -moved,
            Kind::Fee | Kind::FeeReturned => found.fees += -moved,
            Kind::PostageBought | Kind::PostageAdjusted => found.postage += -moved,
            Kind::Payout => found.paid_out += -moved,
            Kind::HaulBought
            | Kind::HaulAdjusted
            | Kind::SuppliesBought
            | Kind::SuppliesUsed
            | Kind::GoodsSent
            | Kind::Returned
            | Kind::Damage
            | Kind::Gift
            | Kind::PersonalWithdrawal
            | Kind::ClaimPaid
            | Kind::Transfer
            | Kind::Expense
            | Kind::OtherIncome
            | Kind::OwnerPutIn
            | Kind::OwnerTookOut
            | Kind::TaxRemitted
            | Kind::Mileage => found.other += -moved,
        }
    }
    found
}

/// What an information return of a year should show, and for how many payments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FormGross {
    /// Item and shipping, and tax where the payer counts it; nothing is taken off for fees or refunds.
    pub gross: Money,
    /// Payments.
    pub transactions: u32,
}

/// Gross payments through the venue in a year, as an information return counts them.
#[must_use]
pub fn form_gross(books: &Books, year: i16, includes_tax: bool) -> FormGross {
    let through_venue = |entry: &&Entry| {
        entry.kind() == Kind::OrderPaid
            && entry.date().year() == year
            && entry.net(Account::PlatformBalance) != Money::ZERO
    };
    let mut found = FormGross { gross: Money::ZERO, transactions: 0 };
    for entry in books.entries().iter().filter(through_venue) {
        found.gross += -(entry.net(Account::Sales) + entry.net(Account::ShippingCharged));
        if includes_tax {
            found.gross += entry.sales_tax() - entry.net(Account::SalesTaxHeld);
        }
        found.transactions = match entry.corrects() {
            None => found.transactions.saturating_add(1),
            Some(_) => found.transactions.saturating_sub(1),
        };
    }
    found
}
