//! The fields of a venue's terms, filled from them and read into them.

use measure::Money;
use serde_json::{Map, Value, json};
use shop::Venue;

use crate::form::{Choice, Field, Filled, Kind, Mistakes, short};

/// Longest name of a venue, characters (judgement).
const LONGEST_NAME: usize = 100;
/// Longest source, characters (judgement).
const LONGEST_SOURCE: usize = 300;
/// Whole figures: field, key of the terms, least, most. The bounds are those of the terms' own reader.
const LIMITS: [(&str, &str, u32, u32); 3] = [
    ("title-limit", "title_limit", 10, 1000),
    ("description-limit", "description_limit", 100, 1_000_000),
    ("photo-limit", "photo_limit", 1, 200),
];
/// Shares in percent: field and key of the terms.
const SHARES: [(&str, &str); 3] = [
    ("fee-on-item", "fee_on_item_percent"),
    ("fee-on-shipping", "fee_on_shipping_percent"),
    ("fee-on-tax", "fee_on_tax_percent"),
];

/// The fields, in the order of the page.
pub(super) fn fields() -> Vec<Field> {
    let choices = |all: &[(&str, &str)]| {
        Kind::OneOf(all.iter().map(|(value, words)| Choice::new(value, words)).collect())
    };
    let words = || Kind::Words { known: Vec::new() };
    vec![
        Field::needed("name", "What you call it", "Listings name it so.", words()),
        Field::needed(
            "fee-on-item",
            "Fee on the price, percent",
            "12.5 is twelve and a half percent; 0 is none.",
            Kind::Money,
        ),
        Field::needed("fee-on-shipping", "Fee on what the buyer pays for shipping, percent", "", Kind::Money),
        Field::needed(
            "fee-on-tax",
            "Fee on the sales tax, percent",
            "Where the venue takes its fee on that too; else 0.",
            Kind::Money,
        ),
        Field::needed("fixed-fee", "Fee once an order", "In money; 0 is none.", Kind::Money),
        Field::needed("title-limit", "Longest title, characters", "", Kind::Whole),
        Field::optional(
            "description-limit",
            "Longest description, characters",
            "Left out, there is no limit.",
            Kind::Whole,
        ),
        Field::needed("photo-limit", "Most pictures", "", Kind::Whole),
        Field::needed("offers", "May a buyer offer less", "", choices(&[("yes", "yes"), ("no", "no")])),
        Field::needed(
            "sales-tax-by",
            "Who sends the sales tax to the state",
            "",
            choices(&[("venue", "the venue"), ("seller", "you do")]),
        ),
        Field::needed(
            "source",
            "Where these figures come from",
            "The fee page of the venue, read on 2026-11-25.",
            words(),
        ),
        Field::needed(
            "flag",
            "How sure they are",
            "",
            choices(&[
                ("published", "published by the venue"),
                ("common practice", "common practice"),
                ("from memory", "from memory"),
                ("judgement", "a judgement of your own"),
            ]),
        ),
    ]
}

/// The form as terms fill it.
pub(super) fn filled(name: &str, terms: &listing::Venue) -> Filled {
    let figure = |limit: usize| limit.to_string();
    Filled::default()
        .with("name", name)
        .with("fee-on-item", terms.fee_on_item.percent().to_string())
        .with("fee-on-shipping", terms.fee_on_shipping.percent().to_string())
        .with("fee-on-tax", terms.fee_on_tax.percent().to_string())
        .with("fixed-fee", terms.fixed_fee.write())
        .with("title-limit", figure(terms.title_limit))
        .with("description-limit", terms.description_limit.map_or_else(String::new, figure))
        .with("photo-limit", figure(terms.photo_limit))
        .with("offers", if terms.offers { "yes" } else { "no" })
        .with("sales-tax-by", terms.sales_tax_by.word())
        .with("source", terms.source.as_str())
        .with("flag", terms.flag.word())
}

