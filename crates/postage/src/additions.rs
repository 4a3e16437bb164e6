//! Temporary additions to a card's prices, by zone, weight and day.

use jiff::civil::Date;
use measure::Money;

use crate::prices::WEIGHT_TOLERANCE_LB;
use crate::table::{Table, short};
use crate::{CardError, CardPart, Zone};

const PART: CardPart = CardPart::Additions;
const HEADING: [&str; 7] =
    ["zone_from", "zone_to", "lb_from", "lb_to", "add_usd", "in_force_from", "in_force_to"];

/// One row: so much more for these zones and whole pounds, on these days.
#[derive(Debug, Clone, PartialEq)]
struct Addition {
    zones: (Zone, Zone),
    /// Whole pounds, both ends included.
    pounds: (u32, u32),
    amount: Money,
    days: (Date, Date),
}

/// What a card adds on a day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Due {
    /// First and last day of the addition.
    pub(crate) days: (Date, Date),
    /// What is added; a least amount where `known_to_lb` is given.
    pub(crate) amount: Money,
    /// Set when the card states no addition for this weight: the heaviest lighter weight it does
    /// state one for, whose amount stands in as the least to expect (0 if there is none).
    pub(crate) known_to_lb: Option<u32>,
}

/// All additions of a card.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Additions(Vec<Addition>);

impl Additions {
    pub(crate) fn read(text: &str) -> Result<Self, CardError> {
        let table = Table::read(PART, text)?;
        for (place, right) in HEADING.into_iter().enumerate() {
            table.expect_heading(PART, place, right)?;
        }
        table.expect_rows(PART)?;
        let mut rows: Vec<(u64, Addition)> = Vec::new();
        for (place, cells) in &table.rows {
            let row = read_row(*place, cells)?;
            if let Some((first, _)) = rows.iter().find(|(_, other)| overlap(other, &row)) {
                return Err(CardError::Overlap { row: *place, first: *first });
            }
            rows.push((*place, row));
        }
        Ok(Self(rows.into_iter().map(|(_, row)| row).collect()))
    }

    /// What is added on a day for a price row of this many pounds.
    ///
    /// A price row belongs to the whole pound that it reaches: 15.999 oz to the first.
    pub(crate) fn due(&self, zone: Zone, row_lb: f64, day: Date) -> Option<Due> {
        // `as` saturates: heavier than any row still finds the last one.
        let pound = (row_lb - WEIGHT_TOLERANCE_LB).ceil() as u32;
        let in_force = || self.0.iter().filter(move |row| row.days.0 <= day && day <= row.days.1);
        let days = in_force().next()?.days;
        let below = in_force()
            .filter(|row| row.zones.0 <= zone && zone <= row.zones.1 && row.pounds.0 <= pound)
            .max_by_key(|row| row.pounds.1);
        Some(match below {
            Some(row) if pound <= row.pounds.1 => {
                Due { days: row.days, amount: row.amount, known_to_lb: None }
            }
            Some(row) => Due { days: row.days, amount: row.amount, known_to_lb: Some(row.pounds.1) },
            None => Due { days, amount: Money::ZERO, known_to_lb: Some(0) },
        })
    }
}

fn overlap(a: &Addition, b: &Addition) -> bool {
    fn meet<T: PartialOrd>(a: &(T, T), b: &(T, T)) -> bool {
        a.0 <= b.1 && b.0 <= a.1
    }
    meet(&a.zones, &b.zones) && meet(&a.pounds, &b.pounds) && meet(&a.days, &b.days)
}

fn read_row(place: u64, cells: &[String]) -> Result<Addition, CardError> {
    let cell = |column: usize| cells.get(column).map_or("", String::as_str);
    let wrong = |column: usize, right| CardError::Cell {
        part: PART,
        row: place,
        column: HEADING.get(column).copied().unwrap_or_default().to_owned(),
        found: short(cell(column)),
        right,
    };
    let zone = |column: usize| {
        let number = cell(column).parse().ok();
        number.and_then(Zone::new).ok_or_else(|| wrong(column, "a zone from 1 to 9"))
    };
    let pounds = |column: usize| cell(column).parse::<u32>().map_err(|_| wrong(column, "whole pounds"));
    let day =
        |column: usize| cell(column).parse::<Date>().map_err(|_| wrong(column, "a day such as 2026-10-04"));
    let row = Addition {
        zones: (zone(0)?, zone(1)?),
        pounds: (pounds(2)?, pounds(3)?),
        amount: Money::read(cell(4))
            .ok()
            .filter(|&amount| amount >= Money::ZERO)
            .ok_or_else(|| wrong(4, "an amount such as 0.40"))?,
        days: (day(5)?, day(6)?),
    };
    if row.zones.1 < row.zones.0 {
        return Err(wrong(1, "a zone not nearer than zone_from"));
    }
    if row.pounds.1 < row.pounds.0 {
        return Err(wrong(3, "a weight not below lb_from"));
    }
    if row.days.1 < row.days.0 {
        return Err(wrong(6, "a day not before in_force_from"));
    }
    Ok(row)
}
