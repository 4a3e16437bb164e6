//! How much a carton bears from above, and what time and damp leave of it.

use measure::Length;

/// Constant of the simplified formula (McKee, Gander, Wachuta 1963, in pounds and inches).
const MCKEE: f64 = 5.87;
/// Days under load and the share of strength that is left (a box maker's target compression worksheet).
const UNDER_LOAD: [(f64, f64); 4] = [(10.0, 0.63), (30.0, 0.60), (90.0, 0.55), (180.0, 0.50)];
/// Relative humidity, percent, and the share of strength that is left (same worksheet).
const HUMIDITY: [(f64, f64); 6] =
    [(50.0, 1.0), (60.0, 0.90), (70.0, 0.80), (80.0, 0.68), (90.0, 0.48), (100.0, 0.15)];

/// How a carton is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoxStyle {
    /// A regular slotted carton with upright flutes (FEFCO 0201).
    RegularSlotted,
    /// Any other.
    Other,
}

/// Compression strength of a regular slotted carton, pounds of force: 5.87 ECT sqrt(caliper x outline).
///
/// `ect` is the edge crush of the board in lb/in; the outline is 2 (L + W) outside. Meant for cartons at
/// least a seventh of their outline deep; [`crate::mckee`] looks after that.
///
/// Source: simplified McKee formula, as in a laboratory's box compression reference.
#[must_use]
pub fn compression_strength(ect: f64, caliper: Length, outline: Length) -> f64 {
    // Root by root, so that no product overflows before it is rooted.
    MCKEE * ect * caliper.inches().sqrt() * outline.inches().sqrt()
}

/// Share of compression strength left after `days` under load at a relative humidity in percent; between
/// rows of the worksheet the weaker one counts, past its last rows the last.
///
/// Source: a box maker's target compression worksheet.
#[must_use]
pub fn strength_left(days: f64, humidity: f64) -> f64 {
    left_under_load(days) * left_at_humidity(humidity)
}

/// Share left after `days` under load.
pub(crate) fn left_under_load(days: f64) -> f64 {
    row(&UNDER_LOAD, days)
}

/// Share left at a relative humidity in percent.
pub(crate) fn left_at_humidity(percent: f64) -> f64 {
    row(&HUMIDITY, percent)
}

fn row(table: &[(f64, f64)], at: f64) -> f64 {
    table.iter().find(|(step, _)| at <= *step).or(table.last()).map_or(0.0, |(_, share)| *share)
}