/// Reads a venue with its terms; `None` leaves at least one mistake.
pub(super) fn read(filled: &Filled, mistakes: &mut Mistakes) -> Option<Venue> {
    let mut terms = Map::new();
    let name = filled.needed("name", "Give it a name, for example: barn market", mistakes);
    let name = name.map(str::to_owned);
    if let Some(name) = &name
        && measure::plain(name).is_empty()
    {
        mistakes.add(
            "name",
            format!("\"{}\" has no letter; right would be, for example: barn market", short(name)),
        );
    }
    let source = filled.needed(
        "source",
        "Say where the figures come from, for example: its fee page, read on 2026-11-25",
        mistakes,
    );
    for (field, longest) in [("name", LONGEST_NAME), ("source", LONGEST_SOURCE)] {
        let length = filled.text(field).unwrap_or("").chars().count();
        if length > longest {
            mistakes
                .add(field, format!("{length} characters are too many; right would be at most {longest}"));
        }
    }
    for (field, key) in SHARES {
        filled.needed(field, "Say how many percent, for example: 12.5, or 0 for none", mistakes);
        if let Some(share) = share(filled, field, mistakes) {
            terms.insert(key.to_owned(), json!(share));
        }
    }
    filled.needed("fixed-fee", "Say how much, for example: 0.35, or 0 for none", mistakes);
    if let Some(fee) = filled.money("fixed-fee", mistakes) {
        terms.insert("fixed_fee_per_order".to_owned(), json!(in_money(fee)));
    }
    for (field, key, least, most) in LIMITS {
        if field != "description-limit" {
            filled.needed(field, &format!("Say how many, from {least} to {most}"), mistakes);
        }
        if let Some(limit) = filled.whole(field, least..=most, mistakes) {
            terms.insert(key.to_owned(), json!(limit));
        }
    }
    let offers = match filled.text("offers") {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        Some(_) | None => {
            mistakes.add("offers", "Say yes or no");
            None
        }
    };
    for (field, right) in [
        ("sales-tax-by", &["venue", "seller"][..]),
        ("flag", &["published", "common practice", "from memory", "judgement"][..]),
    ] {
        match filled.text(field).filter(|word| right.contains(word)) {
            Some(word) => {
                terms.insert(field.replace('-', "_"), json!(word));
            }
            None => mistakes.add(field, format!("Choose one of: {}", right.join(", "))),
        }
    }
    let (name, source, offers) = (name?, source?, offers?);
    terms.insert("name".to_owned(), json!(name));
    terms.insert("source".to_owned(), json!(source));
    terms.insert("offers".to_owned(), json!(offers));
    let venue = Venue { name, terms: Value::Object(terms) };
    Some(venue).filter(|_| mistakes.is_empty())
}

/// Money as the terms write it. They hold a fee of an order, far below what a figure with a point holds to the cent.
fn in_money(amount: Money) -> f64 {
    amount.currency()
}

/// A share in percent, from 0 to 100, with or without its sign.
fn share(filled: &Filled, field: &str, mistakes: &mut Mistakes) -> Option<f64> {
    let text = filled.text(field)?;
    let figure = text.strip_suffix('%').unwrap_or(text).trim().parse::<f64>();
    let read = figure.ok().filter(|share| (0.0..=100.0).contains(share));
    if read.is_none() {
        mistakes.add(
            field,
            format!(
                "\"{}\" is not a percentage from 0 to 100; right would be, for example: 12.5",
                short(text)
            ),
        );
    }
    // Adding 0 turns -0 into 0.
    read.map(|share| share + 0.0)
}

#[cfg(test)]
mod tests {
    use super::{filled, read};
    use crate::form::Mistakes;

    #[test]
    fn terms_are_read_back_as_they_were_filled_in() {
        for terms in listing::Venues::published().iter() {
            let mut mistakes = Mistakes::default();
            let venue = read(&filled(&terms.name, terms), &mut mistakes).expect("right terms");
            assert_eq!(keeping::venue_terms(&venue).as_ref(), Some(terms));
        }
    }

    #[test]
    fn each_wrong_figure_is_a_mistake_of_its_field() {
        let venues = listing::Venues::published();
        let right = filled("barn market", venues.find("open market").expect("published"));
        for (field, wrong) in [
            ("name", ""),
            ("name", "---"),
            ("fee-on-item", "101"),
            ("fee-on-item", "NaN"),
            ("fee-on-shipping", "-1"),
            ("fee-on-tax", "a lot"),
            ("fixed-fee", "-0.30"),
            ("title-limit", "9"),
            ("description-limit", "5"),
            ("photo-limit", "0"),
            ("offers", "perhaps"),
            ("sales-tax-by", "nobody"),
            ("source", " "),
            ("flag", "sure"),
        ] {
            let mut mistakes = Mistakes::default();
            assert!(read(&right.clone().with(field, wrong), &mut mistakes).is_none(), "{field} {wrong}");
            assert!(mistakes.of(field).is_some(), "{field} {wrong}: {mistakes:?}");
        }
    }
}
