//! What happens together is stored together: all of it, or nothing.

use books::{OrderId, Purse};
use measure::Money;

use crate::event::{Event, NotedRecord};
use crate::fold::fields_of;
use crate::{Claim, ClaimState, ComingBack, MoneyMoved, Movement, OrderIn, Record, Shop, ShopError, Stamp};

impl Stamp {
    /// The same moment for what is stored beside the first event of a form or row.
    const fn beside(&self) -> Self {
        Self::at(self.at)
    }
}

impl Shop {
    /// Takes an order with the fee that was kept of it, on the day of the order.
    ///
    /// # Errors
    /// Those of [`Shop::take_order`], and when the books don't accept the fee.
    pub fn take_order_with_fee(
        &mut self,
        stamp: &Stamp,
        order: &OrderIn,
        fee: Option<(Money, Purse)>,
    ) -> Result<OrderId, ShopError> {
        self.write(|writing| {
            let number = OrderId(writing.enter(stamp, &Event::OrderTaken(order.clone()), None)?);
            if let Some((amount, purse)) = fee {
                let movement = Movement::Fee { order: Some(number), amount, advertising: false };
                let moved = MoneyMoved { date: order.ordered_on, purse, movement, note: String::new() };
                writing.enter(&stamp.beside(), &Event::MoneyMoved(moved), None)?;
            }
            Ok(number)
        })
    }

    /// Enters what came back or broke of an order, with the money given back for it.
    ///
    /// # Errors
    /// Those of [`Shop::come_back`] and [`Shop::move_money`].
    pub fn settle(
        &mut self,
        stamp: &Stamp,
        backs: &[ComingBack],
        refund: Option<&MoneyMoved>,
    ) -> Result<(), ShopError> {
        let backs = backs.iter().map(|back| Event::CameBack(back.clone()));
        let events: Vec<Event> = backs.chain(refund.map(|moved| Event::MoneyMoved(moved.clone()))).collect();
        self.write(|writing| {
            for (at, event) in events.iter().enumerate() {
                let stamp = if at == 0 { stamp.clone() } else { stamp.beside() };
                writing.enter(&stamp, event, None)?;
            }
            Ok(())
        })
    }

    /// Enters that an open claim was paid, with its money.
    ///
    /// # Errors
    /// When there is no such claim or it is decided, and those of [`Shop::move_money`].
    pub fn pay_claim(
        &mut self,
        stamp: &Stamp,
        claim: u64,
        amount: Money,
        paid: crate::Payment,
    ) -> Result<(), ShopError> {
        let before: Claim = self.noted_one(claim)?;
        let decided = |is: &str| ShopError::State {
            record: Record::Claim,
            number: claim,
            is: is.to_owned(),
            wanted: "open",
        };
        match before.state {
            ClaimState::Open => {}
            ClaimState::Paid => return Err(decided("paid")),
            ClaimState::Refused => return Err(decided("refused")),
        }
        let movement = Movement::ClaimPaid { order: before.order, amount };
        let note = format!("claim {claim}");
        let moved = MoneyMoved { date: paid.date, purse: paid.into, movement, note };
        let anew = fields_of(Record::Claim, &Claim { state: ClaimState::Paid, ..before })?;
        self.write(|writing| {
            let last = writing.last_event(Record::Claim, claim)?;
            writing.enter(stamp, &Event::MoneyMoved(moved.clone()), None)?;
            let noted =
                NotedRecord { record: Record::Claim, number: claim, entered: Some(anew.clone().into()) };
            writing.enter(&stamp.beside(), &Event::Noted(noted), last).map(|_| ())
        })
    }
}
