//! Whether a payer must send an information return (Form 1099-K) for a year. Not tax advice.

use measure::Money;
use serde::Deserialize;

use crate::{BooksError, Flag};

const TABLE: &str = "information return limits";
const PUBLISHED: &str = include_str!("../data/information_returns.toml");

/// Who pays the seller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Payer {
    /// A marketplace or another third-party network: the yearly limits apply.
    ThirdParty,
    /// A processor of card payments: there is no minimum.
    CardProcessor,
}

/// The federal limit of some years: a form is due when all that is stated is exceeded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InformationLimit {
    /// First year.
    pub from: i16,
    /// Last year.
    pub to: i16,
    /// Gross payments above which a form is due.
    pub gross_over: Money,
    /// Transactions above which a form is due; none where the count doesn't matter.
    pub transactions_over: Option<u32>,
    /// How well it is known.
    pub flag: Flag,
    /// Where it comes from.
    pub source: String,
}

/// The limits by year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InformationLimits {
    rows: Vec<InformationLimit>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    years: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    from: i16,
    to: i16,
    gross_over: String,
    transactions_over: Option<u32>,
    flag: Flag,
    source: String,
}

impl InformationLimits {
    /// The limits from 2011 on that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the limits compiled in are read by a test")
    }

    /// Reads a table of limits.
    ///
    /// # Errors
    /// When it isn't TOML, a key is missing or unknown, or rows overlap or aren't in order.
    pub fn read(text: &str) -> Result<Self, BooksError> {
        let wrong = |reason: String| BooksError::Data { table: TABLE, reason };
        let file: File = toml::from_str(text).map_err(|error| wrong(error.to_string()))?;
        let mut rows: Vec<InformationLimit> = Vec::with_capacity(file.years.len());
        for row in file.years {
            if row.to < row.from || rows.last().is_some_and(|last| row.from <= last.to) {
                return Err(wrong(format!("the row from {} overlaps or is out of order", row.from)));
            }
            let gross_over = Money::read(&row.gross_over).map_err(|error| wrong(error.to_string()))?;
            rows.push(InformationLimit {
                from: row.from,
                to: row.to,
                gross_over,
                transactions_over: row.transactions_over,
                flag: row.flag,
                source: row.source,
            });
        }
        Ok(Self { rows })
    }

    /// The limit of a year.
    ///
    /// # Errors
    /// When there is no row for it.
    pub fn of(&self, year: i16) -> Result<&InformationLimit, BooksError> {
        self.rows
            .iter()
            .find(|row| (row.from..=row.to).contains(&year))
            .ok_or_else(|| BooksError::NoRow { table: TABLE, date: year.to_string() })
    }

    /// Whether a form is due for a year by the federal rule. `gross` is before fees, refunds, shipping and
    /// discounts. Income counts with or without a form, and states may ask for one sooner.
    ///
    /// # Errors
    /// When there is no row for the year.
    pub fn form_due(
        &self,
        year: i16,
        payer: Payer,
        gross: Money,
        transactions: u32,
    ) -> Result<bool, BooksError> {
        match payer {
            Payer::CardProcessor => Ok(gross > Money::ZERO),
            Payer::ThirdParty => {
                let limit = self.of(year)?;
                let by_count = limit.transactions_over.is_none_or(|over| transactions > over);
                Ok(gross > limit.gross_over && by_count)
            }
        }
    }
}
