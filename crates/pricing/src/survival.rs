//! What share lasts longer than a time, without a law: Kaplan and Meier's estimate from times of which some only
//! say "longer than this", and Turnbull's from ranges.

use crate::error::PricingError;

/// A time from the start to the end, or to when it was last seen going on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lifetime {
    /// The time, 0 or more, in any unit.
    pub time: f64,
    /// Whether it ended then (a listing sold); otherwise it lasted longer.
    pub ended: bool,
}

/// The share that lasts longer, from this time on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurvivalStep {
    /// A time at which one or more ended.
    pub time: f64,
    /// Share that lasts longer than this time.
    pub survival: f64,
    /// Standard error of that share by Greenwood's formula.
    pub standard_error: f64,
}

/// The share that lasts longer than each time at which one ended (Kaplan & Meier 1958), with Greenwood's errors;
/// before the first step it is 1. Times that ended count before equal ones that went on.
///
/// # Errors
///
/// A time that is below 0 or not a number.
pub fn kaplan_meier(lifetimes: &[Lifetime]) -> Result<Vec<SurvivalStep>, PricingError> {
    for (i, lifetime) in lifetimes.iter().enumerate() {
        if !(lifetime.time >= 0.0 && lifetime.time.is_finite()) {
            return Err(PricingError::Figure {
                place: format!("lifetime {}", i + 1),
                what: "the time",
                found: lifetime.time,
                right: "0 or more",
            });
        }
    }
    let mut sorted = lifetimes.to_vec();
    sorted.sort_by(|a, b| a.time.total_cmp(&b.time));
    let mut steps = Vec::new();
    let mut at_risk = sorted.len();
    let mut survival = 1.0;
    let mut greenwood = 0.0;
    for together in sorted.chunk_by(|a, b| a.time == b.time) {
        let ended = together.iter().filter(|lifetime| lifetime.ended).count();
        let lasting = at_risk - ended;
        if ended > 0 {
            survival *= lasting as f64 / at_risk as f64;
            greenwood += ended as f64 / (at_risk as f64 * lasting as f64);
            // When the last one ends, the share is 0 without an error that could be told.
            let standard_error = if lasting == 0 { 0.0 } else { survival * f64::sqrt(greenwood) };
            steps.extend(together.first().map(|l| SurvivalStep { time: l.time, survival, standard_error }));
        }
        at_risk -= together.len();
    }
    Ok(steps)
}

/// The first time beyond which no more than half last; none where more than half outlast all that is known.
#[must_use]
pub fn median_survival(steps: &[SurvivalStep]) -> Option<f64> {
    steps.iter().find(|step| step.survival <= 0.5).map(|step| step.time)
}

/// A share of all that ended somewhere from one time to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndingShare {
    /// Earliest time.
    pub from: f64,
    /// Latest time, which may be infinite.
    pub to: f64,
    /// The share.
    pub share: f64,
}

/// Rounds after which Turnbull's estimate is taken as it is.
const MOST_ROUNDS: usize = 100_000;

/// Change of a share below which it is settled.
const SETTLED: f64 = 1e-13;

/// The shares that ended within the ranges that can be told apart (Turnbull 1976, *The empirical distribution
/// function with arbitrarily grouped, censored and truncated data*), by the self-consistent rounds of that paper.
///
/// Each observation is a closed range from its first to its second time, the latter possibly infinite. Shares
/// that come to nothing are left out.
///
/// # Errors
///
/// A range that does not run from a number to one that is no less.
pub fn turnbull(ranges: &[(f64, f64)]) -> Result<Vec<EndingShare>, PricingError> {
    for (i, &(from, to)) in ranges.iter().enumerate() {
        let in_order = from <= to && from.is_finite();
        if !in_order {
            return Err(PricingError::Figure {
                place: format!("range {}", i + 1),
                what: "the end",
                found: to,
                right: "no less than the beginning, which must be a number",
            });
        }
    }
    // Innermost ranges: a beginning followed at once by an end. Beginnings come before equal ends.
    let mut marks: Vec<(f64, bool)> =
        ranges.iter().flat_map(|&(from, to)| [(from, false), (to, true)]).collect();
    marks.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let innermost: Vec<(f64, f64)> = marks
        .windows(2)
        .filter_map(|pair| match pair {
            [(from, false), (to, true)] => Some((*from, *to)),
            _ => None,
        })
        .collect();

    // Both are in order, so what a range holds is a run of innermost ranges.
    let runs: Vec<(usize, usize)> = ranges
        .iter()
        .map(|&(from, to)| {
            (
                innermost.partition_point(|inner| inner.0 < from),
                innermost.partition_point(|inner| inner.1 <= to),
            )
        })
        .collect();
    let mut shares = vec![1.0 / innermost.len() as f64; innermost.len()];
    for _ in 0..MOST_ROUNDS {
        let next = self_consistent_round(&shares, &runs);
        let change = shares.iter().zip(&next).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        shares = next;
        if change < SETTLED {
            break;
        }
    }
    Ok(innermost
        .into_iter()
        .zip(shares)
        .filter(|(_, share)| *share > SETTLED)
        .map(|((from, to), share)| EndingShare { from, to, share })
        .collect())
}

