//! Days and purses: fields that most forms of records have.

use books::Purse;
use jiff::civil::Date;

use crate::form::{Choice, Field, Filled, Kind, Mistakes};

/// Purses as they are sent and read.
const PURSES: [(&str, &str, Purse); 4] = [
    ("balance", "the balance a venue holds", Purse::Platform),
    ("cash", "cash, or the bank account of the business", Purse::Cash),
    ("card", "the card", Purse::Card),
    ("own-pocket", "your private money", Purse::OwnPocket),
];

/// A field to choose a purse, the usual one first.
pub(crate) fn purse_field(name: &str, label: &str, usual: Purse) -> Field {
    let (first, others): (Vec<_>, Vec<_>) = PURSES.iter().partition(|(_, _, purse)| *purse == usual);
    let choices = first.into_iter().chain(others).map(|(value, words, _)| Choice::new(value, words));
    Field::needed(name, label, "", Kind::OneOf(choices.collect()))
}

/// The purse that was chosen; the usual one where none was.
pub(crate) fn purse(filled: &Filled, name: &str, usual: Purse, mistakes: &mut Mistakes) -> Purse {
    let Some(text) = filled.text(name) else { return usual };
    match PURSES.iter().find(|(value, _, _)| *value == text) {
        Some((_, _, purse)) => *purse,
        None => {
            let right: Vec<&str> = PURSES.iter().map(|(value, _, _)| *value).collect();
            let short = crate::form::short(text);
            mistakes
                .add(name, format!("\"{short}\" is no purse; right would be one of: {}", right.join(", ")));
            usual
        }
    }
}

/// A purse as its field says it.
pub(crate) fn purse_value(purse: Purse) -> &'static str {
    PURSES.iter().find(|(_, _, known)| *known == purse).map_or("cash", |(value, _, _)| value)
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

/// The same, today where the field is empty.
pub(crate) fn day_or_today(
    filled: &Filled,
    name: &str,
    today: Date,
    mistakes: &mut Mistakes,
) -> Option<Date> {
    if filled.text(name).is_none() { Some(today) } else { day(filled, name, today, mistakes) }
}

#[cfg(test)]
mod tests {
    use super::{PURSES, day, day_or_today, purse, purse_value};
    use crate::form::{Filled, Mistakes};
    use books::Purse;
    use jiff::civil::date;

    #[test]
    fn a_day_is_one_of_the_calendar_and_of_our_time() {
        let today = date(2026, 3, 2);
        for (text, right) in
            [("2026-03-07", true), ("7 March", false), ("2026-02-30", false), ("0001-01-01", false)]
        {
            let mut mistakes = Mistakes::default();
            let read = day(&Filled::default().with("day", text), "day", today, &mut mistakes);
            assert_eq!((read.is_some(), mistakes.is_empty()), (right, right), "{text}");
        }
        let mut mistakes = Mistakes::default();
        assert_eq!(day_or_today(&Filled::default(), "day", today, &mut mistakes), Some(today));
        assert_eq!(day(&Filled::default(), "day", today, &mut mistakes), None);
    }

    #[test]
    fn a_purse_that_is_none_is_a_mistake_and_none_at_all_the_usual_one() {
        let mut mistakes = Mistakes::default();
        assert_eq!(purse(&Filled::default(), "into", Purse::Cash, &mut mistakes), Purse::Cash);
        assert!(mistakes.is_empty());
        purse(&Filled::default().with("into", "sock"), "into", Purse::Cash, &mut mistakes);
        assert!(mistakes.of("into").is_some_and(|why| why.contains("right would be")));
    }

    #[test]
    fn every_purse_is_read_back_as_it_is_said() {
        for (_, _, known) in PURSES {
            let filled = Filled::default().with("into", purse_value(known));
            assert_eq!(purse(&filled, "into", Purse::Cash, &mut Mistakes::default()), known);
        }
    }
}
