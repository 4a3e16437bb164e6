//! Job sheets: the TOML text in which a person states a job, read into a [`trade::Job`] or into a list of
//! problems that each say where, what was wrong and what would be right.
//!
//! Text comes in and values go out: nothing is read from disk here, and what the sheet refers to by name
//! is handed in as a [`Library`].
//!
//! ```
//! use sheet::{Library, read};
//!
//! let (forms, stock) = (forms::Catalogue::published(), protection::StockCartons::published());
//! let tables = trade::Library::published();
//! let library = Library::of(&tables, &forms, &stock, &|name| Err(format!("there is no file {name} here")));
//! let today = jiff::civil::date(2026, 11, 25);
//! let job = read(sheet::example(), &library, today).expect("the example is right");
//! assert_eq!((job.finds[0].lots(), job.finds[0].comps.len()), (11, 7));
//!
//! let problems = read("titel = \"mugs\"", &library, today).expect_err("a misspelt key");
//! assert!(problems.iter().any(|problem| problem.field == "titel" && problem.right.contains("`title`")));
//! ```

mod beliefs;
mod buying;
mod carton;
mod charge;
mod comps;
mod desk;
mod entry;
mod example;
mod figure;
mod find;
mod fragility;
mod home;
mod library;
mod lots;
mod market;
mod measured;
mod nearest;
mod order;
mod post;
mod problem;
mod protecting;
mod read;
mod row;
mod section;
mod syntax;
mod told;
mod usual;
mod words;

pub use desk::Desk;
pub use example::example;
pub use library::Library;
pub use problem::Problem;
pub use read::{LARGEST_SHEET, read, read_bytes};
pub use usual::usual;
