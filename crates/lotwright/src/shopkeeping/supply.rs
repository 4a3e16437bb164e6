//! `lotwright supply`: what is there to pack with.

use books::{OrderId, SupplyId};
use clap::{Args, Subcommand, ValueEnum};
use keeping::{DAYS_OF_USE, SupplyPart, SupplyTold};
use protection::Materials;
use serde_json::json;
use shop::{LEAD_DAYS, MoneyMoved, Movement, SAFETY_DAYS, Shop, Supply};

use super::door::{Answer, When, Where, demo_line, refused, refused_at};
use super::typed::{PurseWord, money, quantity};
use crate::problems::Stop;
use crate::words::{table, trimmed, wrapped};

/// Options of `supply`.
#[derive(Debug, Args)]
pub struct SupplyArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do; left out, what is on hand
    #[command(subcommand)]
    what: Option<SupplyCommand>,
}

/// What a supply is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum KindWord {
    /// A size of carton
    Carton,
    /// Sheets, sleeves and pads that go round pieces
    Wrap,
    /// Loose fill
    Fill,
    /// Tape
    Tape,
    /// Labels
    Label,
    /// Anything else
    Other,
}

impl KindWord {
    const fn word(self) -> &'static str {
        match self {
            Self::Carton => "carton",
            Self::Wrap => "wrap",
            Self::Fill => "fill",
            Self::Tape => "tape",
            Self::Label => "label",
            Self::Other => "other",
        }
    }
}

/// What to do with supplies.
#[derive(Debug, Subcommand)]
enum SupplyCommand {
    /// A kind of supply
    Add {
        /// Its name; a carton is best called by its inside size
        #[arg(long)]
        name: String,
        /// What it is
        #[arg(long, value_enum)]
        kind: KindWord,
        /// Inside size of a carton ("12 x 12 x 8 in"); left out, its name
        #[arg(long)]
        size: Option<String>,
        /// Heights that a carton may be cut down to; may be given several times or with commas
        #[arg(long, value_name = "HEIGHT", value_delimiter = ',')]
        cut_to: Vec<String>,
        /// The material that it is ("newsprint", "eps_fill"); left out, its name
        #[arg(long)]
        material: Option<String>,
        /// How much of the material one unit holds (a bag of 3.5 cubic feet, a roll of 1980 in)
        #[arg(long, value_name = "FIGURE")]
        holds: Option<f64>,
        /// What one unit is called ("bag", "roll", "sheet")
        #[arg(long)]
        unit: Option<String>,
        /// Days from ordering it to having it
        #[arg(long, default_value_t = LEAD_DAYS, value_parser = clap::value_parser!(u32).range(0..=365))]
        lead_days: u32,
        /// Days of use kept in store beside that
        #[arg(long, default_value_t = SAFETY_DAYS, value_parser = clap::value_parser!(u32).range(0..=365))]
        safety_days: u32,
    },
    /// Some were bought
    Buy {
        /// Its name
        #[arg(long)]
        name: String,
        /// How many units
        #[arg(long)]
        units: f64,
        /// What they cost
        #[arg(long, value_name = "AMOUNT", default_value = "0")]
        cost: String,
        /// What paid
        #[arg(long, value_enum, default_value = "cash")]
        purse: PurseWord,
    },
    /// They were counted: the file is put right
    Count {
        /// Its name
        #[arg(long)]
        name: String,
        /// Units there are
        #[arg(long)]
        units: f64,
    },
    /// Some were used apart from a plan, or spoiled
    Use {
        /// Its name
        #[arg(long)]
        name: String,
        /// How many units
        #[arg(long)]
        units: f64,
        /// The order, if it was for one
        #[arg(long)]
        order: Option<u64>,
    },
}

