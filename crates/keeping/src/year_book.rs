//! A year as a spreadsheet: the worksheet, the months, the orders, the stock.

use books::{By, TaxTables};
use jiff::civil::date;
use rust_xlsxwriter::{Format, Workbook, Worksheet, XlsxError};
use shop::Shop;

use crate::{Stop, named, question};

/// Width of a column of words, in characters (judgement).
const WORDS_WIDTH: f64 = 34.0;

fn failed(error: XlsxError) -> Stop {
    Stop::Outside(format!("the spreadsheet can't be made: {error}"))
}

/// A cell of a row.
enum Cell {
    /// Words; always a text, so that none is taken for a formula.
    Words(String),
    /// An amount in currency.
    Money(measure::Money),
    /// A count.
    Count(f64),
}

struct Pages {
    book: Workbook,
    bold: Format,
    money: Format,
}

impl Pages {
    fn add(&mut self, name: &str, heads: &[&str], rows: Vec<Vec<Cell>>) -> Result<(), XlsxError> {
        let (bold, money) = (self.bold.clone(), self.money.clone());
        let page: &mut Worksheet = self.book.add_worksheet();
        page.set_name(name)?;
        page.set_column_width(0, WORDS_WIDTH)?;
        for (column, head) in (0..).zip(heads) {
            page.write_string_with_format(0, column, *head, &bold)?;
        }
        for (at, row) in (1..).zip(rows) {
            for (column, cell) in (0..).zip(row) {
                match cell {
                    Cell::Words(words) => page.write_string(at, column, words)?,
                    Cell::Money(amount) => {
                        page.write_number_with_format(at, column, amount.currency(), &money)?
                    }
                    Cell::Count(count) => page.write_number(at, column, count)?,
                };
            }
        }
        Ok(())
    }
}

/// The bytes of the spreadsheet of a year (.xlsx). The same records make the same bytes.
///
/// # Errors
/// When the file can't be read, or no tables are known for the year.
pub fn year_book(shop: &mut Shop, year: i16, today: jiff::civil::Date) -> Result<Vec<u8>, Stop> {
    let mut pages = Pages {
        book: Workbook::new(),
        bold: Format::new().set_bold(),
        money: Format::new().set_num_format("#,##0.00"),
    };
    // The moment of making would make every copy another.
    let made =
        rust_xlsxwriter::ExcelDateTime::from_ymd(u16::try_from(year).unwrap_or(2000).max(1900), 12, 31);
    pages
        .book
        .set_properties(&rust_xlsxwriter::DocProperties::new().set_creation_datetime(&made.map_err(failed)?));
    let sheet = shop.worksheet(year, &TaxTables::published())?;
    let mut rows: Vec<Vec<Cell>> = sheet
        .rows
        .iter()
        .map(|row| {
            vec![
                Cell::Words(row.line.name().to_owned()),
                Cell::Words(row.form_lines.join(" or ")),
                Cell::Money(row.amount),
            ]
        })
        .collect();
    rows.push(vec![Cell::Words(sheet.notice().to_owned())]);
    rows.extend(crate::flow_words(shop)?.map(|words| vec![Cell::Words(words)]));
    rows.extend(sheet.questions.iter().map(|one| vec![Cell::Words(question(one))]));
    pages.add("year", &["what", "line", "amount"], rows).map_err(failed)?;
    let (from, to) = (date(year, 1, 1), date(year, 12, 31));
    for (name, by) in
        [("months", By::Month), ("orders", By::Order), ("finds", By::Find), ("places", By::Place)]
    {
        let found = shop.earned(by, from, to)?;
        let mut rows = Vec::with_capacity(found.len());
        for (key, row) in &found {
            let words = named(key, shop);
            let mut cells = vec![Cell::Words(words), Cell::Count(row.pieces as f64)];
            cells.extend(
                [
                    row.revenue(),
                    row.fees,
                    row.advertising,
                    row.postage,
                    row.materials,
                    row.basis,
                    row.losses,
                    row.other,
                    row.net(),
                ]
                .map(Cell::Money),
            );
            cells.push(Cell::Count(row.minutes as f64));
            rows.push(cells);
        }
        let heads = [
            name,
            "pieces",
            "revenue",
            "fees",
            "advertising",
            "postage",
            "packing",
            "goods",
            "losses",
            "other",
            "net",
            "minutes",
        ];
        pages.add(name, &heads, rows).map_err(failed)?;
    }
    let lines = shop.stock(today.min(to))?;
    let rows = lines.into_iter().map(|line| {
        vec![
            Cell::Words(line.text.description),
            Cell::Words(line.text.shelf),
            Cell::Count(f64::from(line.on_hand)),
            Cell::Money(line.basis),
            Cell::Count(line.age_days as f64),
        ]
    });
    pages.add("stock", &["what", "shelf", "pieces", "cost", "days"], rows.collect()).map_err(failed)?;
    pages.book.save_to_buffer().map_err(failed)
}
