//! Why a parcel has no price.

use measure::{Length, Mass};

use crate::Zone;
use crate::figure::{figure, pounds};

/// Why a card does not price a parcel; each message gives the limit and the actual figure.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// Over the card's weight limit.
    #[error("the parcel weighs {} and {service} takes at most {}", pounds(*gross), pounds(*limit))]
    TooHeavy {
        /// Service words.
        service: String,
        /// Weight as handed over.
        gross: Mass,
        /// The limit.
        limit: Mass,
    },
    /// Longest side over the card's limit.
    #[error("the longest side is {} in and {service} takes at most {} in",
        figure(longest.inches(), 3), figure(limit.inches(), 3))]
    TooLong {
        /// Service words.
        service: String,
        /// The longest side.
        longest: Length,
        /// The limit.
        limit: Length,
    },
    /// Length plus girth over the card's limit.
    #[error("length plus girth is {} in and {service} takes at most {} in",
        figure(length_plus_girth.inches(), 3), figure(limit.inches(), 3))]
    TooBig {
        /// Service words.
        service: String,
        /// Length plus girth as measured.
        length_plus_girth: Length,
        /// The limit.
        limit: Length,
    },
    /// Within the limit, but in the range of an oversized price that the card does not hold.
    #[error("length plus girth is {} in; above {} in {service} asks an oversized price, which this card \
        does not hold", figure(length_plus_girth.inches(), 3), figure(limit.inches(), 3))]
    OversizePriceUnknown {
        /// Service words.
        service: String,
        /// Length plus girth as measured.
        length_plus_girth: Length,
        /// Up to where ordinary prices hold.
        limit: Length,
    },
    /// The card's rows end below the billable weight, or the cell is empty.
    #[error("the billable weight is {} and this card of {service} has no price for it in {zone}; its last \
        price there is for {}", pounds(*billable), pounds(*last))]
    NoPriceForWeight {
        /// Service words.
        service: String,
        /// The zone asked for.
        zone: Zone,
        /// Actual or dimensional weight, whichever is greater.
        billable: Mass,
        /// The heaviest row with a price for the zone.
        last: Mass,
    },
    /// The card has no price for the zone.
    #[error("this card of {service} has no price for {zone}; its columns are zones 1 to {last}")]
    NoPriceForZone {
        /// Service words.
        service: String,
        /// The zone asked for.
        zone: Zone,
        /// The last zone with a column.
        last: u8,
    },
    /// A weight of zero.
    #[error("the parcel weighs 0 lb; a weight above zero is needed")]
    NothingToWeigh,
    /// A side or weight that is no measure.
    #[error("a {what} of {found} {unit} is no measure; a finite figure above zero is needed")]
    NotMeasurable {
        /// "side" or "weight".
        what: &'static str,
        /// What was given.
        found: f64,
        /// Its unit.
        unit: &'static str,
    },
}