/// Adds, buys, counts or uses supplies, and shows what is on hand.
pub fn supply(args: &SupplyArgs) -> Result<String, Stop> {
    let (mut shop, when) = match &args.what {
        Some(SupplyCommand::Add { .. }) => {
            let (shop, when, _) = args.door.open_or_make()?;
            (shop, when)
        }
        None | Some(SupplyCommand::Buy { .. } | SupplyCommand::Count { .. } | SupplyCommand::Use { .. }) => {
            args.door.open()?
        }
    };
    match &args.what {
        None => {}
        Some(SupplyCommand::Add { .. }) => add(&mut shop, &when, args.what.as_ref())?,
        Some(SupplyCommand::Buy { name, units, cost, purse }) => {
            let (supply, _) = named(&shop, "--name", name)?;
            let quantity = quantity("--units", *units)?;
            let movement = Movement::SuppliesBought { supply, quantity, cost: money("--cost", cost)? };
            moved(&mut shop, &when, purse.purse(), movement)?;
        }
        Some(SupplyCommand::Count { name, units }) => {
            let (supply, _) = named(&shop, "--name", name)?;
            let counted = quantity("--units", *units)?;
            if let Some(movement) = keeping::counted(&mut shop, supply, counted, when.day)? {
                moved(&mut shop, &when, books::Purse::Cash, movement)?;
            }
        }
        Some(SupplyCommand::Use { name, units, order }) => {
            let (supply, _) = named(&shop, "--name", name)?;
            let movement = Movement::SuppliesUsed {
                supply,
                quantity: quantity("--units", *units)?,
                order: order.map(OrderId),
            };
            moved(&mut shop, &when, books::Purse::Cash, movement)?;
        }
    }
    args.door.written(shown(&mut shop, &when)?)
}

fn moved(shop: &mut Shop, when: &When, purse: books::Purse, movement: Movement) -> Result<(), Stop> {
    let moved = MoneyMoved { date: when.day, purse, movement, note: String::new() };
    shop.move_money(&when.stamp(), &moved).map(|_| ()).map_err(refused_at("--units"))
}

fn add(shop: &mut Shop, when: &When, told: Option<&SupplyCommand>) -> Result<(), Stop> {
    let Some(SupplyCommand::Add { name, kind, size, cut_to, material, holds, unit, lead_days, safety_days }) =
        told
    else {
        return Ok(());
    };
    let cut_to: Vec<&str> = cut_to.iter().map(String::as_str).collect();
    let holds = holds.map(|holds| holds.to_string());
    let told = SupplyTold {
        name,
        kind: kind.word(),
        size: size.as_deref(),
        cut_to: &cut_to,
        material: material.as_deref(),
        holds: holds.as_deref(),
        unit: unit.as_deref(),
        lead_days: *lead_days,
        safety_days: *safety_days,
    };
    let supply = keeping::supply_told(&told, &Materials::published()).map_err(|wrong| {
        let option = match wrong.part {
            SupplyPart::Name if *kind == KindWord::Carton => "--name (a carton without --size)",
            SupplyPart::Name => "--name",
            SupplyPart::Kind => "--kind",
            SupplyPart::Size => "--size",
            SupplyPart::CutTo => "--cut-to",
            SupplyPart::Material => "--material",
            SupplyPart::Holds => "--holds",
        };
        Stop::Input(format!("{option}: {wrong}"))
    })?;
    shop.note(&when.stamp(), &supply).map(|_| ()).map_err(refused_at("--name"))
}

/// The supply of a name.
pub fn named(shop: &Shop, option: &str, name: &str) -> Result<(SupplyId, Supply), Stop> {
    keeping::supply_named(shop, name, "lotwright supply add").map_err(|stop| stop.at(option))
}

fn shown(shop: &mut Shop, when: &When) -> Result<Answer, Stop> {
    let states = shop.supplies(when.day, DAYS_OF_USE).map_err(refused)?;
    let parcels = |left: Option<u32>| left.map_or_else(|| String::from("-"), |left| left.to_string());
    let rows: Vec<Vec<String>> = states
        .iter()
        .map(|one| {
            vec![
                trimmed(one.on_hand.in_units()),
                trimmed(one.free().in_units()),
                parcels(one.parcels_left),
                trimmed(one.reorder_point),
                if one.to_buy() { String::from("buy") } else { String::from("-") },
                format!("{} ({})", one.name, one.unit),
            ]
        })
        .collect();
    let heads = ["on hand", "free", "parcels left", "buy at", "now", "what"];
    let body = if rows.is_empty() {
        wrapped("", "No supplies yet; begin with: lotwright supply add --name \"12 x 12 x 8\" --kind carton")
    } else {
        let method = format!(
            "Buy at: use a day over the last {DAYS_OF_USE} days x (days to get it + days kept in store). Parcels \
             left: at the average use of the parcels that took it."
        );
        format!("{}\n{}", table(&heads, &rows), wrapped("", &method))
    };
    let json = states.iter().map(|one| {
        json!({
            "supply": one.supply.0, "name": one.name, "unit": one.unit, "on_hand": one.on_hand.in_units(),
            "set_aside": one.reserved.in_units(), "free": one.free().in_units(), "unit_cost": one.unit_cost,
            "parcels_left": one.parcels_left, "used_a_day": one.used_a_day, "reorder_point": one.reorder_point,
            "to_buy": one.to_buy(),
        })
    });
    let json = json.collect();
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json })
}
