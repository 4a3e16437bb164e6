//! `lotwright venue`: where you sell, with its terms.

use clap::{Args, Subcommand};
use listing::Venues;
use serde_json::{Value, json};
use shop::{Shop, Venue};
use std::path::PathBuf;
use toml::Table;

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `venue`.
#[derive(Debug, Args)]
pub struct VenueArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do; left out, your venues
    #[command(subcommand)]
    what: Option<VenueCommand>,
}

/// What to do with a venue.
#[derive(Debug, Subcommand)]
enum VenueCommand {
    /// Take in the venues of a file laid out as `lotwright example --venues` prints it, or take them in anew
    Add {
        /// The file
        file: PathBuf,
    },
    /// Write a venue's terms as such a file
    Terms {
        /// Its name
        name: String,
    },
    /// Strike a venue out, where nothing was sold there
    Strike {
        /// Its name
        name: String,
    },
}

/// Takes in, shows or strikes venues.
pub fn venue(args: &VenueArgs) -> Result<String, Stop> {
    match &args.what {
        None => {
            let (shop, _) = args.door.open()?;
            args.door.written(venues(&shop)?)
        }
        Some(VenueCommand::Add { file }) => {
            let rows = read(file)?;
            let (mut shop, when, _) = args.door.open_or_make()?;
            for (name, terms) in rows {
                let known = named(&shop, &name)?;
                let anew = Venue { name, terms };
                match known {
                    Some((number, _)) => shop.amend(&when.stamp(), number, &anew),
                    None => shop.note(&when.stamp(), &anew).map(|_| ()),
                }
                .map_err(refused)?;
            }
            args.door.written(venues(&shop)?)
        }
        Some(VenueCommand::Terms { name }) => {
            let (shop, _) = args.door.open()?;
            let (_, one) = must(&shop, name)?;
            let text = terms_file(&one)?;
            args.door.written(Answer { text, json: json!({ "venue": one.name, "terms": one.terms }) })
        }
        Some(VenueCommand::Strike { name }) => {
            let (mut shop, when) = args.door.open()?;
            let (number, _) = must(&shop, name)?;
            shop.strike::<Venue>(&when.stamp(), number).map_err(refused)?;
            args.door.written(venues(&shop)?)
        }
    }
}

/// The venues of a file by id, each read as the program reads venues.
fn read(file: &std::path::Path) -> Result<Vec<(String, Value)>, Stop> {
    let wrong = |why: String| Stop::Input(format!("{}: {why}", file.display()));
    let text = std::fs::read_to_string(file).map_err(|e| wrong(e.to_string()))?;
    // By itself, so that a row of a key or two, which would only change a published venue, is refused.
    Venues::read(&text).map_err(|e| wrong(e.to_string()))?;
    let told: Table = text.parse().map_err(|e: toml::de::Error| wrong(e.to_string()))?;
    let rows = told.get("venues").and_then(toml::Value::as_table).filter(|rows| !rows.is_empty());
    let rows = rows.ok_or_else(|| {
        wrong(String::from("it has no venue; right would be one such as lotwright example --venues prints"))
    })?;
    rows.iter()
        .map(|(id, terms)| Ok((id.clone(), serde_json::to_value(terms).map_err(|e| wrong(e.to_string()))?)))
        .collect()
}

/// A venue as a file of its own.
fn terms_file(venue: &Venue) -> Result<String, Stop> {
    let terms = toml::Value::try_from(&venue.terms).map_err(|e| Stop::Outside(e.to_string()))?;
    if terms.as_table().is_none_or(Table::is_empty) {
        return Err(Stop::Input(format!(
            "{}: its terms aren't known; right would be: lotwright venue add FILE, see lotwright example --venues",
            venue.name
        )));
    }
    let mut rows = Table::new();
    rows.insert(venue.name.clone(), terms);
    let mut whole = Table::new();
    whole.insert("venues".to_owned(), toml::Value::Table(rows));
    toml::to_string(&whole).map_err(|e| Stop::Outside(e.to_string()))
}

fn named(shop: &Shop, name: &str) -> Result<Option<(u64, Venue)>, Stop> {
    let known = shop.noted::<Venue>().map_err(refused)?;
    Ok(known.into_iter().find(|(_, one)| measure::plain(&one.name) == measure::plain(name)))
}

fn must(shop: &Shop, name: &str) -> Result<(u64, Venue), Stop> {
    named(shop, name)?
        .ok_or_else(|| Stop::Input(format!("there is no venue \"{name}\"; see: lotwright venue")))
}

fn venues(shop: &Shop) -> Result<Answer, Stop> {
    let all = shop.noted::<Venue>().map_err(refused)?;
    let (mut rows, mut list) = (Vec::new(), Vec::new());
    for (number, one) in &all {
        let read = terms_file(one).ok().and_then(|text| Venues::read(&text).ok());
        let terms = read.as_ref().and_then(|venues| venues.find(&one.name).ok()).map_or_else(
            || String::from("terms not known"),
            |terms| format!("{} of the price, {} an order", terms.fee_on_item, terms.fixed_fee),
        );
        rows.push(vec![number.to_string(), one.name.clone(), terms]);
        list.push(json!({ "venue": number, "name": one.name, "terms": one.terms }));
    }
    let body = if rows.is_empty() {
        wrapped(
            "",
            "No venues of your own. Take one in: lotwright venue add FILE (lotwright example --venues).",
        )
    } else {
        table(&["venue", "name", "terms"], &rows)
    };
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: Value::from(list) })
}
