//! Rate cards of the person's own, kept in the shop file.

use std::collections::BTreeMap;

use postage::{CardError, CardPart, RateCard};
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

/// The texts of a card: rules (TOML), prices (CSV), additions (CSV).
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CardTexts {
    /// Its rules.
    pub rules: String,
    /// Its prices.
    pub prices: String,
    /// What it adds for some days or parcels, where it does.
    pub additions: Option<String>,
}

/// A card that can't be read: in which of its texts, and why, with the line or row and the field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardMistake {
    /// The text: "rules", "prices" or "additions".
    pub part: &'static str,
    /// What is wrong, where, and what would be right.
    pub message: String,
}

/// Reads a card from its texts.
///
/// # Errors
/// Which text is wrong, at which line or row and field, and what would be right.
pub fn read_card(texts: &CardTexts) -> Result<RateCard, CardMistake> {
    RateCard::read(&texts.rules, &texts.prices, texts.additions.as_deref()).map_err(|error| {
        let part = match error.part() {
            CardPart::Rules => "rules",
            CardPart::Prices => "prices",
            CardPart::Additions => "additions",
        };
        let line = match &error {
            CardError::Rule { field, .. } => line_of(&texts.rules, field),
            // The others say their line or row themselves; the enum is open.
            _ => None,
        };
        let message = match line {
            Some(line) => format!("line {line} of the {error}"),
            None => error.to_string(),
        };
        CardMistake { part, message }
    })
}

/// The line of a text of rules at which a field ("limits.weight", "fees[2].amount") stands, from 1; that of its table
/// where the field itself is missing.
fn line_of(rules: &str, field: &str) -> Option<usize> {
    let (table, key) = field.rsplit_once('.').unwrap_or(("", field));
    let (table, number) = match table.split_once('[') {
        Some((table, rest)) => (table, rest.trim_end_matches(']').parse::<usize>().unwrap_or(1)),
        None => (table, 1),
    };
    let (mut inside, mut seen, mut header) = (table.is_empty(), 0, None);
    for (k, line) in (1..).zip(rules.lines()) {
        let line = line.trim();
        if line.starts_with('[') {
            let name = line.split(']').next().unwrap_or("").trim_start_matches('[').trim();
            seen += usize::from(name == table);
            inside = name == table && seen == number;
            if inside {
                header = Some(k);
            }
        } else if inside && line.split_once('=').is_some_and(|(told, _)| told.trim() == key) {
            return Some(k);
        }
    }
    header
}

/// The texts of a kept card; what can't be read of them is empty.
#[must_use]
pub fn card_texts(record: &RateCardText) -> CardTexts {
    let table: Table = record.text.parse().unwrap_or_default();
    let part = |part: &str| table.get(part).and_then(Value::as_str).map(str::to_owned);
    CardTexts {
        rules: part("rules").unwrap_or_default(),
        prices: part("prices").unwrap_or_default(),
        additions: part("additions"),
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
    texts: &CardTexts,
) -> Result<(String, RateCard), Stop> {
    let card = read_card(texts)
        .map_err(|wrong| Stop::Input(format!("the rate card can't be read: {}", wrong.message)))?;
    let name = name.map_or_else(|| card.id().to_owned(), |name| name.trim().to_owned());
    if RateCard::by_id(&name).is_some() {
        return Err(Stop::Input(format!(
            "\"{name}\" is a card that comes with the program; right would be a name of your own: --name my-card"
        )));
    }
    let mut table = Table::new();
    let CardTexts { rules, prices, additions } = texts;
    let parts = [Some(rules.as_str()), Some(prices.as_str()), additions.as_deref()];
    for (part, text) in PARTS.into_iter().zip(parts) {
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

#[cfg(test)]
mod tests {
    use super::line_of;

    #[test]
    fn a_field_of_the_rules_is_found_at_its_line_and_a_missing_one_at_its_table() {
        let rules = "id = \"a\"\n[limits]\nweight_lb = 70\n[[fees]]\nlabel = \"x\"\n[[fees]]\nusd = -1\n";
        for (field, line) in [
            ("id", Some(1)),
            ("limits.weight_lb", Some(3)),
            ("limits.absent", Some(2)),
            ("fees[2].usd", Some(7)),
            ("fees[1].usd", Some(4)),
            ("nowhere", None),
            ("a.b.c[", None),
        ] {
            assert_eq!(line_of(rules, field), line, "{field}");
        }
    }
}
