//! Comparable sales as a person types them: one line, several lines, or a table; and how they were understood.

mod assembly;
mod cell;
mod clause;
mod comp_error;
mod echo;
mod figure;
mod line;
mod naming;
mod scan;
mod shipping;
mod stated;
mod table;
mod table_error;
mod token;
mod words;
mod write;

pub use comp_error::{CompError, CompFault, CompPart};
pub use line::{Numbered, read_lines};
pub use table::{MOST_ROWS, read_table};
pub use table_error::{TableFault, TableProblem, TableProblems};
