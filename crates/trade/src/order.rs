//! What becomes of an order: its parcels, their postage, what is charged and what remains.

use measure::{Length, Mass, Money};
use plan::Parcel;
use postage::{Quote, ZoneEstimate};

use crate::notes::StepNote;
use crate::{Guard, Listing, TradeError, Worth};

/// A buyer's place with its zone.
#[derive(Debug, Clone)]
pub struct Destination {
    /// ZIP Code or its first three digits, as given.
    pub zip: String,
    /// Share of the buyers, 0 to 1.
    pub share: f64,
    /// Its zone and how sure that is.
    pub zone: ZoneEstimate,
}

/// One parcel, priced.
#[derive(Debug, Clone)]
pub struct Shipped {
    /// The plan, wraps counted in.
    pub plan: Parcel,
    /// Outside length, width and height of the closed carton.
    pub outside: [Length; 3],
    /// Gross mass by which it is posted: the plan's own, by what was learnt ([`crate::Learnt`]).
    pub gross: Mass,
    /// Postage to each destination, in the job's order.
    pub quotes: Vec<Quote>,
    /// Carton, wraps, fill, tape and label.
    pub materials: Money,
    /// Working time, minutes: the plan's own, by what was learnt.
    pub minutes: f64,
    /// Expected postage, materials and working time; with the expected breakage this is what was minimised.
    pub cost: Money,
    /// Below this no listed carton can bring the cost of these pieces in one parcel; the cost itself where
    /// every cheaper carton was proved too small.
    pub bound: Money,
    /// Where a little less or more crosses a step.
    pub notes: Vec<StepNote>,
    /// What a drop of it does to the pieces, or why that can't be reckoned.
    pub guard: Result<Guard, String>,
    /// Limits of its carton with where it is, the one that binds first in front; empty when they can't be reckoned.
    pub limits: Vec<protection::Limit>,
    /// How it was cushioned.
    pub(crate) made: crate::single::Made,
    /// Chance that something in it arrives broken, by its margin; 0 where that can't be reckoned.
    pub chance_of_breakage: f64,
    /// That chance of what its pieces are worth.
    pub expected_breakage: Money,
}

impl Shipped {
    /// What is minimised: cost and expected breakage.
    #[must_use]
    pub fn weighed(&self) -> Money {
        self.cost + self.expected_breakage
    }

    /// Least margin of any piece over all landings: what it bears over what it feels, less one. A parcel whose
    /// drop can't be reckoned has no margin to be short of.
    #[must_use]
    pub fn margin(&self) -> f64 {
        self.guard.as_ref().map_or(f64::INFINITY, |guard| guard.assessment.margin())
    }
}

/// An order to one destination.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settled {
    /// Postage of all its parcels.
    pub postage: Money,
    /// What the buyer is charged for postage.
    pub charged: Money,
    /// Charged less postage.
    pub postage_margin: Money,
    /// Price and charge less postage and materials (price 0 when none is set).
    pub remains: Money,
}

/// An order worked out.
#[derive(Debug, Clone)]
pub struct OrderPlan {
    /// What it is called ("2 lots of consomme cups").
    pub name: String,
    /// Index of a find and the number of its lots.
    pub lots: Vec<(usize, u32)>,
    /// Its parcels.
    pub parcels: Vec<Shipped>,
    /// Price of all its lots; zero when no price is set.
    pub price: Money,
    /// One entry per destination.
    pub settled: Vec<Settled>,
    /// Carton, wraps, fill, tape and labels of all parcels.
    pub materials: Money,
    /// Working time of all parcels, minutes.
    pub minutes: f64,
    /// Postage weighted by the buyers' shares.
    pub expected_postage: Money,
    /// Charged less postage, weighted by the buyers' shares.
    pub expected_margin: Money,
    /// What remains, weighted by the buyers' shares.
    pub expected_remains: Money,
    /// Index of the destination where least remains.
    pub worst: usize,
    /// Cartons of which the order takes more than there are: name, needed, on hand.
    pub short_of: Vec<(String, u32, u32)>,
}

impl OrderPlan {
    /// Lots in the order.
    #[must_use]
    pub fn lot_count(&self) -> u32 {
        self.lots.iter().map(|lot| lot.1).sum()
    }

    /// Expected cost to send: postage and materials.
    #[must_use]
    pub fn cost_to_send(&self) -> Money {
        self.expected_postage + self.materials
    }
}

/// A listing's orders of 1, 2, ... all lots.
#[derive(Debug, Clone)]
pub struct Ladder {
    /// What is listed.
    pub listing: Listing,
    /// Number of lots and the plan, or why there is none.
    pub rungs: Vec<(u32, Result<OrderPlan, TradeError>)>,
    /// The smallest weight and size to state per lot that never lose, when the lots are charged one by
    /// one; `None` when no row of the card is enough or a rung has no plan.
    pub stated: Option<crate::Stated>,
}

/// Everything a job comes to.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Destinations, in the job's order.
    pub destinations: Vec<Destination>,
    /// What each find is worth, in the job's order; `None` where it has no comps.
    pub worths: Vec<Option<Worth>>,
    /// One ladder per listing; a find may have several.
    pub ladders: Vec<Ladder>,
    /// The mixed orders.
    pub orders: Vec<(String, Result<OrderPlan, TradeError>)>,
    /// Cautions that belong to the whole answer.
    pub cautions: Vec<String>,
}

/// An average in whole cents by shares that add up to 1.
#[must_use]
pub(crate) fn expected(amounts: impl Iterator<Item = Money>, destinations: &[Destination]) -> Money {
    Money::from_cents_rounded(
        amounts.zip(destinations).map(|(amount, to)| amount.cents() as f64 * to.share).sum(),
    )
}
