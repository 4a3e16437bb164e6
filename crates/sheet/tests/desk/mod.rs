//! What every test of sheets needs: a library, a day, and a way to tell problems briefly.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::sync::LazyLock;

use forms::Catalogue;
use jiff::civil::{Date, date};
use protection::{Grades, Materials, Profiles, Recipes, StockCartons};
use sheet::{Library, Problem};
use trade::Job;

pub const TODAY: Date = date(2026, 11, 25);

struct Tables {
    forms: Catalogue,
    recipes: Recipes,
    materials: Materials,
    profiles: Profiles,
    grades: Grades,
    stock: StockCartons,
    drops: cushion::Drops,
    fragilities: cushion::Fragilities,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables {
    forms: Catalogue::published(),
    recipes: Recipes::published(),
    materials: Materials::published(),
    profiles: Profiles::published(),
    grades: Grades::published(),
    stock: StockCartons::published(),
    drops: cushion::Drops::published(),
    fragilities: cushion::Fragilities::published(),
});

pub fn library(files: &dyn Fn(&str) -> Result<Vec<u8>, String>) -> Library<'_> {
    let tables = &*TABLES;
    Library {
        forms: &tables.forms,
        recipes: &tables.recipes,
        materials: &tables.materials,
        profiles: &tables.profiles,
        grades: &tables.grades,
        stock: &tables.stock,
        drops: &tables.drops,
        fragilities: &tables.fragilities,
        files,
    }
}

pub fn no_files(name: &str) -> Result<Vec<u8>, String> {
    Err(format!("there is no file called {name}"))
}

pub fn read(text: &str) -> Result<Job, Vec<Problem>> {
    sheet::read(text, &library(&no_files), TODAY)
}
