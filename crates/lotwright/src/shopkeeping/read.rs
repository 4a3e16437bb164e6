//! `lotwright read`: a table of the person's own, shown before anything is stored.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader};
use clap::{Args, ValueEnum};
use keeping::{put_setting, setting};
use serde_json::json;
use shop::{ImportOf, Rejected, ShopError};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, wrapped};

/// Largest table that is read, bytes (judgement: tens of thousands of rows).
const MOST_BYTES: u64 = 20_000_000;
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
    /// A column under another name ("amount=Total"); remembered for the next time
    #[arg(long, value_name = "COLUMN=NAME")]
    map: Vec<String>,
    /// The page of a spreadsheet; left out, the first
    #[arg(long)]
    page: Option<String>,
    /// Where the rows come from; rows of one source are stored once
    #[arg(long)]
    source: Option<String>,
    /// Store the rows that are ready
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
}

impl RowsWord {
    const fn of(self) -> ImportOf {
        match self {
            Self::Places => ImportOf::Places,
            Self::Comps => ImportOf::Comps,
            Self::Expenses => ImportOf::Expenses,
            Self::Trips => ImportOf::Trips,
            Self::Supplies => ImportOf::Supplies,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Places => "places",
            Self::Comps => "comps",
            Self::Expenses => "expenses",
            Self::Trips => "trips",
            Self::Supplies => "supplies",
        }
    }

    /// Columns that are read, those that must be there first.
    const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Places => &["name", "note", "ref"],
            Self::Comps => &["find", "typed", "date", "ref"],
            Self::Expenses => &["date", "amount", "note", "ref"],
            Self::Trips => &["date", "miles", "purpose", "ref"],
            Self::Supplies => &["date", "supply", "units", "cost", "ref"],
        }
    }
}

/// Reads a table, shows what would be stored, and stores it when told to.
pub fn read(args: &ReadArgs) -> Result<String, Stop> {
    let rows = cells(&args.table, args.page.as_deref())?;
    let (mut shop, when) = args.door.open()?;
    let key = format!("read.{}", args.rows.word());
    let mut map: BTreeMap<String, String> = BTreeMap::new();
    let remembered = setting(&shop, &key)?.unwrap_or_default();
    for text in
        remembered.split("; ").filter(|text| !text.is_empty()).chain(args.map.iter().map(String::as_str))
    {
        let (column, name) = mapped(text, args.rows)?;
        map.insert(column, name);
    }
    let source = args.source.clone().unwrap_or_else(|| {
        args.table
            .file_name()
            .map_or_else(|| String::from("table"), |name| name.to_string_lossy().into_owned())
    });
    let (table, lines) = told(&rows, args.rows, &map)?;
    let stamp = when.stamp();
    let staged = shop.stage(args.rows.of(), &source, &table, &stamp).map_err(|error| match error {
        ShopError::Unreadable { .. } => {
            let names = rows.first().map(|(_, row)| row.join(", ")).unwrap_or_default();
            Stop::Input(format!(
                "{}: {error}; its columns are: {names}. Say which is which with --map \"{}=...\"",
                args.table.display(),
                args.rows.columns().first().unwrap_or(&"")
            ))
        }
        other => refused(other),
    })?;
    let line_of = |rejected: &Rejected| {
        let at = usize::try_from(rejected.line).unwrap_or(0).checked_sub(2);
        at.and_then(|at| lines.get(at)).copied().unwrap_or(rejected.line)
    };
    let known = |rejected: &&Rejected| rejected.reason.contains("was stored before");
    let before = staged.rejected.iter().filter(known).count();
    let ready = staged.ready();
    let count = |count: usize, word: &str| plural(u32::try_from(count).unwrap_or(u32::MAX), word);
    let stored = if args.store { shop.confirm(&stamp, &staged).map_err(refused)? } else { 0 };
    if !args.map.is_empty() && args.store {
        let text: Vec<String> = map.iter().map(|(column, name)| format!("{column}={name}")).collect();
        put_setting(&mut shop, &stamp, &key, &text.join("; "), "column map of an earlier table")?;
    }
    let mut out = vec![format!(
        "{}{}",
        demo_line(&shop)?,
        wrapped(
            "",
            &format!(
                "{}: {} of {}, {} ready, {} stored before, {} rejected.",
                args.table.display(),
                count(lines.len(), "row"),
                args.rows.word(),
                ready,
                before,
                staged.rejected.len() - before
            ),
        )
    )];
    let rejected: Vec<&Rejected> = staged.rejected.iter().filter(|row| !known(row)).collect();
    for row in rejected.iter().take(MOST_SHOWN) {
        out.push(wrapped("  ! ", &format!("line {}: {}", line_of(row), row.reason)));
    }
    if rejected.len() > MOST_SHOWN {
        out.push(format!("  and {} more; --json has all of them", rejected.len() - MOST_SHOWN));
    }
    out.push(match (args.store, ready) {
        (true, _) => format!("Stored {}.", count(stored, "row")),
        (false, 0) => String::from("There is nothing to store."),
        (false, _) => {
            String::from("Nothing is stored yet; the same command with --store stores what is ready.")
        }
    });
    let json = json!({
        "rows": lines.len(), "ready": ready, "stored_before": before, "stored": stored,
        "rejected": rejected.iter().map(|row| json!({ "line": line_of(row), "reason": row.reason })).collect::<Vec<_>>(),
    });
    args.door.written(Answer { text: out.join("\n"), json })
}

