//! One line, one comp; several lines, several.

use jiff::civil::Date;

use super::comp_error::{CompError, CompFault, CompPart};
use super::scan::Scan;
use crate::Comp;

/// Longest line that is read, in characters with its note (judgement: twice the longest sensible one).
const LONGEST_LINE: usize = 200;
/// Begins a note; what follows it is not read.
const NOTE: char = '#';
const EXAMPLE: &str = "2 for 17.50 + 8.25";

impl Comp {
    /// Reads a comp as a person types it: `2 for 17.50 + 8.25`, `offer <24 x2`, `unsold 35 for 90d`.
    ///
    /// `today` is the day that dates are counted back from. What is not said is taken as: sold, one piece,
    /// shipping unknown, grade C, today, fully alike. Behind `#` stands a note, which is not kept.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use pricing::Comp;
    ///
    /// let comp = Comp::read("2 for 17.50 + 8.25", date(2026, 11, 25))?;
    /// assert_eq!(comp.understood(), "a lot of 2, sold for 17.50 plus 8.25 shipping (25.75 delivered)");
    /// assert_eq!(comp.write(), "2 for 17.50 + 8.25");
    /// # Ok::<(), pricing::CompError>(())
    /// ```
    ///
    /// # Errors
    /// When anything on the line is not understood, is said twice, is missing or can't be true; the error
    /// points at it.
    pub fn read(line: &str, today: Date) -> Result<Self, CompError> {
        let whole = |fault| {
            let span = line.len() - line.trim_start().len()..line.trim_end().len();
            CompError::at(line, span.start.min(span.end)..span.end, CompPart::Line, fault, EXAMPLE)
        };
        refuse_unreadable(line)?;
        let told = line.split_once(NOTE).map_or(line, |(told, _)| told);
        if told.trim().is_empty() {
            return Err(whole(CompFault::Empty));
        }
        let mut scan = Scan::new(told, today);
        scan.clauses()?;
        let span = scan.since(0);
        scan.facts.assemble(told, span)
    }
}

/// Refuses what is too long, or holds what can't be seen; of a line, or of the cell of a table.
pub(super) fn refuse_unreadable(text: &str) -> Result<(), CompError> {
    let characters = text.chars().count();
    if characters > LONGEST_LINE {
        let start = text.char_indices().nth(LONGEST_LINE).map_or(text.len(), |(place, _)| place);
        let fault = CompFault::TooLong { characters, most: LONGEST_LINE };
        let right = "one comp on each line";
        return Err(CompError::at(text, start..text.len(), CompPart::Line, fault, right));
    }
    // A tab is a blank; it comes along when lines are copied out of a table.
    if let Some((place, c)) = text.char_indices().find(|(_, c)| c.is_control() && *c != '\t') {
        let fault = CompFault::Control { code: c.into() };
        let span = place..place + c.len_utf8();
        return Err(CompError::at(text, span, CompPart::Line, fault, EXAMPLE));
    }
    Ok(())
}

/// Things read from lines, each with the number of its line, from 1.
pub type Numbered<T> = Vec<(usize, T)>;

/// Reads one comp from each line; blank lines and lines that only hold a `#` note are passed over.
///
/// Both lists carry the number of the line, from 1. A mark of byte order at the front is dropped; spans of
/// errors count within their line.
///
/// ```
/// use jiff::civil::date;
///
/// let (comps, errors) = pricing::read_lines("# mugs\n2 for 17.50\noffer", date(2026, 11, 25));
/// assert_eq!((comps[0].0, comps[0].1.pieces), (2, 2));
/// assert_eq!(errors[0].0, 3);
/// ```
#[must_use]
pub fn read_lines(text: &str, today: Date) -> (Numbered<Comp>, Numbered<CompError>) {
    let mut comps = Vec::new();
    let mut errors = Vec::new();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    for (line, number) in text.lines().zip(1..) {
        let begins = line.trim_start();
        if begins.is_empty() || begins.starts_with(NOTE) {
            continue;
        }
        match Comp::read(line, today) {
            Ok(comp) => comps.push((number, comp)),
            Err(error) => errors.push((number, error)),
        }
    }
    (comps, errors)
}
