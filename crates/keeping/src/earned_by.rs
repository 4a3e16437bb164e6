//! What a row of a report is about.

use books::{HaulId, Key};
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
        Key::Haul(haul) => haul_named(*haul, shop),
        Key::Place(place) => place.clone(),
        Key::Month(year, month) => format!("{year}-{month:02}"),
        Key::Year(year) => year.to_string(),
        Key::Rest => String::from("the rest"),
    }
}

/// "14: 2025-07-12, barn sale".
fn haul_named(haul: HaulId, shop: &Shop) -> String {
    let after = HaulId(haul.0.saturating_add(1));
    let line =
        shop.hauls_before(after, 1).ok().and_then(|lines| lines.into_iter().find(|line| line.haul == haul));
    match line {
        None => haul.to_string(),
        Some(line) if line.place.is_empty() => format!("{haul}: {}", line.date),
        Some(line) => format!("{haul}: {}, {}", line.date, line.place),
    }
}
