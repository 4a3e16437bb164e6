//! `lotwright ship`: an order is handed over.

use books::OrderId;
use clap::Args;
use shop::{ParcelActual, PlannedSupply, Shipped, Shop};

use super::door::{Where, refused};
use super::typed::{PurseWord, mass, money, outside};
use crate::problems::Stop;

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
}

/// Enters that an order was handed over, and shows plan and parcel side by side.
pub fn ship(args: &ShipArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let id = OrderId(args.order);
    shop.order(id).map_err(refused)?;
    let planned = shop.parcels(id).map_err(refused)?;
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
    let shipped = Shipped { order: id, date: when.day, postage_from: args.purse.purse(), parcels };
    shop.ship_order(&when.stamp(), &shipped).map_err(refused)?;
    args.door.written(super::order::shown(&shop, id)?)
}

fn used(shop: &Shop, told: &[String]) -> Result<Vec<PlannedSupply>, Stop> {
    let read = |text: &String| {
        keeping::supply_used(shop, text, "lotwright supply add").map_err(|stop| match stop {
            keeping::Stop::Input(why) => Stop::Input(format!("--used: {why}")),
            keeping::Stop::Outside(why) => Stop::Outside(why),
        })
    };
    told.iter().map(read).collect()
}
