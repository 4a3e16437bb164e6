//! `lotwright shop`: the file itself.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde_json::json;
use shop::{BackedUp, KeptFiles, Record, Shop, files_folder};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{plural, wrapped};

/// Options of `shop`.
#[derive(Debug, Args)]
pub struct KeepArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do.
    #[command(subcommand)]
    what: KeepCommand,
}

/// What to do with the file.
#[derive(Debug, Subcommand)]
enum KeepCommand {
    /// Where the file lies
    Where,
    /// Check pages, references, books, stock and promises, that all tables are what the events add up to, and that
    /// every receipt and photo is there as it was stored
    Check,
    /// Remove files beside it that no attachment speaks of
    ClearFiles,
    /// Copy it into a new file, with its receipts and photos beside that, also while it is in use
    BackUp {
        /// The new file
        to: PathBuf,
    },
    /// Put a backup in its place; the file that was there is kept under another name
    Restore {
        /// The backup
        from: PathBuf,
    },
    /// What happened to a record: `history find 3`
    History {
        /// Its kind: place, haul, find, listing, order, parcel, supply, claim, setting, entry, ...
        kind: String,
        /// Its number
        number: u64,
    },
}

/// Does it.
pub fn shop(args: &KeepArgs) -> Result<String, Stop> {
    let answer = match &args.what {
        KeepCommand::Where => {
            let path = args.door.path()?;
            let there = if path.exists() { "" } else { " (not there yet)" };
            Answer {
                text: format!("{}{there}", path.display()),
                json: json!({ "path": path.display().to_string(), "exists": path.exists() }),
            }
        }
        KeepCommand::Check => check(&args.door.open()?.0)?,
        KeepCommand::BackUp { to } => {
            let (shop, _) = args.door.open()?;
            let backed_up = shop.back_up(to).map_err(refused)?;
            Answer {
                text: format!(
                    "{}{}",
                    demo_line(&shop)?,
                    wrapped("", &format!("Backed up to {}.{}", to.display(), copied(to, &backed_up)))
                ),
                json: json!({
                    "backup": to.display().to_string(), "files": backed_up.files, "without": backed_up.without,
                }),
            }
        }
        KeepCommand::ClearFiles => {
            let (mut shop, _) = args.door.open()?;
            let cleared = shop.clear_loose_files().map_err(refused)?;
            let text = match cleared.len() {
                0 => String::from("Nothing to clear: every file belongs to an attachment."),
                count => format!("Removed {} that no attachment speaks of.", counted(count)),
            };
            Answer {
                text: format!("{}{}", demo_line(&shop)?, wrapped("", &text)),
                json: json!({ "cleared": cleared }),
            }
        }
        KeepCommand::Restore { from } => {
            let (path, when) = (args.door.path()?, args.door.when()?);
            super::door::make_folder(&path)?;
            let (shop, aside) = Shop::restore(from, &path, when.now).map_err(refused)?;
            let files = shop.kept_files().map_err(refused)?;
            let kept = aside.as_ref().map_or_else(
                || String::from("There was no file before."),
                |aside| format!("What was there before is kept as {}.", aside.display()),
            );
            Answer {
                text: [
                    wrapped("", &format!("Restored {} from {}. {kept}", path.display(), from.display())),
                    restored(&files),
                ]
                .join("\n"),
                json: json!({
                    "restored": path.display().to_string(), "aside": aside.map(|path| path.display().to_string()),
                    "files": files.sound,
                    "without": files.flawed.iter().map(|flaw| flaw.attachment).collect::<Vec<_>>(),
                }),
            }
        }
        KeepCommand::History { kind, number } => history(&args.door.open()?.0, kind, *number)?,
    };
    args.door.written(answer)
}

