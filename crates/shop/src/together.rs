//! What happens together is stored together: all of it, or nothing.

use books::{OrderId, Purse};
use measure::Money;

use crate::event::Event;
use crate::{MoneyMoved, Movement, OrderIn, Shop, ShopError, Stamp};

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
}