fn mapped(text: &str, rows: RowsWord) -> Result<(String, String), Stop> {
    let right = || {
        let columns = rows.columns().join(", ");
        format!("right would be: --map \"amount=Total\", where the columns are {columns}")
    };
    let (column, name) = text
        .split_once('=')
        .ok_or_else(|| Stop::Input(format!("--map: \"{text}\" has no =; {}", right())))?;
    let (column, name) = (column.trim(), name.trim());
    if !rows.columns().contains(&column) {
        return Err(Stop::Input(format!("--map: {} have no column \"{column}\"; {}", rows.word(), right())));
    }
    Ok((column.to_owned(), name.to_owned()))
}

/// A row with its line in the table.
type Row = (u64, Vec<String>);

/// The table under the names that are read, and the line of each of its rows. A row without a number of its own
/// goes by what it says, and by how often that was said before.
fn told(rows: &[Row], of: RowsWord, map: &BTreeMap<String, String>) -> Result<(String, Vec<u64>), Stop> {
    let Some((_, heads)) = rows.first() else {
        return Err(Stop::input(
            "the table is empty; right would be a line of column names and rows below it",
        ));
    };
    let place = |column: &str| {
        let name = map.get(column).map_or(column, String::as_str);
        heads.iter().position(|head| measure::plain(head) == measure::plain(name))
    };
    for (column, name) in map {
        if place(column).is_none() {
            return Err(Stop::Input(format!(
                "--map: there is no column \"{name}\"; right would be one of: {}",
                heads.join(", ")
            )));
        }
    }
    let columns: Vec<(&str, usize)> =
        of.columns().iter().filter_map(|column| Some((*column, place(column)?))).collect();
    let own_ref = columns.iter().any(|(column, _)| *column == "ref");
    let mut writer = csv::Writer::from_writer(Vec::new());
    let failed = |e: csv::Error| Stop::Outside(e.to_string());
    let mut names: Vec<&str> = columns.iter().map(|(column, _)| *column).collect();
    if !own_ref {
        names.push("ref");
    }
    writer.write_record(&names).map_err(failed)?;
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    let mut lines = Vec::new();
    for (line, row) in rows.iter().skip(1) {
        // One record a line, so that lines can be told.
        let cell = |&(_, at): &(&str, usize)| {
            row.get(at).map_or_else(String::new, |cell| cell.replace(['\n', '\r'], " "))
        };
        let mut cells: Vec<String> = columns.iter().map(cell).collect();
        if !own_ref {
            let says = cells.join("|");
            let times = seen.entry(says.clone()).or_default();
            *times += 1;
            cells.push(format!("{says}#{times}"));
        }
        writer.write_record(&cells).map_err(failed)?;
        lines.push(*line);
    }
    let bytes = writer.into_inner().map_err(|e| Stop::Outside(e.to_string()))?;
    Ok((String::from_utf8(bytes).map_err(|e| Stop::Outside(e.to_string()))?, lines))
}

/// All rows that hold anything.
fn cells(path: &Path, page: Option<&str>) -> Result<Vec<Row>, Stop> {
    let wrong = |what: String| Stop::Input(format!("{}: {what}", path.display()));
    let about = std::fs::metadata(path).map_err(|e| wrong(e.to_string()))?;
    if about.len() > MOST_BYTES {
        return Err(wrong(format!(
            "it has over {MOST_BYTES} bytes; right would be a smaller table, split in parts"
        )));
    }
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    let rows: Vec<Row> = match ending.as_str() {
        "xlsx" | "xls" | "xlsb" | "ods" => {
            let mut book =
                calamine::open_workbook_auto(path).map_err(|e| wrong(format!("can't be read: {e}")))?;
            let pages = book.sheet_names();
            let name = match page {
                Some(page) => page.to_owned(),
                None => pages.first().cloned().ok_or_else(|| wrong(String::from("it has no page")))?,
            };
            if !pages.contains(&name) {
                return Err(Stop::Input(format!(
                    "--page: there is no page \"{name}\"; right would be one of: {}",
                    pages.join(", ")
                )));
            }
            let range = book.worksheet_range(&name).map_err(|e| wrong(format!("can't be read: {e}")))?;
            let first = range.start().map_or(1, |(row, _)| u64::from(row) + 1);
            (first..).zip(range.rows().map(|row| row.iter().map(words).collect())).collect()
        }
        _ => {
            if page.is_some() {
                return Err(Stop::input("--page: a CSV file has no pages; right would be to leave it out"));
            }
            let bytes = std::fs::read(path).map_err(|e| wrong(e.to_string()))?;
            let text = String::from_utf8(bytes).map_err(|e| {
                wrong(format!("byte {} is not UTF-8 text; save it as UTF-8", e.utf8_error().valid_up_to()))
            })?;
            let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned();
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .trim(csv::Trim::All)
                .from_reader(text.as_bytes());
            let mut rows = Vec::new();
            for record in reader.records() {
                let record = record.map_err(|e| wrong(e.to_string()))?;
                let line = record.position().map_or(0, csv::Position::line);
                rows.push((line, record.iter().map(str::to_owned).collect()));
            }
            rows
        }
    };
    Ok(rows.into_iter().filter(|(_, row)| row.iter().any(|cell| !cell.trim().is_empty())).collect())
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
        Data::Int(_) | Data::Float(_) | Data::String(_) | Data::Bool(_) | Data::DurationIso(_) => {
            cell.to_string().trim().to_owned()
        }
    }
}
