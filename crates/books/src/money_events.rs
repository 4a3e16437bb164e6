//! Entries of money alone: payouts, transfers, expenses, the owner's money, tax remitted, and trips.

use measure::Money;

use crate::entry::{Entry, EntryDraft, Memo, Voucher};
use crate::{Account, BooksError, Kind, Purse, Trip};

/// An expense of the business that isn't a fee, postage or packing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Expense {
    /// Advertising.
    Advertising,
    /// Insurance bought apart from postage.
    Insurance,
    /// Office supplies and the like.
    Office,
    /// Parking and tolls on business trips.
    ParkingAndTolls,
    /// Taxes and licences.
    TaxesAndLicences,
    /// Something that lasts longer than the year; its deduction is the preparer's.
    Equipment,
    /// Whatever else.
    Other,
}

impl Expense {
    /// Its account.
    #[must_use]
    pub const fn account(self) -> Account {
        match self {
            Self::Advertising => Account::Advertising,
            Self::Insurance => Account::Insurance,
            Self::Office => Account::OfficeExpense,
            Self::ParkingAndTolls => Account::ParkingAndTolls,
            Self::TaxesAndLicences => Account::TaxesAndLicences,
            Self::Equipment => Account::Equipment,
            Self::Other => Account::OtherExpense,
        }
    }
}

fn simple(
    voucher: Voucher,
    kind: Kind,
    debit: Account,
    credit: Account,
    amount: Money,
) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, kind).debit(debit, amount).credit(credit, amount).build()
}

/// A venue paid out a part of its balance into cash or one's own pocket.
///
/// # Errors
/// When the amount isn't above 0.00, is past ten million, or goes to the venue or the card.
pub fn payout(voucher: Voucher, amount: Money, into: Purse) -> Result<Entry, BooksError> {
    simple(voucher, Kind::Payout, into.receiving(), Account::PlatformBalance, amount)
}

/// Money moved between purses of the business; the card was paid.
///
/// # Errors
/// When the amount isn't above 0.00, is past ten million, both purses are the same, or one is one's own pocket.
pub fn transfer(voucher: Voucher, amount: Money, from: Purse, to: Purse) -> Result<Entry, BooksError> {
    simple(voucher, Kind::Transfer, to.receiving(), from.paying(), amount)
}

/// An expense was paid.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn expense(
    voucher: Voucher,
    what: Expense,
    amount: Money,
    from: Purse,
    note: &str,
) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, Kind::Expense)
        .debit(what.account(), amount)
        .credit(from.paying(), amount)
        .note(note)
        .build()
}

/// Other income came in.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn other_income(voucher: Voucher, amount: Money, into: Purse, note: &str) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, Kind::OtherIncome)
        .debit(into.receiving(), amount)
        .credit(Account::OtherIncome, amount)
        .note(note)
        .build()
}

/// Own money was put in.
///
/// # Errors
/// When the amount isn't above 0.00, is past ten million, or the purse is one's own pocket.
pub fn owner_put_in(voucher: Voucher, amount: Money, into: Purse) -> Result<Entry, BooksError> {
    simple(voucher, Kind::OwnerPutIn, into.receiving(), Account::OwnerPutIn, amount)
}

/// Money was taken out for oneself.
///
/// # Errors
/// When the amount isn't above 0.00, is past ten million, or the purse is one's own pocket.
pub fn owner_took_out(voucher: Voucher, amount: Money, from: Purse) -> Result<Entry, BooksError> {
    simple(voucher, Kind::OwnerTookOut, Account::OwnerTookOut, from.paying(), amount)
}

/// Sales tax that the person had collected was remitted.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn tax_remitted(voucher: Voucher, amount: Money, from: Purse) -> Result<Entry, BooksError> {
    simple(voucher, Kind::TaxRemitted, Account::SalesTaxHeld, from.paying(), amount)
}

/// A trip; its own date is the entry's.
///
/// # Errors
/// When the dates differ.
pub fn mileage(voucher: Voucher, trip: Trip) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, Kind::Mileage).memo(Memo::Trip(trip)).build()
}
