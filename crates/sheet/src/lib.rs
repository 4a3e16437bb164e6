//! Job sheets: the TOML text in which a person states a job, read into a [`trade::Job`] or into a list of
//! problems that each say where, what was wrong and what would be right.
//!
//! Text comes in and values go out: nothing is read from disk here, and what the sheet refers to by name
//! is handed in as a [`Library`].

mod carton;
mod charge;
mod entry;
mod example;
mod figure;
mod find;
mod library;
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

pub use example::example;
pub use library::Library;
pub use problem::Problem;
pub use read::{LARGEST_SHEET, read, read_bytes};