/// Gives each observation out over the innermost ranges it holds, in proportion to their shares so far.
fn self_consistent_round(shares: &[f64], runs: &[(usize, usize)]) -> Vec<f64> {
    let mut below = Vec::with_capacity(shares.len() + 1);
    below.push(0.0);
    for share in shares {
        below.push(below.last().copied().unwrap_or_default() + share);
    }
    let up_to = |i: usize| below.get(i).copied().unwrap_or_default();
    // What one unit of share gains, as steps up where a run begins and down where it ends.
    let mut steps = vec![0.0; below.len()];
    for &(first, end) in runs {
        let gain = 1.0 / ((up_to(end) - up_to(first)) * runs.len() as f64);
        for (i, by) in [(first, gain), (end, -gain)] {
            if let Some(step) = steps.get_mut(i) {
                *step += by;
            }
        }
    }
    let mut gain = 0.0;
    shares
        .iter()
        .zip(steps)
        .map(|(share, step)| {
            gain += step;
            share * gain
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_censoring_the_share_that_lasts_is_counted() {
        let all = [4.0, 1.0, 3.0, 2.0].map(|time| Lifetime { time, ended: true });
        let steps = kaplan_meier(&all).expect("times");
        let shares: Vec<f64> = steps.iter().map(|s| s.survival).collect();
        assert_eq!(shares, [0.75, 0.5, 0.25, 0.0]);
        // Greenwood's error is then the binomial one.
        assert!((steps[1].standard_error - (0.25_f64 / 4.0).sqrt()).abs() < 1e-15);
        assert_eq!(median_survival(&steps), Some(2.0));
    }

    #[test]
    fn nothing_ended_has_no_step_and_no_median() {
        let steps = kaplan_meier(&[Lifetime { time: 3.0, ended: false }]).expect("times");
        assert!(steps.is_empty());
        assert_eq!(median_survival(&steps), None);
        assert!(turnbull(&[]).expect("no ranges").is_empty());
    }

    #[test]
    fn on_exact_and_open_times_turnbull_agrees_with_kaplan_and_meier() {
        let seen = [(2.0, true), (3.0, false), (5.0, true), (5.0, false), (8.0, true), (9.0, false)];
        let steps = kaplan_meier(&seen.map(|(time, ended)| Lifetime { time, ended })).expect("times");
        // What went on at a time ended after it, so its range begins just later.
        let ranges = seen.map(|(t, ended)| if ended { (t, t) } else { (t + 1e-6, f64::INFINITY) });
        let shares = turnbull(&ranges).expect("ranges");
        let mut left = 1.0;
        for (step, share) in steps.iter().zip(&shares) {
            left -= share.share;
            assert_eq!(step.time, share.from);
            assert!((step.survival - left).abs() < 1e-9, "{step:?} {left}");
        }
    }

    #[test]
    fn a_time_or_range_that_is_none_is_refused() {
        assert!(kaplan_meier(&[Lifetime { time: f64::NAN, ended: true }]).is_err());
        assert!(kaplan_meier(&[Lifetime { time: -1.0, ended: true }]).is_err());
        assert!(turnbull(&[(3.0, 2.0)]).is_err());
        assert!(turnbull(&[(f64::NAN, 2.0)]).is_err());
    }
}
