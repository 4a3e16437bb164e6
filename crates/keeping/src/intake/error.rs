//! Why a table can't be read at all.

use crate::Stop;

/// Why a table can't be read at all; nothing was stored then.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IntakeError {
    /// The table itself: what is wrong with it, and what would be right.
    #[error("{0}")]
    Table(String),
    /// A page of a spreadsheet that isn't there.
    #[error("there is no page \"{page}\"; right would be one of: {pages}")]
    NoPage {
        /// What was asked for.
        page: String,
        /// The pages that are there.
        pages: String,
    },
    /// A page asked of a table that has none.
    #[error("a CSV file has no pages; right would be to leave it out")]
    Pageless,
    /// A column that rows of the kind don't have.
    #[error("{rows} have no column \"{column}\"; right would be one of: {columns}")]
    NotOfTheKind {
        /// The kind of rows.
        rows: &'static str,
        /// What was told.
        column: String,
        /// The columns they have.
        columns: String,
    },
    /// A name that no column of the table has.
    #[error("there is no column \"{name}\" for {column}; right would be one of: {names}")]
    NoSuchName {
        /// The column it was told for.
        column: &'static str,
        /// What was told.
        name: String,
        /// The columns of the table.
        names: String,
    },
    /// A column that is needed and that nobody said which it is.
    #[error("no column is {column} ({says}); the table's columns are: {names}. Say which is which")]
    Missing {
        /// The column.
        column: &'static str,
        /// What it holds.
        says: &'static str,
        /// The columns of the table.
        names: String,
    },
    /// The shop file.
    #[error(transparent)]
    Stop(#[from] Stop),
}

impl From<shop::ShopError> for IntakeError {
    fn from(error: shop::ShopError) -> Self {
        Self::Stop(error.into())
    }
}
