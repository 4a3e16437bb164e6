//! Rate cards of the person's own, kept in the shop file.

use std::collections::BTreeMap;

use postage::RateCard;
use shop::{RateCardText, Shop, Stamp};
use toml::{Table, Value};

use crate::{Stop, set};

/// The parts of a card, as a job sheet names the files of its own card.
const PARTS: [&str; 3] = ["rules", "prices", "additions"];

/// The person's own rate cards by name, each as the texts of its parts.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnCards(BTreeMap<String, Table>);

impl OwnCards {
    /// The cards of a file. One whose text can't be read as a card is passed over: a plan that names it says so.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn of(shop: &Shop) -> Result<Self, Stop> {
        let cards = shop.noted::<RateCardText>()?.into_iter();
        Ok(Self(cards.filter_map(|(_, card)| Some((card.name, card.text.parse().ok()?))).collect()))
    }

    /// The bytes of a part of a card, by the name that [`OwnCards::put`] writes.
    pub fn file(&self, name: &str) -> Option<Vec<u8>> {
        let (card, part) = name.rsplit_once(", ")?;
        self.0.get(card)?.get(part)?.as_str().map(|text| text.as_bytes().to_vec())
    }

    /// Where a job sheet's card is one of these by name, names its parts instead.
    ///
    /// # Errors
    /// When the sheet's `post` is no table.
    pub fn put(&self, sheet: &mut Table) -> Result<(), Stop> {
        let named = sheet.get("post").and_then(|post| post.get("card")).and_then(Value::as_str);
        let Some((name, parts)) = named.and_then(|name| self.0.get_key_value(name)) else { return Ok(()) };
        let told = PARTS.into_iter().filter(|part| parts.contains_key(*part));
        let table: Table =
            told.map(|part| (part.to_owned(), Value::from(format!("{name}, {part}")))).collect();
        set(sheet, "post.card", Value::Table(table))
    }
}

/// Reads a card and takes it into the file, or takes it in anew. Its name is the card's own id where none is told.
///
/// # Errors
/// When the card can't be read, or its name is that of a published card.
pub fn put_card(
    shop: &mut Shop,
    stamp: &Stamp,
    name: Option<&str>,
    rules: &str,
    prices: &str,
    additions: Option<&str>,
) -> Result<(String, RateCard), Stop> {
    let card = RateCard::read(rules, prices, additions)
        .map_err(|error| Stop::Input(format!("the rate card can't be read: {error}")))?;
    let name = name.map_or_else(|| card.id().to_owned(), |name| name.trim().to_owned());
    if RateCard::by_id(&name).is_some() {
        return Err(Stop::Input(format!(
            "\"{name}\" is a card that comes with the program; right would be a name of your own: --name my-card"
        )));
    }
    let mut table = Table::new();
    for (part, text) in PARTS.into_iter().zip([Some(rules), Some(prices), additions]) {
        if let Some(text) = text {
            table.insert(part.to_owned(), Value::from(text));
        }
    }
    let text = toml::to_string(&table).map_err(Stop::outside)?;
    let record = RateCardText { name: name.clone(), text };
    let known = shop.noted::<RateCardText>()?.into_iter().find(|(_, one)| one.name == name);
    match known {
        Some((number, _)) => shop.amend(stamp, number, &record)?,
        None => shop.note(stamp, &record).map(|_| ())?,
    }
    Ok((name, card))
}

/// Reads a kept card.
///
/// # Errors
/// When its text is no card.
pub fn card_of(record: &RateCardText) -> Result<RateCard, Stop> {
    let wrong = |why: String| {
        Stop::Input(format!("rate card {}: {why}; right would be to take it in anew", record.name))
    };
    let table: Table = record.text.parse().map_err(|_| wrong("its text is no card".to_owned()))?;
    let part = |part: &str| table.get(part).and_then(Value::as_str);
    let (Some(rules), Some(prices)) = (part("rules"), part("prices")) else {
        return Err(wrong("its rules or prices are missing".to_owned()));
    };
    RateCard::read(rules, prices, part("additions")).map_err(|error| wrong(error.to_string()))
}
