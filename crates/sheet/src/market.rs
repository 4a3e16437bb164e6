//! How pieces are sold: the venue, and what is believed about prices and demand.

use listing::{Venue, Venues};
use trade::Market;

use crate::beliefs::{demand, prices, sell_through, time};
use crate::entry::Entry;
use crate::library::{Library, any_of};
use crate::nearest::listed;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted, undrawn};

/// Most of an order that tax or damage may take (judgement: a slip of the point is caught by it).
const MOST_OF_AN_ORDER: f64 = 0.5;
/// Most pieces kept back (judgement).
const MOST_SPARE: u32 = 100;
/// Keys of `[market]`.
pub(crate) const MARKET_KEYS: [&str; 27] = [
    "venue",
    "venues",
    "buyers_tax",
    "damage",
    "takes",
    "ask",
    "listing_minutes",
    "holding",
    "most_sizes",
    "spare",
    "size_falloff",
    "odd_sizes",
    "natural_sizes",
    "horizon",
    "sell_through",
    "ask_exponent",
    "prior_sales",
    "prior_days",
    "half_life",
    "offer_floor",
    "days_at_median",
    "price_fall",
    "price_fall_spread",
    "spread",
    "errors",
    "unstated_shipping",
    "grades",
];

const RIGHT: &str = "[market] with venue, damage, takes and other keys, each of which may be left out";

/// Reads `[market]`; what it leaves out is as usual.
pub(crate) fn market(
    sheet: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Market, Told> {
    let Some(entry) = sheet.take("market") else {
        return Ok(Market::usual(usual_venue(&Venues::published())));
    };
    let mut section = entry.section(RIGHT, problems)?;
    let market = told(&mut section, library, problems);
    section.close(problems);
    market
}

fn usual_venue(venues: &Venues) -> Venue {
    Market::usual_venue(venues)
        .cloned()
        .expect("the published venues are never empty, and own ones add to them")
}

fn told(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Market, Told> {
    let venue = venue(section, library, problems);
    let assumptions = prices(section, problems);
    let time = time(section, problems);
    let sell_through = sell_through(section, problems);
    let demand = demand(section, problems);
    let usual = Market::usual(usual_venue(&Venues::published()));
    let buyers_tax = section.percent_or(
        "buyers_tax",
        usual.buyers_tax,
        0.0..=MOST_OF_AN_ORDER,
        "buyers_tax = \"6.8 %\"",
        problems,
    );
    let damage =
        section.percent_or("damage", usual.damage, 0.0..=MOST_OF_AN_ORDER, "damage = \"1.5 %\"", problems);
    let ask_ratio = section.number_or("ask", usual.ask_ratio, 0.1..=10.0, "ask = 1.1", problems);
    let listing_minutes = section.number_or(
        "listing_minutes",
        usual.listing_minutes,
        0.0..=1000.0,
        "listing_minutes = 12",
        problems,
    );
    let holding = section.number_or("holding", usual.holding, 0.0..=100.0, "holding = 0.01", problems);
    let mut whole =
        |key, range, right| section.take(key).map(|entry| entry.whole(range, right, problems)).transpose();
    let most_sizes = whole("most_sizes", 1..=selling::MOST_KEPT_SIZES, "most_sizes = 2");
    let spare = whole("spare", 0..=MOST_SPARE, "spare = 1");
    Ok(Market {
        venue: venue?,
        assumptions: assumptions?,
        time: time?,
        sell_through: sell_through?,
        demand: demand?,
        buyers_tax: buyers_tax?,
        ask_ratio: ask_ratio?,
        listing_minutes: listing_minutes?,
        holding: holding?,
        damage: damage?,
        most_sizes: most_sizes?.or(usual.most_sizes),
        spare: spare?.unwrap_or(usual.spare),
        buying: usual.buying,
    })
}

fn venue(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Venue, Told> {
    const FILE: &str = "venues = \"my-venues.toml\"";
    let venues = match section.take("venues") {
        None => Ok(Venues::published()),
        Some(entry) => own_venues(&entry, library, FILE, problems),
    };
    let named = section.take("venue");
    let venues = venues?;
    let Some(entry) = named else { return Ok(usual_venue(&venues)) };
    let name = entry.text("venue = \"open market\"", problems)?;
    venues.find(name).cloned().map_err(|error| {
        let near = measure::nearest(name, venues.iter().map(|venue| venue.id.as_str()));
        let (message, _) = parted(&error.to_string(), "");
        let right = if near.is_empty() {
            format!("one of {}", listed(venues.iter().map(|venue| venue.id.as_str())))
        } else {
            any_of(&near)
        };
        entry.wrong(problems, message, right)
    })
}

fn own_venues(
    entry: &Entry<'_, '_>,
    library: &Library<'_>,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Venues, Told> {
    let path = entry.text(right, problems)?;
    let bytes = (library.files)(path).map_err(|reason| {
        entry.wrong(problems, format!("the file \"{}\" can't be read: {reason}", quoted(path)), right)
    })?;
    let text = String::from_utf8(bytes).map_err(|_| {
        entry.wrong(problems, format!("the file \"{}\" is not UTF-8 text", quoted(path)), right)
    })?;
    Venues::published().with(&text).map_err(|error| {
        let (message, right) = parted(&undrawn(&error.to_string()), "a venues file as in docs/venues.md");
        entry.wrong(problems, format!("\"{}\": {message}", quoted(path)), right)
    })
}
