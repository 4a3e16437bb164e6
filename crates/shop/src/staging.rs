//! Rows from a table of the person's own, looked at before anything is stored.

use books::{Expense, FindId, Purse, SupplyId, TripUse};
use jiff::civil::Date;
use measure::Money;

use crate::event::{Event, NotedRecord};
use crate::fold::{fields_of, next_number};
use crate::movement::{MoneyMoved, Movement};
use crate::shop::Writing;
use crate::{Comp, Noted, Place, Record, Shop, ShopError, Stamp};

/// What the rows of an import are. Each needs a column `ref` with its number where it comes from, so that nothing is
/// stored twice, and the columns named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ImportOf {
    /// Places to buy: `name`, and `note` if there is one.
    Places,
    /// Comparable sales: `find`, `typed`, `date`.
    Comps,
    /// Expenses paid in cash: `date`, `amount`, `note`.
    Expenses,
    /// Business trips: `date`, `miles`, `purpose`.
    Trips,
    /// Supplies bought in cash: `date`, `supply`, `units`, `cost`.
    Supplies,
}

/// A row that can't be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejected {
    /// Its line in the table, from 1, the line of names counted.
    pub line: u64,
    /// Why, and what would be right.
    pub reason: String,
}

/// An import that has been looked at and not stored.
#[derive(Debug, Clone)]
pub struct Staged {
    source: String,
    rows: Vec<Row>,
    /// The rows that would be left out.
    pub rejected: Vec<Rejected>,
}

impl Staged {
    /// Rows that would be stored.
    #[must_use]
    pub fn ready(&self) -> usize {
        self.rows.len()
    }
}

#[derive(Debug, Clone)]
struct Row {
    external: String,
    content: Content,
}

#[derive(Debug, Clone)]
enum Content {
    Noted(Record, serde_json::Value),
    Money(MoneyMoved),
}

impl Shop {
    /// Reads a table in CSV and tries each row on the file as it is now; nothing is stored.
    ///
    /// # Errors
    /// When the table has no line of names or lacks a column.
    pub fn stage(
        &mut self,
        of: ImportOf,
        source: &str,
        table: &str,
        at: &Stamp,
    ) -> Result<Staged, ShopError> {
        let (mut rows, mut rejected) = (Vec::new(), Vec::new());
        for (line, row) in read(of, table)? {
            match row {
                Ok(row) => rows.push((line, row)),
                Err(reason) => rejected.push(Rejected { line, reason }),
            }
        }
        let tried = self.rehearse(|writing| {
            let mut ready = Vec::new();
            for (line, row) in rows {
                match writing.part(|writing| enter(writing, at, source, &row)) {
                    Ok(()) => ready.push(row),
                    Err(error @ (ShopError::Busy | ShopError::DiskFull | ShopError::ReadOnly)) => {
                        return Err(error);
                    }
                    Err(error) => rejected.push(Rejected { line, reason: error.to_string() }),
                }
            }
            Ok(ready)
        })?;
        rejected.sort_by_key(|row| row.line);
        Ok(Staged { source: source.to_owned(), rows: tried, rejected })
    }

    /// Stores the rows of an import that were ready: all of them, or none.
    ///
    /// # Errors
    /// When one of them can't be stored any more.
    pub fn confirm(&mut self, stamp: &Stamp, staged: &Staged) -> Result<usize, ShopError> {
        self.write(|writing| {
            for row in &staged.rows {
                enter(writing, stamp, &staged.source, row)?;
            }
            Ok(staged.rows.len())
        })
    }
}

fn enter(writing: &mut Writing<'_>, stamp: &Stamp, source: &str, row: &Row) -> Result<(), ShopError> {
    let stamp = Stamp::at(stamp.at).imported(source, row.external.clone());
    let event = match &row.content {
        Content::Noted(record, entered) => {
            let number = next_number(writing.conn, *record)?;
            Event::Noted(NotedRecord { record: *record, number, entered: Some(entered.clone()) })
        }
        Content::Money(moved) => Event::MoneyMoved(moved.clone()),
    };
    writing.enter(&stamp, &event, None).map(|_| ())
}

