//! Venues of the person's own with their terms, kept in the shop file.

use listing::Venues;
use serde_json::Value as Json;
use shop::{Shop, Stamp, Venue};
use toml::{Table, Value};

use crate::{Stop, set};

/// The setting that names the venue that is usual.
const USUAL_VENUE: &str = "market.venue";
/// What a job sheet calls the file of a venue's terms, before the venue's name.
const FILE: &str = "terms of ";
/// What a file of venues must hold at least.
const NOTHING: &str = "it has no venue; right would be one such as lotwright example --venues prints";

/// A venue whose terms can be read.
#[derive(Debug, Clone, PartialEq)]
struct Known {
    name: String,
    file: String,
    terms: listing::Venue,
}

/// The person's own venues whose terms are known.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnVenues(Vec<Known>);

/// The terms that stand for a venue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TermsOf {
    /// No venue was named: those of the usual one.
    Usual,
    /// Those of this venue.
    Named(String),
    /// This venue's aren't known; those of the usual one stand for them.
    NotKnown(String),
}

impl OwnVenues {
    /// The venues of a file whose terms can be read.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn of(shop: &Shop) -> Result<Self, Stop> {
        let all = shop.noted::<Venue>()?.into_iter();
        let known = all.filter_map(|(_, one)| {
            Some(Known { file: venue_file(&one)?, terms: venue_terms(&one)?, name: one.name })
        });
        Ok(Self(known.collect()))
    }

    fn find(&self, name: &str) -> Option<&Known> {
        let wanted = measure::plain(name);
        let by = |told: fn(&Known) -> &str| self.0.iter().find(|one| measure::plain(told(one)) == wanted);
        by(|one| &one.name).or_else(|| by(|one| &one.terms.id)).or_else(|| by(|one| &one.terms.name))
    }

    /// The terms of a venue of one's own, by its name or id; `None` where they aren't known.
    #[must_use]
    pub fn terms(&self, name: &str) -> Option<&listing::Venue> {
        self.find(name).map(|one| &one.terms)
    }

    /// Its id and what a job sheet calls the text with its terms, for a venue of one's own by name.
    pub(crate) fn named(&self, name: &str) -> Option<(String, String)> {
        self.find(name).map(|one| (one.terms.id.clone(), format!("{FILE}{}", one.name)))
    }

    /// Names a venue in a job sheet, where its terms are known here or come with the program.
    ///
    /// # Errors
    /// When the sheet's `market` is no table.
    pub fn name_in(&self, sheet: &mut Table, name: &str) -> Result<TermsOf, Stop> {
        if self.find(name).is_none() && Venues::published().find(name).is_err() {
            return Ok(TermsOf::NotKnown(name.to_owned()));
        }
        set(sheet, USUAL_VENUE, Value::from(name))?;
        Ok(TermsOf::Named(name.to_owned()))
    }

    /// Where a job sheet's venue is one of these, or one of these stands for the usual one, names its terms.
    ///
    /// # Errors
    /// When the sheet's `market` is no table.
    pub fn put(&self, sheet: &mut Table) -> Result<(), Stop> {
        let market = sheet.get("market");
        if market.and_then(|market| market.get("venues")).is_some() {
            return Ok(());
        }
        let named = market.and_then(|market| market.get("venue")).and_then(Value::as_str);
        let published = Venues::published();
        let usual = trade::Market::usual_venue(&published).map(|usual| usual.id.as_str());
        let Some(known) = named.or(usual).and_then(|name| self.find(name)) else { return Ok(()) };
        set(sheet, "market.venues", Value::from(format!("{FILE}{}", known.name)))?;
        set(sheet, USUAL_VENUE, Value::from(known.terms.id.as_str()))
    }

    /// The bytes of a venue's terms, by the name that [`OwnVenues::put`] writes.
    #[must_use]
    pub fn file(&self, name: &str) -> Option<Vec<u8>> {
        let venue = name.strip_prefix(FILE)?;
        self.0.iter().find(|one| one.name == venue).map(|one| one.file.as_bytes().to_vec())
    }
}

