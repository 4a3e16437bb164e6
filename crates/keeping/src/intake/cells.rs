//! The cells of a table, from the bytes of a CSV file or a spreadsheet.

use std::io::Cursor;

use calamine::{Data, Reader};

use super::IntakeError;

/// Largest table that is read, bytes (judgement: a few hundred thousand rows).
pub const MOST_BYTES: usize = 20_000_000;
/// How a spreadsheet's file begins: a ZIP archive, or an older compound file (published: APPNOTE.TXT 4.3.7,
/// MS-CFB 2.2).
const SPREADSHEETS: [&[u8]; 2] = [b"PK\x03\x04", b"\xD0\xCF\x11\xE0"];
/// What may part the cells of a line: a comma, or what pasted cells and other countries' files have.
const PARTED_BY: [u8; 3] = [b',', b'\t', b';'];
/// Decimals to which the figure of a cell is told (judgement: past money, miles and units).
const DECIMALS: usize = 6;
/// How far a figure may be from one with that many decimals to be taken for it: what adding up in a spreadsheet
/// leaves behind (judgement).
const FIGURE_SLIP: f64 = 1e-9;

/// A row with its line in the table, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The line.
    pub line: u64,
    /// What stands in it.
    pub cells: Vec<String>,
}

/// The names of the columns, and all rows below them that hold anything.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cells {
    names: Vec<String>,
    rows: Vec<Row>,
    pages: Vec<String>,
}

impl Cells {
    /// Reads a table: CSV parted by commas, tabs or semicolons, or a spreadsheet, whichever the bytes are. `page`
    /// is the page of a spreadsheet; left out, the first.
    ///
    /// # Errors
    /// When there are too many bytes, they are no table, the page isn't there, or nothing stands in it.
    pub fn read(bytes: &[u8], page: Option<&str>) -> Result<Self, IntakeError> {
        if bytes.len() > MOST_BYTES {
            return Err(IntakeError::Table(format!(
                "it has over {MOST_BYTES} bytes; right would be a smaller table, split in parts"
            )));
        }
        let (rows, pages) = if SPREADSHEETS.iter().any(|start| bytes.starts_with(start)) {
            of_spreadsheet(bytes, page)?
        } else if page.is_some() {
            return Err(IntakeError::Pageless);
        } else {
            (of_text(bytes)?, Vec::new())
        };
        let mut rows =
            rows.into_iter().filter(|row: &Row| row.cells.iter().any(|cell| !cell.trim().is_empty()));
        let names = rows.next().map(|row| row.cells).ok_or_else(|| {
            IntakeError::Table(String::from(
                "the table is empty; right would be a line of column names and rows below it",
            ))
        })?;
        Ok(Self { names, rows: rows.collect(), pages })
    }

    /// The names of its columns.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Its rows.
    #[must_use]
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The pages of the spreadsheet it is from; none for CSV.
    #[must_use]
    pub fn pages(&self) -> &[String] {
        &self.pages
    }

    /// The column of that name; case, blanks and dots don't count.
    #[must_use]
    pub fn place(&self, name: &str) -> Option<usize> {
        let wanted = measure::plain(name);
        // A name of signs alone is compared as it is.
        self.names.iter().position(|known| known.trim() == name.trim()).or_else(|| {
            self.names.iter().position(|known| !wanted.is_empty() && measure::plain(known) == wanted)
        })
    }
}

type Read = (Vec<Row>, Vec<String>);

fn of_spreadsheet(bytes: &[u8], page: Option<&str>) -> Result<Read, IntakeError> {
    let wrong = |e: calamine::Error| IntakeError::Table(format!("the spreadsheet can't be read: {e}"));
    let mut book = calamine::open_workbook_auto_from_rs(Cursor::new(bytes)).map_err(wrong)?;
    let pages = book.sheet_names();
    let first = || IntakeError::Table(String::from("the spreadsheet has no page"));
    let name = match page {
        Some(page) => page.to_owned(),
        None => pages.first().cloned().ok_or_else(first)?,
    };
    if !pages.contains(&name) {
        return Err(IntakeError::NoPage { page: name, pages: pages.join(", ") });
    }
    let range = book.worksheet_range(&name).map_err(wrong)?;
    let start = range.start().map_or(1, |(row, _)| u64::from(row).saturating_add(1));
    let rows = (start..).zip(range.rows());
    Ok((rows.map(|(line, row)| Row { line, cells: row.iter().map(words).collect() }).collect(), pages))
}

