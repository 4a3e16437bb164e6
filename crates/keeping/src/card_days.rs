//! From which day on which rate card is used.

use jiff::civil::Date;
use postage::RateCard;
use serde::{Deserialize, Serialize};
use shop::{RateCardText, Setting, Shop, Stamp};
use toml::{Table, Value};

use crate::{Desk, Stop, card_of, fitted, setting};

/// The setting that holds the days.
pub(crate) const CARD_DAYS: &str = "cards.from";
/// The setting of the card that is used where no day says otherwise.
pub(crate) const POST_CARD: &str = "post.card";

/// A card, and the day from which it is used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardDay {
    /// The first day.
    pub from: Date,
    /// The card by name.
    pub card: String,
}

/// The days from which other cards are used, the earliest first. A day that can't be read is none.
///
/// # Errors
/// When the file can't be read.
pub fn card_days(shop: &Shop) -> Result<Vec<CardDay>, Stop> {
    let text = setting(shop, CARD_DAYS)?.unwrap_or_default();
    let mut days: Vec<CardDay> = serde_json::from_str(&text).unwrap_or_default();
    days.sort_by_key(|one| one.from);
    Ok(days)
}

/// The card of the latest of these days that has come.
pub(crate) fn card_of_day(days: &[CardDay], day: Date) -> Option<&str> {
    days.iter().rfind(|one| one.from <= day).map(|one| one.card.as_str())
}

/// The name of the card that parcels of a day go by.
///
/// # Errors
/// When the file can't be read.
pub fn card_in_use(shop: &Shop, day: Date) -> Result<String, Stop> {
    if let Some(card) = card_of_day(&card_days(shop)?, day) {
        return Ok(card.to_owned());
    }
    if let Some(card) = setting(shop, POST_CARD)? {
        return Ok(card.trim_matches('"').to_owned());
    }
    let usual: Table = sheet::usual().parse().map_err(|e: toml::de::Error| Stop::outside(e))?;
    let card = usual.get("post").and_then(|post| post.get("card")).and_then(Value::as_str);
    Ok(card.unwrap_or_default().to_owned())
}

/// A card by name: one that comes with the program, or one of the person's own.
///
/// # Errors
/// When there is none of that name, or its text can't be read.
pub fn card_named(shop: &Shop, name: &str) -> Result<RateCard, Stop> {
    if let Some(card) = RateCard::by_id(name) {
        return Ok(card);
    }
    let own = shop.noted::<RateCardText>()?.into_iter().find(|(_, one)| one.name == name);
    let (_, own) = own.ok_or_else(|| Stop::Input(format!("there is no rate card \"{name}\"")))?;
    card_of(&own)
}

/// Uses a card from a day on. From today or a day before, it is set outright; a later day is remembered, and what is
/// used until then stays. Of one day only one card is remembered.
///
/// # Errors
/// When the card doesn't hold on that day, or has no prices for where the buyers are.
pub fn use_card(
    shop: &mut Shop,
    desk: &Desk,
    stamp: &Stamp,
    name: &str,
    from: Date,
    today: Date,
) -> Result<(), Stop> {
    let card = card_named(shop, name)?;
    if from < card.effective_from() {
        return Err(Stop::Input(format!(
            "card {name} holds from {}, and {from} is before that; right would be that day or a later one",
            card.effective_from()
        )));
    }
    if let Some(to) = card.effective_to().filter(|to| from > *to) {
        return Err(Stop::Input(format!(
            "card {name} holds until {to}, and {from} is after that; right would be a day until then, or a newer card"
        )));
    }
    let value = fitted(shop, desk, POST_CARD, name, from)?;
    let mut days = card_days(shop)?;
    let mut put = Vec::new();
    if from <= today {
        days.retain(|one| one.from > today);
        put.push(Setting { name: POST_CARD.to_owned(), value, source: "my own".to_owned() });
    } else {
        days.retain(|one| one.from != from);
        days.push(CardDay { from, card: name.to_owned() });
    }
    store(shop, stamp, put, days)
}

