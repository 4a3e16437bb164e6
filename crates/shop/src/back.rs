//! What goes with a return in one write: pieces, money given back, a claim.

use crate::coming_back::ComingBack;
use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::movement::MoneyMoved;
use crate::{Claim, ClaimState, Movement, Noted, Record, Shop, ShopError, Stamp};

/// All that one return is about; every part may be left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Back {
    /// Pieces that came back or broke on the way.
    pub pieces: Vec<ComingBack>,
    /// Money given back to the buyer.
    pub refund: Option<MoneyMoved>,
    /// A claim opened for it.
    pub claim: Option<Claim>,
}

/// The numbers that were given out for a return.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BackEntered {
    /// The returns, in the order they were told.
    pub returns: Vec<u64>,
    /// The entry of the refund.
    pub refund: Option<u64>,
    /// The claim.
    pub claim: Option<u64>,
}

impl Shop {
    /// Enters all of a return, or, when a part of it is refused, nothing.
    ///
    /// # Errors
    /// When a piece isn't with the buyer of its order, the money given back is more than was paid, or the claim
    /// can't be.
    pub fn bring_back(&mut self, stamp: &Stamp, back: &Back) -> Result<BackEntered, ShopError> {
        let claim = back.claim.as_ref().map(|claim| fields_of(Record::Claim, claim)).transpose()?;
        // The number of an import belongs to one event.
        let mut first = Some(stamp.clone());
        let mut stamp = || first.take().unwrap_or(Stamp::at(stamp.at));
        self.write(|writing| {
            let mut done = BackEntered::default();
            for pieces in &back.pieces {
                let number = writing.enter(&stamp(), &Event::CameBack(pieces.clone()), None)?;
                done.returns.push(number);
            }
            if let Some(refund) = &back.refund {
                done.refund = Some(writing.enter(&stamp(), &Event::MoneyMoved(refund.clone()), None)?);
            }
            if let Some(claim) = claim {
                let number = next_number(writing.conn, Record::Claim)?;
                let noted = NotedRecord { record: Record::Claim, number, entered: Some(claim.into()) };
                done.claim = Some(writing.enter(&stamp(), &Event::Noted(noted), None)?);
            }
            Ok(done)
        })
    }

    /// Enters that a claim was paid, with the money, in one write. Gives the number of the entry.
    ///
    /// # Errors
    /// When the claim isn't open, or the money isn't that of a claim of the same order.
    pub fn pay_claim(&mut self, stamp: &Stamp, number: u64, paid: &MoneyMoved) -> Result<u64, ShopError> {
        let before: Claim = self.noted_one(number)?;
        let state =
            |is: &str, wanted| ShopError::State { record: Record::Claim, number, is: is.to_owned(), wanted };
        match before.state {
            ClaimState::Open => {}
            ClaimState::Paid => return Err(state("paid", "open")),
            ClaimState::Refused => return Err(state("refused", "open")),
        }
        if !matches!(paid.movement, Movement::ClaimPaid { order, .. } if order == before.order) {
            return Err(state(
                "of another order or another kind of money",
                "paid by the claim of its own order",
            ));
        }
        let anew = Claim { state: ClaimState::Paid, ..before };
        let entered = Some(fields_of(Claim::RECORD, &anew)?.into());
        self.write(|writing| {
            let entry = writing.enter(stamp, &Event::MoneyMoved(paid.clone()), None)?;
            let before = writing.last_event(Record::Claim, number)?;
            let noted = NotedRecord { record: Record::Claim, number, entered };
            writing.enter(&Stamp::at(stamp.at), &Event::Noted(noted), before)?;
            Ok(entry)
        })
    }
}