/// Reads a file of venues, laid out as the template: each with its terms, by its id. Terms may stand for those of a
/// published venue, but have to be whole.
///
/// # Errors
/// What is wrong, with the venue and the key, and what would be right.
pub fn read_venues(text: &str) -> Result<Vec<(String, Json)>, Stop> {
    // By itself, so that a row of a key or two, which would only change a published venue, is refused.
    Venues::read(text).map_err(Stop::input)?;
    Venues::published().with(text).map_err(Stop::input)?;
    let told: Table = text.parse().map_err(|e: toml::de::Error| Stop::input(e))?;
    let rows = told.get("venues").and_then(Value::as_table).filter(|rows| !rows.is_empty());
    let rows = rows.ok_or_else(|| Stop::input(NOTHING))?;
    rows.iter()
        .map(|(id, terms)| Ok((id.clone(), serde_json::to_value(terms).map_err(Stop::outside)?)))
        .collect()
}

/// Takes venues in, or takes them in anew: one that is known keeps its number. `again` gives the stamps of the second
/// write and later ones. Gives their numbers.
///
/// # Errors
/// When the file refuses one of them.
pub fn put_venues(
    shop: &mut Shop,
    stamp: &Stamp,
    again: &dyn Fn() -> Stamp,
    rows: Vec<(String, Json)>,
) -> Result<Vec<u64>, Stop> {
    let mut numbers = Vec::new();
    for (name, terms) in rows {
        let stamp = if numbers.is_empty() { stamp.clone() } else { again() };
        numbers.push(match crate::known_venue(shop, &name)? {
            Some(number) => {
                // What the person calls it stays: listings are found by it.
                let name = shop.noted_one::<Venue>(number)?.name;
                shop.amend(&stamp, number, &Venue { name, terms })?;
                number
            }
            None => shop.note(&stamp, &Venue { name, terms })?,
        });
    }
    Ok(numbers)
}

/// A venue as a file of its own, laid out as the template; `None` where its terms aren't known.
#[must_use]
pub fn venue_file(venue: &Venue) -> Option<String> {
    let terms = Value::try_from(&venue.terms).ok()?;
    if terms.as_table().is_none_or(Table::is_empty) {
        return None;
    }
    let mut rows = Table::new();
    rows.insert(venue_id(&venue.name), terms);
    let mut whole = Table::new();
    whole.insert("venues".to_owned(), Value::Table(rows));
    toml::to_string(&whole).ok()
}

/// A venue's terms; `None` where they aren't known or can't be read.
#[must_use]
pub fn venue_terms(venue: &Venue) -> Option<listing::Venue> {
    read_terms(venue).ok()
}

/// The same, or what is wrong with them.
///
/// # Errors
/// What is wrong, with the key, and what would be right.
pub fn read_terms(venue: &Venue) -> Result<listing::Venue, Stop> {
    let file =
        venue_file(venue).ok_or_else(|| Stop::Input(format!("{}: its terms aren't known", venue.name)))?;
    Venues::read(&file).map_err(Stop::input)?;
    // Beside the published ones, as a job sheet reads them.
    let venues = Venues::published().with(&file).map_err(Stop::input)?;
    venues.find(&venue_id(&venue.name)).cloned().map_err(Stop::input)
}

