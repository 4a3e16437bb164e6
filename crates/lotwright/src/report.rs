//! The plan as JSON: every figure with its unit in the name, geometry in world millimetres.

use measure::{Length, Money};
use plan::Parcel;
use schemars::JsonSchema;
use serde::Serialize;
use trade::{Find, Job, LotsBy, OrderPlan, Outcome, Shipped};

use crate::drop_report::{Dropped, dropped};
use crate::worth_report::{FindWorth, find_worth};

/// Everything a job comes to.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Lotwright plan")]
pub struct Report {
    /// Version of this document's shape.
    pub version: u32,
    /// Title of the job.
    pub title: String,
    /// The rate card.
    pub card: String,
    /// Day of mailing.
    pub date: String,
    /// Destinations of the postage figures, in their order.
    pub destinations: Vec<To>,
    /// What each find with comps is worth, and its split.
    pub worths: Vec<FindWorth>,
    /// One per listing; a find that is split may have several.
    pub ladders: Vec<FindLadder>,
    /// Mixed orders.
    pub orders: Vec<Order>,
    /// Cautions for the whole answer.
    pub cautions: Vec<String>,
}

/// A destination.
#[derive(Debug, Serialize, JsonSchema)]
pub struct To {
    /// ZIP Code or its first three digits.
    pub zip: String,
    /// Share of the buyers, 0 to 1.
    pub share: f64,
    /// Postal zone.
    pub zone: u8,
    /// Miles, where the zone is estimated from positions.
    pub miles: Option<f64>,
    /// Miles to the edge of the zone's band, where less than 15.
    pub miles_to_edge: Option<f64>,
}

/// A find's ladder.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FindLadder {
    /// The find.
    pub find: String,
    /// Whole lots.
    pub lots: u32,
    /// Pieces of each kind in one lot.
    pub per_lot: Vec<InLot>,
    /// Price of one lot, cents; absent when there is none.
    pub price_cents: Option<i64>,
    /// Pieces that no whole lot takes, where the sheet states the lots.
    pub leftovers: Vec<Leftover>,
    /// The smallest weight and size to state per lot that never lose.
    pub stated: Option<StatedWeight>,
    /// Orders of 1, 2, ... lots.
    pub orders: Vec<Order>,
}

/// Pieces of a kind in one lot.
#[derive(Debug, Serialize, JsonSchema)]
pub struct InLot {
    /// What they are.
    pub what: String,
    /// How many.
    pub pieces: u32,
}

/// Pieces left over.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Leftover {
    /// What they are.
    pub what: String,
    /// How many.
    pub count: u32,
}

/// A weight and size to state.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StatedWeight {
    /// Weight, g.
    pub weight_g: f64,
    /// Length, width and height, mm.
    pub size_mm: [f64; 3],
    /// Most that any order is charged beyond its postage, cents.
    pub most_over_cents: i64,
    /// Lots in that order.
    pub most_over_lots: u32,
    /// Expected charge beyond postage, cents.
    pub expected_over_cents: i64,
}

/// An order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Order {
    /// What it is called.
    pub name: String,
    /// Number of lots.
    pub lots: u32,
    /// Why there is no plan; absent when there is one.
    pub refused: Option<String>,
    /// Its parcels.
    pub parcels: Vec<Shipment>,
    /// Price of all its lots, cents.
    pub price_cents: i64,
    /// Per destination, in the document's order.
    pub settled: Vec<Settlement>,
    /// Materials of all parcels, cents.
    pub materials_cents: i64,
    /// Working time, minutes.
    pub minutes: f64,
    /// Expected postage, cents.
    pub expected_postage_cents: i64,
    /// Expected charge less postage, cents.
    pub expected_margin_cents: i64,
    /// Expected remainder, cents.
    pub expected_remains_cents: i64,
    /// Index of the destination where least remains.
    pub worst_destination: usize,
}

/// Money of an order to one destination.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Settlement {
    /// Postage, cents.
    pub postage_cents: i64,
    /// Charged for postage, cents.
    pub charged_cents: i64,
    /// Price and charge less postage and materials, cents.
    pub remains_cents: i64,
}

/// A parcel as it is sent.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Shipment {
    /// The packed parcel with its geometry.
    pub plan: Parcel,
    /// Outside length, width and height, mm.
    pub outside_mm: [f64; 3],
    /// Gross mass, g.
    pub gross_g: f64,
    /// Per destination.
    pub postage: Vec<Postage>,
    /// Materials, cents.
    pub materials_cents: i64,
    /// Expected postage, materials and work, cents; with the expected breakage this is what the search made least.
    pub cost_cents: i64,
    /// Below this no listed carton brings the same pieces in one parcel, cents.
    pub bound_cents: i64,
    /// Where a little less or more crosses a step.
    pub steps: Vec<Step>,
    /// What a drop of it does to the pieces.
    pub drop: Dropped,
}

