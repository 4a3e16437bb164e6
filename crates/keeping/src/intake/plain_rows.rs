//! Rows that each stand for themselves: places, comps, expenses, trips, supplies.

use std::collections::BTreeMap;

use books::{Expense, FindId, Miles, Purse, Quantity, SupplyId, TripUse};
use shop::{Comp, ImportContent, ImportItem, MoneyMoved, Movement, Place};

use super::cell::{DateOrder, amount, day, figure, number};
use super::columns::Told;
use super::{IntakeOf, LeftOut};

/// The kinds whose rows stand for themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Plain {
    Places,
    Comps,
    Expenses,
    Trips,
    Supplies,
}

impl Plain {
    const fn of(self) -> IntakeOf {
        match self {
            Self::Places => IntakeOf::Places,
            Self::Comps => IntakeOf::Comps,
            Self::Expenses => IntakeOf::Expenses,
            Self::Trips => IntakeOf::Trips,
            Self::Supplies => IntakeOf::Supplies,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Places => "place",
            Self::Comps => "comp",
            Self::Expenses => "expense",
            Self::Trips => "trip",
            Self::Supplies => "supply",
        }
    }
}

/// Reads every row by itself. One without a number of its own goes by what it says, and by how often that was said
/// before.
pub(super) fn plain(
    of: Plain,
    rows: &[Told<'_>],
    dates: Option<DateOrder>,
) -> (Vec<ImportItem>, Vec<LeftOut>) {
    let (mut items, mut left_out) = (Vec::new(), Vec::new());
    let mut said: BTreeMap<String, u32> = BTreeMap::new();
    for row in rows {
        let external = if row.places.has("ref") {
            row.needed("ref", "the number the row has where it comes from").map(str::to_owned)
        } else {
            let there = of.of().columns().iter().filter(|column| row.places.has(column.name));
            let says = there.map(|column| row.line(column.name)).collect::<Vec<_>>().join("|");
            let times = said.entry(says.clone()).or_default();
            *times = times.saturating_add(1);
            Ok(format!("{says}#{times}"))
        };
        let line = row.row.line;
        match external.and_then(|external| Ok((external, content(of, row, dates)?))) {
            Ok((external, content)) => {
                // A source may number its expenses and its orders alike.
                let external = format!("{} {external}", of.word());
                items.push(ImportItem { external, lines: vec![line], content });
            }
            Err(reason) => left_out.push(LeftOut { line, reason }),
        }
    }
    (items, left_out)
}

fn content(of: Plain, row: &Told<'_>, dates: Option<DateOrder>) -> Result<ImportContent, String> {
    let date = || day("date", row.text("date"), dates);
    let money = |column| amount(column, row.text(column));
    let paid = |date, movement, note: String| {
        ImportContent::Money(MoneyMoved { date, purse: Purse::Cash, movement, note })
    };
    Ok(match of {
        Plain::Places => ImportContent::Place(Place { name: row.line("name"), note: row.line("note") }),
        Plain::Comps => ImportContent::Comp(Comp {
            find: FindId(number("find", row.text("find"))?),
            typed: row.line("typed"),
            date: date()?,
        }),
        Plain::Expenses => {
            let movement = Movement::Expense { what: Expense::Other, amount: money("amount")? };
            paid(date()?, movement, row.line("note"))
        }
        Plain::Trips => {
            let miles = Miles::new(figure("miles", row.text("miles"))?).map_err(|error| error.to_string())?;
            let movement = Movement::Trip {
                hundredths: miles.hundredths(),
                purpose: row.line("purpose"),
                counts: TripUse::Business,
            };
            paid(date()?, movement, String::new())
        }
        Plain::Supplies => {
            let units = figure("units", row.text("units"))?;
            let movement = Movement::SuppliesBought {
                supply: SupplyId(number("supply", row.text("supply"))?),
                quantity: Quantity::units(units).map_err(|error| error.to_string())?,
                cost: money("cost")?,
            };
            paid(date()?, movement, String::new())
        }
    })
}
