//! Why a table of comps was not understood.

use super::comp_error::CompError;

/// What is wrong at one place of a table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TableFault {
    /// The bytes are no text.
    #[error("the file is no UTF-8 text; save it as CSV in UTF-8")]
    NotText,
    /// More bytes than any sensible table has.
    #[error("the file has {bytes} bytes, and at most {most} are read; divide it")]
    TooLarge {
        /// Bytes of the file.
        bytes: usize,
        /// How many are read.
        most: usize,
    },
    /// The table can't be parted into cells.
    #[error("the table can't be parted into cells: {reason}")]
    Table {
        /// What the reader of tables says.
        reason: String,
    },
    /// A heading and no row, or nothing at all.
    #[error(
        "there are no comps below the heading; write for example `price,shipping` and below it `17.50,8.25`"
    )]
    NoRows,
    /// A heading that is none of the known ones.
    #[error("there is no column `{found}`{}", known(.nearest))]
    UnknownColumn {
        /// What stands there.
        found: String,
        /// Columns that may have been meant.
        nearest: Vec<String>,
    },
    /// A heading that stands twice.
    #[error("the column stands twice; keep one of them")]
    RepeatedColumn,
    /// Neither a price nor whole comps.
    #[error("the heading has no column `price`, nor one column `comp` with a whole comp in each row")]
    NoPrice,
    /// Whole comps beside cells of comps.
    #[error("a column `comp` stands alone: each row of it is a whole comp")]
    CompNotAlone,
    /// A row of more or fewer cells than the heading.
    #[error(
        "the row has {found} cells and the heading {expected}; a cell with a comma goes between double quotes"
    )]
    RowLength {
        /// Cells of the row.
        found: usize,
        /// Columns of the heading.
        expected: usize,
    },
    /// More rows than are read.
    #[error("only {most} rows are read; divide the table")]
    TooManyRows {
        /// How many are read.
        most: usize,
    },
    /// A cell, or a row as a whole, is no comp; the place within the error counts in the cell.
    #[error(transparent)]
    Cell(#[from] CompError),
}

fn known(nearest: &[String]) -> String {
    if nearest.is_empty() {
        let names: Vec<&str> = super::cell::COLUMNS.iter().map(|(name, _)| *name).collect();
        format!("; there are {}", names.join(", "))
    } else {
        format!("; did you mean `{}`?", nearest.join("` or `"))
    }
}

/// One thing that is wrong with a table of comps, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}{fault}", place(*.row, .column))]
pub struct TableProblem {
    /// Row as an editor counts it, from 1 with the heading; 0 when it is about the table as a whole.
    pub row: u64,
    /// Heading of the column; empty when it is about a row or the table as a whole.
    pub column: String,
    /// What is wrong.
    pub fault: TableFault,
}

fn place(row: u64, column: &str) -> String {
    match (row, column.is_empty()) {
        (0, _) => String::new(),
        (row, true) => format!("row {row}: "),
        (row, false) => format!("row {row}, column `{column}`: "),
    }
}

/// Everything that is wrong with a table, up to a limit; written one on a line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", told(.problems, *.more))]
pub struct TableProblems {
    /// The problems in the order of the table, at least one and at most twenty.
    pub problems: Vec<TableProblem>,
    /// How many more there are.
    pub more: usize,
}

fn told(problems: &[TableProblem], more: usize) -> String {
    let mut lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
    if more > 0 {
        lines.push(format!("and {more} more"));
    }
    lines.join("\n")
}

/// Problems as they are found.
#[derive(Debug, Default)]
pub(super) struct Found {
    problems: Vec<TableProblem>,
    more: usize,
}

impl Found {
    /// Most problems that are told (judgement: nobody mends more at once).
    const MOST_TOLD: usize = 20;

    pub(super) fn add(&mut self, row: u64, column: &str, fault: TableFault) {
        if self.problems.len() < Self::MOST_TOLD {
            self.problems.push(TableProblem { row, column: column.to_owned(), fault });
        } else {
            self.more = self.more.saturating_add(1);
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.problems.is_empty()
    }

    pub(super) fn all(self) -> TableProblems {
        TableProblems { problems: self.problems, more: self.more }
    }
}
