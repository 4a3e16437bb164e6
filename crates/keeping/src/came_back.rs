//! What came back of an order that was sent, and the money that goes back with it.

use books::{BuyerTax, FindId, LotId, OrderId, Purse};
use jiff::civil::Date;
use measure::Money;
use shop::{CameBack, ComingBack, MoneyMoved, Movement, PieceRef, Shop, Stamp};

use crate::Stop;

/// Money given back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GivenBack {
    /// How much, above 0.00, without tax.
    pub amount: Money,
    /// Sales tax with it.
    pub tax: Option<Money>,
    /// The listing it is for, if for one.
    pub listing: Option<LotId>,
    /// The find it is for, if for one.
    pub find: Option<FindId>,
    /// What pays it.
    pub from: Purse,
}

/// What came back, broke and was given back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Back {
    /// The order.
    pub order: OrderId,
    /// The day.
    pub date: Date,
    /// Pieces on the shelf again.
    pub returned: Vec<PieceRef>,
    /// Pieces that broke or were lost on the way.
    pub broken: Vec<PieceRef>,
    /// Money given back.
    pub refund: Option<GivenBack>,
    /// Anything to remember.
    pub note: String,
}

/// Enters all of it, or nothing.
///
/// # Errors
/// When nothing is told, or the file refuses a part of it.
pub fn settle_back(shop: &mut Shop, stamp: &Stamp, back: &Back) -> Result<(), Stop> {
    let standing = shop.order(back.order)?;
    let came = |what, pieces: &[PieceRef]| {
        let pieces = pieces.to_vec();
        let came = ComingBack { order: back.order, date: back.date, what, pieces, note: back.note.clone() };
        (!came.pieces.is_empty()).then_some(came)
    };
    let backs: Vec<ComingBack> = [(CameBack::Returned, &back.returned), (CameBack::Broken, &back.broken)]
        .into_iter()
        .filter_map(|(what, pieces)| came(what, pieces))
        .collect();
    let refund = back.refund.map(|given| {
        let tax = match (given.tax, standing.tax) {
            (None, _) | (Some(_), BuyerTax::None) => BuyerTax::None,
            (Some(tax), BuyerTax::ByVenue(_)) => BuyerTax::ByVenue(tax),
            (Some(tax), BuyerTax::ByMe(_)) => BuyerTax::ByMe(tax),
        };
        let (amount, lot, find) = (given.amount, given.listing, given.find);
        let movement = Movement::Refund { order: back.order, amount, tax, lot, find };
        MoneyMoved { date: back.date, purse: given.from, movement, note: back.note.clone() }
    });
    if backs.is_empty() && refund.is_none() {
        return Err(Stop::input(
            "nothing is told; right would be pieces that came back or broke, or money given back",
        ));
    }
    shop.bring_back(stamp, &shop::Back { pieces: backs, refund, claim: None })?;
    Ok(())
}
