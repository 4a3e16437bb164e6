//! `lotwright ship`: an order is handed over.

use books::OrderId;
use clap::Args;
use shop::{ParcelActual, PartSent, PieceRef, PlannedSupply, Shipped, Shop, StandingParcel};

use super::door::{Where, refused};
use super::typed::{PurseWord, mass, money, outside, pieces};
use crate::problems::Stop;
use crate::words::plural;

/// Options of `ship`. What is told of parcels is told in the order of the plan, once for each.
#[derive(Debug, Args)]
pub struct ShipArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The order
    order: u64,
    /// What the closed parcel weighs ("5 lb 3 oz"); once for each parcel
    #[arg(long)]
    weight: Vec<String>,
    /// Its outside size ("12.4 x 12.4 x 8.7 in"); once for each parcel
    #[arg(long)]
    size: Vec<String>,
    /// Minutes that packing it took; once for each parcel
    #[arg(long)]
    minutes: Vec<u32>,
    /// Postage bought for it; once for each parcel
    #[arg(long, value_name = "AMOUNT")]
    postage: Vec<String>,
    /// Its number with the carrier; once for each parcel
    #[arg(long)]
    tracking: Vec<String>,
    /// What paid the postage
    #[arg(long, value_enum, default_value = "balance")]
    purse: PurseWord,
    /// What one parcel took instead of what was set aside ("14 x 14 x 8=1"); may be given many times
    #[arg(long, value_name = "SUPPLY=UNITS")]
    used: Vec<String>,
    /// Only these pieces go now, in one parcel, the rest later ("1:1-4"); may be given many times
    #[arg(long, value_name = "FIND:PIECES")]
    part: Vec<String>,
    /// Which parcel of the plan goes now, by its place in the plan
    #[arg(long, requires = "part", value_name = "NUMBER")]
    parcel: Option<usize>,
}

/// Enters that an order was handed over, and shows plan and parcel side by side.
pub fn ship(args: &ShipArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let id = OrderId(args.order);
    shop.order(id).map_err(refused)?;
    let waiting = shop.parcels(id).map_err(refused)?.into_iter().filter(|parcel| parcel.actual.is_none());
    let mut planned: Vec<StandingParcel> = waiting.collect();
    if !args.part.is_empty() {
        planned = match (args.parcel, planned.len()) {
            (None, 0) => planned,
            (None, 1) => planned,
            (chosen, count) => {
                let at = chosen.and_then(|number| number.checked_sub(1)).filter(|&at| at < count);
                let Some(at) = at else {
                    return Err(Stop::Input(format!(
                        "--parcel: {} of the plan wait; right would be the place of the one that goes, from 1",
                        plural(u32::try_from(count).unwrap_or(u32::MAX), "parcel")
                    )));
                };
                planned.into_iter().skip(at).take(1).collect()
            }
        };
    }
    let told = [
        ("--weight", args.weight.len()),
        ("--size", args.size.len()),
        ("--minutes", args.minutes.len()),
        ("--postage", args.postage.len()),
        ("--tracking", args.tracking.len()),
    ];
    let count = told.into_iter().map(|(_, count)| count).max().unwrap_or(0).max(if planned.is_empty() {
        1
    } else {
        planned.len()
    });
    if let Some((option, told)) = told.into_iter().find(|&(_, told)| told != 0 && told != count) {
        return Err(Stop::Input(format!(
            "{option}: {told} told for {count} parcels; right would be one for each parcel, in their order, or none"
        )));
    }
    if !args.used.is_empty() && count != 1 {
        return Err(Stop::Input(format!(
            "--used: there are {count} parcels; right would be one parcel, or a new plan (lotwright bench plan)"
        )));
    }
    let mut parcels = Vec::with_capacity(count);
    for k in 0..count {
        let supplies = if args.used.is_empty() {
            planned.get(k).map_or_else(Vec::new, |parcel| parcel.plan.supplies.clone())
        } else {
            used(&shop, &args.used)?
        };
        parcels.push(ParcelActual {
            mass: args.weight.get(k).map(|text| mass("--weight", text)).transpose()?,
            size: args.size.get(k).map(|text| outside("--size", text)).transpose()?,
            minutes: args.minutes.get(k).copied(),
            postage: args.postage.get(k).map(|text| money("--postage", text)).transpose()?,
            tracking: args.tracking.get(k).cloned().unwrap_or_default(),
            supplies,
        });
    }
    if !args.part.is_empty() {
        let mut going = Vec::new();
        for text in &args.part {
            let (find, numbers) = pieces("--part", text)?;
            going.extend(numbers.into_iter().map(|number| PieceRef { find, number }));
        }
        let [actual] = parcels.as_slice() else {
            return Err(Stop::input(
                "--part: what goes is one parcel; right would be one weight, one size and so on",
            ));
        };
        let part = PartSent {
            order: id,
            date: when.day,
            postage_from: args.purse.purse(),
            parcel: planned.first().map(|parcel| parcel.id),
            pieces: going,
            actual: actual.clone(),
        };
        shop.ship_part(&when.stamp(), &part).map_err(refused)?;
        return args.door.written(super::order::shown(&shop, id)?);
    }
    let shipped = Shipped { order: id, date: when.day, postage_from: args.purse.purse(), parcels };
    shop.ship_order(&when.stamp(), &shipped).map_err(refused)?;
    args.door.written(super::order::shown(&shop, id)?)
}

fn used(shop: &Shop, told: &[String]) -> Result<Vec<PlannedSupply>, Stop> {
    let read = |text: &String| {
        keeping::supply_used(shop, text, "lotwright supply add").map_err(|stop| stop.at("--used"))
    };
    told.iter().map(read).collect()
}