type Told = (u64, Result<Row, String>);

fn read(of: ImportOf, table: &str) -> Result<Vec<Told>, ShopError> {
    let unreadable = |reason: String| ShopError::Unreadable { what: "the table".to_owned(), reason };
    let mut reader =
        csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(table.as_bytes());
    let names = reader.headers().map_err(|error| unreadable(error.to_string()))?.clone();
    let place_of = |name: &str| names.iter().position(|known| known == name);
    for &name in of.columns() {
        if place_of(name).is_none() {
            return Err(unreadable(format!(
                "there is no column «{name}»; right would be {}",
                of.columns().join(", ")
            )));
        }
    }
    let mut told = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                let field = |name: &str| place_of(name).and_then(|at| record.get(at)).unwrap_or_default();
                told.push((line, row(of, &field)));
            }
            Err(error) => {
                told.push((error.position().map_or(0, csv::Position::line), Err(error.to_string())))
            }
        }
    }
    Ok(told)
}

impl ImportOf {
    const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Places => &["ref", "name"],
            Self::Comps => &["ref", "find", "typed", "date"],
            Self::Expenses => &["ref", "date", "amount", "note"],
            Self::Trips => &["ref", "date", "miles", "purpose"],
            Self::Supplies => &["ref", "date", "supply", "units", "cost"],
        }
    }
}

fn row<'a>(of: ImportOf, field: &impl Fn(&str) -> &'a str) -> Result<Row, String> {
    let external = field("ref").to_owned();
    if external.is_empty() {
        return Err("ref is empty; right would be the number the row has where it comes from".to_owned());
    }
    let date = || -> Result<Date, String> {
        let text = field("date");
        text.parse().map_err(|_| format!("date can't be «{text}»; right would be a day such as 2026-03-07"))
    };
    let money = |name: &str| Money::read(field(name)).map_err(|error| format!("{name}: {error}"));
    let number = |name: &str| -> Result<u64, String> {
        let text = field(name);
        text.parse().map_err(|_| format!("{name} can't be «{text}»; right would be the number of one"))
    };
    let figure = |name: &str| -> Result<f64, String> {
        let text = field(name);
        text.parse().map_err(|_| format!("{name} can't be «{text}»; right would be a figure such as 12.5"))
    };
    let noted = |record, value: Result<_, ShopError>| -> Result<Content, String> {
        let fields: serde_json::Map<String, serde_json::Value> =
            value.map_err(|error: ShopError| error.to_string())?;
        Ok(Content::Noted(record, fields.into()))
    };
    let paid = |date, movement, note: &str| {
        Content::Money(MoneyMoved { date, purse: Purse::Cash, movement, note: note.to_owned() })
    };
    let content = match of {
        ImportOf::Places => {
            let place = Place { name: field("name").to_owned(), note: field("note").to_owned() };
            noted(Place::RECORD, fields_of(Place::RECORD, &place))?
        }
        ImportOf::Comps => {
            let typed = field("typed").to_owned();
            let comp = Comp { find: FindId(number("find")?), typed, date: date()? };
            noted(Comp::RECORD, fields_of(Comp::RECORD, &comp))?
        }
        ImportOf::Expenses => {
            let movement = Movement::Expense { what: Expense::Other, amount: money("amount")? };
            paid(date()?, movement, field("note"))
        }
        ImportOf::Trips => {
            let miles = books::Miles::new(figure("miles")?).map_err(|error| error.to_string())?;
            let purpose = field("purpose").to_owned();
            let hundredths = miles.hundredths();
            paid(date()?, Movement::Trip { hundredths, purpose, counts: TripUse::Business }, "")
        }
        ImportOf::Supplies => {
            let quantity = books::Quantity::units(figure("units")?).map_err(|error| error.to_string())?;
            let supply = SupplyId(number("supply")?);
            paid(date()?, Movement::SuppliesBought { supply, quantity, cost: money("cost")? }, "")
        }
    };
    Ok(Row { external, content })
}