/// Postage of a parcel to one destination.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Postage {
    /// Total, cents.
    pub total_cents: i64,
    /// Billable weight, g.
    pub billable_g: f64,
    /// Cautions of the quote.
    pub cautions: Vec<String>,
}

/// A small change that crosses a step.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Step {
    /// The change.
    pub change: String,
    /// Difference of the expected postage, cents.
    pub difference_cents: i64,
}

/// Pieces that no stated lot takes.
fn leftovers(find: &Find) -> Vec<Leftover> {
    match find.lots_by {
        LotsBy::Split => Vec::new(),
        LotsBy::Sheet => find
            .leftovers()
            .into_iter()
            .filter(|(_, count)| *count > 0)
            .map(|(row, count)| Leftover { what: row.what.clone(), count })
            .collect(),
    }
}

/// The report of a worked-out job.
pub fn report(job: &Job, outcome: &Outcome) -> Report {
    Report {
        version: 1,
        title: job.title.clone(),
        card: job.post.card.id().to_owned(),
        date: job.post.date.to_string(),
        destinations: outcome
            .destinations
            .iter()
            .map(|to| To {
                zip: to.zip.clone(),
                share: to.share,
                zone: to.zone.zone.number(),
                miles: to.zone.miles,
                miles_to_edge: to.zone.to_edge_miles,
            })
            .collect(),
        worths: outcome.worths.iter().flatten().map(|worth| find_worth(job, worth)).collect(),
        ladders: outcome
            .ladders
            .iter()
            .map(|ladder| {
                let find = &job.finds[ladder.listing.find];
                FindLadder {
                    find: find.name.clone(),
                    lots: ladder.listing.lots,
                    per_lot: find
                        .rows
                        .iter()
                        .zip(&ladder.listing.per_lot)
                        .map(|(row, pieces)| InLot { what: row.what.clone(), pieces: *pieces })
                        .collect(),
                    price_cents: ladder.listing.price.map(Money::cents),
                    leftovers: leftovers(find),
                    stated: ladder.stated.map(|stated| StatedWeight {
                        weight_g: stated.weight.grams(),
                        size_mm: stated.size.map(Length::mm),
                        most_over_cents: stated.most_over.cents(),
                        most_over_lots: stated.most_over_lots,
                        expected_over_cents: stated.expected_over.cents(),
                    }),
                    orders: ladder
                        .rungs
                        .iter()
                        .map(|(lots, rung)| {
                            order(
                                &format!("{lots} of {}", find.name),
                                *lots,
                                rung.as_ref().map_err(ToString::to_string),
                            )
                        })
                        .collect(),
                }
            })
            .collect(),
        orders: outcome
            .orders
            .iter()
            .map(|(name, plan)| {
                let lots = plan.as_ref().map_or(0, OrderPlan::lot_count);
                order(name, lots, plan.as_ref().map_err(ToString::to_string))
            })
            .collect(),
        cautions: outcome.cautions.clone(),
    }
}

/// An order, or why there is none.
pub fn order(name: &str, lots: u32, plan: Result<&OrderPlan, String>) -> Order {
    let cents = Money::cents;
    match plan {
        Err(refused) => Order {
            name: name.to_owned(),
            lots,
            refused: Some(refused),
            parcels: Vec::new(),
            price_cents: 0,
            settled: Vec::new(),
            materials_cents: 0,
            minutes: 0.0,
            expected_postage_cents: 0,
            expected_margin_cents: 0,
            expected_remains_cents: 0,
            worst_destination: 0,
        },
        Ok(plan) => Order {
            name: plan.name.clone(),
            lots,
            refused: None,
            parcels: plan.parcels.iter().map(shipment).collect(),
            price_cents: cents(plan.price),
            settled: plan
                .settled
                .iter()
                .map(|settled| Settlement {
                    postage_cents: cents(settled.postage),
                    charged_cents: cents(settled.charged),
                    remains_cents: cents(settled.remains),
                })
                .collect(),
            materials_cents: cents(plan.materials),
            minutes: plan.minutes,
            expected_postage_cents: cents(plan.expected_postage),
            expected_margin_cents: cents(plan.expected_margin),
            expected_remains_cents: cents(plan.expected_remains),
            worst_destination: plan.worst,
        },
    }
}

fn shipment(shipped: &Shipped) -> Shipment {
    Shipment {
        plan: shipped.plan.clone(),
        outside_mm: shipped.outside.map(Length::mm),
        gross_g: shipped.gross.grams(),
        postage: shipped
            .quotes
            .iter()
            .map(|quote| Postage {
                total_cents: quote.total.cents(),
                billable_g: quote.billable.grams(),
                cautions: quote.cautions.clone(),
            })
            .collect(),
        materials_cents: shipped.materials.cents(),
        cost_cents: shipped.cost.cents(),
        bound_cents: shipped.bound.cents(),
        steps: shipped
            .notes
            .iter()
            .map(|note| Step { change: note.change.clone(), difference_cents: note.difference.cents() })
            .collect(),
        drop: dropped(shipped),
    }
}
