//! The frequency multiplier of the lifting equation.

use measure::Length;

use crate::SafetyError;

/// Height of the hands from which the columns for a high lift hold, in (NIOSH 94-110).
const HIGH_IN: f64 = 30.0;
/// Rounding of unit conversion, in.
const SLACK_IN: f64 = 1e-9;
/// Lifts per minute, then the multiplier for work of up to 1, 2 and 8 hours, each with the hands low and high
/// (NIOSH 94-110, frequency multiplier table, from memory).
const ROWS: [(f64, [f64; 6]); 17] = [
    (0.2, [1.00, 1.00, 0.95, 0.95, 0.85, 0.85]),
    (0.5, [0.97, 0.97, 0.92, 0.92, 0.81, 0.81]),
    (1.0, [0.94, 0.94, 0.88, 0.88, 0.75, 0.75]),
    (2.0, [0.91, 0.91, 0.84, 0.84, 0.65, 0.65]),
    (3.0, [0.88, 0.88, 0.79, 0.79, 0.55, 0.55]),
    (4.0, [0.84, 0.84, 0.72, 0.72, 0.45, 0.45]),
    (5.0, [0.80, 0.80, 0.60, 0.60, 0.35, 0.35]),
    (6.0, [0.75, 0.75, 0.50, 0.50, 0.27, 0.27]),
    (7.0, [0.70, 0.70, 0.42, 0.42, 0.22, 0.22]),
    (8.0, [0.60, 0.60, 0.35, 0.35, 0.18, 0.18]),
    (9.0, [0.52, 0.52, 0.30, 0.30, 0.00, 0.15]),
    (10.0, [0.45, 0.45, 0.26, 0.26, 0.00, 0.13]),
    (11.0, [0.41, 0.41, 0.00, 0.23, 0.00, 0.00]),
    (12.0, [0.37, 0.37, 0.00, 0.21, 0.00, 0.00]),
    (13.0, [0.00, 0.34, 0.00, 0.00, 0.00, 0.00]),
    (14.0, [0.00, 0.31, 0.00, 0.00, 0.00, 0.00]),
    (15.0, [0.00, 0.28, 0.00, 0.00, 0.00, 0.00]),
];

/// How long lifting goes on, with the rest that the table asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Up to an hour.
    Short,
    /// Up to two hours.
    Moderate,
    /// Up to eight hours.
    Long,
}

/// Share of the weight limit that lifts this often leave, 0 to 1; between rows of the table the lower counts,
/// and past 15 a minute nothing is left.
///
/// # Errors
/// When the frequency isn't a number of 0 or more.
///
/// Source: NIOSH 94-110, from memory.
pub fn frequency_multiplier(per_minute: f64, work: Work, vertical: Length) -> Result<f64, SafetyError> {
    if !(per_minute.is_finite() && per_minute >= 0.0) {
        return Err(SafetyError::Lift {
            what: "frequency",
            found: format!("{per_minute} a minute"),
            right: "0 or more a minute",
        });
    }
    let high = vertical.inches() >= HIGH_IN - SLACK_IN;
    let row = ROWS.iter().find(|(up_to, _)| per_minute <= *up_to);
    Ok(row.map_or(0.0, |(_, shares)| {
        let [short_low, short_high, moderate_low, moderate_high, long_low, long_high] = *shares;
        match (work, high) {
            (Work::Short, false) => short_low,
            (Work::Short, true) => short_high,
            (Work::Moderate, false) => moderate_low,
            (Work::Moderate, true) => moderate_high,
            (Work::Long, false) => long_low,
            (Work::Long, true) => long_high,
        }
    }))
}
