//! From where, to whom, by which card and on which day parcels are sent.

use jiff::civil::Date;
use measure::{Length, Mass};
use postage::{ParcelFacts, RateCard, Refusal, ZoneError, ZoneFinder};
use trade::{Buyer, Post};

use crate::entry::Entry;
use crate::library::Library;
use crate::nearest::suggestion;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

/// Most places of buyers.
const MOST_BUYERS: usize = 100;
/// How far the shares of the buyers may be from adding up to 1, for thirds and sevenths typed short.
const SHARE_SLACK: f64 = 0.001;
/// Years in which a day of mailing is believed.
const YEARS: std::ops::RangeInclusive<i16> = 2000..=2099;

const RIGHT: &str =
    "[post] with from = \"45300\", to = [\"100\", \"606\"] and card = \"ground_advantage_commercial\"";
const RIGHT_FROM: &str = "from = \"45300\"";
const RIGHT_TO: &str =
    "to = [\"100\", \"606\"], or to = [{ zip = \"100\", share = 0.4 }, { zip = \"606\", share = 0.6 }]";
const RIGHT_CARD: &str = "card = \"ground_advantage_commercial\", or card = { rules = \"my-card.toml\", prices = \"my-card.csv\" }";
const RIGHT_DATE: &str = "date = \"2026-11-25\"";

/// Reads `[post]`.
pub(crate) fn post(
    sheet: &mut Section<'_, '_>,
    library: &Library<'_>,
    today: Date,
    problems: &mut Problems<'_>,
) -> Result<Post, Told> {
    let entry = sheet.need("post", RIGHT, problems)?;
    let mut section = entry.section(RIGHT, problems)?;
    let origin = section
        .need("from", RIGHT_FROM, problems)
        .and_then(|entry| Ok((zip(&entry, RIGHT_FROM, problems)?, entry)));
    let buyers = section.need("to", RIGHT_TO, problems).and_then(|entry| buyers(&entry, problems));
    let card = section.need("card", RIGHT_CARD, problems).and_then(|entry| card(&entry, library, problems));
    let chart = section.take("chart");
    let date = section.take("date").map_or(Ok(today), |entry| day(&entry, problems));
    section.close(problems);
    let zones = match (&origin, chart) {
        (Ok((origin, _)), Some(chart)) => zones_by_chart(origin, &chart, library, problems),
        // The chart belongs to an origin that is wrong; without it there's nothing to attach it to.
        (Err(told), Some(_)) => Err(*told),
        (_, None) => Ok(ZoneFinder::published()),
    };
    let (origin, origin_entry) = origin?;
    let (buyers, card, zones, date) = (buyers?, card?, zones?, date?);
    priced(&origin, &origin_entry, &buyers, &card, &zones, date, problems)?;
    let buyers = buyers.into_iter().map(|(buyer, _)| buyer).collect();
    Ok(Post { origin, buyers, card, zones, date })
}

fn zip(entry: &Entry<'_, '_>, right: &str, problems: &mut Problems<'_>) -> Result<String, Told> {
    if !entry.is_text() {
        return Err(entry.wrong_kind(
            problems,
            "a ZIP Code in quotes (a number would lose its zeros)",
            right,
        ));
    }
    let text = entry.text(right, problems)?;
    if matches!(text.len(), 3 | 5) && text.bytes().all(|b| b.is_ascii_digit()) {
        return Ok(text.to_owned());
    }
    let message = format!("`{}` is not a ZIP Code of three or five digits", quoted(text));
    Err(entry.wrong(problems, message, right))
}

