//! Whether average gross receipts leave the methods of a small taxpayer open. Not tax advice.

use measure::Money;
use serde::Deserialize;

use crate::{BooksError, Flag};

const TABLE: &str = "gross receipts limits";
const PUBLISHED: &str = include_str!("../data/gross_receipts_limits.toml");
/// Largest limit that is taken for one, in whole currency: a thousand million (judgement).
const LARGEST_LIMIT: i64 = 1_000_000_000;

/// The limit of one tax year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GrossReceiptsLimit {
    /// The tax year.
    pub year: i16,
    /// Average gross receipts of the three years before may be up to this.
    pub limit: Money,
    /// How well it is known.
    pub flag: Flag,
    /// Where it comes from.
    pub source: String,
}

/// The limits by tax year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GrossReceiptsLimits {
    rows: Vec<GrossReceiptsLimit>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    years: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    year: i16,
    limit: String,
    flag: Flag,
    source: String,
}

impl GrossReceiptsLimits {
    /// The limits from 2018 on that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the limits compiled in are read by a test")
    }

    /// Reads a table of limits.
    ///
    /// # Errors
    /// When it isn't TOML, a key is missing, unknown or out of range, or years aren't in order.
    pub fn read(text: &str) -> Result<Self, BooksError> {
        let wrong = |reason: String| BooksError::Data { table: TABLE, reason };
        let file: File = toml::from_str(text).map_err(|error| wrong(error.to_string()))?;
        let mut rows: Vec<GrossReceiptsLimit> = Vec::with_capacity(file.years.len());
        for row in file.years {
            if rows.last().is_some_and(|last| row.year <= last.year) {
                return Err(wrong(format!("{} is given twice or out of order", row.year)));
            }
            let limit = row
                .limit
                .replace(',', "")
                .parse::<i64>()
                .ok()
                .filter(|limit| (1..=LARGEST_LIMIT).contains(limit))
                .ok_or_else(|| wrong(format!("{} isn't a limit; write it as \"32,000,000\"", row.limit)))?;
            let limit = Money::from_cents(limit * 100);
            rows.push(GrossReceiptsLimit { year: row.year, limit, flag: row.flag, source: row.source });
        }
        Ok(Self { rows })
    }

    /// The rows by year.
    #[must_use]
    pub fn rows(&self) -> &[GrossReceiptsLimit] {
        &self.rows
    }

    /// Whether a taxpayer with these gross receipts of the three years before is small in a tax year.
    ///
    /// # Errors
    /// When there is no row for the year.
    pub fn is_small(&self, year: i16, three_years_before: [Money; 3]) -> Result<bool, BooksError> {
        let row = self
            .rows
            .iter()
            .find(|row| row.year == year)
            .ok_or_else(|| BooksError::NoRow { table: TABLE, date: year.to_string() })?;
        let sum: i128 = three_years_before.iter().map(|receipts| i128::from(receipts.cents())).sum();
        Ok(sum <= 3 * i128::from(row.limit.cents()))
    }
}
