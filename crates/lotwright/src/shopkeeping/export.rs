//! `lotwright export`: everything out.

use std::path::{Path, PathBuf};

use clap::Args;
use keeping::year_book;
use serde_json::json;

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::wrapped;

/// Options of `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Every table as a CSV file in this folder
    #[arg(long, value_name = "DIR")]
    csv: Option<PathBuf>,
    /// Every table in one JSON file; `-` writes it to standard output
    #[arg(long, value_name = "FILE")]
    to_json: Option<PathBuf>,
    /// A year as a spreadsheet (.xlsx), with --to
    #[arg(long, requires = "to", value_parser = clap::value_parser!(i16).range(1900..=9998))]
    year: Option<i16>,
    /// The spreadsheet's file
    #[arg(long, value_name = "FILE", requires = "year")]
    to: Option<PathBuf>,
}

/// Writes what was asked for; no file is written over.
pub fn export(args: &ExportArgs) -> Result<String, Stop> {
    if args.csv.is_none() && args.to_json.is_none() && args.year.is_none() {
        return Err(Stop::input(
            "export: nothing is asked for; right would be: --csv FOLDER, --to-json FILE or --year 2026 --to FILE.xlsx",
        ));
    }
    let (mut shop, when) = args.door.open()?;
    let mut written = Vec::new();
    if let Some(folder) = &args.csv {
        std::fs::create_dir_all(folder)
            .map_err(|e| Stop::Outside(format!("--csv {}: {e}", folder.display())))?;
        for (table, text) in shop.export_csv().map_err(refused)? {
            let path = folder.join(format!("{table}.csv"));
            new_file("--csv", &path, text.as_bytes())?;
            written.push(path.display().to_string());
        }
    }
    if let Some(path) = &args.to_json {
        let text = crate::worth_report::written(&shop.export_json().map_err(refused)?)?;
        if path == Path::new("-") {
            return Ok(text);
        }
        new_file("--to-json", path, text.as_bytes())?;
        written.push(path.display().to_string());
    }
    if let (Some(year), Some(path)) = (args.year, &args.to) {
        if path.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("xlsx")) {
            return Err(Stop::Input(format!(
                "--to {}: a spreadsheet's name ends in .xlsx; right would be: --to {year}.xlsx",
                path.display()
            )));
        }
        let bytes = year_book(&mut shop, year, when.day)?;
        new_file("--to", path, &bytes)?;
        written.push(path.display().to_string());
    }
    let lines: Vec<String> = written.iter().map(|path| wrapped("  ", path)).collect();
    let text = format!("{}Written:\n{}", demo_line(&shop)?, lines.join("\n"));
    args.door.written(Answer { text, json: json!({ "written": written }) })
}

/// Writes a file that isn't there yet.
fn new_file(option: &str, path: &Path, bytes: &[u8]) -> Result<(), Stop> {
    use std::io::Write;
    let file = std::fs::File::options().write(true).create_new(true).open(path);
    let mut file = file.map_err(|e| match e.kind() {
        std::io::ErrorKind::AlreadyExists => Stop::Input(format!(
            "{option} {}: there is a file of that name already; right would be another name",
            path.display()
        )),
        _ => Stop::Outside(format!("{option} {}: {e}", path.display())),
    })?;
    file.write_all(bytes).map_err(|e| Stop::Outside(format!("{option} {}: {e}", path.display())))
}
