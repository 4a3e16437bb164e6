//! What every test of sheets needs: a library, a day, and a way to tell problems briefly.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::sync::LazyLock;

use forms::Catalogue;
use jiff::civil::{Date, date};
use measure::Length;
use sheet::{Library, Problem};
use trade::{CartonStock, Job};

pub const TODAY: Date = date(2026, 11, 25);

fn names(list: &[&str]) -> Vec<String> {
    list.iter().map(|name| (*name).to_owned()).collect()
}

pub fn library<'a>(
    forms: &'a Catalogue,
    files: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Library<'a> {
    Library {
        forms,
        recipes: names(&["cup", "small_plate", "pitcher"]),
        profiles: names(&["rule_of_two"]),
        usual_profile: "rule_of_two".to_owned(),
        fills: names(&["eps_loose_fill"]),
        usual_fill: "eps_loose_fill".to_owned(),
        grades: names(&["32 ECT", "44 ECT"]),
        usual_grade: "32 ECT".to_owned(),
        stock: vec![CartonStock {
            name: "8 x 8 x 8".to_owned(),
            inside: [Length::from_inches(8.0); 3],
            grade: "32 ECT".to_owned(),
            on_hand: None,
            cost: None,
            cut_heights: Vec::new(),
        }],
        files,
    }
}

pub fn no_files(name: &str) -> Result<Vec<u8>, String> {
    Err(format!("there is no file called {name}"))
}

pub fn forms() -> &'static Catalogue {
    static FORMS: LazyLock<Catalogue> = LazyLock::new(Catalogue::published);
    &FORMS
}

pub fn read(text: &str) -> Result<Job, Vec<Problem>> {
    sheet::read(text, &library(forms(), &no_files), TODAY)
}
