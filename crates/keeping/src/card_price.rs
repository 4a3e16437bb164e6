//! What a parcel would cost by a card, asked of the card alone.

use jiff::civil::Date;
use measure::{Length, Mass};
use postage::{ParcelFacts, Quote, RateCard, Zone};

use crate::Stop;

/// A parcel to ask a price for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PriceAsked {
    /// Its weight as handed over.
    pub gross: Mass,
    /// Its outside, in any order.
    pub outside: [Length; 3],
    /// The zone, from 1 to 9.
    pub zone: u32,
    /// The day it is mailed.
    pub day: Date,
}

/// What it costs by a card, with the arithmetic.
///
/// # Errors
/// When there is no such zone, or the card has no price for the parcel: which limit it is over.
pub fn price_by(card: &RateCard, asked: &PriceAsked) -> Result<Quote, Stop> {
    let zone = u8::try_from(asked.zone).ok().and_then(Zone::new).ok_or_else(|| {
        Stop::Input(format!("there is no zone {}; right would be one from 1 to 9", asked.zone))
    })?;
    let parcel = ParcelFacts { outside: asked.outside, gross: asked.gross, rectangular: true };
    card.quote(&parcel, zone, asked.day).map_err(Stop::input)
}

#[cfg(test)]
mod tests {
    use super::{PriceAsked, price_by};
    use jiff::civil::date;
    use measure::{Length, Mass, Money};
    use postage::RateCard;

    #[test]
    fn a_price_is_that_of_the_card_and_what_it_has_none_for_is_refused() {
        let card = RateCard::by_id("ground_advantage_retail").expect("published");
        let asked = PriceAsked {
            gross: Mass::from_pounds(1.5),
            outside: [10.0, 8.0, 6.0].map(Length::from_inches),
            zone: 4,
            day: date(2026, 8, 2),
        };
        let price = |asked: PriceAsked| price_by(&card, &asked);
        assert_eq!(price(asked).expect("a price").total, Money::from_cents(1300));
        assert!(price(PriceAsked { zone: 10, ..asked }).is_err());
        assert!(price(PriceAsked { gross: Mass::from_pounds(71.0), ..asked }).is_err());
    }
}
