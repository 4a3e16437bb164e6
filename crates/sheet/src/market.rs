//! How pieces are sold: the venue, what is believed about prices and demand, what a purchase must bring.

use std::collections::{BTreeMap, BTreeSet};

use listing::{Venue, Venues};
use measure::Money;
use pricing::{Assumptions, ErrorLaw, GradeOffsets, SellThrough, TimeAssumptions};
use selling::{Demand, OrderMix};
use trade::{Buying, Market};

use crate::entry::Entry;
use crate::figure::{self, Least};
use crate::library::{Library, any_of};
use crate::nearest::listed;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

/// Most natural lot sizes that may be named.
const MOST_NATURAL: usize = 50;
/// Most lots of one order in the mix.
const MOST_TAKEN: usize = 20;

const RIGHT: &str = "[market] with venue, damage, takes and other keys, each of which may be left out";

/// Reads `[market]` and `[buying]`; what they leave out is as usual.
pub(crate) fn market(
    sheet: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Market, Told> {
    let market = match sheet.take("market") {
        None => Ok(Market::usual(usual_venue(&Venues::published()))),
        Some(entry) => {
            let mut section = entry.section(RIGHT, problems)?;
            let market = told(&mut section, library, problems);
            section.close(problems);
            market
        }
    };
    let buying = buying(sheet, problems);
    Ok(Market { buying: buying?, ..market? })
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
    let usual = Market::usual(usual_venue(&Venues::published()));
    let assumptions = assumptions(section, problems);
    let time = time(section, problems);
    let sell_through = sell_through(section, problems);
    let demand = demand(section, problems);
    let mut share = |key, otherwise, right| match section.take(key) {
        None => Ok(otherwise),
        Some(entry) => entry.percent(0.0..=1.0, right, problems),
    };
    let buyers_tax = share("buyers_tax", usual.buyers_tax, "buyers_tax = \"6.8 %\"");
    let damage = share("damage", usual.damage, "damage = \"1.5 %\"");
    let mut number = |key, otherwise, range, right| match section.take(key) {
        None => Ok(otherwise),
        Some(entry) => entry.number(range, right, problems),
    };
    let ask_ratio = number("ask", usual.ask_ratio, 0.1..=10.0, "ask = 1.1");
    let listing_minutes =
        number("listing_minutes", usual.listing_minutes, 0.0..=1000.0, "listing_minutes = 12");
    let holding = number("holding", usual.holding, 0.0..=100.0, "holding = 0.01");
    let mut whole =
        |key, range, right| section.take(key).map(|entry| entry.whole(range, right, problems)).transpose();
    let most_sizes = whole("most_sizes", 1..=selling::MOST_KEPT_SIZES, "most_sizes = 2");
    let spare = whole("spare", 0..=100, "spare = 1");
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
        spare: spare?.unwrap_or(0),
        buying: Buying::default(),
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
        entry.wrong(problems, format!("\"{}\": {error}", quoted(path)), "a venues file as in docs/venues.md")
    })
}

