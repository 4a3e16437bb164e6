//! The price table of a card: rows by weight, columns by zone.

use measure::{Mass, MassUnit, Money};

use crate::figure::figure;
use crate::table::{Table, short};
use crate::{CardError, CardPart, Zone};

/// How much over a row's weight still pays that row, lb: 4.5 mg, for the arithmetic of units.
///
/// Less than the thousandth of an ounce that parts 15.999 oz from a pound.
pub(crate) const WEIGHT_TOLERANCE_LB: f64 = 1e-5;

const PART: CardPart = CardPart::Prices;

/// One row: what a parcel up to this weight pays.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PriceRow {
    pub(crate) not_over: Mass,
    /// As the list writes it: "2 lb", "15.999 oz".
    pub(crate) label: String,
    prices: Vec<Option<Money>>,
}

impl PriceRow {
    pub(crate) fn price(&self, zone: Zone) -> Option<Money> {
        self.prices.get(zone.column()).copied().flatten()
    }
}

/// Rows from light to heavy.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PriceTable {
    pub(crate) rows: Vec<PriceRow>,
    /// Number of zone columns, 1 to 9.
    pub(crate) zones: u8,
}

impl PriceTable {
    /// Reads `weight_not_over,unit,z1,z2,...`, and tells what looks odd without being wrong.
    pub(crate) fn read(text: &str) -> Result<(Self, Vec<String>), CardError> {
        let table = Table::read(PART, text)?;
        table.expect_heading(PART, 0, "weight_not_over")?;
        table.expect_heading(PART, 1, "unit")?;
        let zones = table.heading.len().saturating_sub(2).clamp(1, Zone::COUNT);
        for place in 2..table.heading.len().max(3) {
            if place - 2 >= Zone::COUNT {
                return Err(CardError::Heading {
                    part: PART,
                    column: place + 1,
                    found: table.heading.get(place).map_or_else(String::new, |found| short(found)),
                    right: "the end of the row after z9".to_owned(),
                });
            }
            table.expect_heading(PART, place, &format!("z{}", place - 1))?;
        }
        table.expect_rows(PART)?;
        let mut rows: Vec<PriceRow> = Vec::new();
        let mut places: Vec<u64> = Vec::new();
        for (place, cells) in &table.rows {
            let row = read_row(*place, &table.heading, cells)?;
            if let Some(first) = rows.iter().position(|other| same_weight(other.not_over, row.not_over)) {
                return Err(CardError::DuplicateRow { row: *place, first: places[first], weight: row.label });
            }
            if let Some(before) = rows.last().filter(|before| before.not_over > row.not_over) {
                let before = before.label.clone();
                return Err(CardError::WeightOrder { row: *place, weight: row.label, before });
            }
            places.push(*place);
            rows.push(row);
        }
        let warnings = oddities(&rows);
        // At most nine by the clamp above.
        Ok((Self { rows, zones: zones as u8 }, warnings))
    }

    /// The first row whose weight is not below this.
    pub(crate) fn row_for(&self, weight: Mass) -> Option<&PriceRow> {
        self.rows.iter().find(|row| weight.pounds() <= row.not_over.pounds() + WEIGHT_TOLERANCE_LB)
    }

    /// The heaviest row that has a price for the zone.
    pub(crate) fn last_for(&self, zone: Zone) -> Option<&PriceRow> {
        self.rows.iter().rev().find(|row| row.price(zone).is_some())
    }
}

fn same_weight(a: Mass, b: Mass) -> bool {
    (a - b).pounds().abs() <= WEIGHT_TOLERANCE_LB
}

fn read_row(place: u64, heading: &[String], cells: &[String]) -> Result<PriceRow, CardError> {
    let wrong = |column: usize, right| CardError::Cell {
        part: PART,
        row: place,
        column: heading.get(column).map_or_else(String::new, |name| short(name)),
        found: cells.get(column).map_or_else(String::new, |cell| short(cell)),
        right,
    };
    let (weight, unit, prices) = match cells {
        [weight, unit, prices @ ..] => (weight, unit, prices),
        _ => return Err(wrong(0, "a weight such as 15.999")),
    };
    let unit = MassUnit::from_word(unit).ok_or_else(|| wrong(1, "`lb` or `oz` (or `kg`, `g`)"))?;
    let not_over = Mass::read_positive(weight, Some(unit))
        .map_err(|_| wrong(0, "a weight above zero without a unit, such as 15.999"))?;
    let shown = match unit {
        MassUnit::Pounds => format!("{} lb", figure(not_over.pounds(), 5)),
        MassUnit::Ounces => format!("{} oz", figure(not_over.ounces(), 4)),
        MassUnit::Grams => format!("{} g", figure(not_over.grams(), 2)),
        MassUnit::Kilograms => format!("{} kg", figure(not_over.grams() / 1000.0, 5)),
    };
    let mut row = PriceRow { not_over, label: shown, prices: Vec::new() };
    for (zone, cell) in prices.iter().enumerate() {
        row.prices.push(if cell.is_empty() {
            None
        } else {
            let price = Money::read(cell).ok().filter(|&price| price > Money::ZERO);
            Some(price.ok_or_else(|| wrong(zone + 2, "a price above zero such as 9.04, or nothing"))?)
        });
    }
    Ok(row)
}

/// Prices that fall where one expects them to rise, and cells without a price.
fn oddities(rows: &[PriceRow]) -> Vec<String> {
    let mut found = Vec::new();
    for row in rows {
        let stated: Vec<(usize, Money)> =
            row.prices.iter().enumerate().filter_map(|(zone, price)| Some((zone + 1, (*price)?))).collect();
        for pair in stated.windows(2) {
            if let [(near, low), (far, high)] = pair
                && high < low
            {
                found.push(format!(
                    "at {} zone {far} ({high}) is cheaper than zone {near} ({low})",
                    row.label
                ));
            }
        }
        let blank = row.prices.len() - stated.len();
        if blank > 0 {
            found.push(format!(
                "at {} there is no price for {blank} of {} zones",
                row.label,
                row.prices.len()
            ));
        }
    }
    for pair in rows.windows(2) {
        let [lighter, heavier] = pair else { continue };
        for (zone, prices) in lighter.prices.iter().zip(&heavier.prices).enumerate() {
            if let (Some(low), Some(high)) = prices
                && high < low
            {
                let zone = zone + 1;
                found.push(format!(
                    "in zone {zone} {} ({high}) is cheaper than {} ({low})",
                    heavier.label, lighter.label
                ));
            }
        }
    }
    found
}
