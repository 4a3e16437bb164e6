//! `lotwright venue`: where you sell, with its terms.

use clap::{Args, Subcommand};
use keeping::{put_venues, read_venues, strike_venue, venue_file, venue_terms};
use serde_json::{Value, json};
use shop::{Shop, Venue};
use std::path::PathBuf;

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
            put_venues(&mut shop, &when.stamp(), &|| when.stamp(), rows)?;
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
            strike_venue(&mut shop, &when.stamp(), number)?;
            args.door.written(venues(&shop)?)
        }
    }
}

/// The venues of a file by id, each read as the program reads venues.
fn read(file: &std::path::Path) -> Result<Vec<(String, Value)>, Stop> {
    let wrong = |why: String| Stop::Input(format!("{}: {why}", file.display()));
    let text = std::fs::read_to_string(file).map_err(|e| wrong(e.to_string()))?;
    read_venues(&text).map_err(|why| wrong(why.to_string()))
}

/// A venue as a file of its own.
fn terms_file(venue: &Venue) -> Result<String, Stop> {
    venue_file(venue).ok_or_else(|| {
        Stop::Input(format!(
            "{}: its terms aren't known; right would be: lotwright venue add FILE, see lotwright example --venues",
            venue.name
        ))
    })
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
        let terms = venue_terms(one).map_or_else(
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
