//! Collecting the problems of a sheet while the reading goes on.

use std::ops::Range;

use crate::Problem;

/// Most problems that are kept of one sheet; past these only their number is told.
const MOST_PROBLEMS: usize = 200;
/// Most characters of the sheet that a message quotes.
const LONGEST_QUOTE: usize = 40;

/// Proof that a problem was told: a reader that fails can only come by one through [`Problems::tell`],
/// so a sheet is never refused without a reason.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Told(());

/// The problems found so far in one sheet.
pub(crate) struct Problems<'s> {
    text: &'s str,
    line_starts: Vec<usize>,
    found: Vec<Problem>,
    untold: usize,
}

impl<'s> Problems<'s> {
    pub(crate) fn new(text: &'s str) -> Self {
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(newline, _)| newline + 1)).collect();
        Self { text, line_starts, found: Vec::new(), untold: 0 }
    }

    /// Records a problem.
    pub(crate) fn tell(
        &mut self,
        field: &str,
        span: Range<usize>,
        message: impl Into<String>,
        right: impl Into<String>,
    ) -> Told {
        if self.found.len() < MOST_PROBLEMS {
            let problem = self.problem(field, span, message.into(), right.into());
            self.found.push(problem);
        } else {
            self.untold += 1;
        }
        Told(())
    }

    /// Takes back what was told of a field; the caller tells a better reason in its stead.
    pub(crate) fn withdraw(&mut self, field: &str) {
        self.found.retain(|problem| problem.field != field);
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// All problems in the order of the sheet.
    pub(crate) fn sorted(mut self) -> Vec<Problem> {
        self.found.sort_by(|a, b| (a.span.start, &a.field).cmp(&(b.span.start, &b.field)));
        if self.untold > 0 {
            let end = self.text.len();
            self.found.push(self.problem(
                "",
                end..end,
                format!("{} more problems are not listed", self.untold),
                "to mend the ones above first".to_owned(),
            ));
        }
        self.found
    }

    fn problem(&self, field: &str, span: Range<usize>, message: String, right: String) -> Problem {
        let start = self.boundary(span.start);
        let end = self.boundary(span.end.max(span.start));
        let (line, column) = self.place(start);
        let (message, right) = (printable(&message), printable(&right));
        Problem { message, field: field.to_owned(), line, column, span: start..end, right }
    }

    /// The nearest character boundary at or before a byte.
    fn boundary(&self, byte: usize) -> usize {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    }

    /// The byte at which a text begins within a span of the sheet, if it stands there as it is.
    pub(crate) fn find_in(&self, span: Range<usize>, text: &str) -> Option<usize> {
        self.text.get(span.clone())?.find(text).map(|at| span.start + at)
    }

    /// The line of a byte, from 1.
    pub(crate) fn line(&self, byte: usize) -> usize {
        self.line_starts.partition_point(|&start| start <= byte)
    }

    /// Line and column, both from 1, of a byte on a character boundary.
    fn place(&self, byte: usize) -> (usize, usize) {
        let line = self.line(byte);
        let start = self.line_starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        (line, self.text.get(start..byte).map_or(0, |before| before.chars().count()) + 1)
    }
}

/// A text on one line: line breaks and other control characters are blanks.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// What a TOML parser says of a file that the sheet names, without the lines it draws to point into it.
pub(crate) fn undrawn(message: &str) -> String {
    let is_drawn =
        |line: &str| line.trim_start_matches(|c: char| c.is_ascii_digit() || c == ' ').starts_with('|');
    let lines: Vec<&str> =
        message.lines().map(str::trim).filter(|line| !line.is_empty() && !is_drawn(line)).collect();
    lines.join(": ")
}

/// A short, printable quotation of what is written in the sheet.
pub(crate) fn quoted(text: &str) -> String {
    let text = text.trim();
    let mut shown: String = printable(&text.chars().take(LONGEST_QUOTE).collect::<String>());
    if text.chars().nth(LONGEST_QUOTE).is_some() {
        shown.push('…');
    }
    shown
}

/// Parts a message of another room into what was wrong and what would be right.
pub(crate) fn parted(message: &str, otherwise: &str) -> (String, String) {
    for mark in
        ["; right would be, for example, ", "; right would be: ", "; right would be ", "; write for example "]
    {
        if let Some((wrong, right)) = message.rsplit_once(mark) {
            return (wrong.to_owned(), right.replace('`', ""));
        }
    }
    (message.to_owned(), otherwise.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let text = "a = 1\nçé = \"x\"\r\nb";
        let mut problems = Problems::new(text);
        for at in [0, 4, 6, 8, 13, text.len() - 1, text.len(), 9999] {
            problems.tell("", at..at, "wrong", "right");
        }
        let places: Vec<_> = problems.sorted().iter().map(|p| (p.line, p.column)).collect();
        assert_eq!(places, [(1, 1), (1, 5), (2, 1), (2, 2), (2, 6), (3, 1), (3, 2), (3, 2)]);
    }

    #[test]
    fn a_span_inside_a_character_moves_to_its_start() {
        let mut problems = Problems::new("é");
        problems.tell("", 1..1, "wrong", "right");
        assert_eq!(problems.sorted()[0].span, 0..0);
    }

    #[test]
    fn problems_past_the_most_are_counted() {
        let mut problems = Problems::new("");
        for _ in 0..MOST_PROBLEMS + 3 {
            problems.tell("", 0..0, "wrong", "right");
        }
        let sorted = problems.sorted();
        assert_eq!(sorted.len(), MOST_PROBLEMS + 1);
        assert!(sorted[MOST_PROBLEMS].message.starts_with("3 more"));
    }

    #[test]
    fn quotations_are_short_and_printable() {
        assert_eq!(quoted(" a\tb\u{7}c "), "a b c");
        assert_eq!(quoted(&"é".repeat(41)), format!("{}…", "é".repeat(40)));
    }

    #[test]
    fn the_drawing_of_a_parser_is_left_out() {
        let drawn =
            "TOML parse error at line 1, column 9\n  |\n1 | [venues\n  |         ^\nunclosed table | here\n";
        assert_eq!(undrawn(drawn), "TOML parse error at line 1, column 9: unclosed table | here");
    }

    #[test]
    fn a_problem_stays_on_one_line() {
        let mut problems = Problems::new("");
        problems.tell("", 0..0, "two\nlines", "right\rhere");
        assert_eq!(problems.sorted()[0].to_string(), "two lines; right would be: right here");
    }

    #[test]
    fn messages_of_other_rooms_are_parted() {
        let refused = measure::Length::read("3", None).expect_err("no unit").to_string();
        assert_eq!(parted(&refused, "else").1, "3 1/4 in");
        assert_eq!(parted("no advice", "else"), ("no advice".to_owned(), "else".to_owned()));
    }
}
