//! Business miles and the dated standard rates by which they count.

use std::fmt;

use jiff::civil::Date;
use measure::Money;
use serde::Deserialize;

use crate::allocate::{divide_half_up, i64_of};
use crate::{BooksError, Flag};

const TABLE: &str = "standard mileage rates";
const PUBLISHED: &str = include_str!("../data/mileage_rates.toml");
/// Longest trip that is reckoned with, in miles (judgement).
const MOST_MILES: f64 = 100_000.0;
/// Highest rate that is taken for one, in cents a mile (judgement).
const MOST_CENTS: f64 = 1_000.0;
/// Hundredths of a mile by tenths of a cent in a cent.
const PARTS_IN_CENT: i128 = 100 * 10;

/// A distance on the road in hundredths of a mile.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Miles(u32);

impl Miles {
    /// From miles, to the nearest hundredth.
    ///
    /// # Errors
    /// When the figure is negative, no number, or past a hundred thousand.
    pub fn new(miles: f64) -> Result<Self, BooksError> {
        if (0.0..=MOST_MILES).contains(&miles) {
            // In range, so the cast loses nothing.
            Ok(Self((miles * 100.0).round() as u32))
        } else {
            Err(BooksError::Wrong {
                place: "trip".to_owned(),
                field: "miles",
                found: miles.to_string(),
                right: "a figure from 0 to 100000",
            })
        }
    }

    /// In hundredths of a mile, as a store keeps them.
    #[must_use]
    pub const fn hundredths(self) -> u32 {
        self.0
    }
}

impl fmt::Display for Miles {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{:02} miles", self.0 / 100, self.0 % 100)
    }
}

/// What a trip was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TripUse {
    /// Buying, posting and other business.
    Business,
    /// From home to a regular place of work; it doesn't count.
    Commuting,
    /// Private; it doesn't count.
    Private,
}

/// A line of the mileage log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trip {
    /// The day.
    pub date: Date,
    /// How far, there and back.
    pub miles: Miles,
    /// What for, in one's own words.
    pub purpose: String,
    /// Whether it counts.
    pub counts: TripUse,
}

/// A standard rate with its dates.
#[derive(Debug, Clone, PartialEq)]
pub struct MileageRate {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Rate in tenths of a cent a mile.
    pub tenths_of_cent: u32,
    /// Of which depreciation, whole cents a mile.
    pub depreciation_cents: u32,
    /// How well the rate is known.
    pub flag: Flag,
    /// How well the depreciation is known.
    pub depreciation_flag: Flag,
    /// Where the rate comes from.
    pub source: String,
}

/// The standard rates by date.
#[derive(Debug, Clone, PartialEq)]
pub struct MileageRates {
    rows: Vec<MileageRate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    rates: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    from: String,
    to: String,
    cents_per_mile: f64,
    depreciation_cents: u32,
    flag: Flag,
    depreciation_flag: Flag,
    source: String,
}

