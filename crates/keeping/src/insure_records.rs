//! What is asked about cover, out of the records of an order or a find.

use books::{FindId, OrderId};
use measure::Money;
use shop::{Shop, Venue};

use crate::{InsureAsked, OwnVenues, Stop};

impl InsureAsked {
    /// The loss of an order: what the buyer paid, what of the venue's fee comes back, and the own record of parcels.
    ///
    /// # Errors
    /// When there is no such order, or the file can't be read.
    pub fn of_order(shop: &Shop, id: OrderId) -> Result<Self, Stop> {
        let order = shop.order(id)?;
        let item: Money = order.lines.iter().map(|line| line.item).sum();
        let mut asked =
            Self { item: item.write(), shipping: Some(order.shipping.write()), ..Self::by_record(shop)? };
        if let Some(number) = order.venue {
            let venue: Venue = shop.noted_one(number)?;
            asked.fee_returned = OwnVenues::of(shop)?.terms(&venue.name).map(|terms| {
                let fees = trade::Market::usual(terms.clone()).fees();
                fees.given_back(item, order.shipping).write()
            });
        }
        Ok(asked)
    }

    /// The loss of one lot of a find, where it is listed, and the own record of parcels.
    ///
    /// # Errors
    /// When there is no such find, or the file can't be read.
    pub fn of_find(shop: &Shop, find: FindId) -> Result<Self, Stop> {
        shop.find_text(find)?;
        let listings = shop.listings_of(find)?;
        let newest = listings.iter().rfind(|state| !state.entered.ended);
        let item = newest.map(|state| state.entered.price.write()).unwrap_or_default();
        Ok(Self { item, ..Self::by_record(shop)? })
    }

    /// How many parcels were sent, and how many of them broke.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn by_record(shop: &Shop) -> Result<Self, Stop> {
        let (mut sent, mut broken) = (0_u32, 0_u32);
        for row in shop.tuned()? {
            sent = sent.saturating_add(row.parcels);
            broken = broken.saturating_add(row.broken_orders);
        }
        Ok(Self { sent: Some(sent), broken: Some(broken.min(sent)), ..Self::default() })
    }
}