fn assumptions(section: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Assumptions, Told> {
    const ERRORS: &str = "errors = \"student t\" or errors = \"normal\"";
    let mut usual = Assumptions::default();
    let mut told = None;
    let mut number = |key, figure: &mut f64, range, right| {
        if let Some(entry) = section.take(key) {
            match entry.number(range, right, problems) {
                Ok(read) => *figure = read,
                Err(wrong) => told = Some(wrong),
            }
        }
    };
    number("half_life", &mut usual.half_life_days, 1.0..=10_000.0, "half_life = 180");
    number("offer_floor", &mut usual.offer_floor, 0.0..=0.99, "offer_floor = 0.6");
    number("days_at_median", &mut usual.mean_days_at_median, 1.0..=10_000.0, "days_at_median = 45");
    number("price_fall", &mut usual.prior.beta_mean, -2.0..=1.0, "price_fall = -0.2");
    number("price_fall_spread", &mut usual.prior.beta_sd, 0.01..=2.0, "price_fall_spread = 0.2");
    let mut spread = usual.prior.ln_sigma_mean.exp();
    number("spread", &mut spread, 0.01..=3.0, "spread = 0.35");
    usual.prior.ln_sigma_mean = spread.ln();
    if let Some(entry) = section.take("errors") {
        match entry.text(ERRORS, problems) {
            Ok("student t") => usual.error_law = ErrorLaw::StudentT4,
            Ok("normal") => usual.error_law = ErrorLaw::Normal,
            Ok(other) => {
                let message = format!("no law of errors is called \"{}\"", quoted(other));
                told = Some(entry.wrong(problems, message, ERRORS));
            }
            Err(wrong) => told = Some(wrong),
        }
    }
    if let Some(entry) = section.take("unstated_shipping") {
        match between(&entry, problems) {
            Ok(bounds) => usual.unstated_shipping = bounds,
            Err(wrong) => told = Some(wrong),
        }
    }
    if let Some(entry) = section.take("grades") {
        match grades(&entry, problems) {
            Ok(offsets) => usual.grades = offsets,
            Err(wrong) => told = Some(wrong),
        }
    }
    told.map_or(Ok(usual), Err)
}

/// "7 - 16": two amounts, the lower first.
fn between(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<(Money, Money), Told> {
    const RIGHT: &str = "unstated_shipping = \"7.00 - 16.00\"";
    let text = entry.text(RIGHT, problems)?;
    let read = text.split_once('-').and_then(|(low, high)| {
        let (low, high) = (Money::read(low.trim()).ok()?, Money::read(high.trim()).ok()?);
        (low >= Money::ZERO && low <= high).then_some((low, high))
    });
    read.ok_or_else(|| {
        let message = format!("`{}` is not two amounts, the lower first", quoted(text));
        entry.wrong(problems, message, RIGHT)
    })
}

/// What the grades are worth beside C, as logarithms of the price.
fn grades(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<GradeOffsets, Told> {
    const RIGHT: &str = "grades = { A = 0.2, B = 0.1, C = 0, D = -0.2, E = -0.5 }";
    let mut section = entry.section(RIGHT, problems)?;
    let mut offsets = GradeOffsets::default();
    let mut told = None;
    for (key, offset) in [
        ("A", &mut offsets.a),
        ("B", &mut offsets.b),
        ("C", &mut offsets.c),
        ("D", &mut offsets.d),
        ("E", &mut offsets.e),
    ] {
        if let Some(entry) = section.take(key) {
            match entry.number(-5.0..=5.0, RIGHT, problems) {
                Ok(read) => *offset = read,
                Err(wrong) => told = Some(wrong),
            }
        }
    }
    section.close(problems);
    told.map_or(Ok(offsets), Err)
}

fn time(section: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<TimeAssumptions, Told> {
    let mut usual = TimeAssumptions::USUAL;
    let mut number = |key, figure: &mut f64, range, right| match section.take(key) {
        None => Ok(()),
        Some(entry) => entry.number(range, right, problems).map(|read| *figure = read),
    };
    let read = [
        number("ask_exponent", &mut usual.ask_exponent, 0.0..=20.0, "ask_exponent = 3"),
        number("prior_sales", &mut usual.prior_sales, 0.001..=10_000.0, "prior_sales = 1"),
        number("prior_days", &mut usual.prior_days, 0.01..=100_000.0, "prior_days = 60"),
    ];
    read.into_iter().collect::<Result<Vec<()>, Told>>().map(|_| usual)
}

fn sell_through(
    section: &mut Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Option<SellThrough>, Told> {
    const RIGHT: &str = "sell_through = { sold = 18, days = 90, on_offer = 12 }";
    let Some(entry) = section.take("sell_through") else { return Ok(None) };
    let mut inner = entry.section(RIGHT, problems)?;
    let sold = inner.need("sold", RIGHT, problems).and_then(|e| e.whole(0..=1_000_000, RIGHT, problems));
    let mut number =
        |key| inner.need(key, RIGHT, problems).and_then(|e| e.number(0.1..=1_000_000.0, RIGHT, problems));
    let (days, on_offer) = (number("days"), number("on_offer"));
    inner.close(problems);
    let (sold, days, on_offer) = (sold?, days?, on_offer?);
    SellThrough::new(sold, days, on_offer)
        .map(Some)
        .map_err(|error| entry.wrong(problems, error.to_string(), RIGHT))
}

fn demand(section: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Demand, Told> {
    const NATURAL: &str = "natural_sizes = [1, 2, 4, 6, 8, 12]";
    let mut usual = Demand::default();
    let mut number = |key, figure: &mut f64, range, right| match section.take(key) {
        None => Ok(()),
        Some(entry) => entry.number(range, right, problems).map(|read| *figure = read),
    };
    let read = [
        number("size_falloff", &mut usual.gamma, 0.0..=3.0, "size_falloff = 0.35"),
        number("odd_sizes", &mut usual.odd, 0.001..=1.0, "odd_sizes = 0.4"),
        number("horizon", &mut usual.horizon_days, 1.0..=10_000.0, "horizon = 90"),
    ];
    let natural = section.take("natural_sizes").map(|entry| {
        let members = entry.list(MOST_NATURAL, NATURAL, problems)?;
        members
            .iter()
            .map(|member| member.whole(1..=1000, NATURAL, problems))
            .collect::<Result<BTreeSet<u32>, _>>()
    });
    let takes = section.take("takes").map(|entry| takes(&entry, problems));
    read.into_iter().collect::<Result<Vec<()>, Told>>()?;
    if let Some(natural) = natural.transpose()? {
        usual.natural = natural;
    }
    if let Some(mix) = takes.transpose()? {
        usual.mix = mix;
    }
    Ok(usual)
}

/// Shares of the orders that take one lot, two lots, three lots...
fn takes(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<OrderMix, Told> {
    const RIGHT: &str = "takes = [\"85 %\", \"10 %\", \"5 %\"]: orders of one lot, of two, of three";
    let members = entry.list(MOST_TAKEN, RIGHT, problems)?;
    let shares: BTreeMap<u32, f64> = (1..)
        .zip(&members)
        .map(|(lots, member)| Ok((lots, member.percent(0.0..=1.0, RIGHT, problems)?)))
        .collect::<Result<_, Told>>()?;
    OrderMix::new(shares).map_err(|error| entry.wrong(problems, error.to_string(), RIGHT))
}

fn buying(sheet: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Buying, Told> {
    const RIGHT: &str = "[buying] with return, least_profit, loss_risk, guard, horizon and shop_tax, each of which may be left out";
    let mut usual = Buying::default();
    let Some(entry) = sheet.take("buying") else { return Ok(usual) };
    let mut section = entry.section(RIGHT, problems)?;
    let mut share = |key, figure: &mut f64, range, right| match section.take(key) {
        None => Ok(()),
        Some(entry) => entry.percent(range, right, problems).map(|read| *figure = read),
    };
    let read = [
        share("return", &mut usual.return_wanted, 0.0..=100.0, "return = \"50 %\""),
        share("loss_risk", &mut usual.loss_risk, 0.001..=0.5, "loss_risk = \"10 %\""),
        share("guard", &mut usual.guard, 0.01..=0.5, "guard = \"40 %\""),
        share("shop_tax", &mut usual.shop_tax, 0.0..=0.99, "shop_tax = \"7 %\""),
    ];
    let least = section
        .take("least_profit")
        .map(|entry| figure::money(&entry, Least::Nothing, "least_profit = 8.00", problems))
        .transpose();
    let horizon = section
        .take("horizon")
        .map(|entry| entry.number(1.0..=10_000.0, "horizon = 365", problems))
        .transpose();
    section.close(problems);
    read.into_iter().collect::<Result<Vec<()>, Told>>()?;
    if let Some(days) = horizon? {
        usual.horizon_days = days;
    }
    if let Some(least) = least? {
        usual.least_profit = least.cents() as f64 / 100.0;
    }
    Ok(usual)
}
