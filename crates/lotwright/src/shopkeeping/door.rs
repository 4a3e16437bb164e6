//! Which shop file is meant, on which day, and how an answer is written.

use std::path::{Path, PathBuf};

use clap::Args;
use etcetera::BaseStrategy;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde_json::Value;
use shop::{Shop, ShopError, Stamp};

use crate::problems::Stop;

/// Folder of the shop file in the platform's data folder.
const FOLDER: &str = "lotwright";
/// Name of the shop file.
pub const FILE: &str = "shop.lotwright";
/// Name of the demo shop.
pub const DEMO_FILE: &str = "demo.lotwright";

/// Which file, and when.
#[derive(Debug, Args, Clone, Default)]
pub struct Where {
    /// The shop file; left out, the one in your data folder
    #[arg(long, value_name = "FILE", global = true)]
    pub shop: Option<PathBuf>,
    /// Use the demo shop
    #[arg(long, global = true, conflicts_with = "shop")]
    pub demo: bool,
    /// The day it happened (2026-03-07); today when left out
    #[arg(long, value_name = "DAY", global = true)]
    pub date: Option<String>,
    /// The moment it is written down (2026-03-07T10:00:00Z); now when left out
    #[arg(long, value_name = "MOMENT", global = true)]
    pub now: Option<String>,
    /// Write the answer as JSON
    #[arg(long, global = true)]
    pub json: bool,
}

/// What a command says, for people and for programs.
pub struct Answer {
    /// Lines at most 80 columns wide.
    pub text: String,
    /// The same as JSON; money in whole cents.
    pub json: Value,
}

/// The moment and the day of a command.
#[derive(Debug, Clone)]
pub struct When {
    /// When it is written down.
    pub now: Timestamp,
    /// When it happened.
    pub day: Date,
}

impl When {
    /// The stamp of a write.
    pub fn stamp(&self) -> Stamp {
        Stamp::at(self.now)
    }
}

impl Where {
    /// The moment and the day.
    pub fn when(&self) -> Result<When, Stop> {
        let now = match &self.now {
            None => Timestamp::now(),
            Some(text) => text.parse().map_err(|_| {
                Stop::Input(format!(
                    "--now: \"{text}\" is not a moment; right would be one such as 2026-03-07T10:00:00Z"
                ))
            })?,
        };
        let zone = if self.now.is_some() { TimeZone::UTC } else { TimeZone::system() };
        let day = match &self.date {
            None => now.to_zoned_datetime(zone).date(),
            Some(text) => day("--date", text)?,
        };
        Ok(When { now, day })
    }

    /// Where the file lies.
    pub fn path(&self) -> Result<PathBuf, Stop> {
        if let Some(path) = &self.shop {
            return Ok(path.clone());
        }
        let name = if self.demo { DEMO_FILE } else { FILE };
        let folders = etcetera::base_strategy::choose_native_strategy().map_err(|e| {
            Stop::Outside(format!("your data folder can't be found ({e}); say where with --shop FILE"))
        })?;
        // XDG_DATA_HOME counts on every platform: who sets it means it.
        let data = std::env::var_os("XDG_DATA_HOME")
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
            .unwrap_or_else(|| folders.data_dir());
        Ok(data.join(FOLDER).join(name))
    }

    /// Opens the file.
    pub fn open(&self) -> Result<(Shop, When), Stop> {
        let (path, when) = (self.path()?, self.when()?);
        if !path.exists() {
            let demo = if self.demo { " demo" } else { " haul" };
            return Err(Stop::Input(format!(
                "there is no shop file {} yet; begin one with: lotwright{demo}, or say where yours is with \
                 --shop FILE",
                path.display()
            )));
        }
        Ok((Shop::open(&path, when.now).map_err(refused)?, when))
    }

    /// Opens the file, or makes it; tells whether it was made.
    pub fn open_or_make(&self) -> Result<(Shop, When, bool), Stop> {
        let (path, when) = (self.path()?, self.when()?);
        if path.exists() {
            return Ok((Shop::open(&path, when.now).map_err(refused)?, when, false));
        }
        if self.demo {
            return Err(Stop::input("there is no demo shop yet; make one with: lotwright demo"));
        }
        make_folder(&path)?;
        Ok((Shop::create(&path).map_err(refused)?, when, true))
    }

    /// Writes an answer as it was asked for.
    pub fn written(&self, answer: Answer) -> Result<String, Stop> {
        if self.json {
            return crate::worth_report::written(&answer.json);
        }
        Ok(answer.text.trim_end().to_owned() + "\n")
    }
}

/// Makes the folder that a file is to lie in.
pub fn make_folder(path: &Path) -> Result<(), Stop> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.map_or(Ok(()), |folder| {
        std::fs::create_dir_all(folder)
            .map_err(|e| Stop::Outside(format!("the folder {} can't be made: {e}", folder.display())))
    })
}

/// A day as typed.
pub fn day(option: &str, text: &str) -> Result<Date, Stop> {
    text.parse().map_err(|_| {
        Stop::Input(format!("{option}: \"{text}\" is not a day; right would be one such as 2026-03-07"))
    })
}

/// What the shop refused: wrong input, or something outside.
pub fn refused(error: ShopError) -> Stop {
    Stop::from(error)
}

/// The same, told with the option that was meant.
pub fn refused_at(option: &'static str) -> impl Fn(ShopError) -> Stop {
    move |error| refused(error).at(option)
}

/// What a demo shop says on top of its answers; nothing for a real one.
pub fn demo_line(shop: &Shop) -> Result<String, Stop> {
    let demo = keeping::demo_of(shop)?;
    Ok(demo.map_or_else(String::new, |of| format!("Demo shop, made up: {of}.\n")))
}
