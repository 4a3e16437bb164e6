//! Entries of buying: hauls and supplies.

use measure::Money;

use crate::entry::{About, Entry, EntryDraft, Memo, Part, Voucher};
use crate::{Account, BooksError, EntryId, Haul, HaulId, Kind, OrderId, Purse, Quantity, Side, SupplyId};

/// A charge that turns out higher or lower than first paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Adjustment {
    /// So much more was charged.
    More(Money),
    /// So much came back.
    Back(Money),
}

/// A haul was bought: goods at cost, against what paid for them and for their freight. A haul that came free is
/// entered too.
///
/// # Errors
/// When the entry can't be built.
pub fn haul_bought(id: EntryId, haul: &Haul, paid: Purse, freight: Purse) -> Result<Entry, BooksError> {
    let voucher = Voucher { id, date: haul.record().date };
    let freight_in = haul.record().freight_in;
    let mut draft = EntryDraft::new(voucher, Kind::HaulBought)
        .about(About { haul: Some(haul.id()), order: None })
        .line_if_any(Account::Goods, Side::Debit, haul.cost(), Part::default())
        .line_if_any(paid.paying(), Side::Credit, haul.paid_with_tax(), Part::default())
        .line_if_any(freight.paying(), Side::Credit, freight_in, Part::default());
    if freight_in > Money::ZERO {
        draft = draft.memo(Memo::FreightIn(freight_in));
    }
    draft.build()
}

/// A haul cost more or less than was entered, and its basis is frozen: the difference goes to the cost of goods of
/// the day it is found (judgement).
///
/// # Errors
/// When the amount isn't above 0.00.
pub fn haul_adjusted(
    voucher: Voucher,
    haul: HaulId,
    difference: Adjustment,
    purse: Purse,
) -> Result<Entry, BooksError> {
    let draft = EntryDraft::new(voucher, Kind::HaulAdjusted).about(About { haul: Some(haul), order: None });
    adjusted(draft, Account::CostOfGoods, difference, purse)
}

pub(crate) fn adjusted(
    draft: EntryDraft,
    account: Account,
    difference: Adjustment,
    purse: Purse,
) -> Result<Entry, BooksError> {
    match difference {
        Adjustment::More(amount) => draft.debit(account, amount).credit(purse.paying(), amount).build(),
        Adjustment::Back(amount) => draft.debit(purse.receiving(), amount).credit(account, amount).build(),
    }
}

/// Supplies were bought; what they cost waits until they are used.
///
/// # Errors
/// When the amount is negative or past ten million.
pub fn supplies_bought(
    voucher: Voucher,
    supply: SupplyId,
    quantity: Quantity,
    cost: Money,
    paid: Purse,
) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, Kind::SuppliesBought)
        .line_if_any(Account::SuppliesOnHand, Side::Debit, cost, Part::default())
        .line_if_any(paid.paying(), Side::Credit, cost, Part::default())
        .memo(Memo::Supply(supply, quantity))
        .build()
}

/// Supplies were used, for an order or otherwise. `cost` is what [`crate::Books::supply_cost`] says.
///
/// # Errors
/// When the amount is negative or past ten million.
pub fn supplies_used(
    voucher: Voucher,
    supply: SupplyId,
    quantity: Quantity,
    cost: Money,
    order: Option<OrderId>,
) -> Result<Entry, BooksError> {
    EntryDraft::new(voucher, Kind::SuppliesUsed)
        .about(About { order, haul: None })
        .line_if_any(Account::SuppliesUsed, Side::Debit, cost, Part::default())
        .line_if_any(Account::SuppliesOnHand, Side::Credit, cost, Part::default())
        .memo(Memo::Supply(supply, quantity))
        .build()
}