fn day(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<Date, Told> {
    let date = entry.date(RIGHT_DATE, problems)?;
    if YEARS.contains(&date.year()) {
        return Ok(date);
    }
    let message = format!("the year {} is not one in which a parcel can be mailed", date.year());
    Err(entry.wrong(problems, message, format!("a day from 2000 to 2099, for example {RIGHT_DATE}")))
}

/// A buyer with its place on the sheet.
type PlacedBuyer<'t, 'i> = (Buyer, Entry<'t, 'i>);

fn buyers<'t, 'i>(
    entry: &Entry<'t, 'i>,
    problems: &mut Problems<'_>,
) -> Result<Vec<PlacedBuyer<'t, 'i>>, Told> {
    let members = entry.list(MOST_BUYERS, RIGHT_TO, problems)?;
    let read: Vec<_> = members.into_iter().map(|member| buyer(member, problems)).collect();
    let read = read.into_iter().collect::<Result<Vec<_>, _>>()?;
    let mut told = None;
    for (number, (zip, _, member)) in read.iter().enumerate() {
        if read.iter().take(number).any(|(before, _, _)| before == zip) {
            told = Some(member.wrong(
                problems,
                format!("{zip} is written twice"),
                "each place once, with its share",
            ));
        }
    }
    if let Some(told) = told {
        return Err(told);
    }
    let shares: Vec<f64> = read.iter().filter_map(|(_, share, _)| *share).collect();
    let equal = 1.0 / read.len() as f64;
    let sum: f64 = shares.iter().sum();
    if !shares.is_empty() && shares.len() < read.len() {
        let message = format!("{} of {} buyers have a share", shares.len(), read.len());
        return Err(entry.wrong(
            problems,
            message,
            "a share for every buyer, or for none (then they are equal)",
        ));
    }
    if !shares.is_empty() && (sum - 1.0).abs() > SHARE_SLACK {
        let message = format!("the shares of the buyers add up to {}", decimals(sum));
        return Err(entry.wrong(problems, message, "shares that add up to 1, for example 0.4 and 0.6"));
    }
    // What the slack let pass is spread evenly, so that the shares add up.
    let share_of = |share: Option<f64>| share.map_or(equal, |share| share / sum);
    Ok(read.into_iter().map(|(zip, share, member)| (Buyer { zip, share: share_of(share) }, member)).collect())
}

/// A buyer's ZIP Code and share, with its place on the sheet.
type ReadBuyer<'t, 'i> = (String, Option<f64>, Entry<'t, 'i>);

fn buyer<'t, 'i>(member: Entry<'t, 'i>, problems: &mut Problems<'_>) -> Result<ReadBuyer<'t, 'i>, Told> {
    const RIGHT: &str = "\"606\", or { zip = \"606\", share = 0.6 }";
    if !member.is_table() {
        return Ok((zip(&member, RIGHT, problems)?, None, member));
    }
    let mut section = member.section(RIGHT, problems)?;
    let zip = section
        .need("zip", "zip = \"606\"", problems)
        .and_then(|entry| zip(&entry, "zip = \"606\"", problems));
    let share = section.take("share").map(|entry| entry.share(problems)).transpose();
    section.close(problems);
    Ok((zip?, share?, member))
}

fn decimals(sum: f64) -> String {
    format!("{sum:.4}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn card(entry: &Entry<'_, '_>, library: &Library<'_>, problems: &mut Problems<'_>) -> Result<RateCard, Told> {
    if entry.is_text() {
        let id = entry.text(RIGHT_CARD, problems)?;
        return RateCard::by_id(id).ok_or_else(|| {
            let published = RateCard::published();
            let right = suggestion(id, published.iter().map(RateCard::id));
            let right = format!(
                "{right}; or your own: card = {{ rules = \"my-card.toml\", prices = \"my-card.csv\" }}"
            );
            entry.wrong(problems, format!("no rate card is called \"{}\"", quoted(id)), right)
        });
    }
    let mut section = entry.section(RIGHT_CARD, problems)?;
    let rules = section
        .need("rules", "rules = \"my-card.toml\"", problems)
        .and_then(|entry| file(&entry, "rules = \"my-card.toml\"", library, problems));
    let prices = section
        .need("prices", "prices = \"my-card.csv\"", problems)
        .and_then(|entry| file(&entry, "prices = \"my-card.csv\"", library, problems));
    let additions = section
        .take("additions")
        .map(|entry| file(&entry, "additions = \"my-additions.csv\"", library, problems))
        .transpose();
    section.close(problems);
    let (rules, prices, additions) = (rules?, prices?, additions?);
    RateCard::read_bytes(&rules, &prices, additions.as_deref()).map_err(|error| {
        let message = format!("the rate card can't be read: {error}");
        entry.wrong(
            problems,
            message,
            "a card mended at that place, laid out as the page on rate cards shows",
        )
    })
}

fn file(
    entry: &Entry<'_, '_>,
    right: &str,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<u8>, Told> {
    let name = entry.text(right, problems)?;
    (library.files)(name).map_err(|reason| {
        let message = format!("the file \"{}\" can't be read: {reason}", quoted(name));
        entry.wrong(problems, message, format!("the name of a file, seen from where the sheet lies: {right}"))
    })
}

fn zones_by_chart(
    origin: &str,
    entry: &Entry<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<ZoneFinder, Told> {
    const RIGHT: &str =
        "chart = \"my-zones.csv\", a file headed dest_zip3,zone or dest_zip3_from,dest_zip3_to,zone";
    let bytes = file(entry, RIGHT, library, problems)?;
    let Ok(text) = std::str::from_utf8(&bytes) else {
        return Err(entry.wrong(problems, "the zone chart is not UTF-8 text", "the file saved as UTF-8"));
    };
    ZoneFinder::published().with_chart(origin, text).map_err(|error| {
        let (message, _) = parted(&error.to_string(), RIGHT);
        entry.wrong(problems, message, RIGHT)
    })
}

/// Checks that every buyer has a zone and that the card has prices for it.
fn priced(
    origin: &str,
    origin_entry: &Entry<'_, '_>,
    buyers: &[PlacedBuyer<'_, '_>],
    card: &RateCard,
    zones: &ZoneFinder,
    date: Date,
    problems: &mut Problems<'_>,
) -> Result<(), Told> {
    // A parcel that every card takes, so that only a missing zone can refuse it.
    let light = ParcelFacts {
        outside: [Length::from_inches(8.0); 3],
        gross: Mass::from_ounces(8.0),
        rectangular: true,
    };
    let origin_area = origin.get(..3).and_then(|area| area.parse().ok());
    let mut told = None;
    for (buyer, member) in buyers {
        match zones.zone(origin, &buyer.zip) {
            Ok(found) => {
                if let Err(refusal @ Refusal::NoPriceForZone { .. }) = card.quote(&light, found.zone, date) {
                    let message = format!("{} is in {}: {refusal}", buyer.zip, found.zone);
                    let right = "a card with a column for that zone, or buyers within its zones";
                    told = Some(member.wrong(problems, message, right));
                }
            }
            Err(error) => {
                let is_origin =
                    matches!(error, ZoneError::NoPosition { area, .. } if Some(area) == origin_area);
                let place = if is_origin { origin_entry } else { member };
                let chart =
                    "a ZIP Code in use, or chart = \"my-zones.csv\" with the official zones of the origin";
                let (message, _) = parted(&error.to_string(), chart);
                told = Some(place.wrong(problems, message, chart));
                if is_origin {
                    break;
                }
            }
        }
    }
    told.map_or(Ok(()), Err)
}