/// Takes back that a card is used from a day on.
///
/// # Errors
/// When no card is remembered for that day.
pub fn unuse_card(shop: &mut Shop, stamp: &Stamp, from: Date) -> Result<(), Stop> {
    let mut days = card_days(shop)?;
    let before = days.len();
    days.retain(|one| one.from != from);
    if days.len() == before {
        return Err(Stop::Input(format!("from {from} on no other card is to be used")));
    }
    store(shop, stamp, Vec::new(), days)
}

fn store(shop: &mut Shop, stamp: &Stamp, mut put: Vec<Setting>, mut days: Vec<CardDay>) -> Result<(), Stop> {
    days.sort_by_key(|one| one.from);
    let strike = if days.is_empty() {
        vec![CARD_DAYS.to_owned()]
    } else {
        let value = serde_json::to_string(&days).map_err(Stop::outside)?;
        put.push(Setting { name: CARD_DAYS.to_owned(), value, source: "my own".to_owned() });
        Vec::new()
    };
    Ok(shop.put_settings(stamp, &put, &strike)?)
}

/// Strikes a card of one's own out.
///
/// # Errors
/// When parcels go by it, or are to go by it from a day on.
pub fn strike_card(shop: &mut Shop, stamp: &Stamp, number: u64) -> Result<(), Stop> {
    let one: RateCardText = shop.noted_one(number)?;
    if setting(shop, POST_CARD)?.is_some_and(|used| used.trim_matches('"') == one.name) {
        return Err(Stop::Input(format!(
            "rate card {}: the setting {POST_CARD} names it; right would be to set another card first",
            one.name
        )));
    }
    if let Some(day) = card_days(shop)?.into_iter().find(|day| day.card == one.name) {
        return Err(Stop::Input(format!(
            "rate card {}: it is to be used from {} on; right would be to take that back first",
            one.name, day.from
        )));
    }
    Ok(shop.strike::<RateCardText>(stamp, number)?)
}

#[cfg(test)]
mod tests {
    use super::{card_days, card_in_use, unuse_card, use_card};
    use crate::{Desk, put_setting};
    use jiff::civil::date;
    use shop::{Shop, Stamp};

    const RETAIL: &str = "ground_advantage_retail";
    const ONLINE: &str = "ground_advantage_commercial";

    fn at() -> Stamp {
        Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"))
    }

    #[test]
    fn a_card_is_used_from_its_day_on_and_not_before() {
        let mut shop = Shop::in_memory().expect("memory");
        let (desk, today) = (Desk::published(), date(2026, 11, 25));
        use_card(&mut shop, &desk, &at(), RETAIL, date(2026, 12, 2), today).expect("it holds");
        let on = |shop: &Shop, day| card_in_use(shop, day).expect("read");
        assert_eq!(on(&shop, date(2026, 12, 1)), ONLINE);
        assert_eq!(on(&shop, date(2026, 12, 2)), RETAIL);
        unuse_card(&mut shop, &at(), date(2026, 12, 2)).expect("remembered");
        assert_eq!(on(&shop, date(2026, 12, 2)), ONLINE);
        assert!(unuse_card(&mut shop, &at(), date(2026, 12, 2)).is_err());
        use_card(&mut shop, &desk, &at(), RETAIL, today, today).expect("it holds");
        assert_eq!(on(&shop, today), RETAIL);
    }

    #[test]
    fn a_card_is_not_used_before_it_holds_or_after() {
        let mut shop = Shop::in_memory().expect("memory");
        let desk = Desk::published();
        for day in [date(2026, 1, 1), date(2027, 1, 18)] {
            let why = use_card(&mut shop, &desk, &at(), RETAIL, day, date(2026, 11, 25));
            assert!(why.is_err_and(|why| why.to_string().contains("right would be")), "{day}");
        }
        assert_eq!(card_days(&shop), Ok(Vec::new()));
    }

    #[test]
    fn a_card_that_is_set_outright_ends_what_was_dated() {
        let mut shop = Shop::in_memory().expect("memory");
        let (desk, today) = (Desk::published(), date(2026, 11, 25));
        use_card(&mut shop, &desk, &at(), RETAIL, date(2026, 11, 26), today).expect("it holds");
        put_setting(&mut shop, &at(), "post.card", ONLINE, "my own").expect("set");
        assert_eq!(card_in_use(&shop, date(2026, 11, 27)), Ok(ONLINE.to_owned()));
    }
}