fn check(shop: &Shop) -> Result<Answer, Stop> {
    let keeping::Checkup { flaws: found, files } = keeping::checkup(shop)?;
    if !found.is_empty() {
        return Err(Stop::Outside(format!(
            "{} is not sound:\n{}\nRestore a backup: lotwright shop restore FILE",
            shop.path().display(),
            found.join("\n")
        )));
    }
    let mut text = String::from(
        "Sound: pages, references, books, stock and promises agree, and all tables are what the events add up to.",
    );
    if files.sound > 0 {
        text.push_str(&format!(" {} beside it, as stored.", counted(files.sound)));
    }
    let mut lines = vec![wrapped("", &text)];
    if !files.loose.is_empty() {
        lines.push(wrapped(
            "",
            &format!(
                "{} that no attachment speaks of; clear away with: lotwright shop clear-files",
                counted(files.loose.len())
            ),
        ));
        lines.extend(files.loose.iter().map(|name| format!("  {name}")));
    }
    Ok(Answer {
        text: format!("{}{}", demo_line(shop)?, lines.join("\n")),
        json: json!({ "sound": true, "files": files.sound, "loose": files.loose, "foreign": files.foreign }),
    })
}

/// What a backup has of the files, and what it is without.
fn copied(to: &Path, backed_up: &BackedUp) -> String {
    let with = match backed_up.files {
        0 => String::new(),
        count => {
            format!(" {} beside it in {}; keep both together.", counted(count), files_folder(to).display())
        }
    };
    format!("{with}{}", without(&backed_up.without))
}

/// What a restored shop has of the files.
fn restored(files: &KeptFiles) -> String {
    let missing: Vec<u64> = files.flawed.iter().map(|flaw| flaw.attachment).collect();
    let with = match files.sound {
        0 => String::new(),
        count => format!("{} with it.", counted(count)),
    };
    wrapped("", &format!("{with}{}", without(&missing)))
}

/// "3 files".
fn counted(files: usize) -> String {
    plural(u32::try_from(files).unwrap_or(u32::MAX), "file")
}

/// Attachments without a file.
fn without(attachments: &[u64]) -> String {
    if attachments.is_empty() {
        return String::new();
    }
    let numbers: Vec<String> = attachments.iter().map(u64::to_string).collect();
    format!(
        " Without the files of {} {}, missing or damaged; see: lotwright shop check",
        if numbers.len() == 1 { "attachment" } else { "attachments" },
        numbers.join(", ")
    )
}

fn history(shop: &Shop, kind: &str, number: u64) -> Result<Answer, Stop> {
    let words = || Record::ALL.iter().map(|record| record.word());
    let record = Record::ALL.iter().find(|record| measure::plain(record.word()) == measure::plain(kind));
    let Some(&record) = record else {
        let near = measure::nearest(kind, words());
        let right: Vec<String> = if near.is_empty() { words().map(str::to_owned).collect() } else { near };
        return Err(Stop::Input(format!(
            "there is no kind of record \"{kind}\"; right would be: {}",
            right.join(", ")
        )));
    };
    let rows = shop.history(record, number).map_err(refused)?;
    if rows.is_empty() {
        return Err(Stop::Input(format!("there is no {record} {number}")));
    }
    let lines: Vec<String> = rows
        .iter()
        .map(|row| {
            let corrects = row.corrects.map_or_else(String::new, |event| format!(" (corrects {event})"));
            let entered = serde_json::to_string(&row.entered).unwrap_or_default();
            // Broken where a field begins, so that lines keep to the width.
            let entered: String = entered.replace(",\"", ", \"").chars().take(MOST_SHOWN).collect();
            wrapped(
                "  ",
                &format!("{} {} {}{corrects}: {entered}", row.event, row.at, row.kind.replace('_', " ")),
            )
        })
        .collect();
    let json = rows.iter().map(|row| {
        json!({
            "event": row.event.0, "at": row.at, "kind": row.kind, "entered": row.entered,
            "corrects": row.corrects.map(|event| event.0),
        })
    });
    Ok(Answer {
        text: format!("{}History of {record} {number}:\n{}", demo_line(shop)?, lines.join("\n")),
        json: json.collect(),
    })
}

/// Characters of an entered record that are shown; JSON has all of them.
const MOST_SHOWN: usize = 300;
