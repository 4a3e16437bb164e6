//! What happens together is stored together: all of it, or nothing.

use books::{LotId, OrderId, Purse, Quantity, SupplyId};
use jiff::civil::Date;
use measure::Money;

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::listing::ListingChange;
use crate::writing::Writing;
use crate::{
    Flaw, FromShelf, ListingIn, MoneyMoved, Movement, Noted, OrderIn, PartSent, Record, Shop, ShopError,
    Stamp, Supply, Swap, Venue,
};

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
            let number = writing.take_order(stamp, order)?;
            if let Some((amount, purse)) = fee {
                let movement = Movement::Fee { order: Some(number), amount, advertising: false };
                let moved = MoneyMoved { date: order.ordered_on, purse, movement, note: String::new() };
                writing.enter(&stamp.beside(), &Event::MoneyMoved(moved), None)?;
            }
            Ok(number)
        })
    }

    /// Enters several records of a kind, in their order; gives their numbers.
    ///
    /// # Errors
    /// Those of [`Shop::note`], of the first record that breaks a rule.
    pub fn note_all<R: Noted>(&mut self, stamp: &Stamp, records: &[R]) -> Result<Vec<u64>, ShopError> {
        self.write(|writing| {
            let mut numbers = Vec::with_capacity(records.len());
            for (k, record) in records.iter().enumerate() {
                let stamp = if k == 0 { stamp.clone() } else { stamp.beside() };
                numbers.push(writing.note(&stamp, record)?);
            }
            Ok(numbers)
        })
    }

    /// Notes a supply and enters what there is of it already, where some is, as bought on a day for a sum.
    ///
    /// # Errors
    /// Those of [`Shop::note`], and when the books don't accept what was paid.
    pub fn add_supply(
        &mut self,
        stamp: &Stamp,
        supply: &Supply,
        there: Option<(Quantity, Money, Date, Purse)>,
    ) -> Result<u64, ShopError> {
        self.write(|writing| {
            let number = writing.note(stamp, supply)?;
            if let Some((quantity, cost, date, purse)) = there {
                let movement = Movement::SuppliesBought { supply: SupplyId(number), quantity, cost };
                let moved = MoneyMoved { date, purse, movement, note: String::new() };
                writing.enter(&stamp.beside(), &Event::MoneyMoved(moved), None)?;
            }
            Ok(number)
        })
    }

    /// Swaps a promised piece for a free one; the one that stays may have a flaw that was found, and may leave the
    /// shelf.
    ///
    /// # Errors
    /// Those of [`Shop::swap_piece`], [`Shop::note`] and [`Shop::leave_shelf`].
    pub fn swap_piece_for(
        &mut self,
        stamp: &Stamp,
        swap: &Swap,
        flaw: Option<&Flaw>,
        left: Option<&FromShelf>,
    ) -> Result<u64, ShopError> {
        self.write(|writing| {
            let number = writing.enter(stamp, &Event::PieceSwapped(swap.clone()), None)?;
            if let Some(flaw) = flaw {
                writing.note(&stamp.beside(), flaw)?;
            }
            if let Some(left) = left {
                writing.enter(&stamp.beside(), &Event::FromShelf(left.clone()), None)?;
            }
            Ok(number)
        })
    }

    /// Enters that several parcels of an order were handed over while others wait.
    ///
    /// # Errors
    /// Those of [`Shop::ship_part`], of the first parcel that is refused.
    pub fn ship_parts(&mut self, stamp: &Stamp, parts: &[PartSent]) -> Result<(), ShopError> {
        self.write(|writing| {
            for (k, part) in parts.iter().enumerate() {
                let stamp = if k == 0 { stamp.clone() } else { stamp.beside() };
                writing.enter(&stamp, &Event::PartSent(part.clone()), None)?;
            }
            Ok(())
        })
    }

    /// Enters a listing at a venue that is noted with it.
    ///
    /// # Errors
    /// Those of [`Shop::list`] and [`Shop::note`].
    pub fn list_at_new_venue(
        &mut self,
        stamp: &Stamp,
        listing: &ListingIn,
        venue: &Venue,
    ) -> Result<LotId, ShopError> {
        self.write(|writing| {
            let venue = writing.note(&stamp.beside(), venue)?;
            let entered = ListingIn { venue: Some(venue), ..listing.clone() };
            let event = Event::ListingPut(ListingChange { listing: None, entered });
            writing.enter(stamp, &event, None).map(LotId)
        })
    }

    /// Enters a listing as it is now, at a venue that is noted with it.
    ///
    /// # Errors
    /// Those of [`Shop::relist`] and [`Shop::note`].
    pub fn relist_at_new_venue(
        &mut self,
        stamp: &Stamp,
        listing: LotId,
        anew: &ListingIn,
        venue: &Venue,
    ) -> Result<(), ShopError> {
        self.write(|writing| {
            writing.must_exist(Record::Listing, listing.0)?;
            let before = writing.last_event(Record::Listing, listing.0)?;
            let venue = writing.note(&stamp.beside(), venue)?;
            let entered = ListingIn { venue: Some(venue), ..anew.clone() };
            let event = Event::ListingPut(ListingChange { listing: Some(listing), entered });
            writing.enter(stamp, &event, before).map(|_| ())
        })
    }
}

impl Writing<'_> {
    /// Enters a record of plain fields; gives its number.
    fn note<R: Noted>(&mut self, stamp: &Stamp, record: &R) -> Result<u64, ShopError> {
        let entered = Some(fields_of(R::RECORD, record)?.into());
        let number = next_number(self.conn, R::RECORD)?;
        self.enter(stamp, &Event::Noted(NotedRecord { record: R::RECORD, number, entered }), None)
    }
}
