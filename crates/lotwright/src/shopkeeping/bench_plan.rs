//! `lotwright bench plan`: an order's parcels, with what is on hand.

use std::path::PathBuf;

use books::OrderId;
use clap::Args;
use keeping::{BenchAsked, BenchPlan, BenchQuestion, Desk, learnt};
use measure::{Money, Units};
use serde_json::json;
use shop::Shop;

use super::door::{Answer, When, demo_line, refused};
use crate::planning;
use crate::problems::Stop;
use crate::text::{Detail, parcel};
use crate::words::{plural, trimmed, wrapped};

/// Options of `bench plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// The order
    pub order: u64,
    /// A supply that is short and is not set aside; may be given many times
    #[arg(long, value_name = "SUPPLY")]
    pub without: Vec<String>,
    /// Plan with every stock size of carton, whether or not you have it
    #[arg(long)]
    pub any_carton: bool,
    /// Write a drawing of every parcel into this folder
    #[arg(long, value_name = "DIR")]
    pub svg: Option<PathBuf>,
    /// Leave out the steps of packing
    #[arg(long)]
    pub no_steps: bool,
}

/// Plans an order and sets its supplies aside.
pub fn plan(shop: &mut Shop, when: &When, args: &PlanArgs) -> Result<Answer, Stop> {
    let id = OrderId(args.order);
    let desk = Desk::published();
    let asked = BenchAsked { without: args.without.clone(), any_carton: args.any_carton };
    let question = BenchQuestion::read(shop, &desk, id, asked, when.day)?;
    let planned = question.plan(&desk)?;
    shop.plan_order(&when.stamp(), id, &planned.parcels).map_err(refused)?;
    if let Some(folder) = &args.svg {
        let orders = std::iter::once((format!("order {id}"), &planned.plan));
        planning::draw_orders(folder, orders, Units::UsCustomary)?;
    }
    answer(shop, &desk, args, &question, &planned)
}

fn answer(
    shop: &Shop,
    desk: &Desk,
    args: &PlanArgs,
    question: &BenchQuestion,
    planned: &BenchPlan,
) -> Result<Answer, Stop> {
    let (plan, order) = (&planned.plan, &question.order);
    let mut out = vec![format!(
        "{}{}",
        demo_line(shop)?,
        wrapped(
            "",
            &format!(
                "Order {} to {}: {}, supplies set aside.",
                order.id,
                order.destination,
                plural(u32::try_from(plan.parcels.len()).unwrap_or(u32::MAX), "parcel")
            ),
        )
    )];
    for row in &question.pull {
        let shelf = if row.shelf.is_empty() { "nowhere noted" } else { &row.shelf };
        out.push(wrapped(
            "  ",
            &format!("fetch from {shelf}: {}, {}", row.description, keeping::which_pieces(row)),
        ));
    }
    for keeping::Substitute { carton, missing } in &planned.substitutes {
        out.push(wrapped("! ", &format!("Too few of carton {missing} on hand: carton {carton} instead.")));
    }
    let more = planned.costs_more();
    if more > Money::ZERO {
        out.push(wrapped("! ", &format!("That costs {more} more in postage and materials.")));
    }
    if let Some(loss) = planned.said_of_loss(&question.order) {
        out.push(wrapped("! ", &loss));
    }
    if planned.fill != desk.library.materials.usual_fill().name {
        out.push(wrapped("! ", &format!("Filled with {}.", planned.fill)));
    }
    let tuned = shop.tuned().map_err(refused)?;
    for (k, shipped) in plan.parcels.iter().enumerate() {
        let detail = Detail { units: Units::UsCustomary, steps: !args.no_steps, only: None };
        out.push(parcel(k, plan.parcels.len(), shipped, detail).trim_end().to_owned());
        let postage = shipped.quotes.first().map_or(Money::ZERO, |quote| quote.total);
        out.push(wrapped(
            "    ",
            &format!(
                "postage to {} {postage}, materials {}, {:.0} min",
                order.destination, shipped.materials, shipped.minutes
            ),
        ));
        if question.learnt() != trade::Learnt::default() {
            let (weight, minutes) = (question.learnt().weight(), question.learnt().minutes());
            out.push(wrapped(
                "    ~ ",
                &format!(
                    "by what was applied: weight x {weight:.3} and minutes x {minutes:.3} of the plan's own"
                ),
            ));
        }
        if let Some((count, mass, minutes)) = planned.parcels.get(k).and_then(|one| learnt(&tuned, one)) {
            let (parcels, mass) = (plural(count, "parcel"), mass.write(Units::UsCustomary));
            out.push(wrapped(
                "    ~ ",
                &format!("by your own {parcels} like it: {mass} and {minutes:.0} min"),
            ));
        }
    }
    for (parcel, taken) in (1..).zip(&planned.parcels) {
        let list: Vec<String> = taken
            .supplies
            .iter()
            .filter_map(|one| {
                let supply = question.supply(one.supply)?;
                Some(format!(
                    "{} {} of {}",
                    trimmed(one.quantity.in_units()),
                    supply.supply.unit,
                    supply.supply.name
                ))
            })
            .collect();
        if !list.is_empty() {
            out.push(wrapped("  ", &format!("set aside for parcel {parcel}: {}", list.join("; "))));
        }
    }
    let unknown: Vec<String> = planned
        .taken
        .unknown
        .iter()
        .map(|(name, (quantity, unit))| match unit.as_str() {
            "piece" => format!("{} {name}", trimmed(*quantity)),
            "sheet" => format!("{} of {name}", plural(quantity.round().clamp(0.0, 1e6) as u32, "sheet")),
            unit => format!("{} {unit} of {name}", trimmed(*quantity)),
        })
        .collect();
    if !unknown.is_empty() {
        out.push(wrapped(
            "  ~ ",
            &format!("not among your supplies, so not set aside: {}", unknown.join("; ")),
        ));
    }
    let json = json!({
        "order": order.id.0,
        "plan": crate::report::order(&format!("order {}", order.id), order.lines.iter().map(|line| line.lots).sum(), Ok(plan)),
        "substitutes": planned.substitutes.iter().map(|one| json!({ "carton": one.carton, "instead_of": one.missing })).collect::<Vec<_>>(),
        "set_aside": planned.parcels.iter().map(|parcel| parcel.supplies.iter().map(|one| json!({
            "supply": one.supply.0, "units": one.quantity.in_units(),
            "instead_of": one.instead_of.map(|supply| supply.0),
        })).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "not_among_supplies": planned.taken.unknown.keys().collect::<Vec<_>>(),
    });
    Ok(Answer { text: out.join("\n"), json })
}
