//! `lotwright read`: a table of the person's own, shown before anything is stored.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use keeping::{
    Cells, DateOrder, IntakeError, IntakeOf, MOST_BYTES, Reading, look, look_and_store, remember, remembered,
};
use serde_json::json;

use super::door::{Answer, Where, demo_line};
use crate::problems::Stop;
use crate::words::{plural, wrapped};

/// Rejected rows that are shown; JSON has all of them.
const MOST_SHOWN: usize = 50;

/// Options of `read`.
#[derive(Debug, Args)]
pub struct ReadArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The table: CSV, .xlsx, .xls or .ods
    table: PathBuf,
    /// What its rows are
    #[arg(long, value_enum)]
    rows: RowsWord,
    /// A column under another name ("amount=Total"); remembered for the kind and source
    #[arg(long, value_name = "COLUMN=NAME")]
    map: Vec<String>,
    /// How days such as 03/07/2026 are written; remembered likewise
    #[arg(long, value_enum, value_name = "ORDER")]
    dates: Option<DatesWord>,
    /// The page of a spreadsheet; left out, the first
    #[arg(long)]
    page: Option<String>,
    /// Where the rows come from; rows of one source are stored once
    #[arg(long)]
    source: Option<String>,
    /// Store what is ready
    #[arg(long)]
    store: bool,
}

/// What rows are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RowsWord {
    /// Places to buy: name, note
    Places,
    /// Comparable sales: find, typed, date
    Comps,
    /// Expenses: date, amount, note
    Expenses,
    /// Business trips: date, miles, purpose
    Trips,
    /// Supplies bought: date, supply, units, cost
    Supplies,
    /// Orders, a row for each line: ref, date, listing, lots, items, shipping, tax, fee, zip, promise, venue; of past
    /// ones paid, sent, postage, weight
    Orders,
    /// Hauls, a row for each find: ref, date, place, paid, tax, freight, form, description, count, flawed, worth, shelf
    Hauls,
}

impl RowsWord {
    const fn of(self) -> IntakeOf {
        match self {
            Self::Places => IntakeOf::Places,
            Self::Comps => IntakeOf::Comps,
            Self::Expenses => IntakeOf::Expenses,
            Self::Trips => IntakeOf::Trips,
            Self::Supplies => IntakeOf::Supplies,
            Self::Orders => IntakeOf::Orders,
            Self::Hauls => IntakeOf::Hauls,
        }
    }
}

/// What comes first in a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum DatesWord {
    /// 03/07/2026 is the 7th of March
    MonthFirst,
    /// 03/07/2026 is the 3rd of July
    DayFirst,
}

impl DatesWord {
    const fn order(self) -> DateOrder {
        match self {
            Self::MonthFirst => DateOrder::MonthFirst,
            Self::DayFirst => DateOrder::DayFirst,
        }
    }
}

/// Reads a table, shows what would be stored, and stores it when told to.
pub fn read(args: &ReadArgs) -> Result<String, Stop> {
    let at_table = |why: &dyn std::fmt::Display| Stop::Input(format!("{}: {why}", args.table.display()));
    let told = |error: IntakeError| match error {
        IntakeError::Table(why) => at_table(&why),
        IntakeError::NoPage { .. } | IntakeError::Pageless => Stop::Input(format!("--page: {error}")),
        IntakeError::NotOfTheKind { .. } | IntakeError::NoSuchName { .. } => {
            Stop::Input(format!("--map: {error}"))
        }
        IntakeError::Missing { column, .. } => at_table(&format!("{error} with --map \"{column}=...\"")),
        IntakeError::Stop(stop) => stop,
    };
    let size = std::fs::metadata(&args.table).map_err(|e| at_table(&e))?.len();
    if usize::try_from(size).map_or(true, |size| size > MOST_BYTES) {
        return Err(at_table(&format!(
            "it has over {MOST_BYTES} bytes; right would be a smaller table, split in parts"
        )));
    }
    let bytes = std::fs::read(&args.table).map_err(|e| at_table(&e))?;
    let cells = Cells::read(&bytes, args.page.as_deref()).map_err(told)?;
    let (mut shop, when) = args.door.open()?;
    let of = args.rows.of();
    let file_name = || args.table.file_name().map(|name| name.to_string_lossy().into_owned());
    let source = args.source.clone().or_else(file_name).unwrap_or_else(|| String::from("table"));
    let mut how = remembered(&shop, of, &source)?.fitting(&cells);
    for text in &args.map {
        let (column, name) = mapped(text)?;
        how.map.insert(column, name);
    }
    how.dates = args.dates.map(DatesWord::order).or(how.dates);
    let stamp = when.stamp();
    let reading = Reading { of, cells: &cells, map: &how.map, dates: how.dates, source: &source };
    let found = if args.store {
        look_and_store(&mut shop, &reading, &stamp)
    } else {
        look(&mut shop, &reading, &stamp)
    };
    let found = found.map_err(told)?;
    let things = found.staged.ready().len();
    let stored = if args.store { things } else { 0 };
    if args.store && (!args.map.is_empty() || args.dates.is_some()) {
        remember(&mut shop, &stamp, of, &source, &how)?;
    }
    let count = |count: usize, word: &str| plural(u32::try_from(count).unwrap_or(u32::MAX), word);
    let thing = of.grouped().unwrap_or("row");
    let made = of.grouped().map_or_else(String::new, |word| format!(" ({})", count(things, word)));
    let mut out = vec![format!(
        "{}{}",
        demo_line(&shop)?,
        wrapped(
            "",
            &format!(
                "{}: {} of {}, {} ready{made}, {} stored before, {} rejected.",
                args.table.display(),
                count(found.rows, "row"),
                of.word(),
                found.ready,
                found.known,
                found.left_out.len()
            ),
        )
    )];
    out.extend(found.notes.iter().map(|note| wrapped("", note)));
    for row in found.left_out.iter().take(MOST_SHOWN) {
        out.push(wrapped("  ! ", &format!("line {}: {}", row.line, row.reason)));
    }
    if found.left_out.len() > MOST_SHOWN {
        out.push(format!("  and {} more; --json has all of them", found.left_out.len() - MOST_SHOWN));
    }
    out.push(match (args.store, things) {
        (true, _) => format!("Stored {}.", count(stored, thing)),
        (false, 0) => String::from("There is nothing to store."),
        (false, _) => {
            String::from("Nothing is stored yet; the same command with --store stores what is ready.")
        }
    });
    let rejected = found.left_out.iter().map(|row| json!({ "line": row.line, "reason": row.reason }));
    let json = json!({
        "rows": found.rows, "ready": found.ready, "stored_before": found.known, "stored": stored,
        "notes": found.notes, "rejected": rejected.collect::<Vec<_>>(),
    });
    args.door.written(Answer { text: out.join("\n"), json })
}

fn mapped(text: &str) -> Result<(String, String), Stop> {
    let (column, name) = text.split_once('=').ok_or_else(|| {
        Stop::Input(format!("--map: \"{text}\" has no =; right would be: --map \"amount=Total\""))
    })?;
    Ok((column.trim().to_owned(), name.trim().to_owned()))
}
