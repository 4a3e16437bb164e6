//! One thing that is wrong with a job sheet.

use std::ops::Range;

/// A problem of a job sheet: where it is, what was wrong and what would be right.
///
/// ```
/// # use sheet::Problem;
/// let problem = Problem {
///     message: "zero cups were counted".to_owned(),
///     field: "find[1].count".to_owned(),
///     line: 7,
///     column: 9,
///     span: 80..81,
///     right: "count = 6".to_owned(),
/// };
/// assert_eq!(
///     problem.plain("job.toml"),
///     "job.toml:7:9: find[1].count: zero cups were counted; right would be: count = 6"
/// );
/// ```
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}; right would be: {right}")]
pub struct Problem {
    /// What was wrong, without what would be right.
    pub message: String,
    /// The key it is about, from the top of the sheet: `find[2].piece[1].height`, counted from 1; empty
    /// when it is about the sheet as a whole.
    pub field: String,
    /// Line of the sheet, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the sheet that the problem is about; within the sheet and on character boundaries, except
    /// that it counts raw bytes when the sheet isn't UTF-8.
    pub span: Range<usize>,
    /// What would be right, or an example of it.
    pub right: String,
}

impl Problem {
    /// The problem on one line, `file` being the name of the sheet.
    #[must_use]
    pub fn plain(&self, file: &str) -> String {
        let field = if self.field.is_empty() { String::new() } else { format!("{}: ", self.field) };
        format!("{file}:{}:{}: {field}{self}", self.line, self.column)
    }
}
