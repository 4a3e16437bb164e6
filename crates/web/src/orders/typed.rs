//! What forms of orders and parcels share: hidden fields, states, tables.

use jiff::civil::Date;
use maud::{Markup, html};
use shop::{HistoryRow, OrderState};

use crate::form::Filled;

/// A hidden field.
pub(crate) fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// A box to tick with its words.
pub(crate) fn tick(name: &str, value: &str, words: &str, filled: &Filled) -> Markup {
    let id = format!("{name}-{value}").replace(':', "-");
    html! {
        p.tick {
            input type="checkbox" id=(id) name=(name) value=(value) checked[filled.all(name).contains(&value)];
            label for=(id) { (words) }
        }
    }
}

/// What has become of an order, in words.
pub(crate) fn state_words(state: OrderState, paid_on: Option<Date>, sent_on: Option<Date>) -> String {
    match (state, paid_on, sent_on) {
        (OrderState::Open, None, _) => String::from("to be paid"),
        (OrderState::Open, Some(_), _) => String::from("to pack"),
        (OrderState::Sent, _, Some(day)) => format!("sent {day}"),
        (OrderState::Sent, _, None) => String::from("sent"),
        (OrderState::Cancelled, _, _) => String::from("cancelled"),
    }
}

/// The day of a promise and how far it is.
pub(crate) fn due(promise: Option<Date>, today: Date) -> String {
    let Some(day) = promise else { return String::from("no promise") };
    match (day - today).get_days() {
        0 => format!("{day}, today"),
        1 => format!("{day}, tomorrow"),
        left if left < 0 => format!("{day}, late"),
        left => format!("{day}, {left} days"),
    }
}

/// What changed since a form was drawn: the events after the one it had seen.
pub(crate) fn meanwhile(history: &[HistoryRow], seen: Option<&str>) -> Option<String> {
    let seen: i64 = seen?.parse().ok()?;
    let newer: Vec<String> =
        history.iter().filter(|row| row.event.0 > seen).map(|row| keeping::happened(&row.kind)).collect();
    (!newer.is_empty()).then(|| {
        format!(
            "meanwhile this happened to the order elsewhere: {}. Nothing was stored; look at it, then send the form again",
            newer.join(", ")
        )
    })
}

/// The number of a record's last event, for a form to carry.
pub(crate) fn seen(history: &[HistoryRow]) -> String {
    history.last().map_or_else(String::new, |row| row.event.0.to_string())
}

#[cfg(test)]
mod tests {
    use super::due;
    use jiff::civil::date;

    #[test]
    fn a_promise_says_how_far_it_is() {
        let today = date(2026, 3, 2);
        assert_eq!(due(Some(date(2026, 3, 1)), today), "2026-03-01, late");
        assert_eq!(due(Some(date(2026, 3, 3)), today), "2026-03-03, tomorrow");
    }
}