/// Enters a venue with its terms, or, with the number of one, enters it anew.
///
/// # Errors
/// When the terms can't be read, another venue is called so, or the setting of the usual venue names it by the name
/// that it had.
pub fn put_terms(shop: &mut Shop, stamp: &Stamp, number: Option<u64>, venue: &Venue) -> Result<u64, Stop> {
    read_terms(venue)?;
    let same = |one: &Venue| {
        measure::plain(&one.name) == measure::plain(&venue.name)
            || venue_id(&one.name) == venue_id(&venue.name)
    };
    let taken = shop.noted::<Venue>()?.into_iter().find(|(known, one)| Some(*known) != number && same(one));
    if let Some((_, one)) = taken {
        return Err(Stop::Input(format!(
            "there is a venue \"{}\" already; right would be another name, or to change that one",
            one.name
        )));
    }
    match number {
        None => Ok(shop.note(stamp, venue)?),
        Some(number) => {
            let before: Venue = shop.noted_one(number)?;
            if venue_id(&before.name) != venue_id(&venue.name) {
                not_usual(shop, &before.name)?;
            }
            shop.amend(stamp, number, venue)?;
            Ok(number)
        }
    }
}

/// The name of the venue whose terms stand where nobody names one.
///
/// # Errors
/// When the file can't be read.
pub fn usual_venue(shop: &Shop) -> Result<String, Stop> {
    let told = crate::setting(shop, USUAL_VENUE)?.map(|value| value.trim_matches('"').to_owned());
    let published = Venues::published();
    let usual = trade::Market::usual_venue(&published).map(|usual| usual.id.clone());
    Ok(told.or(usual).unwrap_or_default())
}

/// That no setting names this venue as the usual one.
fn not_usual(shop: &Shop, name: &str) -> Result<(), Stop> {
    let told = crate::setting(shop, USUAL_VENUE)?;
    let same = |value: &str| venue_id(value.trim_matches('"')) == venue_id(name);
    if told.is_some_and(|value| same(&value)) {
        return Err(Stop::Input(format!(
            "venue {name}: the setting {USUAL_VENUE} names it; right would be to set another one first"
        )));
    }
    Ok(())
}

/// The id under which a venue of this name stands in a file: that of a published venue where it is called so.
#[must_use]
pub fn venue_id(name: &str) -> String {
    if let Ok(published) = Venues::published().find(name) {
        return published.id.clone();
    }
    let letters = name.trim().chars().map(|letter| letter.to_ascii_lowercase());
    let id: String = letters.map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    if id.chars().any(|c| c != '_') { id } else { String::from("my_venue") }
}

/// Strikes a venue out.
///
/// # Errors
/// Where something was listed or sold there, or the setting of the usual venue names it.
pub fn strike_venue(shop: &mut Shop, stamp: &Stamp, number: u64) -> Result<(), Stop> {
    let one: Venue = shop.noted_one(number)?;
    not_usual(shop, &one.name)?;
    match shop.strike::<Venue>(stamp, number) {
        Err(shop::ShopError::Refused { .. }) => Err(Stop::Input(format!(
            "venue {}: something was listed or sold there; right would be to keep it and to list elsewhere",
            one.name
        ))),
        other => Ok(other?),
    }
}

#[cfg(test)]
mod tests {
    use super::{
        OwnVenues, TermsOf, put_venues, read_venues, strike_venue, venue_file, venue_id, venue_terms,
    };
    use crate::Stop;
    use serde_json::json;
    use shop::{Shop, Stamp, Venue};
    use toml::Table;

    fn at() -> Stamp {
        Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"))
    }

    fn file(id: &str, fee: &str) -> String {
        let row = listing::Venues::template()
            .lines()
            .filter_map(|line| line.strip_prefix("# "))
            .filter(|line| line.starts_with('[') || line.contains(" = "))
            .collect::<Vec<_>>()
            .join("\n");
        row.replace("my_venue", id).replace("my venue", id).replace("fee_on_item_percent = 10", fee)
    }

    fn with(files: &[String]) -> Shop {
        let mut shop = Shop::in_memory().expect("memory");
        for text in files {
            let rows = read_venues(text).expect("a right file");
            put_venues(&mut shop, &at(), &at, rows).expect("taken in");
        }
        shop
    }

