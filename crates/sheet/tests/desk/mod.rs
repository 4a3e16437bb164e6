//! What every test of sheets needs: a library, a day, and a way to tell problems briefly.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::sync::LazyLock;

use forms::Catalogue;
use jiff::civil::{Date, date};
use protection::StockCartons;
use sheet::{Library, Problem};
use trade::Job;

pub const TODAY: Date = date(2026, 11, 25);

struct Tables {
    library: trade::Library,
    forms: Catalogue,
    stock: StockCartons,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables {
    library: trade::Library::published(),
    forms: Catalogue::published(),
    stock: StockCartons::published(),
});

pub fn library(files: &dyn Fn(&str) -> Result<Vec<u8>, String>) -> Library<'_> {
    let tables = &*TABLES;
    Library::of(&tables.library, &tables.forms, &tables.stock, files)
}

pub fn no_files(name: &str) -> Result<Vec<u8>, String> {
    Err(format!("there is no file called {name}"))
}

pub fn read(text: &str) -> Result<Job, Vec<Problem>> {
    sheet::read(text, &library(&no_files), TODAY)
}