impl MileageRates {
    /// The rates from 2011 on that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the rates compiled in are read by a test")
    }

    /// Reads a table of rates.
    ///
    /// # Errors
    /// When it isn't TOML, a key is missing, unknown or out of range, or rows overlap or aren't in order.
    pub fn read(text: &str) -> Result<Self, BooksError> {
        let wrong = |reason: String| BooksError::Data { table: TABLE, reason };
        let file: File = toml::from_str(text).map_err(|error| wrong(error.to_string()))?;
        let mut rows: Vec<MileageRate> = Vec::with_capacity(file.rates.len());
        for row in file.rates {
            let date = |text: &str| {
                text.parse::<Date>()
                    .map_err(|_| wrong(format!("{text} isn't a date; write it as 2026-01-01")))
            };
            let (from, to) = (date(&row.from)?, date(&row.to)?);
            let tenths = row.cents_per_mile * 10.0;
            if !(0.0..=MOST_CENTS).contains(&row.cents_per_mile) || (tenths - tenths.round()).abs() > 1e-9 {
                return Err(wrong(format!(
                    "{} cents a mile from {from}; a rate is from 0 to {MOST_CENTS}, to the tenth of a cent",
                    row.cents_per_mile
                )));
            }
            if to < from || rows.last().is_some_and(|last| from <= last.to) {
                return Err(wrong(format!(
                    "the row from {from} to {to} overlaps or is out of order; rows follow one another by date"
                )));
            }
            rows.push(MileageRate {
                from,
                to,
                // In range, so the cast loses nothing.
                tenths_of_cent: tenths.round() as u32,
                depreciation_cents: row.depreciation_cents,
                flag: row.flag,
                depreciation_flag: row.depreciation_flag,
                source: row.source,
            });
        }
        Ok(Self { rows })
    }

    /// The rows by date.
    #[must_use]
    pub fn rows(&self) -> &[MileageRate] {
        &self.rows
    }

    /// The rate on a day.
    ///
    /// # Errors
    /// When there is no row for it.
    pub fn on(&self, date: Date) -> Result<&MileageRate, BooksError> {
        self.rows
            .iter()
            .find(|row| (row.from..=row.to).contains(&date))
            .ok_or_else(|| BooksError::NoRow { table: TABLE, date: date.to_string() })
    }

    /// What business trips come to at the rates of their days, rounded once, at the total.
    ///
    /// # Errors
    /// When there is no rate for the day of a business trip.
    pub fn allowance<'a>(&self, trips: impl IntoIterator<Item = &'a Trip>) -> Result<Money, BooksError> {
        self.allowance_with_corrections(trips.into_iter().map(|trip| (trip, false)))
    }

    /// As [`MileageRates::allowance`]; a trip marked true is one that a correction takes back.
    pub(crate) fn allowance_with_corrections<'a>(
        &self,
        trips: impl IntoIterator<Item = (&'a Trip, bool)>,
    ) -> Result<Money, BooksError> {
        let mut parts = 0_i128;
        for (trip, taken_back) in trips {
            match trip.counts {
                TripUse::Business => {
                    let rate = i128::from(self.on(trip.date)?.tenths_of_cent);
                    let part = i128::from(trip.miles.hundredths()) * rate;
                    parts += if taken_back { -part } else { part };
                }
                TripUse::Commuting | TripUse::Private => {}
            }
        }
        Ok(Money::from_cents(i64_of(divide_half_up(parts, PARTS_IN_CENT))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_table_has_no_gap() {
        let rates = MileageRates::published();
        for pair in rates.rows().windows(2) {
            assert_eq!(pair[0].to.tomorrow().unwrap(), pair[1].from);
        }
    }

    #[test]
    fn a_table_out_of_order_or_with_nonsense_is_refused() {
        let row = |from: &str, to: &str, cents: &str| {
            format!(
                "[[rates]]\nfrom = \"{from}\"\nto = \"{to}\"\ncents_per_mile = {cents}\n\
                 depreciation_cents = 30\nflag = \"own\"\ndepreciation_flag = \"own\"\nsource = \"mine\"\n"
            )
        };
        let good = row("2026-01-01", "2026-12-31", "72.5");
        assert!(MileageRates::read(&good).is_ok());
        for bad in [
            format!("{good}{good}"),
            row("2026-12-31", "2026-01-01", "72.5"),
            row("2026-01-01", "2026-12-31", "nan"),
            row("2026-01-01", "2026-12-31", "-1.0"),
            row("2026-01-01", "2026-12-31", "72.55"),
            row("yesterday", "2026-12-31", "72.5"),
            format!("{good}colour = 1\n"),
        ] {
            assert!(matches!(MileageRates::read(&bad), Err(BooksError::Data { .. })), "{bad}");
        }
    }

    #[test]
    fn commuting_and_private_miles_count_for_nothing() {
        let date = jiff::civil::date(2026, 2, 3);
        let trip = |counts| Trip { date, miles: Miles::new(22.0).unwrap(), purpose: String::new(), counts };
        let trips = [trip(TripUse::Business), trip(TripUse::Commuting), trip(TripUse::Private)];
        assert_eq!(MileageRates::published().allowance(&trips).unwrap(), Money::from_cents(1595));
    }

    #[test]
    fn a_day_past_the_table_is_an_error_and_never_the_last_rate() {
        let trip = Trip {
            date: jiff::civil::date(2031, 1, 1),
            miles: Miles::new(1.0).unwrap(),
            purpose: String::new(),
            counts: TripUse::Business,
        };
        assert!(matches!(MileageRates::published().allowance([&trip]), Err(BooksError::NoRow { .. })));
        for miles in [f64::NAN, -1.0, 1e9] {
            assert!(Miles::new(miles).is_err());
        }
    }
}