fn of_text(bytes: &[u8]) -> Result<Vec<Row>, IntakeError> {
    let text = std::str::from_utf8(bytes).map_err(|e| {
        IntakeError::Table(format!("byte {} is not UTF-8 text; save it as UTF-8", e.valid_up_to()))
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(parted_by(text))
        .from_reader(text.as_bytes());
    let (mut rows, mut line, mut counted) = (Vec::new(), 1_u64, 0);
    for record in reader.records() {
        let record = record.map_err(|e| IntakeError::Table(e.to_string()))?;
        // Counted here: where lines end in CR LF, the reader takes the LF for the next record's.
        let start = record.position().map_or(0, csv::Position::byte);
        let start = usize::try_from(start).unwrap_or(usize::MAX).min(text.len());
        let rest = text.as_bytes().get(start..).unwrap_or_default();
        let start = start + rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
        let between = text.as_bytes().get(counted..start).unwrap_or_default();
        let ends = between.iter().filter(|byte| **byte == b'\n').count();
        line = line.saturating_add(u64::try_from(ends).unwrap_or(u64::MAX));
        counted = counted.max(start);
        rows.push(Row { line, cells: record.iter().map(str::to_owned).collect() });
    }
    Ok(rows)
}

/// What parts the names in the first line that holds anything: the sign that stands there most often.
fn parted_by(text: &str) -> u8 {
    let line = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let often = |sign: u8| line.bytes().filter(|&byte| byte == sign).count();
    PARTED_BY.into_iter().rev().max_by_key(|&sign| often(sign)).unwrap_or(b',')
}

/// A cell as it would be typed.
fn words(cell: &Data) -> String {
    match cell {
        Data::DateTime(moment) => {
            let (year, month, day, ..) = moment.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        Data::DateTimeIso(text) => text.split('T').next().unwrap_or_default().to_owned(),
        Data::Empty | Data::Error(_) => String::new(),
        Data::Float(figure) => figure_words(*figure),
        Data::Int(_) | Data::String(_) | Data::Bool(_) | Data::DurationIso(_) => {
            cell.to_string().trim().to_owned()
        }
    }
}

fn figure_words(figure: f64) -> String {
    let fixed = format!("{figure:.DECIMALS$}");
    let near = fixed.parse().is_ok_and(|fixed: f64| (fixed - figure).abs() <= FIGURE_SLIP);
    if near { fixed.trim_end_matches('0').trim_end_matches('.').to_owned() } else { figure.to_string() }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::{Cells, IntakeError, MOST_BYTES, figure_words};

    #[test]
    fn what_adding_up_left_behind_is_not_told() {
        assert_eq!(figure_words(0.1 + 0.2), "0.3");
        assert_eq!(figure_words(12.0), "12");
        assert_eq!(figure_words(100.0), "100");
        assert_eq!(figure_words(0.123_456_789), "0.123456789");
        assert_eq!(figure_words(-0.0).trim_start_matches('-'), "0");
    }

    #[test]
    fn commas_tabs_and_semicolons_part_cells_and_a_mark_at_the_start_is_none() {
        for text in ["a,b\n1,2", "a\tb\r\n1\t2", "\u{feff}a;b\n\n1;2\n"] {
            let cells = Cells::read(text.as_bytes(), None).unwrap();
            assert_eq!(cells.names(), ["a", "b"], "{text:?}");
            assert_eq!(cells.rows()[0].cells, ["1", "2"], "{text:?}");
        }
    }

    #[test]
    fn lines_are_those_of_the_file_however_they_end() {
        let text = "\na,b\n1,2\n\"x\ny\",2\n\n , \n3,4\n";
        for text in [text.to_owned(), text.replace('\n', "\r\n")] {
            let cells = Cells::read(text.as_bytes(), None).unwrap();
            assert_eq!(cells.rows().iter().map(|row| row.line).collect::<Vec<_>>(), [3, 4, 8], "{text:?}");
        }
    }

    #[test]
    fn what_is_no_table_is_refused_with_what_would_be_right() {
        let refused = |bytes: &[u8], page| Cells::read(bytes, page).unwrap_err().to_string();
        assert!(refused(b" \n,,\n", None).contains("right would be a line of column names"));
        assert!(refused(b"a\xff", None).contains("byte 1 is not UTF-8"));
        assert!(refused(b"PK\x03\x04 broken", None).contains("can't be read"));
        assert!(refused(&vec![b'a'; MOST_BYTES + 1], None).contains("split in parts"));
        assert_eq!(Cells::read(b"a", Some("p")).unwrap_err(), IntakeError::Pageless);
    }
}
