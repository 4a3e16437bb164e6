//! How pieces are sold: the venue, what is believed about prices and demand, what a purchase must bring.

use listing::{Venue, Venues};
use pricing::{Assumptions, SellThrough, TimeAssumptions};
use selling::{Demand, FeeRule, Terms};

use crate::Job;

/// The market a job sells in.
#[derive(Debug, Clone, PartialEq)]
pub struct Market {
    /// Where it is sold: fees, limits, who remits tax.
    pub venue: Venue,
    /// What the estimator of prices takes for granted.
    pub assumptions: Assumptions,
    /// What is believed about the time to a sale before any is seen.
    pub time: TimeAssumptions,
    /// The market's own pace, where it was counted; it stands instead of what the comps tell.
    pub sell_through: Option<SellThrough>,
    /// How demand hangs on the lot size, how many lots an order takes, by when sales are counted. The rate for
    /// single pieces is taken from the pace, not from here.
    pub demand: Demand,
    /// Sales tax that buyers pay on top, share of price and shipping, 0 to 1.
    pub buyers_tax: f64,
    /// Ask as a ratio of the expected median price: 1 asks the median.
    pub ask_ratio: f64,
    /// To photograph, write and list, minutes a listing.
    pub listing_minutes: f64,
    /// What keeping one piece for one day costs, currency.
    pub holding: f64,
    /// Chance that an order arrives damaged and is refunded, 0 to 1.
    pub damage: f64,
    /// Most lot sizes that are kept on offer at once; `None` sets no limit.
    pub most_sizes: Option<u32>,
    /// Pieces kept back for one that breaks.
    pub spare: u32,
    /// What a purchase must bring.
    pub buying: Buying,
}

/// What a purchase must bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Buying {
    /// Return on the money paid, a share: 0.5 is half of it on top.
    pub return_wanted: f64,
    /// Least profit of a find, currency.
    pub least_profit: f64,
    /// Chance of a loss that is put up with, 0 to 1.
    pub loss_risk: f64,
    /// Percentile of the price that is reckoned with, 0 to 0.5: below the middle, since what looked cheap was
    /// chosen for looking cheap.
    pub guard: f64,
    /// Sales tax at the shop, a share.
    pub shop_tax: f64,
    /// Days by which a lot must have sold to count; what is left then counts nothing.
    pub horizon_days: f64,
}

/// Half of the money on top (judgement).
const RETURN_WANTED: f64 = 0.5;
/// Least profit of a find, currency (judgement).
const LEAST_PROFIT: f64 = 8.0;
/// One find in ten may lose (judgement).
const LOSS_RISK: f64 = 0.10;
/// The 40th percentile instead of the median (judgement).
const GUARD: f64 = 0.40;

/// What has not sold within a year is given up (judgement).
const HORIZON_DAYS: f64 = 365.0;

impl Default for Buying {
    fn default() -> Self {
        Self {
            return_wanted: RETURN_WANTED,
            least_profit: LEAST_PROFIT,
            loss_risk: LOSS_RISK,
            guard: GUARD,
            shop_tax: 0.0,
            horizon_days: HORIZON_DAYS,
        }
    }
}

/// To photograph, write and list, minutes (judgement).
const LISTING_MINUTES: f64 = 12.0;
/// A cent a day for keeping a piece (judgement).
const HOLDING: f64 = 0.01;
/// Orders that arrive damaged (judgement; published rates run from under 1 % to several).
const DAMAGE: f64 = 0.015;
/// Listings of one find that a person keeps up at once (judgement).
const MOST_SIZES: u32 = 2;

/// The venue that is taken when none is named.
const USUAL_VENUE: &str = "open market";

impl Market {
    /// The venue that is taken when none is named: of these, or the first of them.
    #[must_use]
    pub fn usual_venue(venues: &Venues) -> Option<&Venue> {
        venues.find(USUAL_VENUE).ok().or_else(|| venues.iter().next())
    }

    /// A venue with everything else as usual.
    #[must_use]
    pub fn usual(venue: Venue) -> Self {
        Self {
            venue,
            assumptions: Assumptions::default(),
            time: TimeAssumptions::default(),
            sell_through: None,
            demand: Demand::default(),
            buyers_tax: 0.0,
            ask_ratio: 1.0,
            listing_minutes: LISTING_MINUTES,
            holding: HOLDING,
            damage: DAMAGE,
            most_sizes: Some(MOST_SIZES),
            spare: 0,
            buying: Buying::default(),
        }
    }

    /// The venue's fee as a rule.
    #[must_use]
    pub fn fees(&self) -> FeeRule {
        FeeRule {
            share_of_item: self.venue.fee_on_item.share(),
            share_of_shipping: self.venue.fee_on_shipping.share(),
            share_of_tax: self.venue.fee_on_tax.share(),
            fixed: self.venue.fixed_fee,
            share_given_back: 1.0,
        }
    }
}

/// The terms on which a job's lots are sold.
pub(crate) fn terms(job: &Job) -> Terms {
    let market = &job.market;
    Terms {
        fees: market.fees(),
        tax_rate: market.buyers_tax,
        wage: job.wage.currency(),
        listing_minutes: market.listing_minutes,
        chance_of_damage: market.damage,
        holding: market.holding,
    }
}