    #[test]
    fn a_venue_is_found_by_its_name_and_named_with_its_terms_in_a_sheet() {
        let shop = with(&[file("barn_market", "fee_on_item_percent = 7.5")]);
        let own = OwnVenues::of(&shop).expect("read");
        let mut sheet = Table::new();
        assert_eq!(own.name_in(&mut sheet, "Barn Market"), Ok(TermsOf::Named(String::from("Barn Market"))));
        own.put(&mut sheet).expect("a table");
        let market = sheet.get("market").expect("named");
        assert_eq!(market.get("venue").and_then(|v| v.as_str()), Some("barn_market"));
        let name = market.get("venues").and_then(|v| v.as_str()).expect("a file");
        let bytes = own.file(name).expect("its terms");
        assert!(String::from_utf8_lossy(&bytes).contains("7.5"));
        assert_eq!(own.file("terms of another"), None);
    }

    #[test]
    fn a_venue_without_terms_leaves_the_usual_ones_and_says_so() {
        let mut shop = with(&[]);
        shop.note(&at(), &Venue { name: String::from("fair"), terms: json!({}) }).expect("noted");
        let own = OwnVenues::of(&shop).expect("read");
        let mut sheet = Table::new();
        assert_eq!(own.name_in(&mut sheet, "fair"), Ok(TermsOf::NotKnown(String::from("fair"))));
        own.put(&mut sheet).expect("a table");
        assert!(sheet.is_empty());
    }

    #[test]
    fn terms_of_ones_own_stand_for_those_of_the_usual_venue() {
        let shop = with(&[file("open_market", "fee_on_item_percent = 3")]);
        let own = OwnVenues::of(&shop).expect("read");
        let mut sheet = Table::new();
        own.put(&mut sheet).expect("a table");
        assert!(sheet.get("market").is_some());
        assert_eq!(own.terms("open market").map(|terms| terms.fee_on_item.percent()), Some(3.0));
    }

    #[test]
    fn a_name_as_people_write_it_makes_an_id_and_keeps_its_number() {
        assert_eq!(
            ["Barn Market", "collectors' hall", "  ", "Z-9"].map(venue_id),
            ["barn_market", "collectors_hall", "my_venue", "z_9"]
        );
        let mut shop = with(&[]);
        let number =
            shop.note(&at(), &Venue { name: String::from("Barn Market"), terms: json!({}) }).expect("noted");
        let rows = read_venues(&file("barn_market", "fee_on_item_percent = 1")).expect("a right file");
        assert_eq!(put_venues(&mut shop, &at(), &at, rows), Ok(vec![number]));
        let one: Venue = shop.noted_one(number).expect("there");
        assert_eq!(one.name, "Barn Market");
        assert!(
            venue_terms(&one).is_some()
                && venue_file(&one).is_some_and(|text| text.contains("[venues.barn_market]"))
        );
    }

    #[test]
    fn a_file_that_is_wrong_is_refused_with_its_key() {
        for (text, told) in [
            (file("a", "fee_on_item_percent = 101"), "fee_on_item_percent"),
            (file("a", "fees = 1"), "fees"),
            (String::new(), "no venue"),
            (String::from("[venues.a"), "line 1"),
            (String::from("[venues.open_market]\ntitle_limit = 65"), "missing"),
        ] {
            let Err(Stop::Input(why)) = read_venues(&text) else { panic!("{text}") };
            assert!(why.contains(told), "{why}");
        }
    }

    #[test]
    fn a_venue_that_is_named_anywhere_is_not_struck_out() {
        let mut shop = with(&[file("barn_market", "fee_on_item_percent = 1")]);
        crate::put_setting(&mut shop, &at(), "market.venue", "\"Barn Market\"", "my own").expect("set");
        assert!(strike_venue(&mut shop, &at(), 1).is_err_and(|why| why.to_string().contains("market.venue")));
        crate::put_setting(&mut shop, &at(), "market.venue", "\"open market\"", "my own").expect("set");
        assert_eq!(strike_venue(&mut shop, &at(), 1), Ok(()));
        assert!(strike_venue(&mut shop, &at(), 1).is_err());
    }
}
