//! The lines of the year worksheet by meaning, and where each goes on the form of a tax year.

use std::fmt;

use serde::Deserialize;

use crate::{BooksError, Flag};

const TABLE: &str = "form lines";
const PUBLISHED: &str = include_str!("../data/form_lines.toml");

/// A line of the year worksheet, by meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SheetLine {
    /// Item and shipping paid by buyers, before fees and refunds.
    GrossReceipts,
    /// Money given back to buyers.
    Returns,
    /// Gross receipts less returns.
    NetReceipts,
    /// Basis of what was sold.
    CostOfGoods,
    /// Net receipts less cost of goods.
    GrossProfit,
    /// Claims and other income.
    OtherIncome,
    /// Gross profit and other income.
    GrossIncome,
    /// Promoted listings and other advertising.
    Advertising,
    /// Business miles at the standard rate, parking and tolls.
    Car,
    /// Selling, payment and per-order fees.
    CommissionsAndFees,
    /// Insurance bought apart from postage.
    Insurance,
    /// Office expense, without postage.
    OfficeExpense,
    /// Outbound postage; which line it goes on is the preparer's choice.
    Postage,
    /// Packing supplies used in the year.
    Supplies,
    /// Taxes and licences of the business.
    TaxesAndLicences,
    /// Whatever else.
    OtherExpenses,
    /// All expenses.
    TotalExpenses,
    /// Gross income less expenses, before business use of the home.
    NetProfit,
    /// Goods on hand at the beginning of the year, at cost.
    OpeningStock,
    /// Goods bought, less those taken for oneself.
    Purchases,
    /// Paid labour; never one's own.
    Labour,
    /// Materials that became part of the goods.
    Materials,
    /// Freight-in.
    OtherCosts,
    /// The five lines above together.
    GoodsAvailable,
    /// Goods on hand at the end of the year, at cost.
    ClosingStock,
    /// Goods available less closing stock.
    CostClosed,
}

impl SheetLine {
    /// Every line, in the order of the form.
    pub const ALL: [Self; 26] = [
        Self::GrossReceipts,
        Self::Returns,
        Self::NetReceipts,
        Self::CostOfGoods,
        Self::GrossProfit,
        Self::OtherIncome,
        Self::GrossIncome,
        Self::Advertising,
        Self::Car,
        Self::CommissionsAndFees,
        Self::Insurance,
        Self::OfficeExpense,
        Self::Postage,
        Self::Supplies,
        Self::TaxesAndLicences,
        Self::OtherExpenses,
        Self::TotalExpenses,
        Self::NetProfit,
        Self::OpeningStock,
        Self::Purchases,
        Self::Labour,
        Self::Materials,
        Self::OtherCosts,
        Self::GoodsAvailable,
        Self::ClosingStock,
        Self::CostClosed,
    ];

    /// Its name on the worksheet and in the table of lines.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::GrossReceipts => "gross receipts",
            Self::Returns => "returns and allowances",
            Self::NetReceipts => "net receipts",
            Self::CostOfGoods => "cost of goods sold",
            Self::GrossProfit => "gross profit",
            Self::OtherIncome => "other income",
            Self::GrossIncome => "gross income",
            Self::Advertising => "advertising",
            Self::Car => "car",
            Self::CommissionsAndFees => "commissions and fees",
            Self::Insurance => "insurance",
            Self::OfficeExpense => "office expense",
            Self::Postage => "postage",
            Self::Supplies => "supplies",
            Self::TaxesAndLicences => "taxes and licences",
            Self::OtherExpenses => "other expenses",
            Self::TotalExpenses => "total expenses",
            Self::NetProfit => "net profit",
            Self::OpeningStock => "opening stock",
            Self::Purchases => "purchases less personal withdrawals",
            Self::Labour => "labour",
            Self::Materials => "materials",
            Self::OtherCosts => "other costs",
            Self::GoodsAvailable => "goods available",
            Self::ClosingStock => "closing stock",
            Self::CostClosed => "cost of goods, closed",
        }
    }
}

