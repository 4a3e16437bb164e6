//! Why a decision could not be computed.

use measure::Money;

/// Why a decision in money could not be computed; each message says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SellingError {
    /// A figure is no number or out of its range.
    #[error("{place}: {found} stands where {right} was expected")]
    Figure {
        /// What the figure is for.
        place: String,
        /// What stands there.
        found: f64,
        /// What would be right.
        right: &'static str,
    },
    /// More pieces than a plan is made for.
    #[error("{pieces} pieces are more than the {most} that one plan is made for; plan them in parts")]
    TooManyPieces {
        /// What was given.
        pieces: u32,
        /// The most.
        most: u32,
    },
    /// More lot sizes than a plan compares.
    #[error("{sizes} lot sizes are more than the {most} that one plan compares; leave the unlikely ones out")]
    TooManySizes {
        /// What was given.
        sizes: usize,
        /// The most.
        most: usize,
    },
    /// One lot size is given twice.
    #[error("lots of {pieces} are given twice; keep one")]
    SizeTwice {
        /// Pieces in the lot.
        pieces: u32,
    },
    /// A limit on listings that is too loose to be worth computing.
    #[error("at most {asked} lot sizes at once is past {most}; give {most} or fewer, or no limit")]
    LooseLimit {
        /// What was given.
        asked: u32,
        /// The largest limit.
        most: u32,
    },
    /// The shares of orders do not make a whole.
    #[error("the shares of orders by number of lots add up to {sum}; they must add up to 1")]
    MixNotWhole {
        /// What they add up to.
        sum: f64,
    },
    /// There is no parcel for an order.
    #[error(
        "there is no parcel for an order of {lots} lots of {pieces}; give its postage, materials and minutes"
    )]
    NoParcel {
        /// Pieces in one lot.
        pieces: u32,
        /// Lots in the order.
        lots: u32,
    },
    /// The shipping charged leaves nothing for the goods.
    #[error(
        "lots of {pieces}: of {delivered:.2} delivered, {} is charged for shipping, so nothing is left as \
        the price of the goods; charge less for shipping or leave this size out",
        shipping.write()
    )]
    ShippingAbovePrice {
        /// Pieces in one lot.
        pieces: u32,
        /// Price delivered, currency.
        delivered: f64,
        /// Charged for shipping a single lot.
        shipping: Money,
    },
    /// A question about more pieces than were planned for.
    #[error("{asked} pieces were asked for, but the plan covers up to {planned}; plan for more")]
    BeyondPlan {
        /// What was asked.
        asked: u32,
        /// What the plan covers.
        planned: u32,
    },
    /// A figure that can't be used.
    #[error("{place}: {field} can't be {found}; right would be {right}")]
    Wrong {
        /// The question it belongs to ("offer search", "the lots of cups").
        place: String,
        /// The field, as it is called in the record.
        field: &'static str,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
}
