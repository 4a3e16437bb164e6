//! A table of comps: one row, one comp.

use jiff::civil::Date;

use super::cell::{COLUMNS, Column, read_cell};
use super::comp_error::{CompError, quoted};
use super::stated::{Facts, Kind};
use super::table_error::{Found, TableFault, TableProblems};
use crate::Comp;

/// Most rows that are read below the heading (judgement: far more than an estimate gains from).
pub const MOST_ROWS: usize = 1000;
/// Most bytes that are read (judgement: [`MOST_ROWS`] rows of a full line each, several times over).
const MOST_BYTES: usize = 1 << 20;

/// Reads a table of comma-separated values whose first row names the columns, in any order.
///
/// The columns are `kind` (sold, offer, unsold, auction), `price` (of an offer and of what is unsold the ask),
/// `shipping` (an amount, `free`, `?` or `7-12`), `pieces`, `days` (on offer), `age` or `date`, `grade`, `bids`
/// and `likeness`; only `price` must be there, and a blank cell states nothing. Or there is one column `comp`,
/// each row of which is a comp as on a line. `today` is the day that dates are counted back from.
///
/// ```
/// use jiff::civil::date;
///
/// let table = "kind,price,shipping,pieces,days\nsold,17.50,8.25,2,\nunsold,35,free,,90\n";
/// let comps = pricing::read_table(table, date(2026, 11, 25))?;
/// assert_eq!(comps[1].write(), "unsold 35.00 for 90d free ship");
///
/// let problems = pricing::read_table("price,peices\n0,2\n", date(2026, 11, 25)).expect_err("wrong");
/// assert!(problems.to_string().starts_with("row 1, column `peices`: there is no column `peices`"));
/// assert_eq!(problems.problems[1].row, 2);
/// # Ok::<(), pricing::TableProblems>(())
/// ```
///
/// # Errors
/// Everything that is wrong with the table at once, up to twenty problems, each with its row and column.
pub fn read_table(table: impl AsRef<[u8]>, today: Date) -> Result<Vec<Comp>, TableProblems> {
    let mut found = Found::default();
    let comps = read(table.as_ref(), today, &mut found);
    if found.is_empty() { Ok(comps) } else { Err(found.all()) }
}

/// What the heading says of the rows.
enum Heading {
    /// Each row is a line.
    Lines,
    /// Each row is made of these cells; `None` is an unknown column.
    Cells(Vec<Option<Column>>),
}

fn read(table: &[u8], today: Date, found: &mut Found) -> Vec<Comp> {
    let mut comps = Vec::new();
    if table.len() > MOST_BYTES {
        found.add(0, "", TableFault::TooLarge { bytes: table.len(), most: MOST_BYTES });
        return comps;
    }
    let text = match std::str::from_utf8(table) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => {
            let good = table.get(..error.valid_up_to()).unwrap_or_default();
            found.add(row_at(good, good.len()), "", TableFault::NotText);
            return comps;
        }
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut heading: Option<(Heading, usize)> = None;
    let mut rows = 0;
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let row = error.position().map_or(0, csv::Position::line);
                found.add(row, "", TableFault::Table { reason: error.to_string() });
                return comps;
            }
        };
        let row = record.position().map_or(0, |position| row_of(text.as_bytes(), position.byte()));
        if record.iter().all(str::is_empty) {
            continue;
        }
        let Some((heading, width)) = &heading else {
            let Some(read) = read_heading(&record, row, found) else {
                return comps;
            };
            heading = Some((read, record.len()));
            continue;
        };
        if matches!(heading, Heading::Lines) && record.iter().next().is_some_and(|cell| cell.starts_with('#'))
        {
            continue;
        }
        rows += 1;
        if rows > MOST_ROWS {
            found.add(row, "", TableFault::TooManyRows { most: MOST_ROWS });
            return comps;
        }
        if record.len() != *width {
            found.add(row, "", TableFault::RowLength { found: record.len(), expected: *width });
            continue;
        }
        match heading {
            Heading::Lines => match Comp::read(record.iter().next().unwrap_or_default(), today) {
                Ok(comp) => comps.push(comp),
                Err(error) => found.add(row, Column::Comp.name(), error.into()),
            },
            Heading::Cells(columns) => comps.extend(read_row(&record, columns, row, today, found)),
        }
    }
    if rows == 0 && found.is_empty() {
        found.add(0, "", TableFault::NoRows);
    }
    comps
}

