//! What one lot is worth while offers keep coming until a deadline.

use std::fmt;

use super::{Search, reservation};
use crate::SellingError;
use crate::cents::{percent, up};
use crate::figure::Place;

/// Error allowed to one step of the integration, as a share of the mean offer.
const STEP_ERROR: f64 = 1e-13;
/// The rest of the wait is passed over when it can't add more than this share of the mean offer.
const SETTLED: f64 = 1e-12;
/// Steps taken at most. Steps grow with the time already covered, so a few thousand do; past the budget the
/// value is that of a shorter wait, which understates it.
const MOST_STEPS: u32 = 200_000;

/// What one lot is worth if this buyer leaves, when the wait ends at a deadline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadlineWorth {
    /// Accept a net offer of at least this now, in currency; it sinks as the deadline nears.
    pub value: f64,
    /// Days until the deadline.
    pub days_left: f64,
    /// What the lot is worth at the deadline, in currency.
    pub at_deadline: f64,
    /// The value without a deadline, in currency; none when waiting costs nothing.
    pub without_deadline: Option<f64>,
    /// The chance that an offer arriving now is good enough.
    pub accept_probability: f64,
    /// The chance that an offer is taken before the deadline.
    pub chance_taken: f64,
}

impl fmt::Display for DeadlineWorth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Waiting up to {:.0} days for offers is worth {}; an offer is taken in that time with a chance of {}.",
            self.days_left,
            up(self.value),
            percent(self.chance_taken)
        )
    }
}

/// The value V(t) with V' = -h + rate E[(X - V)+] - r V and V(0) = `at_deadline`, t being the days left.
///
/// The lot may be given up at any time for what it is worth at the deadline, so a wait that only costs is
/// worth exactly that. Solved by fourth-order steps with halving (error about 1e-10 of the mean offer).
///
/// # Errors
/// When a figure is out of its range.
pub fn worth_by_deadline(
    search: &Search,
    days_left: f64,
    at_deadline: f64,
) -> Result<DeadlineWorth, SellingError> {
    search.check()?;
    let place = Place("offer search");
    let days_left = place.days("days_left", days_left)?;
    let at_deadline = place.amount("at_deadline", at_deadline)?;
    let endless = search.holding_per_day > 0.0 || search.discount_per_day > 0.0;
    let without_deadline = if endless { Some(reservation(search)?.value.max(at_deadline)) } else { None };
    let (value, taken) = integrate(search, days_left, at_deadline);
    Ok(DeadlineWorth {
        value,
        days_left,
        at_deadline,
        without_deadline,
        accept_probability: search.sizes.chance_over(value),
        chance_taken: -(-taken).exp_m1(),
    })
}

/// The value with all the days left, and the expected number of good enough offers on the way.
fn integrate(search: &Search, days_left: f64, at_deadline: f64) -> (f64, f64) {
    let scale = search.sizes.mean().abs().max(at_deadline).max(f64::MIN_POSITIVE);
    let hazard = |value: f64| search.per_day * search.sizes.chance_over(value);
    let mut value = at_deadline;
    if search.gain_per_day(value) <= 0.0 {
        return (value, 0.0);
    }
    let mut left = days_left;
    let mut step = (0.1 / (search.per_day + search.discount_per_day)).min(left);
    let mut taken = 0.0;
    for _ in 0..MOST_STEPS {
        // The gain only falls as the value rises, so this bounds all that is still to come.
        if left <= 0.0 || search.gain_per_day(value) * left <= SETTLED * scale {
            break;
        }
        step = step.min(left);
        let whole = runge_kutta(search, value, step);
        let middle = runge_kutta(search, value, 0.5 * step);
        let end = runge_kutta(search, middle, 0.5 * step);
        let error = (end - whole).abs() / 15.0;
        if error <= STEP_ERROR * scale {
            let next = end + (end - whole) / 15.0;
            taken += step / 6.0 * (hazard(value) + 4.0 * hazard(middle) + hazard(next));
            value = next;
            left -= step;
        }
        let factor = (STEP_ERROR * scale / error.max(f64::MIN_POSITIVE)).powf(0.2);
        step *= (0.9 * factor).clamp(0.2, 4.0);
    }
    (value, taken + left.max(0.0) * hazard(value))
}

fn runge_kutta(search: &Search, value: f64, step: f64) -> f64 {
    let k1 = search.gain_per_day(value);
    let k2 = search.gain_per_day(value + 0.5 * step * k1);
    let k3 = search.gain_per_day(value + 0.5 * step * k2);
    let k4 = search.gain_per_day(value + step * k3);
    value + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
}
