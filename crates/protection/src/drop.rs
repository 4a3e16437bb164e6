//! Drop heights by gross weight.

use measure::{Length, Mass};

/// Lower bound of gross weight (lb, inclusive) and free-fall height (in), heaviest first; the last bound
/// is where the schedule ends (ISTA procedure 1A, table of free-fall heights).
const ISTA_1A: [(f64, f64); 5] = [(100.0, 8.0), (61.0, 12.0), (41.0, 18.0), (21.0, 24.0), (0.0, 30.0)];
/// Heaviest package of the schedule, lb (ISTA procedure 1A).
const ISTA_1A_HEAVIEST_LB: f64 = 150.0;
/// What a weight may miss a bound by and still reach it, lb: rounding of unit conversion.
const SLACK_LB: f64 = 1e-9;

/// Free-fall height that a package of this gross mass should survive (ISTA procedure 1A); `None` over
/// 150 lb, where the schedule ends.
#[must_use]
pub fn drop_height(gross: Mass) -> Option<Length> {
    let pounds = gross.pounds() + SLACK_LB;
    if pounds > ISTA_1A_HEAVIEST_LB + 2.0 * SLACK_LB {
        return None;
    }
    ISTA_1A.iter().find(|(from, _)| pounds >= *from).map(|(_, height)| Length::from_inches(*height))
}