impl fmt::Display for SheetLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Where a worksheet line goes on the form in some years.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormLine {
    /// The line by meaning.
    pub key: SheetLine,
    /// First tax year.
    pub from: i16,
    /// Last tax year; none while it holds.
    pub to: Option<i16>,
    /// Its number on the form; more than one is an open question for the preparer.
    pub lines: Vec<String>,
    /// How well it is known.
    pub flag: Flag,
    /// Where it comes from.
    pub source: String,
}

/// Where each worksheet line goes, by tax year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormLines {
    rows: Vec<FormLine>,
    last_year: i16,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    from: i16,
    to: Option<i16>,
    lines: Vec<String>,
    flag: Flag,
    source: String,
}

impl FormLines {
    /// The lines from 2018 on that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the lines compiled in are read by a test")
    }

    /// Reads a table of lines.
    ///
    /// # Errors
    /// When it isn't TOML, a key is missing or unknown, a row has no line, or two rows of a key overlap.
    pub fn read(text: &str) -> Result<Self, BooksError> {
        let wrong = |reason: String| BooksError::Data { table: TABLE, reason };
        let file: File = toml::from_str(text).map_err(|error| wrong(error.to_string()))?;
        let mut rows: Vec<FormLine> = Vec::with_capacity(file.rows.len());
        let mut last_year = i16::MIN;
        for row in file.rows {
            let key = SheetLine::ALL
                .into_iter()
                .find(|key| key.name() == row.key)
                .ok_or_else(|| wrong(format!("there is no worksheet line {:?}", row.key)))?;
            if row.lines.is_empty() || row.to.is_some_and(|to| to < row.from) {
                return Err(wrong(format!(
                    "{key} from {}: it has no line or ends before it begins",
                    row.from
                )));
            }
            let ends = |to: Option<i16>| to.unwrap_or(i16::MAX);
            if rows
                .iter()
                .any(|other| other.key == key && row.from <= ends(other.to) && other.from <= ends(row.to))
            {
                return Err(wrong(format!(
                    "{key} has two rows for {}; end the earlier one before",
                    row.from
                )));
            }
            last_year = last_year.max(row.to.unwrap_or(row.from));
            rows.push(FormLine {
                key,
                from: row.from,
                to: row.to,
                lines: row.lines,
                flag: row.flag,
                source: row.source,
            });
        }
        Ok(Self { rows, last_year })
    }

    /// Where a line goes in a tax year.
    ///
    /// # Errors
    /// When the table has no row for it, or the year is past the last one that the table speaks of.
    pub fn of(&self, key: SheetLine, year: i16) -> Result<&FormLine, BooksError> {
        self.rows
            .iter()
            .find(|row| row.key == key && row.from <= year && row.to.is_none_or(|to| year <= to))
            .filter(|_| year <= self.last_year)
            .ok_or_else(|| BooksError::NoRow { table: TABLE, date: format!("{key} in {year}") })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_has_a_place_in_every_year_of_the_table() {
        let lines = FormLines::published();
        for year in 2018..=2026 {
            for key in SheetLine::ALL {
                assert!(!lines.of(key, year).unwrap().lines.is_empty());
            }
        }
        assert!(lines.of(SheetLine::GrossReceipts, 2017).is_err());
        assert!(lines.of(SheetLine::GrossReceipts, 2027).is_err(), "a form not yet seen");
    }

    #[test]
    fn tables_with_overlaps_or_unknown_lines_are_refused() {
        let row = |key: &str, from: i16, lines: &str| {
            format!(
                "[[rows]]\nkey = \"{key}\"\nfrom = {from}\nlines = {lines}\nflag = \"own\"\nsource = \"me\"\n"
            )
        };
        assert!(FormLines::read(&row("car", 2020, "[\"9\"]")).is_ok());
        for bad in [
            row("car", 2020, "[]"),
            row("bicycle", 2020, "[\"9\"]"),
            row("car", 2020, "[\"9\"]") + &row("car", 2021, "[\"10\"]"),
            "rows = 3".to_owned(),
        ] {
            assert!(matches!(FormLines::read(&bad), Err(BooksError::Data { .. })), "{bad}");
        }
    }
}
