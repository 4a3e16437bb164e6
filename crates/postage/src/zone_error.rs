//! Why a zone could not be told.

/// Why a zone, or a chart of zones, could not be told; each message says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ZoneError {
    /// Not a ZIP code.
    #[error("`{text}` is not a ZIP code; write its first three digits or all five, such as 453 or 45301")]
    BadZip {
        /// What was given.
        text: String,
    },
    /// A ZIP area without a place on the map.
    #[error(
        "ZIP area {area:03} has no zone by distance: {reason}; give the official zone chart of the origin"
    )]
    NoPosition {
        /// First three digits.
        area: u16,
        /// Why.
        reason: &'static str,
    },
    /// A chart's heading is not as expected.
    #[error(
        "zone chart, row 1: `{found}` stands where `dest_zip3,zone` or \
        `dest_zip3_from,dest_zip3_to,zone` was expected"
    )]
    ChartHeading {
        /// What stands there.
        found: String,
    },
    /// A chart's cell can't be read.
    #[error("zone chart, row {row}, column `{column}`: `{found}` stands where {right} was expected")]
    ChartCell {
        /// Row as an editor counts it, from 1 with the heading.
        row: u64,
        /// The column's heading.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What would be right.
        right: &'static str,
    },
    /// A chart gives one destination two zones.
    #[error("zone chart, row {row}: ZIP area {area:03} has {first} already and {second} here; keep one")]
    ChartConflict {
        /// Row as an editor counts it.
        row: u64,
        /// First three digits.
        area: u16,
        /// The zone stated before.
        first: crate::Zone,
        /// The zone stated here.
        second: crate::Zone,
    },
    /// A chart is no table.
    #[error("zone chart: {reason}")]
    ChartTable {
        /// What the reader of the table says.
        reason: String,
    },
}
