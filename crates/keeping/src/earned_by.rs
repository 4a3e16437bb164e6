//! What a row of a report is about.

use books::Key;
use shop::Shop;

/// What a row of a report is about, in words.
#[must_use]
pub fn named(key: &Key, shop: &Shop) -> String {
    match key {
        Key::Order(order) => order.to_string(),
        Key::Lot(lot) => shop
            .listing(*lot)
            .map_or_else(|_| lot.to_string(), |state| format!("{lot}: {}", state.entered.title)),
        Key::Find(find) => shop
            .find_text(*find)
            .map_or_else(|_| find.to_string(), |text| format!("{find}: {}", text.description)),
        Key::Haul(haul) => haul.to_string(),
        Key::Place(place) => place.clone(),
        Key::Month(year, month) => format!("{year}-{month:02}"),
        Key::Year(year) => year.to_string(),
        Key::Rest => String::from("the rest"),
    }
}
