//! Why the best split is the best, in plain words.

use measure::Money;
use selling::Split;
use trade::{FindSplit, Job, PricedPool};

use crate::said::amount;

/// A difference below this is a tie, currency (judgement).
const TIE: f64 = 1.0;

/// A difference of work below this is none, hours (judgement: a minute).
const TIME_THAT_COUNTS: f64 = 1.0 / 60.0;

/// Why the best is best, in plain words; `cost` is what all of it cost.
pub(super) fn why(job: &Job, cost: Money, split: &FindSplit) -> Vec<String> {
    let best = &split.choice.best;
    if best.listings.is_empty() {
        return vec![String::from("Give it away, keep it, or sort it into lots with other finds.")];
    }
    let mut out = vec![format!(
        "It leaves {} after fees, postage, packing, {} of work at {} an hour and the {cost} they cost.",
        amount(best.profit(cost)),
        hours(best.hours()),
        job.wage
    )];
    let against = |other: &Split, named: &str| {
        let gap = best.gap_to(other, cost);
        let time = hours(gap.hours.abs());
        let work = match gap.hours {
            less if less <= -TIME_THAT_COUNTS => format!("{time} less work"),
            more if more >= TIME_THAT_COUNTS => format!("{time} more work"),
            _ => String::from("the same work"),
        };
        if gap.profit < TIE {
            format!("{named} ({}) is as good: take the one you like to pack.", keeping::lots_in_words(other))
        } else {
            format!(
                "That is {} more than {named} ({}), for {work}.",
                amount(gap.profit),
                keeping::lots_in_words(other)
            )
        }
    };
    if let Some(runner_up) = split.choice.runner_up.as_ref().filter(|other| !other.listings.is_empty()) {
        out.push(against(runner_up, "the next best"));
    }
    let singles = split.equal.iter().find(|equal| equal.size == 1).map(|equal| &equal.split);
    if let Some(singles) = singles.filter(|other| {
        other.parts() != best.parts()
            && split.choice.runner_up.as_ref().is_none_or(|known| known.parts() != other.parts())
    }) {
        out.push(against(singles, "one by one"));
    }
    if let Some(per_hour) = split.per_hour.as_ref().map(|choice| &choice.best)
        && per_hour.parts() != best.parts()
        && let (Some(most), Some(this)) =
            (per_hour.contribution_per_hour(cost), best.contribution_per_hour(cost))
        && most - this >= TIE
    {
        out.push(format!(
            "If your hours are short: {} earns {} for each of them, this one {}.",
            keeping::lots_in_words(per_hour),
            amount(most),
            amount(this)
        ));
    }
    let day = best.last_sale_day();
    out.push(format!("The last lot is expected to sell after {day:.0} days."));
    out
}

/// What of these piles is left over, in a sentence; empty where nothing is.
pub(super) fn left_over<'a>(piles: impl IntoIterator<Item = (&'a PricedPool, &'a Split)>) -> Vec<String> {
    let left: Vec<String> = piles
        .into_iter()
        .filter(|(_, split)| split.dropped() > 0)
        .map(|(priced, split)| priced.pool.counted(split.dropped()))
        .collect();
    if left.is_empty() {
        Vec::new()
    } else {
        vec![format!("Left over, not worth a parcel: {}.", left.join(", "))]
    }
}

/// Hours of work in words.
pub(super) fn hours(hours: f64) -> String {
    if hours.abs() < 1.0 { format!("{:.0} minutes", 60.0 * hours) } else { format!("{hours:.1} hours") }
}
