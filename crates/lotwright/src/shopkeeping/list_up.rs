//! `lotwright list-up`: what is offered for sale.

use books::{FindId, LotId};
use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use shop::{ListingIn, ListingPart, ListingState, Shop, Which};

use super::door::{Answer, Where, demo_line, refused};
use super::typed::{count_of, money_opt};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Options of `list-up`.
#[derive(Debug, Args)]
pub struct ListUpArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// A listing that is changed; left out, a new one
    listing: Option<u64>,
    /// What one lot holds: "4 of 1" for four pieces of find 1; may be given many times
    #[arg(long, value_name = "COUNT of FIND")]
    holds: Vec<String>,
    /// Which pieces
    #[arg(long, value_enum, default_value = "sound")]
    pieces: WhichWord,
    /// Its title; left out, the counts and descriptions
    #[arg(long)]
    title: Option<String>,
    /// Lots offered in all, those reserved and sold among them
    #[arg(long, value_parser = clap::value_parser!(u32).range(0..=100_000))]
    lots: Option<u32>,
    /// Price of one lot
    #[arg(long, value_name = "AMOUNT")]
    price: Option<String>,
    /// The least that an offer may be
    #[arg(long, value_name = "AMOUNT")]
    floor: Option<String>,
    /// The venue it is listed at
    #[arg(long)]
    venue: Option<String>,
    /// It is over
    #[arg(long)]
    end: bool,
    /// Show all listings
    #[arg(long)]
    list: bool,
}

/// Which pieces go into a lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum WhichWord {
    /// Sound ones
    Sound,
    /// Flawed ones
    Flawed,
    /// Any, the sound ones first
    Any,
}

impl WhichWord {
    const fn which(self) -> Which {
        match self {
            Self::Sound => Which::Sound,
            Self::Flawed => Which::Flawed,
            Self::Any => Which::Any,
        }
    }
}

/// Lists lots, changes a listing, or shows them.
pub fn list_up(args: &ListUpArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    if args.list {
        return args.door.written(listings(&shop)?);
    }
    let stamp = when.stamp();
    let parts = args.holds.iter().map(|text| {
        let (pieces, find) = count_of("--holds", text, "find")?;
        Ok(ListingPart { find: FindId(find), pieces, which: args.pieces.which() })
    });
    let parts = parts.collect::<Result<Vec<_>, Stop>>()?;
    let price = money_opt("--price", args.price.as_ref())?;
    let floor = money_opt("--floor", args.floor.as_ref())?;
    if args.title.as_ref().is_some_and(|title| title.trim().is_empty()) {
        return Err(Stop::input("--title is empty; right would be what the lot is"));
    }
    let missing = |option: &str, right: &str| {
        Stop::Input(format!("{option} is missing; right would be: {option} {right}"))
    };
    let listing = match args.listing {
        None => {
            if parts.is_empty() {
                return Err(missing("--holds", "\"4 of 1\""));
            }
            let title = match &args.title {
                Some(title) => title.clone(),
                None => keeping::listing_title(&shop, &parts).map_err(|stop| stop.at("--holds"))?,
            };
            let new = ListingIn {
                venue: None,
                title,
                lots: args.lots.unwrap_or(1),
                price: price.ok_or_else(|| missing("--price", "40"))?,
                floor,
                listed_on: when.day,
                ended: args.end,
                card: json!({}),
                parts,
            };
            put(&mut shop, args, &stamp, None, new)?
        }
        Some(number) => {
            let listing = LotId(number);
            let before = shop.listing(listing).map_err(refused)?.entered;
            let anew = ListingIn {
                venue: before.venue,
                title: args.title.clone().unwrap_or(before.title),
                lots: args.lots.unwrap_or(before.lots),
                price: price.unwrap_or(before.price),
                floor: floor.or(before.floor),
                ended: args.end,
                parts: if parts.is_empty() { before.parts } else { parts },
                listed_on: before.listed_on,
                card: before.card,
            };
            put(&mut shop, args, &stamp, Some(listing), anew)?
        }
    };
    let state = shop.listing(listing).map_err(refused)?;
    let text = format!("{}{}", demo_line(&shop)?, in_words(&shop, &state)?);
    args.door.written(Answer { text, json: as_json(&state) })
}

/// Enters it, with its venue where that is new.
fn put(
    shop: &mut Shop,
    args: &ListUpArgs,
    stamp: &shop::Stamp,
    listing: Option<LotId>,
    entered: ListingIn,
) -> Result<LotId, Stop> {
    if let Some(floor) = entered.floor
        && floor > entered.price
    {
        let price = entered.price;
        return Err(Stop::Input(format!(
            "--floor: {floor} is over the price; right would be at most {price}"
        )));
    }
    keeping::put_listing(shop, stamp, listing, entered, args.venue.as_deref())
        .map_err(|stop| stop.at("--lots"))
}

fn holds(shop: &Shop, state: &ListingState) -> Result<String, Stop> {
    let parts = state.entered.parts.iter().map(|part| {
        let which = match part.which {
            Which::Sound => "",
            Which::Flawed => " flawed",
            Which::Any => " sound or flawed",
        };
        let text = shop.find_text(part.find).map_err(refused)?;
        Ok(format!("{}{which} of find {} ({})", part.pieces, part.find, text.description))
    });
    Ok(parts.collect::<Result<Vec<_>, Stop>>()?.join(" and "))
}

fn in_words(shop: &Shop, state: &ListingState) -> Result<String, Stop> {
    let one = &state.entered;
    let floor = one.floor.map_or_else(String::new, |floor| format!(", no offer under {floor}"));
    let ended = if one.ended { " It is over." } else { "" };
    Ok(format!(
        "{}\n{}",
        wrapped("", &format!("Listing {}: {}", state.id, one.title)),
        wrapped(
            "  ",
            &format!(
                "{} at {}{floor}; each holds {}. {} left, {} promised, {} sold.{ended}",
                plural(one.lots, "lot"),
                one.price,
                holds(shop, state)?,
                state.available(),
                state.reserved,
                state.sold
            )
        )
    ))
}

fn as_json(state: &ListingState) -> Value {
    let one = &state.entered;
    json!({
        "listing": state.id.0, "title": one.title, "lots": one.lots, "price_cents": one.price.cents(),
        "floor_cents": one.floor.map(measure::Money::cents), "listed_on": one.listed_on.to_string(),
        "ended": one.ended, "left": state.available(), "promised": state.reserved, "sold": state.sold,
        "holds": one.parts.iter().map(|part| json!({ "find": part.find.0, "pieces": part.pieces })).collect::<Vec<_>>(),
    })
}

fn listings(shop: &Shop) -> Result<Answer, Stop> {
    let all = shop.listings().map_err(refused)?;
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|state| {
            let ended = if state.entered.ended { " (over)" } else { "" };
            vec![
                state.id.to_string(),
                state.available().to_string(),
                state.reserved.to_string(),
                state.sold.to_string(),
                state.entered.price.to_string(),
                format!("{}{ended}", state.entered.title),
            ]
        })
        .collect();
    let heads = ["listing", "left", "promised", "sold", "price", "title"];
    let body = if rows.is_empty() { String::from("Nothing is listed.") } else { table(&heads, &rows) };
    let text = format!("{}{body}", demo_line(shop)?);
    Ok(Answer { text, json: json!(all.iter().map(as_json).collect::<Vec<_>>()) })
}