/// The row, from 1, in which the record that is read from a byte on begins; blank rows before it are passed.
fn row_of(text: &[u8], byte: u64) -> u64 {
    let start = usize::try_from(byte).unwrap_or(usize::MAX);
    let blank =
        text.get(start..).unwrap_or_default().iter().take_while(|b| matches!(b, b'\r' | b'\n')).count();
    row_at(text, start.saturating_add(blank))
}

fn row_at(text: &[u8], end: usize) -> u64 {
    let before = text.get(..end).unwrap_or(text);
    1 + before.iter().filter(|&&b| b == b'\n').count() as u64
}

/// Reads the heading; `None` when no row can be read by it.
fn read_heading(record: &csv::StringRecord, row: u64, found: &mut Found) -> Option<Heading> {
    let mut columns: Vec<Option<Column>> = Vec::new();
    for cell in record {
        let column =
            COLUMNS.iter().find(|(name, _)| cell.eq_ignore_ascii_case(name)).map(|(_, column)| *column);
        match column {
            None => {
                let nearest = measure::nearest(cell, COLUMNS.iter().map(|(name, _)| *name));
                let typed = quoted(cell);
                found.add(row, &typed, TableFault::UnknownColumn { found: typed.clone(), nearest });
            }
            Some(column) if columns.contains(&Some(column)) => {
                found.add(row, column.name(), TableFault::RepeatedColumn);
            }
            Some(_) => {}
        }
        columns.push(column);
    }
    if columns.contains(&Some(Column::Comp)) {
        if columns.len() == 1 {
            return Some(Heading::Lines);
        }
        found.add(row, Column::Comp.name(), TableFault::CompNotAlone);
        return None;
    }
    if !columns.contains(&Some(Column::Price)) {
        found.add(row, "", TableFault::NoPrice);
        return None;
    }
    Some(Heading::Cells(columns))
}

fn read_row(
    record: &csv::StringRecord,
    columns: &[Option<Column>],
    row: u64,
    today: Date,
    found: &mut Found,
) -> Option<Comp> {
    let mut facts = Facts::default();
    let mut whole = true;
    for (cell, column) in record.iter().zip(columns) {
        let Some(column) = column.filter(|_| !cell.is_empty()) else {
            continue;
        };
        if let Err(error) = read_cell(column, cell, today, &mut facts) {
            found.add(row, column.name(), error.into());
            whole = false;
        }
    }
    if !whole {
        return None;
    }
    if facts.kind.as_ref().is_some_and(|kind| kind.value == Kind::Offer) {
        facts.ask = facts.price.take();
    }
    match facts.assemble("", 0..0) {
        Ok(comp) => Some(comp),
        Err(error) => {
            let column = Column::of(error.part).map_or("", Column::name);
            let cell =
                record.iter().zip(columns).find(|(_, place)| place.is_some_and(|c| c.name() == column));
            let cell = cell.map_or("", |(cell, _)| cell);
            found.add(row, column, within(error, cell).into());
            None
        }
    }
}

/// The error of a row as an error of its cell; what is missing points at nothing.
fn within(error: CompError, cell: &str) -> CompError {
    let CompError { fault, part, span, right, .. } = error;
    let span = if cell.get(span.clone()).is_some() { span } else { 0..0 };
    CompError::at(cell, span, part, fault, right)
}
