//! Which cost flow holds from which day on.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;

use crate::{BooksError, CostFlow};

/// How cost of goods is told, and from which day on. Empty: each piece carries its own cost (specific
/// identification), always.
///
/// ```
/// use books::{CostFlow, FlowSchedule};
/// use jiff::civil::date;
///
/// let schedule: FlowSchedule = "fifo from 2027-01-01; specific from 2029-01-01".parse()?;
/// assert_eq!(schedule.on(date(2026, 12, 31)), None);
/// assert_eq!(schedule.on(date(2027, 1, 1)), Some(CostFlow::FirstInFirstOut));
/// assert_eq!(schedule.to_string(), "fifo from 2027-01-01; specific from 2029-01-01");
/// # Ok::<(), books::BooksError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FlowSchedule {
    steps: Vec<(Date, Option<CostFlow>)>,
}

/// Words of the flows; nothing stands for the pieces' own costs.
const WORDS: [(&str, Option<CostFlow>); 3] =
    [("specific", None), ("fifo", Some(CostFlow::FirstInFirstOut)), ("average", Some(CostFlow::Average))];

/// The word of a flow.
fn word(flow: Option<CostFlow>) -> &'static str {
    match flow {
        None => "specific",
        Some(CostFlow::FirstInFirstOut) => "fifo",
        Some(CostFlow::Average) => "average",
    }
}

impl FlowSchedule {
    /// The flow that holds on a day; none where pieces carry their own costs.
    #[must_use]
    pub fn on(&self, day: Date) -> Option<CostFlow> {
        self.steps.iter().rfind(|&&(from, _)| from <= day).and_then(|&(_, flow)| flow)
    }

    /// The same with another flow from a day on, that day and all later steps replaced.
    #[must_use]
    pub fn with(&self, from: Date, flow: Option<CostFlow>) -> Self {
        let mut steps: Vec<_> = self.steps.iter().copied().filter(|&(day, _)| day < from).collect();
        if steps.last().map_or(flow.is_some(), |&(_, before)| before != flow) {
            steps.push((from, flow));
        }
        Self { steps }
    }

    /// The steps up to a day, that day counted: what must stay once goods have moved on it.
    #[must_use]
    pub fn upto(&self, day: Date) -> Self {
        Self { steps: self.steps.iter().copied().filter(|&(from, _)| from <= day).collect() }
    }

    /// The steps in their order: the day each begins, and its flow.
    pub fn steps(&self) -> impl Iterator<Item = (Date, Option<CostFlow>)> {
        self.steps.iter().copied()
    }

    /// The flow of a word: specific, fifo or average.
    ///
    /// # Errors
    /// When it is another word.
    pub fn flow_named(text: &str) -> Result<Option<CostFlow>, BooksError> {
        let found = WORDS.into_iter().find(|(word, _)| *word == text.trim().to_lowercase());
        found.map(|(_, flow)| flow).ok_or_else(|| wrong(text))
    }
}

fn wrong(text: &str) -> BooksError {
    BooksError::Wrong {
        place: "cost flow".to_owned(),
        field: "flow",
        found: format!("\"{text}\""),
        right: "specific, fifo or average, with the day it begins: fifo from 2027-01-01",
    }
}

impl FromStr for FlowSchedule {
    type Err = BooksError;

    fn from_str(text: &str) -> Result<Self, BooksError> {
        if text.trim() == word(None) {
            return Ok(Self::default());
        }
        let mut steps: Vec<(Date, Option<CostFlow>)> = Vec::new();
        for part in text.split(';').map(str::trim).filter(|part| !part.is_empty()) {
            let (flow, from) = part.split_once(" from ").ok_or_else(|| wrong(part))?;
            let from: Date = from.trim().parse().map_err(|_| wrong(part))?;
            if steps.last().is_some_and(|&(before, _)| before >= from) {
                return Err(wrong(text));
            }
            steps.push((from, Self::flow_named(flow)?));
        }
        Ok(Self { steps })
    }
}

impl fmt::Display for FlowSchedule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.steps.is_empty() {
            return f.write_str("specific");
        }
        let steps: Vec<String> =
            self.steps.iter().map(|&(from, flow)| format!("{} from {from}", word(flow))).collect();
        f.write_str(&steps.join("; "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_later_step_leaves_the_days_before_it_alone() {
        let first = FlowSchedule::default().with(date(2027, 1, 1), Some(CostFlow::Average));
        let second = first.with(date(2028, 1, 1), Some(CostFlow::FirstInFirstOut));
        assert_eq!(second.upto(date(2027, 12, 31)), first);
        assert_eq!(second.on(date(2027, 6, 1)), Some(CostFlow::Average));
        assert_eq!(second.with(date(2028, 1, 1), Some(CostFlow::Average)), first);
        assert_eq!(first.with(date(2026, 1, 1), None), FlowSchedule::default());
        for schedule in [FlowSchedule::default(), first, second] {
            assert_eq!(schedule.to_string().parse(), Ok(schedule));
        }
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_what_would_be_right() {
        for text in [
            "lifo from 2027-01-01",
            "fifo",
            "fifo from soon",
            "fifo from 2027-01-01; average from 2026-01-01",
        ] {
            let error = text.parse::<FlowSchedule>().unwrap_err().to_string();
            assert!(error.contains("fifo from 2027-01-01"), "{error}");
        }
    }
}
