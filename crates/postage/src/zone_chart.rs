//! A person's own official chart: zones from one origin.

use std::collections::BTreeMap;

use crate::table::{Table, short};
use crate::{CardPart, Zone, ZoneError};

/// Zones by the first three digits of the destination.
pub(crate) type Chart = BTreeMap<u16, Zone>;

/// Reads `dest_zip3,zone` or `dest_zip3_from,dest_zip3_to,zone`.
///
/// The marks that official charts set behind a zone (`5*`, `8+`) are accepted and dropped.
pub(crate) fn read_chart(text: &str) -> Result<Chart, ZoneError> {
    let table = Table::read(CardPart::Prices, text).map_err(|error| ZoneError::ChartTable {
        // The row is told; whose table it is, this error says itself.
        reason: error.to_string().trim_start_matches("prices, ").to_owned(),
    })?;
    let heading: Vec<&str> = table.heading.iter().map(String::as_str).collect();
    let ranged = match heading.as_slice() {
        ["dest_zip3", "zone"] => false,
        ["dest_zip3_from", "dest_zip3_to", "zone"] => true,
        _ => return Err(ZoneError::ChartHeading { found: short(&table.heading.join(",")) }),
    };
    if table.rows.is_empty() {
        return Err(ZoneError::ChartTable { reason: "there are no rows under the heading".to_owned() });
    }
    let mut chart = Chart::new();
    for (row, cells) in &table.rows {
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        let (from, to, zone) = match cells.as_slice() {
            [from, to, zone] if ranged => {
                (area(*row, "dest_zip3_from", from)?, area(*row, "dest_zip3_to", to)?, zone)
            }
            [dest, zone] => {
                let dest = area(*row, "dest_zip3", dest)?;
                (dest, dest, zone)
            }
            // Each row has as many cells as the heading.
            _ => continue,
        };
        if to < from {
            return Err(ZoneError::ChartCell {
                row: *row,
                column: "dest_zip3_to",
                found: format!("{to:03}"),
                right: "three digits not below dest_zip3_from",
            });
        }
        let number = zone.trim_end_matches(['*', '+']).parse().ok();
        let zone = number.and_then(Zone::new).ok_or_else(|| ZoneError::ChartCell {
            row: *row,
            column: "zone",
            found: short(zone),
            right: "a zone from 1 to 9",
        })?;
        for area in from..=to {
            if let Some(first) = chart.insert(area, zone).filter(|&first| first != zone) {
                return Err(ZoneError::ChartConflict { row: *row, area, first, second: zone });
            }
        }
    }
    Ok(chart)
}

/// Three digits.
fn area(row: u64, column: &'static str, text: &str) -> Result<u16, ZoneError> {
    let wrong =
        || ZoneError::ChartCell { row, column, found: short(text), right: "three digits such as 005" };
    if text.len() != 3 || !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err(wrong());
    }
    text.parse().map_err(|_| wrong())
}
