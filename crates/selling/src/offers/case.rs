//! An offer with all that is needed to answer it.

use std::fmt;

use measure::Money;

use super::{
    CounterRounding, DeadlineWorth, NetOf, PostedDemand, PostedWorth, STAY_PROBABILITY, Search, posted_worth,
    worth_by_deadline,
};
use crate::SellingError;
use crate::figure::Place;

/// An offer to answer.
#[derive(Debug, Clone, Copy)]
pub struct OfferCase<'a> {
    /// The item price offered, for all the lots wanted together.
    pub offer: Money,
    /// The item price asked for them.
    pub ask: Money,
    /// What remains of an item price.
    pub net: NetOf<'a>,
    /// What happens while waiting.
    pub waiting: Waiting,
    /// Days until the lots must be gone, from 0: without a deadline cheap waiting looks too good.
    pub days_left: f64,
    /// What one lot is worth at the deadline, net, from 0.
    pub at_deadline: Money,
    /// The chance that the buyer is still there after a counter.
    pub stay_probability: f64,
    /// What writing a counter costs in minutes and attention, from 0.
    pub reply_cost: Money,
    /// How a counter is rounded.
    pub rounding: CounterRounding,
}

impl OfferCase<'_> {
    /// With the defaults: worth nothing at the deadline, the usual chance to stay, replying free, counters
    /// ending in .99 or .50.
    #[must_use]
    pub fn new(offer: Money, ask: Money, net: NetOf, waiting: Waiting, days_left: f64) -> OfferCase {
        OfferCase {
            offer,
            ask,
            net,
            waiting,
            days_left,
            at_deadline: Money::ZERO,
            stay_probability: STAY_PROBABILITY,
            reply_cost: Money::ZERO,
            rounding: CounterRounding::NinetyNineOrFifty,
        }
    }
}

/// Which of two values of waiting counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weighing {
    /// The smaller: against hope (judgement).
    #[default]
    Smaller,
    /// The larger: both ways of selling are really open.
    Larger,
}

/// What happens to the lots while they wait; all in net terms (see [`PostedDemand::after_costs`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Waiting {
    /// Other offers come in, for the one lot there is.
    Offers(Search),
    /// Lots sell at the posted price.
    Posted {
        /// Net demand for a lot.
        demand: PostedDemand,
        /// Lots still there, with those wanted.
        lots_left: u32,
        /// Lots the offer is for.
        lots_wanted: u32,
    },
    /// One lot, both computed.
    Both {
        /// The offers.
        search: Search,
        /// Net demand at a posted price.
        demand: PostedDemand,
        /// Which value counts.
        weighing: Weighing,
    },
}

/// What decided the value of waiting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitingModel {
    /// Other offers by the deadline.
    Offers,
    /// Sales at the posted price by the deadline.
    Posted,
}

impl fmt::Display for WaitingModel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Offers => "other offers",
            Self::Posted => "sales at a posted price",
        })
    }
}

/// What the wanted lots are worth if this buyer leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitingWorth {
    /// The value that counts, in currency, net.
    pub value: f64,
    /// The model it comes from.
    pub decided_by: WaitingModel,
    /// By other offers until the deadline.
    pub by_offers: Option<DeadlineWorth>,
    /// By sales at a posted price until the deadline.
    pub by_posted: Option<PostedWorth>,
}

impl Waiting {
    /// What the wanted lots are worth with these days left.
    pub(crate) fn worth(&self, days_left: f64, at_deadline: Money) -> Result<WaitingWorth, SellingError> {
        let rest = Place("offer").money("at_deadline", at_deadline)?;
        match *self {
            Self::Offers(search) => {
                let offers = worth_by_deadline(&search, days_left, rest)?;
                Ok(WaitingWorth {
                    value: offers.value,
                    decided_by: WaitingModel::Offers,
                    by_offers: Some(offers),
                    by_posted: None,
                })
            }
            Self::Posted { demand, lots_left, lots_wanted } => {
                let (value, posted) = posted(&demand, lots_left, lots_wanted, days_left, rest)?;
                Ok(WaitingWorth {
                    value,
                    decided_by: WaitingModel::Posted,
                    by_offers: None,
                    by_posted: Some(posted),
                })
            }
            Self::Both { search, demand, weighing } => {
                let offers = worth_by_deadline(&search, days_left, rest)?;
                let (posted_value, posted) = posted(&demand, 1, 1, days_left, rest)?;
                let offers_count = match weighing {
                    Weighing::Smaller => offers.value <= posted_value,
                    Weighing::Larger => offers.value >= posted_value,
                };
                let (value, decided_by) = if offers_count {
                    (offers.value, WaitingModel::Offers)
                } else {
                    (posted_value, WaitingModel::Posted)
                };
                Ok(WaitingWorth { value, decided_by, by_offers: Some(offers), by_posted: Some(posted) })
            }
        }
    }
}

fn posted(
    demand: &PostedDemand,
    lots_left: u32,
    lots_wanted: u32,
    days_left: f64,
    rest: f64,
) -> Result<(f64, PostedWorth), SellingError> {
    let place = Place("offer");
    let wanted = place.count("lots_wanted", lots_wanted)?;
    let worth = posted_worth(&demand.counted_from(rest), lots_left, days_left)?.above(rest);
    match worth.worth_of(wanted) {
        Some(value) => Ok((value, worth)),
        None => {
            Err(place.wrong("lots_wanted", lots_wanted, format!("at most the {lots_left} lots still there")))
        }
    }
}

/// What remains of the offer and of the ask, and the other checked figures of a case, in currency.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Checked {
    pub(crate) offer_net: f64,
    pub(crate) ask_net: f64,
    pub(crate) reply_cost: f64,
    pub(crate) stay: f64,
}

impl OfferCase<'_> {
    pub(crate) fn check(&self) -> Result<Checked, SellingError> {
        let place = Place("offer");
        place.money("offer", self.offer)?;
        place.money("ask", self.ask)?;
        self.net.check()?;
        place.days("days_left", self.days_left)?;
        let reply_cost = place.money("reply_cost", self.reply_cost)?;
        let stay = place.share("stay_probability", self.stay_probability)?;
        let offer_net = place.signed_amount("net of the offer", self.net.of(self.offer))?;
        let ask_net = place.signed_amount("net of the ask", self.net.of(self.ask))?;
        if self.offer <= self.ask && offer_net > ask_net {
            let right = format!("at most that of the ask, {ask_net:.2}: a higher price never leaves less");
            return Err(place.wrong("net of the offer", format!("{offer_net:.2}"), right));
        }
        Ok(Checked { offer_net, ask_net, reply_cost, stay })
    }
}
