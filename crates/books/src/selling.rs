//! Entries of orders: paid, sent, refunded, returned, with fees, postage and claims.

use measure::Money;

use crate::buying::{Adjustment, adjusted};
use crate::entry::{About, Entry, EntryDraft, Memo, Part, Voucher};
use crate::goods::move_parts;
use crate::{Account, BooksError, Fate, FindId, Kind, LotId, OrderId, Purse, SentPart, Side};

/// Sales tax on an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BuyerTax {
    /// There was none.
    None,
    /// The venue collected and remits it: a memo, no money of the person's.
    ByVenue(Money),
    /// The person collected it and owes it to the state.
    ByMe(Money),
}

/// A lot, or the part of a lot that comes from one find, with its price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoldPart {
    /// The lot.
    pub lot: LotId,
    /// The find.
    pub find: FindId,
    /// Item price.
    pub item: Money,
}

/// What a buyer paid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderMoney {
    /// The order.
    pub order: OrderId,
    /// Its lots.
    pub parts: Vec<SoldPart>,
    /// Shipping charged.
    pub shipping: Money,
    /// Sales tax.
    pub tax: BuyerTax,
    /// Where the money went.
    pub into: Purse,
}

/// Money given back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RefundMoney {
    /// The order.
    pub order: OrderId,
    /// Given back of item and shipping, all or a part.
    pub amount: Money,
    /// Sales tax given back with it.
    pub tax: BuyerTax,
    /// The lot and find it was for, if it was for one.
    pub part: Part,
    /// Where the money came from.
    pub from: Purse,
}

/// A charge of a venue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Charge {
    /// A selling, payment or per-order fee.
    Fee(Money),
    /// Advertising, as a promoted listing.
    Advertising(Money),
}

impl Charge {
    fn account_and_amount(self) -> (Account, Money) {
        match self {
            Self::Fee(amount) => (Account::Fees, amount),
            Self::Advertising(amount) => (Account::Advertising, amount),
        }
    }
}

fn of_order(voucher: Voucher, kind: Kind, order: OrderId) -> EntryDraft {
    EntryDraft::new(voucher, kind).about(About { order: Some(order), haul: None })
}

/// A buyer paid: item prices by lot and the shipping charged are income; sales tax never is. Goods stay in stock
/// until they are sent.
///
/// # Errors
/// When an amount is negative or past ten million, or nothing was paid.
pub fn order_paid(voucher: Voucher, money: &OrderMoney) -> Result<Entry, BooksError> {
    let (held, memo) = match money.tax {
        BuyerTax::None => (Money::ZERO, Money::ZERO),
        BuyerTax::ByVenue(tax) => (Money::ZERO, tax),
        BuyerTax::ByMe(tax) => (tax, Money::ZERO),
    };
    let items: Money = money.parts.iter().map(|part| part.item).sum();
    let mut draft = of_order(voucher, Kind::OrderPaid, money.order).line_if_any(
        money.into.receiving(),
        Side::Debit,
        items + money.shipping + held,
        Part::default(),
    );
    for sold in &money.parts {
        let part = Part { lot: Some(sold.lot), find: Some(sold.find) };
        draft = draft.line_if_any(Account::Sales, Side::Credit, sold.item, part);
    }
    draft = draft
        .line_if_any(Account::ShippingCharged, Side::Credit, money.shipping, Part::default())
        .line_if_any(Account::SalesTaxHeld, Side::Credit, held, Part::default());
    if memo != Money::ZERO {
        draft = draft.memo(Memo::SalesTax(memo));
    }
    draft.build()
}

/// Goods went to the buyer: their basis becomes cost of goods on this day.
///
/// # Errors
/// When there are no pieces.
pub fn goods_sent(voucher: Voucher, order: OrderId, parts: &[SentPart]) -> Result<Entry, BooksError> {
    move_parts(of_order(voucher, Kind::GoodsSent, order), parts, Fate::OnHand, Fate::Sold)
}

/// Goods came back and are for sale again, at the basis they left with.
///
/// # Errors
/// When there are no pieces.
pub fn returned(voucher: Voucher, order: OrderId, parts: &[SentPart]) -> Result<Entry, BooksError> {
    move_parts(of_order(voucher, Kind::Returned, order), parts, Fate::Sold, Fate::OnHand)
}

/// Money was given back, all or a part. The books refuse more than the buyer paid.
///
/// # Errors
/// When the amount is negative or past ten million, or nothing was given back.
pub fn refund(voucher: Voucher, money: &RefundMoney) -> Result<Entry, BooksError> {
    let (held, memo) = match money.tax {
        BuyerTax::None => (Money::ZERO, Money::ZERO),
        BuyerTax::ByVenue(tax) => (Money::ZERO, tax),
        BuyerTax::ByMe(tax) => (tax, Money::ZERO),
    };
    let mut draft = of_order(voucher, Kind::Refund, money.order)
        .line_if_any(Account::Refunds, Side::Debit, money.amount, money.part)
        .line_if_any(Account::SalesTaxHeld, Side::Debit, held, Part::default())
        .line_if_any(money.from.paying(), Side::Credit, money.amount + held, Part::default());
    if memo != Money::ZERO {
        draft = draft.memo(Memo::SalesTax(memo));
    }
    draft.build()
}

/// A venue charged a fee or advertising, for an order or otherwise.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn fee(
    voucher: Voucher,
    order: Option<OrderId>,
    charge: Charge,
    from: Purse,
) -> Result<Entry, BooksError> {
    let (account, amount) = charge.account_and_amount();
    let draft = EntryDraft::new(voucher, Kind::Fee).about(About { order, haul: None });
    draft.debit(account, amount).credit(from.paying(), amount).build()
}

/// A venue gave a charge back.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn fee_returned(
    voucher: Voucher,
    order: Option<OrderId>,
    charge: Charge,
    into: Purse,
) -> Result<Entry, BooksError> {
    let (account, amount) = charge.account_and_amount();
    let draft = EntryDraft::new(voucher, Kind::FeeReturned).about(About { order, haul: None });
    draft.debit(into.receiving(), amount).credit(account, amount).build()
}

/// Postage was bought for an order.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn postage_bought(
    voucher: Voucher,
    order: OrderId,
    amount: Money,
    from: Purse,
) -> Result<Entry, BooksError> {
    let draft = of_order(voucher, Kind::PostageBought, order);
    draft.debit(Account::Postage, amount).credit(from.paying(), amount).build()
}

/// The carrier charged more for a parcel afterwards, or gave back.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn postage_adjusted(
    voucher: Voucher,
    order: OrderId,
    difference: Adjustment,
    purse: Purse,
) -> Result<Entry, BooksError> {
    adjusted(of_order(voucher, Kind::PostageAdjusted, order), Account::Postage, difference, purse)
}

/// A carrier or insurer paid a claim.
///
/// # Errors
/// When the amount isn't above 0.00, or is past ten million.
pub fn claim_paid(voucher: Voucher, order: OrderId, amount: Money, into: Purse) -> Result<Entry, BooksError> {
    let draft = of_order(voucher, Kind::ClaimPaid, order);
    draft.debit(into.receiving(), amount).credit(Account::ClaimsIncome, amount).build()
}
