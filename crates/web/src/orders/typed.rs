//! What forms of orders and parcels share: days, purses, hidden fields, tables.

use books::Purse;
use jiff::civil::Date;
use maud::{Markup, html};
use shop::{HistoryRow, OrderState};

use crate::form::{Choice, Field, Filled, Kind, Mistakes};

/// Purses as they are sent and read.
const PURSES: [(&str, &str, Purse); 4] = [
    ("balance", "the balance a venue holds", Purse::Platform),
    ("cash", "cash, or the bank account of the business", Purse::Cash),
    ("card", "the card", Purse::Card),
    ("own-pocket", "your private money", Purse::OwnPocket),
];

/// A field to choose a purse.
pub(crate) fn purse_field(name: &str, label: &str) -> Field {
    let choices = PURSES.map(|(value, words, _)| Choice { value: value.to_owned(), words: words.to_owned() });
    Field::needed(name, label, "", Kind::OneOf(choices.to_vec()))
}

/// The purse that was chosen; the venue's balance where none was.
pub(crate) fn purse(filled: &Filled, name: &str, mistakes: &mut Mistakes) -> Purse {
    let Some(text) = filled.text(name) else { return Purse::Platform };
    match PURSES.iter().find(|(value, _, _)| *value == text) {
        Some((_, _, purse)) => *purse,
        None => {
            let right: Vec<&str> = PURSES.iter().map(|(value, _, _)| *value).collect();
            let short = crate::form::short(text);
            mistakes
                .add(name, format!("\"{short}\" is no purse; right would be one of: {}", right.join(", ")));
            Purse::Platform
        }
    }
}

/// A field for a day.
pub(crate) fn day_field(name: &str, label: &str, hint: &str, optional: bool) -> Field {
    Field { optional, ..Field::needed(name, label, hint, Kind::Measure) }
}

/// A day such as 2026-03-07; `None` where the field is empty or wrong.
pub(crate) fn day(filled: &Filled, name: &str, today: Date, mistakes: &mut Mistakes) -> Option<Date> {
    let text = filled.text(name)?;
    let read = text.parse::<Date>().ok().filter(|day| (1990..=2200).contains(&day.year()));
    if read.is_none() {
        let short = crate::form::short(text);
        mistakes
            .add(name, format!("\"{short}\" is not a day; right would be year-month-day, such as {today}"));
    }
    read
}

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

/// What happened, in words of the trade.
pub(crate) fn happened(kind: &str) -> String {
    let words = match kind {
        "order_taken" => "taken",
        "order_paid" => "paid",
        "order_repriced" => "priced anew",
        "order_planned" => "parcels planned, or the plan released",
        "piece_swapped" => "a piece was swapped",
        "order_sent" => "handed over",
        "order_cancelled" => "cancelled",
        "came_back" => "pieces came back or broke",
        "money_moved" => "money moved",
        "entry_taken_back" => "an entry was taken back",
        // The log may know more kinds than these.
        other => return other.replace('_', " "),
    };
    words.to_owned()
}

/// What changed since a form was drawn: the events after the one it had seen.
pub(crate) fn meanwhile(history: &[HistoryRow], seen: Option<&str>) -> Option<String> {
    let seen: i64 = seen?.parse().ok()?;
    let newer: Vec<String> =
        history.iter().filter(|row| row.event.0 > seen).map(|row| happened(&row.kind)).collect();
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
    use super::{day, due, purse};
    use crate::form::{Filled, Mistakes};
    use jiff::civil::date;

    #[test]
    fn a_day_is_read_or_said_to_be_wrong_with_one_that_is_right() {
        let today = date(2026, 3, 2);
        for (text, right) in
            [("2026-03-07", true), ("7 March", false), ("2026-02-30", false), ("0001-01-01", false)]
        {
            let mut mistakes = Mistakes::default();
            let read = day(&Filled::default().with("day", text), "day", today, &mut mistakes);
            assert_eq!((read.is_some(), mistakes.is_empty()), (right, right), "{text}");
        }
        assert_eq!(due(Some(date(2026, 3, 1)), today), "2026-03-01, late");
        assert_eq!(due(Some(date(2026, 3, 3)), today), "2026-03-03, tomorrow");
    }

    #[test]
    fn a_purse_that_is_none_is_a_mistake() {
        let mut mistakes = Mistakes::default();
        purse(&Filled::default().with("into", "sock"), "into", &mut mistakes);
        assert!(mistakes.of("into").is_some_and(|why| why.contains("right would be")));
    }
}
