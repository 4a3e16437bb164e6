//! One cell read: amounts, days, counts.

use jiff::civil::Date;
use measure::Money;

/// What a message repeats of a cell, characters.
const QUOTED: usize = 40;

/// In which order a day such as 03/07/2026 is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// Month, day, year.
    MonthFirst,
    /// Day, month, year.
    DayFirst,
}

impl DateOrder {
    /// Its name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MonthFirst => "month-first",
            Self::DayFirst => "day-first",
        }
    }

    /// The one of that name.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        [Self::MonthFirst, Self::DayFirst].into_iter().find(|order| order.word() == word)
    }
}

pub(super) fn quoted(text: &str) -> String {
    let short: String = text.chars().take(QUOTED).collect();
    if short.len() < text.len() { format!("\"{short}…\"") } else { format!("\"{short}\"") }
}

/// An amount of 0.00 or more: with or without $, thousands parted by commas. What is in parentheses or has a minus
/// is money the other way, and never taken for what was paid.
pub(super) fn amount(column: &str, text: &str) -> Result<Money, String> {
    let other_way = |how: &str| {
        format!(
            "{column}: {} {how}, which is money given back; right would be 0.00 or more, and money given back \
             entered by itself",
            quoted(text)
        )
    };
    if text.starts_with('(') && text.ends_with(')') {
        return Err(other_way("is in parentheses"));
    }
    if text.ends_with(['-', '−']) {
        return Err(other_way("ends with a minus"));
    }
    let read = Money::read(text).map_err(|error| format!("{column}: {error}"))?;
    if read < Money::ZERO { Err(other_way("has a minus")) } else { Ok(read) }
}

/// A day: 2026-03-07, or 03/07/2026 where it was said what comes first. A time after it is passed over.
pub(super) fn day(column: &str, text: &str, order: Option<DateOrder>) -> Result<Date, String> {
    let (date, rest) = text.split_once([' ', 'T']).unwrap_or((text, ""));
    let has_time = rest.is_empty() || rest.contains(':');
    if has_time && let Ok(read) = date.parse() {
        return Ok(read);
    }
    let parts: Vec<&str> = date.split(['/', '.', '-']).collect();
    let (order, [first, second, year]) = match (order, &parts[..]) {
        (Some(order), &[first, second, year]) if has_time && year.len() == 4 => {
            (order, [first, second, year])
        }
        (Some(order), _) => {
            return Err(format!(
                "{column} can't be {}; right would be a day such as 2026-03-07, or 03/07/2026 with the {} first",
                quoted(text),
                if order == DateOrder::MonthFirst { "month" } else { "day" }
            ));
        }
        (None, [_, _, _]) => {
            return Err(format!(
                "{column} can't be {}; right would be a day such as 2026-03-07, or to say whether the month or \
                 the day comes first",
                quoted(text)
            ));
        }
        (None, _) => {
            return Err(format!(
                "{column} can't be {}; right would be a day such as 2026-03-07",
                quoted(text)
            ));
        }
    };
    let (month, day) = match order {
        DateOrder::MonthFirst => (first, second),
        DateOrder::DayFirst => (second, first),
    };
    let figures = || Some((year.parse().ok()?, month.parse().ok()?, day.parse().ok()?));
    let read = figures().and_then(|(year, month, day)| Date::new(year, month, day).ok());
    read.ok_or_else(|| {
        let (month, day) = match order {
            DateOrder::MonthFirst => ("first", "second"),
            DateOrder::DayFirst => ("second", "first"),
        };
        format!(
            "{column} can't be {} with the month {month}; right would be a month from 1 to 12 {month} and a day \
             of it {day}",
            quoted(text)
        )
    })
}

/// A whole number from `least`.
pub(super) fn whole(column: &str, text: &str, least: u32) -> Result<u32, String> {
    let read = text.parse().ok().filter(|figure| *figure >= least);
    read.ok_or_else(|| {
        format!("{column} can't be {}; right would be a whole number from {least}", quoted(text))
    })
}

/// The number of a record.
pub(super) fn number(column: &str, text: &str) -> Result<u64, String> {
    text.parse().map_err(|_| format!("{column} can't be {}; right would be the number of one", quoted(text)))
}

