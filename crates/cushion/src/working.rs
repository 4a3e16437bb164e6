//! The arithmetic shown: every step with its formula, its numbers and what it gives.

use std::fmt;

/// One step of a reckoning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What is reckoned ("static stress").
    pub what: String,
    /// The formula in words or letters ("W / A").
    pub formula: String,
    /// The formula with its numbers; empty where it says no more.
    pub numbers: String,
    /// What it gives, with its unit; empty for a remark.
    pub gives: String,
}

impl fmt::Display for Step {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{}: {}", self.what, self.formula)?;
        if !self.numbers.is_empty() {
            write!(to, " = {}", self.numbers)?;
        }
        if !self.gives.is_empty() {
            write!(to, " = {}", self.gives)?;
        }
        Ok(())
    }
}

/// A reckoning in steps; written out, one line each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Working {
    /// The steps in order.
    pub steps: Vec<Step>,
}

impl Working {
    pub(crate) fn add(&mut self, what: &str, formula: &str, numbers: String, gives: String) {
        self.steps.push(Step { what: what.to_owned(), formula: formula.to_owned(), numbers, gives });
    }
}

impl fmt::Display for Working {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, step) in self.steps.iter().enumerate() {
            if at > 0 {
                writeln!(to)?;
            }
            write!(to, "{step}")?;
        }
        Ok(())
    }
}

/// A figure with three to four significant digits and no trailing noise.
pub(crate) fn shown(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        _ if size >= 100.0 => 0,
        _ if size >= 10.0 => 1,
        _ if size >= 1.0 => 2,
        _ if size >= 0.1 => 3,
        _ => 4,
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_written_short() {
        let written: Vec<String> = [30.0, 0.08, 3.375, 43.05, 129.6, 0.0].map(shown).to_vec();
        assert_eq!(written, ["30", "0.08", "3.38", "43", "130", "0"]);
    }

    #[test]
    fn a_step_reads_as_one_line() {
        let mut working = Working::default();
        working.add("static stress", "W / A", "0.8 lb / 10 in2".to_owned(), "0.08 psi".to_owned());
        assert_eq!(working.to_string(), "static stress: W / A = 0.8 lb / 10 in2 = 0.08 psi");
    }
}
