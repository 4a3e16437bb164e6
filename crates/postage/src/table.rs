//! Comma-separated tables with a heading, read row by row with places for errors.

use crate::{CardError, CardPart};

/// A table's heading and rows, each row with its number as an editor counts it.
pub(crate) struct Table {
    pub(crate) heading: Vec<String>,
    pub(crate) rows: Vec<(u64, Vec<String>)>,
}

impl Table {
    /// Reads a table; every row has as many cells as the heading, blanks around cells are dropped.
    pub(crate) fn read(part: CardPart, text: &str) -> Result<Self, CardError> {
        let text = text.trim_start_matches('\u{feff}');
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut heading: Option<Vec<String>> = None;
        let mut rows = Vec::new();
        for record in reader.records() {
            // The text is UTF-8 and lengths are flexible, so a record can only fail on its place.
            let record = record.map_err(|error| CardError::Cell {
                part,
                row: error.position().map_or(0, csv::Position::line),
                column: String::new(),
                found: error.to_string(),
                right: "a row of cells parted by commas",
            })?;
            let row = record.position().map_or(0, csv::Position::line);
            let cells: Vec<String> = record.iter().map(str::to_owned).collect();
            let Some(heading) = &heading else {
                heading = Some(cells);
                continue;
            };
            if cells.iter().all(String::is_empty) {
                continue;
            }
            if cells.len() != heading.len() {
                return Err(CardError::RowLength { part, row, found: cells.len(), expected: heading.len() });
            }
            rows.push((row, cells));
        }
        Ok(Self { heading: heading.unwrap_or_default(), rows })
    }

    /// Checks one place of the heading.
    pub(crate) fn expect_heading(&self, part: CardPart, place: usize, right: &str) -> Result<(), CardError> {
        let found = self.heading.get(place).map_or("", String::as_str);
        if found == right {
            return Ok(());
        }
        Err(CardError::Heading { part, column: place + 1, found: short(found), right: right.to_owned() })
    }

    pub(crate) fn expect_rows(&self, part: CardPart) -> Result<(), CardError> {
        if self.rows.is_empty() { Err(CardError::NoRows { part }) } else { Ok(()) }
    }
}

/// A quotation short enough for an error.
pub(crate) fn short(text: &str) -> String {
    text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect()
}
