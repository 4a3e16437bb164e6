//! From the text of a sheet to a job.

use jiff::civil::Date;
use measure::Units;
use trade::{Find, Job, Market};

use crate::buying::buying;
use crate::carton::cartons;
use crate::charge::charge;
use crate::entry::Entry;
use crate::figure::Bare;
use crate::find::{NamedFind, finds};
use crate::library::Library;
use crate::market::market;
use crate::order::orders;
use crate::post::post;
use crate::problem::Problem;
use crate::protecting::packing;
use crate::section::Section;
use crate::syntax;
use crate::told::{Problems, Told, quoted};

/// Largest sheet, bytes: 1 MB (2^20 bytes).
pub const LARGEST_SHEET: usize = 1 << 20;

/// Everything that stands at the top of a sheet, tables included.
const TABLES: [&str; 11] =
    ["title", "units", "cartons", "post", "charge", "packing", "market", "buying", "carton", "find", "order"];

/// What a person with an unreadable sheet is pointed to.
const EXAMPLE: &str = "a job sheet; `lotwright example` prints one to begin from";

/// Reads a job sheet from the bytes of a file.
///
/// # Errors
/// As [`read`], and a single problem when the bytes are more than [`LARGEST_SHEET`] or aren't UTF-8.
pub fn read_bytes(bytes: &[u8], library: &Library<'_>, today: Date) -> Result<Job, Vec<Problem>> {
    if bytes.len() > LARGEST_SHEET {
        return Err(too_large(bytes.len()));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| not_utf8(bytes, error.valid_up_to()))?;
    read(text, library, today)
}

/// Reads a job sheet; `today` is the day of mailing when the sheet names none.
///
/// # Errors
/// Every problem of the sheet that can be seen in one reading, in the order of the sheet; text that isn't
/// TOML at all, or longer than [`LARGEST_SHEET`], is told alone.
pub fn read(text: &str, library: &Library<'_>, today: Date) -> Result<Job, Vec<Problem>> {
    if text.len() > LARGEST_SHEET {
        return Err(too_large(text.len()));
    }
    let mut problems = Problems::new(text);
    match job(text, library, today, &mut problems) {
        Ok(job) if problems.is_empty() => Ok(job),
        // A reader fails only by telling a problem, so the list is not empty.
        Ok(_) | Err(_) => Err(problems.sorted()),
    }
}

fn job(text: &str, library: &Library<'_>, today: Date, problems: &mut Problems<'_>) -> Result<Job, Told> {
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(problems.tell("", 0..0, "the job sheet is empty", EXAMPLE));
    }
    let table = syntax::parse(text, problems)?;
    let mut sheet = Section::new(String::new(), 0..0, &table);
    let title = sheet
        .need("title", "title = \"Closing guest house\"", problems)
        .and_then(|entry| entry.text("title = \"Closing guest house\"", problems));
    let bare = match sheet.take("units") {
        Some(entry) => units(&entry, problems).map_or(Bare::Unreadable, Bare::Declared),
        // A misspelt `units` is told as that, and its figures aren't blamed.
        None if sheet.means("units", &TABLES) => Bare::Unreadable,
        None => Bare::Undeclared,
    };
    let post = post(&mut sheet, library, today, problems);
    let charging = charge(&mut sheet, bare, problems);
    let packing = packing(&mut sheet, bare, library, problems);
    let market = market(&mut sheet, library, problems);
    let buying = buying(&mut sheet, problems);
    let cartons = cartons(&mut sheet, bare, library, problems);
    let named_finds = finds(&mut sheet, bare, library, today, problems);
    let orders = orders(&mut sheet, &named_finds, problems);
    sheet.close(problems);
    let packing = packing?;
    Ok(Job {
        title: title?.to_owned(),
        units: bare.units(),
        finds: all_finds(named_finds?)?,
        orders: orders?,
        cartons: cartons?,
        protecting: packing.protecting,
        post: post?,
        charging: charging?,
        wage: packing.wage,
        market: Market { buying: buying?, ..market? },
        learnt: trade::Learnt::default(),
    })
}

fn all_finds(finds: Vec<NamedFind>) -> Result<Vec<Find>, Told> {
    finds.into_iter().map(|named| named.find).collect()
}

fn units(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<Units, Told> {
    const RIGHT: &str = "units = \"in\" for inches and ounces, or units = \"cm\" for centimetres and grams";
    match entry.text(RIGHT, problems)? {
        "in" => Ok(Units::UsCustomary),
        "cm" => Ok(Units::Metric),
        other => {
            let message = format!("`{}` is not one of the units of a sheet", quoted(other));
            Err(entry.wrong(problems, message, RIGHT))
        }
    }
}

fn too_large(bytes: usize) -> Vec<Problem> {
    vec![Problem {
        message: format!("the job sheet has {bytes} bytes; a job sheet may be at most 1 MB"),
        field: String::new(),
        line: 1,
        column: 1,
        span: 0..0,
        right: format!("at most {LARGEST_SHEET} bytes; {EXAMPLE}"),
    }]
}

fn not_utf8(bytes: &[u8], valid: usize) -> Vec<Problem> {
    let before = bytes.get(..valid).unwrap_or_default();
    let line_start = before.iter().rposition(|&byte| byte == b'\n').map_or(0, |newline| newline + 1);
    // All before the broken byte is valid, so its characters can be counted.
    let column = String::from_utf8_lossy(before.get(line_start..).unwrap_or_default()).chars().count() + 1;
    let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
    vec![Problem {
        message: format!("line {line} holds a byte that is not UTF-8 text"),
        field: String::new(),
        line,
        column,
        span: valid..valid + 1,
        right: "the sheet saved as UTF-8, as plain text".to_owned(),
    }]
}