/// A figure such as 12.5.
pub(super) fn figure(column: &str, text: &str) -> Result<f64, String> {
    let read = text.parse().ok().filter(|figure: &f64| figure.is_finite());
    read.ok_or_else(|| format!("{column} can't be {}; right would be a figure such as 12.5", quoted(text)))
}

/// The first digits of a postal code: three to five, of a longer one (606-14, 60614-1234) the first five.
pub(super) fn zip(column: &str, text: &str) -> Result<String, String> {
    let wrong = |why: &str| Err(format!("{column} can't be {}; {why}", quoted(text)));
    let right = "right would be a ZIP code, or its first three digits, such as 606";
    let (digits, rest) = text.split_once(['-', ' ']).unwrap_or((text, ""));
    if !digits.bytes().chain(rest.bytes()).all(|byte| byte.is_ascii_digit()) {
        return wrong(right);
    }
    match (digits.len(), rest.len()) {
        (3 | 5, 0) | (5, 4) => Ok(digits.to_owned()),
        // Nine digits without the dash.
        (9, 0) => Ok(digits.chars().take(5).collect()),
        (4, 0 | 4) => wrong("spreadsheets drop a 0 in front; right would be all five digits"),
        _ => wrong(right),
    }
}

#[cfg(test)]
mod tests {
    use super::{DateOrder, amount, day, figure, whole, zip};
    use jiff::civil::date;
    use measure::Money;

    #[test]
    fn amounts_are_read_as_venues_write_them_and_money_the_other_way_is_refused() {
        for (text, cents) in [("$1,234.50", 123_450), ("7", 700), ("0", 0), ("$ 3.2", 320)] {
            assert_eq!(amount("items", text), Ok(Money::from_cents(cents)), "{text}");
        }
        for (text, why) in [
            ("(3.20)", "in parentheses"),
            ("-3.20", "has a minus"),
            ("−3.20", "has a minus"),
            ("$-3.20", "has a minus"),
            ("3.20-", "ends with a minus"),
            ("3.205", "whole cents"),
            ("12,34", "groups of three"),
            ("", "amount of money"),
        ] {
            let refused = amount("items", text).expect_err(text);
            assert!(refused.starts_with("items: ") && refused.contains(why), "{text}: {refused}");
        }
    }

    #[test]
    fn a_day_is_never_guessed() {
        let (march, july) = (date(2026, 3, 7), date(2026, 7, 3));
        assert_eq!(day("date", "2026-03-07", None), Ok(march));
        assert_eq!(day("date", "2026-03-07T23:59:00Z", Some(DateOrder::DayFirst)), Ok(march));
        assert_eq!(day("date", "03/07/2026", Some(DateOrder::MonthFirst)), Ok(march));
        assert_eq!(day("date", "3.7.2026 14:22", Some(DateOrder::DayFirst)), Ok(july));
        for (text, order, why) in [
            ("03/07/2026", None, "whether the month or the day comes first"),
            ("03/07/26", Some(DateOrder::MonthFirst), "with the month first"),
            ("17/03/2026", Some(DateOrder::MonthFirst), "with the month first"),
            ("03/17/2026", Some(DateOrder::DayFirst), "with the month second"),
            ("02/30/2026", Some(DateOrder::MonthFirst), "a day of it second"),
            ("1 April", None, "right would be a day such as 2026-03-07"),
            ("2026-03-07 or so", None, "right would be a day"),
            ("", None, "right would be a day"),
        ] {
            let refused = day("date", text, order).expect_err(text);
            assert!(refused.contains(why), "{text}: {refused}");
        }
    }

    #[test]
    fn a_postal_code_that_lost_its_zero_is_told() {
        for (text, read) in
            [("60614", "60614"), ("606", "606"), ("60614-1234", "60614"), ("606141234", "60614")]
        {
            assert_eq!(zip("zip", text).as_deref(), Ok(read));
        }
        assert!(zip("zip", "2139").expect_err("four digits").contains("drop a 0"));
        for text in ["", "60", "SW1A", "60614-12", "606145", "６０６"] {
            assert!(zip("zip", text).expect_err(text).contains("right would be a ZIP code"), "{text}");
        }
    }

    #[test]
    fn counts_and_figures_are_finite() {
        assert_eq!(whole("lots", "3", 1), Ok(3));
        assert!(whole("lots", "0", 1).is_err() && whole("lots", "1.5", 1).is_err());
        assert!(figure("miles", "NaN").is_err() && figure("miles", "inf").is_err());
    }
}
